package api

import (
	"encoding/json"
	"reflect"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/readback"
	"kinorder.example/server/internal/wording"
)

// filler sets every field of a domain value to something that is not its zero value and that no
// other field has.
type filler struct{ n int }

func (f *filler) fill(t testing.TB, v reflect.Value) {
	f.n++
	switch v.Type() {
	case reflect.TypeFor[time.Time]():
		v.Set(reflect.ValueOf(time.Date(2026, 6, 20, 12, f.n, 0, 0, time.UTC)))
		return
	case reflect.TypeFor[[]event.Rule]():
		f.rules(t, v.Addr().Interface().(*[]event.Rule))
		return
	case reflect.TypeFor[wording.Message](): // it holds itself: one of each kind of argument will do
		v.Set(reflect.ValueOf(wording.Say(keys[f.n%len(keys)], "a", 7, wording.Quoted("b"), wording.Curly("c"),
			wording.Clock(time.Unix(0, 0).UTC()), wording.Say("sheet.place"), wording.Comma("d", "e"), wording.And("f", "g"),
			wording.Or("h", "i"), wording.Semicolons("j", "k"))))
		return
	case reflect.TypeFor[time.Duration]():
		v.SetInt(int64(time.Duration(f.n) * 6 * time.Second)) // a tenth of a minute
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString("text " + string(rune('A'+f.n%26)) + string(rune('\u0905'+f.n)))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int64:
		if v.Type().PkgPath() != "" {
			v.SetInt(1) // an enum: the first value that is not its default
			return
		}
		v.SetInt(int64(f.n))
	case reflect.Float64:
		v.SetFloat(float64(f.n) + 0.5)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		f.fill(t, v.Elem())
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		f.fill(t, v.Index(0))
		f.fill(t, v.Index(1))
	case reflect.Struct:
		for i := range v.NumField() {
			f.fill(t, v.Field(i))
		}
	default:
		t.Fatalf("the test cannot fill a %s: teach it", v.Type())
	}
}

// rules makes one rule of each kind: several kinds in one rule are refused and not carried.
func (f *filler) rules(t testing.TB, into *[]event.Rule) {
	kinds := reflect.TypeFor[event.Rule]()
	for i := range kinds.NumField() {
		if kinds.Field(i).Type.Kind() != reflect.Pointer {
			continue
		}
		var rule event.Rule
		v := reflect.ValueOf(&rule).Elem()
		for j := range kinds.NumField() {
			if j == i || kinds.Field(j).Type.Kind() != reflect.Pointer {
				f.fill(t, v.Field(j))
			}
		}
		*into = append(*into, rule)
	}
}

func filled[T any](t testing.TB) T {
	var v T
	(&filler{}).fill(t, reflect.ValueOf(&v).Elem())
	return v
}

// unprovenSheet has the one field that a proven sheet has not.
func unprovenSheet(t testing.TB) event.CallSheet {
	s := filled[event.CallSheet](t)
	s.Totals.Proven, s.Totals.Cost, s.Totals.Bound = false, 200, 150
	return s
}

// carried is every field that a message sets, at any depth.
func carried(m protoreflect.Message, into map[protoreflect.FullName]bool) {
	m.Range(func(fd protoreflect.FieldDescriptor, v protoreflect.Value) bool {
		into[fd.FullName()] = true
		switch {
		case fd.Kind() != protoreflect.MessageKind:
		case fd.IsList():
			for i := range v.List().Len() {
				carried(v.List().Get(i).Message(), into)
			}
		default:
			carried(v.Message(), into)
		}
		return true
	})
}

// contract is every field of a message of this contract, at any depth.
func contract(d protoreflect.MessageDescriptor, into map[protoreflect.FullName]bool) {
	if d.ParentFile().Package() != "kinorder.v1" {
		return
	}
	for i := range d.Fields().Len() {
		fd := d.Fields().Get(i)
		if into[fd.FullName()] {
			continue
		}
		into[fd.FullName()] = true
		if fd.Kind() == protoreflect.MessageKind {
			contract(fd.Message(), into)
		}
	}
}

func english(t *testing.T) *wording.Catalogue {
	c, ok := wording.For("en")
	require.True(t, ok)
	return c
}

func told(t *testing.T) readback.Line {
	l := filled[readback.Line](t)
	for k := range l.Photographs {
		l.Photographs[k].Grouping = 1
	}
	return l
}

// A field that is added to the contract or to the domain and not converted fails here.
func TestConvertEveryField(t *testing.T) {
	tests := []struct {
		name string
		wire []proto.Message
	}{
		{"event", []proto.Message{eventToWire(filled[event.Event](t))}},
		{"sheet", []proto.Message{sheetToWire(filled[event.CallSheet](t)), sheetToWire(unprovenSheet(t))}},
		{"advice", []proto.Message{toWire[kinorderv1.Advice](filled[event.Advice](t))}},
		{"problem", []proto.Message{toWire[kinorderv1.ImportProblem](filled[intake.Problem](t))}},
		{"line", []proto.Message{lineToWire(event.Event{Groupings: make([]event.Grouping, 100)}, filled[intake.Line](t), told(t), english(t))}},
		{"question", []proto.Message{questionToWire(filled[readback.Question](t), english(t))}},
		{"progress", []proto.Message{
			toWire[kinorderv1.PlanProgress](filled[planning.Progress](t)),
			toWire[kinorderv1.PlanProgress](planning.Progress{Sheet: unprovenSheet(t)}),
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			want, got := map[protoreflect.FullName]bool{}, map[protoreflect.FullName]bool{}
			contract(tt.wire[0].ProtoReflect().Descriptor(), want)
			for _, m := range tt.wire {
				carried(m.ProtoReflect(), got)
			}
			for field := range want {
				assert.True(t, got[field], "%s is not written", field)
			}
		})
	}
}

