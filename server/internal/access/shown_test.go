package access

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/wording"
)

// What a reader sees of each type, and what not. A field that is in neither list fails the test: decide
// whether somebody who has only to call names must know it.
var fields = map[reflect.Type]struct{ shown, hidden string }{
	reflect.TypeFor[event.Event](): {
		"Title Date TimeZone Sides People Circles Groupings Blocks",
		"Rules Walks Pace Weights Emphasis Confidence Fit Latitude Longitude Kit Honour Order LeftOut",
	},
	reflect.TypeFor[event.Side](): {"ID Label", ""},
	reflect.TypeFor[event.Person](): {
		"ID Name SayAs Side Needs Absent",
		"Nicknames Relation AgeBand HeightCM PresentFrom PresentUntil Presence Interpreter ReleaseWeight PrivateNote",
	},
	reflect.TypeFor[event.Circle](): {"ID Title Members Leader", ""},
	reflect.TypeFor[event.Grouping](): {
		"ID Title Members Without EachOf Blocks Frames Guests",
		"Priority After NotBefore NotAfter Confirms Pin Minutes Worth PrivateNote",
	},
	reflect.TypeFor[event.Block](): {
		"ID Title Place Opens Closes",
		"Closing Overrun Photographer Capacity StepFree Light Latitude Longitude Facing Indoors StandBackCM Space",
	},
	reflect.TypeFor[event.CallSheet]():  {"Blocks LeftOut People Totals", "Advice"},
	reflect.TypeFor[event.SheetBlock](): {"Block Start Length StepIns Entries SafeLength", "Light Overrun"},
	reflect.TypeFor[event.SheetEntry](): {
		"Grouping Title Offset Length Wait StepIn StepOut Stay Released Standby Frames SafeOffset",
		"Near Standing BlinksLikely Lens",
	},
	reflect.TypeFor[event.LeftOut]():     {"Grouping", "Priority Reason Why"},
	reflect.TypeFor[event.PersonTimes](): {"Person Call Release TimesIn Idle Groupings", ""},
	reflect.TypeFor[event.Totals](): {
		"Groupings StepIns Length",
		"RequestedStepIns FloorStepIns FloorReached Cost Bound Proven SolveTime",
	},
	reflect.TypeFor[run.Mark](): {
		"ID Kind Sequence At DeviceAt Received Grouping Block Opens Closes Closed Place Person Name Groupings Until Grouped People Undoes",
		"By Note Priority",
	},
	reflect.TypeFor[run.Update](): {"Run Sequence Marks State Change Plan Covers LastMark", ""},
	reflect.TypeFor[run.Run]():    {"Ref Number Sheet Version Created Sequence", ""},
	reflect.TypeFor[run.State]():  {"Groupings People Blocks Joined Added Slots Frames Undoable", "Notes"},
	reflect.TypeFor[run.Change](): {
		"Groupings People Blocks Joined Added Removed Undoable Different",
		"UndoneNotes RestoredNotes",
	},
	reflect.TypeFor[run.Progress]():     {"Status Block Started Finished Without Move", ""},
	reflect.TypeFor[planning.Move]():    {"Block", "Priority"},
	reflect.TypeFor[run.Whereabouts]():  {"Presence Since Until", ""},
	reflect.TypeFor[run.BlockTimes]():   {"Opens Closes Closed Place", ""},
	reflect.TypeFor[run.Joining]():      {"Name Groupings", ""},
	reflect.TypeFor[planning.Timed]():   {"Grouping Block Started Finished", ""},
	reflect.TypeFor[planning.Calling](): {"Grouping At", ""},
	reflect.TypeFor[planning.Outlook](): {"Made Sheet Next Owed Forecasts Changes Fault Numbers Swapped", "Past"},
	reflect.TypeFor[model.Swap]():       {"At Run Said", ""}, // which every phone of the day tells
	reflect.TypeFor[planning.Owed](): {
		"Grouping Title Planned Needed Missing OfferWithout Later",
		"Priority Reason Why Expected",
	},
	reflect.TypeFor[planning.Forecast](): {"Block Closes Finish Safe Over Drop Pace Timed", ""},
}