func TestConvertRoundTrip(t *testing.T) {
	t.Run("event", func(t *testing.T) {
		want := filled[event.Event](t)
		var r reader
		assert.Equal(t, want, r.event(eventToWire(want)))
		assert.Empty(t, r.faults)
	})
	t.Run("empty event", func(t *testing.T) {
		var r reader
		assert.Equal(t, event.Event{}, r.event(nil))
		assert.Equal(t, event.Event{}, r.event(eventToWire(event.Event{})))
	})
	for name, want := range map[string]event.CallSheet{"sheet": filled[event.CallSheet](t), "unproven sheet": unprovenSheet(t), "empty sheet": {}} {
		t.Run(name, func(t *testing.T) {
			var r reader
			assert.Equal(t, want, r.sheet(sheetToWire(want)))
			assert.Empty(t, r.faults)
		})
	}
}

// A value that is added to an enum of the contract and has no meaning in the domain fails here.
func TestConvertEveryEnumValue(t *testing.T) {
	for wire, n := range enumerations {
		values := reflect.Zero(wire).Interface().(protoreflect.Enum).Descriptor().Values()
		for i := range values.Len() {
			w := int64(values.Get(i).Number())
			d, ok := n.domain[w]
			if !assert.True(t, ok, "%s means nothing", values.Get(i).Name()) {
				continue
			}
			if w != 0 { // unspecified is read as the default, and written as what it is read as
				assert.Equal(t, w, n.wire[d], "%s comes back as something else", values.Get(i).Name())
			}
		}
	}
}

func TestConvertRefuses(t *testing.T) {
	e := eventToWire(filled[event.Event](t))
	e.People[1].Needs[0] = 99
	e.Groupings[0].Pin = -1
	e.Rules[0].GetApart().Scope = 42
	e.Emphasis = 7
	var r reader
	r.event(e)
	assert.Equal(t, []string{"people[1].needs[0]", "groupings[0].pin", "rules[0].apart.scope", "emphasis"}, places(r.faults))

	s := sheetToWire(filled[event.CallSheet](t))
	s.Blocks[0].StartTime.Seconds = 1 << 60
	s.Blocks[1].Entries[0].OffsetSeconds = -1
	s.People[1].IdleSeconds = -5
	s.LeftOut[0].Priority = 9
	s.Advice[1].Severity = 9
	r = reader{}
	r.sheet(s)
	assert.Equal(t, []string{
		"blocks[0].startTime", "blocks[1].entries[0].offsetSeconds", "leftOut[0].priority", "people[1].idleSeconds", "advice[1].severity",
	}, places(r.faults))
}

func places(faults []event.Advice) []string {
	return each(faults, func(f event.Advice) string { return f.Field })
}

func TestConvertMendsBrokenText(t *testing.T) {
	w := eventToWire(event.Event{Title: "a\xffb", People: []event.Person{{ID: "p", HeightCM: 1 << 40}}})
	assert.Equal(t, "a\uFFFDb", w.GetTitle())
	assert.Equal(t, int32(1<<31-1), w.GetPeople()[0].GetHeightCm())
	_, err := proto.Marshal(w)
	assert.NoError(t, err)
}

func FuzzConvertEvent(f *testing.F) {
	seed, err := proto.Marshal(eventToWire(filled[event.Event](f)))
	require.NoError(f, err)
	f.Add(seed)
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		w := new(kinorderv1.Event)
		if proto.Unmarshal(data, w) != nil {
			return
		}
		var r reader
		once := eventToWire(r.event(w))
		twice := eventToWire(r.event(once))
		if !proto.Equal(once, twice) {
			t.Errorf("an event changes when it is converted again:\n%v\n%v", once, twice)
		}
	})
}

func FuzzConvertSheet(f *testing.F) {
	seed, err := proto.Marshal(sheetToWire(unprovenSheet(f)))
	require.NoError(f, err)
	f.Add(seed)
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		w := new(kinorderv1.CallSheet)
		if proto.Unmarshal(data, w) != nil {
			return
		}
		var r reader
		s := r.sheet(w)
		once := sheetToWire(s)
		twice := sheetToWire(r.sheet(once))
		if !proto.Equal(once, twice) {
			t.Errorf("a sheet changes when it is converted again:\n%v\n%v", once, twice)
		}
		content, err := sheetJSON(s)
		if err != nil || !json.Valid(content) {
			t.Errorf("a sheet cannot be written as JSON: %v", err)
		}
	})
}

// keys are wordings that are not taken for those of another version.
var keys = []wording.Key{"sheet.callSheet", "sheet.readerSheet", "sheet.finderSheet", "sheet.place"}