// fill sets every field that a test knows, to values that are not zero.
func fill(v reflect.Value, n *int) {
	*n++
	switch v.Kind() {
	case reflect.String:
		v.SetString(fmt.Sprint("text ", *n))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int64:
		v.SetInt(1) // of an enum the first that is not usual, of needs a seat
	case reflect.Float64:
		v.SetFloat(float64(*n))
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), n)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(v.Index(0), n)
	case reflect.Map:
		key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		fill(key, n)
		fill(value, n)
		v.Set(reflect.MakeMap(v.Type()))
		v.SetMapIndex(key, value)
	case reflect.Struct:
		switch v.Type() {
		case reflect.TypeFor[time.Time]():
			v.Set(reflect.ValueOf(time.Unix(int64(*n), 0)))
			return
		case reflect.TypeFor[wording.Message](): // it holds itself
			v.Set(reflect.ValueOf(wording.Say("a reason")))
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() && v.Field(i).Kind() != reflect.Interface {
				fill(v.Field(i), n)
			}
		}
	}
}

// compare checks what came out against what went in, by the lists.
func compare(t *testing.T, at string, in, out reflect.Value) {
	lists, known := fields[in.Type()]
	switch {
	case known:
		for i := range in.NumField() {
			name := in.Type().Field(i).Name
			switch {
			case !in.Type().Field(i).IsExported():
				// It stays in its package.
			case has(lists.shown, name):
				compare(t, at+"."+name, in.Field(i), out.Field(i))
			case has(lists.hidden, name):
				assert.True(t, out.Field(i).IsZero(), "a reader sees %s.%s: %v", at, name, out.Field(i))
			default:
				assert.Fail(t, "not classified", "%s.%s: may a reader see it?", at, name)
			}
		}
	case in.Kind() == reflect.Pointer && !in.IsNil() && assert.False(t, out.IsNil(), at):
		compare(t, at, in.Elem(), out.Elem())
	case in.Kind() == reflect.Slice && assert.Equal(t, in.Len(), out.Len(), at):
		for i := range in.Len() {
			compare(t, at, in.Index(i), out.Index(i))
		}
	case in.Kind() == reflect.Map && assert.Equal(t, in.Len(), out.Len(), at):
		for _, key := range in.MapKeys() {
			compare(t, at, in.MapIndex(key), out.MapIndex(key))
		}
	default:
		assert.Equal(t, in.Interface(), out.Interface(), at)
	}
}

func has(list, name string) bool { return strings.Contains(" "+list+" ", " "+name+" ") }

func TestShownToReaders(t *testing.T) {
	reader, lead := Grant{Event: "party", Role: store.Reader}, Grant{Event: "party", Role: store.Lead}
	n := 0
	var e event.Event
	fill(reflect.ValueOf(&e).Elem(), &n)
	e.People[0].Needs = []event.Need{event.Seat, event.Wheelchair}
	compare(t, "event", reflect.ValueOf(e), reflect.ValueOf(Shown(reader, e)))
	assert.Equal(t, e, Shown(lead, e))
	e.People[0].Needs = []event.Need{event.StepFree, event.Interpreter}
	assert.Empty(t, Shown(reader, e).People[0].Needs)

	var c event.CallSheet
	fill(reflect.ValueOf(&c).Elem(), &n)
	compare(t, "sheet", reflect.ValueOf(c), reflect.ValueOf(Shown(reader, c)))
	assert.Equal(t, c, Shown(lead, c))

	var u run.Update
	fill(reflect.ValueOf(&u).Elem(), &n)
	compare(t, "update", reflect.ValueOf(u), reflect.ValueOf(Shown(reader, u)))
	assert.Equal(t, u, Shown(lead, u))
	u.Marks = append(u.Marks, run.Mark{Kind: run.Noted, Note: "hot"})
	assert.Len(t, Shown(reader, u).Marks, 1, "no notes")
}
