package check

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
)

func ptr[T any](v T) *T { return &v }

// small returns an event in which Event finds nothing.
func small() event.Event {
	return event.Event{
		Title: "Amara & Theo", Date: "2026-06-20", TimeZone: "Europe/Lisbon",
		Sides: []event.Side{{ID: "a", Label: "Amara's side"}, {ID: "t", Label: "Theo's side"}},
		People: []event.Person{
			{ID: "amara", Name: "Amara Diallo", Side: "a"},
			{ID: "theo", Name: "Théo Lindqvist", Side: "t"},
			{ID: "rosa", Name: "Rosa Lindqvist", Side: "t", AgeBand: event.Elder, Needs: []event.Need{event.Seat}, HeightCM: 158},
			{ID: "ines", Name: "Inês Costa", Relation: "friend"},
			{ID: "karim", Name: "كريم حداد", SayAs: "kah-REEM", Relation: "friend", PresentFrom: "16:00"},
		},
		Circles: []event.Circle{
			{ID: "couple", Title: "Amara & Theo", Members: []string{"amara", "theo"}},
			{ID: "friends", Title: "The friends", Members: []string{"ines", "karim"}, Leader: "ines"},
		},
		Groupings: []event.Grouping{
			{ID: "all", Title: "Everybody", Members: []string{"couple", "rosa", "friends"}, Pin: event.PinFirst},
			{ID: "granny", Members: []string{"couple", "rosa"}, Priority: event.Must, After: []string{"all"}},
			{ID: "each", EachOf: "friends", Members: []string{"couple"}, After: []string{"granny"}, Minutes: ptr(1.5)},
		},
		Blocks: []event.Block{{ID: "garden", Place: "Garden", Opens: "15:30", Closes: "17:00", Capacity: 60}},
		Rules:  []event.Rule{{Apart: &event.Apart{People: []string{"rosa", "karim"}, Scope: event.Neighbours}}},
		Pace:   event.Pace{SettleSeconds: ptr(20), Arrange: []event.ArrangePoint{{Newcomers: 0, Seconds: 0}, {Newcomers: 10, Seconds: 60}}, Frames: []event.FramesPoint{{People: 1, Frames: 3}, {People: 10, Frames: 6}}},
	}
}

func TestCheckFindsNothingInASoundEvent(t *testing.T) {
	assert.Empty(t, Event(small()))
}

// found lists advice as "severity code field".
func found(list []event.Advice) []string {
	out := []string{}
	for _, a := range list {
		out = append(out, [...]string{"info", "warning", "error"}[a.Severity]+" "+a.Code+" "+a.Field)
	}
	return out
}

// Two people who are alone in a photograph stand side by side, whatever a rule says.
func TestNeighboursAlone(t *testing.T) {
	e := event.Event{
		People:    []event.Person{{ID: "a", Name: "Ann"}, {ID: "b", Name: "Bo"}, {ID: "c", Name: "Cy"}},
		Groupings: []event.Grouping{{ID: "abc", Members: []string{"a", "b", "c"}}, {ID: "ab", Title: "Two", Members: []string{"b", "a"}}},
		Rules:     []event.Rule{{ID: "r", Apart: &event.Apart{People: []string{"a", "b"}, Scope: event.Neighbours}}},
	}
	told := func() (at []string) {
		for _, a := range Event(e) {
			if a.Code == event.CodeNeighbours {
				at = append(at, a.Field)
			}
		}
		return at
	}
	assert.Equal(t, []string{"groupings[1]"}, told())
	e.Groupings[1].Confirms = []string{"r"}
	assert.Empty(t, told())
}

func TestCheck(t *testing.T) {
	long := strings.Repeat("x", 201)
	cases := []struct {
		name   string
		change func(*event.Event)
		want   []string
		says   string // part of the first text
	}{
		{"no groupings", func(e *event.Event) { *e = event.Event{} }, []string{"error NO_GROUPINGS groupings"}, "list the group photos"},
		{"missing id and name", func(e *event.Event) { e.Groupings = e.Groupings[:1]; e.People = append(e.People, event.Person{}) },
			[]string{"error MISSING people[5].name", "error MISSING people[5].id", "warning IN_NO_GROUPING people[5]"}, "Person 6 has no name"},
		{"name of nothing visible", func(e *event.Event) { e.People[2].Name = "\u200b " }, []string{"error MISSING people[2].name"}, `"rosa" has no name`},
		{"person and circle share an id", func(e *event.Event) { e.Circles[1].ID = "rosa"; e.Groupings = e.Groupings[:2] },
			[]string{"error DUPLICATE_ID circles[1].id", "error UNKNOWN_ID groupings[0].members[2]"}, `is already that of person 3 ("Rosa Lindqvist"): give group 2 another one`},
		{"bad id", func(e *event.Event) { e.Sides[0].ID = "my side"; e.People[0].Side = "my side" }, []string{"error BAD_ID sides[0].id"}, `contains " "`},
		{"long id", func(e *event.Event) { e.Blocks[0].ID = strings.Repeat("é", 65) }, []string{"error BAD_ID blocks[0].id"}, "64"},
		{"unknown side, suggested", func(e *event.Event) {
			e.Sides[1].ID = "theo-side"
			e.People[1].Side = "teho-side"
			e.People[2].Side = ""
		},
			[]string{"error UNKNOWN_ID people[1].side"}, `did you mean "theo-side"?`},
		{"unknown member, suggested", func(e *event.Event) { e.Groupings[1].Members[1] = "roza" }, []string{"error UNKNOWN_ID groupings[1].members[1]"}, `did you mean "rosa"?`},
		{"a name instead of an id", func(e *event.Event) { e.Groupings[1].Members[1] = "rosa LINDQVIST" }, []string{"error UNKNOWN_ID groupings[1].members[1]"}, `write the id "rosa"`},
		{"a title instead of an id", func(e *event.Event) { e.Groupings[0].Members[2] = "the friends" }, []string{"error UNKNOWN_ID groupings[0].members[2]"}, `write its id "friends"`},
		{"a side as a member", func(e *event.Event) { e.Groupings[0].Members[2] = "t" }, []string{"error UNKNOWN_ID groupings[0].members[2]"}, "is a side"},
		{"leader is a circle", func(e *event.Event) { e.Circles[1].Leader = "couple" }, []string{"error UNKNOWN_ID circles[1].leader"}, "give the id of one person"},
		{"leader unknown", func(e *event.Event) { e.Circles[1].Leader = "inez" }, []string{"error UNKNOWN_ID circles[1].leader"}, `"ines"`},
		{"leader absent", func(e *event.Event) {
			e.Circles[1].Leader = "rosa"
			e.People[2].Absent = true
			e.Groupings[1].Members = []string{"couple"}
		},
			[]string{"warning LEADER_ABSENT circles[1].leader"}, "choose somebody else"},
		{"eachOf of a person", func(e *event.Event) { e.Groupings[2].EachOf = "ines" }, []string{"error UNKNOWN_ID groupings[2].eachOf"}, "list them under members"},
		{"eachOf unknown", func(e *event.Event) { e.Groupings[2].EachOf = "freinds" }, []string{"error UNKNOWN_ID groupings[2].eachOf"}, `"friends"`},
		{"unknown block and after", func(e *event.Event) { e.Groupings[1].Blocks = []string{"gaden"}; e.Groupings[1].After = []string{"al"} },
			[]string{"error UNKNOWN_ID groupings[1].blocks[0]", "error UNKNOWN_ID groupings[1].after[0]"}, `"garden"`},
		{"after one photograph of an eachOf", func(e *event.Event) { e.Groupings[2].After = nil; e.Groupings[1].After = []string{"each.ines"} }, []string{}, ""},
		{"circle in itself", func(e *event.Event) { e.Circles[1].Members = append(e.Circles[1].Members, "friends") }, []string{"error CIRCULAR_CIRCLES circles[1].members"}, "is in itself"},
		{"circular circles", func(e *event.Event) { e.Circles[0].Members[0] = "friends"; e.Circles[1].Members[0] = "couple" },
			[]string{"error CIRCULAR_CIRCLES circles[0].members"}, `"Amara & Theo" contains "The friends" contains "Amara & Theo"`},
		{"circle without members", func(e *event.Event) { e.Circles[1].Members = nil },
			[]string{"error MISSING circles[1].members"}, ""},
		{"member twice", func(e *event.Event) { e.Groupings[1].Members = []string{"couple", "rosa", "rosa"} }, []string{"warning NO_EFFECT groupings[1].members[2]"}, "listed twice"},
		{"grouping without members", func(e *event.Event) { e.Groupings[1].Members = nil }, []string{"error EMPTY_GROUPING groupings[1].members"}, "has nobody in it"},
		{"without leaves nobody", func(e *event.Event) { e.Groupings[1].Without = []string{"couple", "rosa"} }, []string{"error EMPTY_GROUPING groupings[1].without"}, "everybody is left out"},
		{"without nobody", func(e *event.Event) { e.Groupings[1].Without = []string{"ines"} }, []string{"warning NO_EFFECT groupings[1].without[0]"}, "was not in it"},
		{"after itself", func(e *event.Event) { e.Groupings[1].After = []string{"granny"} }, []string{"error CIRCULAR_AFTER groupings[1].after"}, "after itself"},
		{"ring of after", func(e *event.Event) { e.Groupings[0].After = []string{"each"}; e.Groupings[0].Pin = event.PinNone },
			[]string{"error CIRCULAR_AFTER groupings[0].after"}, `"Everybody" after "each.ines" after "granny" after "Everybody"`},
		{"last before first", func(e *event.Event) { e.Groupings[0].Pin = event.PinLast; e.Groupings[1].Pin = event.PinFirst },
			[]string{"error PIN_AGAINST_AFTER groupings[1].after"}, `"granny" is to be taken after "Everybody", but it is set to be first and the other is set to be last`},
		{"first after what is not pinned", func(e *event.Event) { e.Groupings[0].Pin = event.PinNone; e.Groupings[1].Pin = event.PinFirst }, []string{"error PIN_AGAINST_AFTER groupings[1].after"}, "free to move"},
		{"pins in two blocks", func(e *event.Event) {
			e.Blocks = append(e.Blocks, event.Block{ID: "hall"})
			e.Groupings[0].Pin, e.Groupings[1].Pin = event.PinLast, event.PinFirst
		}, []string{}, ""},
		{"date", func(e *event.Event) { e.Date = "20.6.2026" }, []string{"error BAD_DATE date"}, "year-month-day"},
		{"day that is not there", func(e *event.Event) { e.Date = "2026-02-30" }, []string{"error BAD_DATE date"}, "2026-02-30"},
		{"no date", func(e *event.Event) { e.Date = "" }, []string{"error MISSING date"}, "its times need one"},
		{"zone", func(e *event.Event) { e.TimeZone = "Lisbon" }, []string{"error BAD_TIME_ZONE timeZone"}, "Europe/Lisbon"},
		{"zone of the machine", func(e *event.Event) { e.TimeZone = "Local" }, []string{"error BAD_TIME_ZONE timeZone"}, ""},
		{"time", func(e *event.Event) { e.Blocks[0].Opens = "half past three" }, []string{"error BAD_TIME blocks[0].opens"}, "15:30"},
		{"hour 25 with a bad date", func(e *event.Event) { e.Date = "x"; e.Blocks[0].Opens = "25:00" }, []string{"error BAD_DATE date", "error BAD_TIME blocks[0].opens"}, ""},
		{"closes before it opens", func(e *event.Event) { e.Blocks[0].Closes = "00:30" }, []string{"error ENDS_BEFORE_START blocks[0].closes"}, "after midnight"},
		{"leaves before coming", func(e *event.Event) { e.People[4].PresentUntil = "15:59" }, []string{"error ENDS_BEFORE_START people[4].presentUntil"}, "كريم حداد"},
		{"comes after the block", func(e *event.Event) { e.People[4].PresentFrom = "17:00" }, []string{"warning NEVER_THERE people[4]"}, "is away during every time slot"},
		{"leaves before the block", func(e *event.Event) { e.People[4].PresentFrom = ""; e.People[4].PresentUntil = "15:30" }, []string{"warning NEVER_THERE people[4]"}, ""},
		{"numbers", func(e *event.Event) {
			e.People[0].HeightCM, e.People[0].ReleaseWeight = 29, ptr(1001)
			e.Groupings[0].Frames, e.Groupings[1].Minutes = 501, ptr(math.NaN())
			e.Blocks[0].Capacity = -1
			e.Pace.PerStepInSeconds, e.Pace.PerFrameSeconds = ptr(61), ptr(121)
			e.Pace.SettleSeconds, e.Pace.Frames = ptr(3601), []event.FramesPoint{{People: 5, Frames: 1}, {People: 5, Frames: 0}}
			e.Weights.Idle = ptr(-1)
		}, []string{"error OUT_OF_RANGE people[0].heightCm", "error OUT_OF_RANGE people[0].releaseWeight", "error OUT_OF_RANGE groupings[0].frames",
			"error OUT_OF_RANGE groupings[1].minutes", "error OUT_OF_RANGE blocks[0].capacity", "error OUT_OF_RANGE pace.settleSeconds",
			"error OUT_OF_RANGE pace.perStepInSeconds", "error OUT_OF_RANGE pace.perFrameSeconds",
			"error OUT_OF_RANGE pace.frames[1].frames", "error BAD_TABLE pace.frames[1].people", "error OUT_OF_RANGE weights.idle"}, "from 30 to 250"},
		{"values", func(e *event.Event) {
			e.People[0].AgeBand, e.People[0].Needs = 9, []event.Need{event.NoNeed, 7}
			e.Groupings[0].Pin, e.Groupings[0].Priority, e.Emphasis = 3, -1, 5
			e.Rules[0].Apart.Scope = 4
		}, []string{"error UNKNOWN_VALUE people[0].ageBand", "error UNKNOWN_VALUE people[0].needs[0]", "error UNKNOWN_VALUE people[0].needs[1]",
			"error UNKNOWN_VALUE groupings[0].priority", "error UNKNOWN_VALUE groupings[0].pin", "error UNKNOWN_VALUE rules[0].apart.scope", "error UNKNOWN_VALUE emphasis"}, ""},
		{"texts", func(e *event.Event) {
			e.Title, e.People[0].Name, e.People[1].Relation = long, "A\u202eB", "x\ny"
			e.People[0].PrivateNote, e.Groupings[0].PrivateNote = "two\nlines are fine", strings.Repeat("x", 2001)
		}, []string{"error BAD_TEXT title", "error BAD_TEXT people[0].name", "error BAD_TEXT people[1].relation", "error BAD_TEXT groupings[0].privateNote"}, "201 characters"},
		{"lost character", func(e *event.Event) { e.People[0].Name = "Zo\uFFFD" }, []string{"error BAD_TEXT people[0].name"}, "write it again"},
		{"not UTF-8", func(e *event.Event) { e.People[0].SayAs = "a\xff" }, []string{"error BAD_TEXT people[0].sayAs"}, "UTF-8"},
		{"empty rules", func(e *event.Event) {
			e.Rules = []event.Rule{{}, {Apart: &event.Apart{People: []string{"rosa", "rosa"}}}}
		},
			[]string{"error BAD_RULE rules[0]", "warning NO_EFFECT rules[1].apart.people[1]", "error BAD_RULE rules[1].apart.people"}, "says nothing"},
		{"apart in one frame", func(e *event.Event) { e.Rules[0].Apart.Scope = event.Frame; e.Rules[0].PrivateNote = "SECRET" }, []string{"error APART_IN_ONE_FRAME groupings[0]"},
			`The photo "Everybody" has "Rosa Lindqvist" and "` + "\u2068" + `كريم حداد` + "\u2069" + `" together, who are to be kept apart. Make two photos of it, one without "Rosa Lindqvist" and one without "`},
		{"families apart in one frame", func(e *event.Event) { e.Rules[0].Apart = &event.Apart{People: []string{"couple", "friends"}} },
			[]string{"error APART_IN_ONE_FRAME groupings[0]", "error APART_IN_ONE_FRAME groupings[2]"}, `The same rule also keeps 3 more pairs apart. Make two photos of it, one without "Amara & Theo" and one without "The friends"`},
		{"apart until before the block", func(e *event.Event) { e.Rules[0].Apart.Scope = event.Frame; e.Rules[0].Apart.Until = "15:30" }, []string{}, ""},
		{"apart until during the block", func(e *event.Event) { e.Rules[0].Apart.Scope = event.Frame; e.Rules[0].Apart.Until = "15:31" }, []string{"error APART_IN_ONE_FRAME groupings[0]"}, ""},
		{"apart, one absent", func(e *event.Event) { e.Rules[0].Apart.Scope = event.Frame; e.People[4].Absent = true }, []string{"warning GROUPING_EMPTIED groupings[2].eachOf"}, `"each.karim"`},
		{"apart in the only block", func(e *event.Event) { e.Rules[0].Apart.Scope = event.InBlock }, []string{"error APART_IN_ONE_BLOCK rules[0].apart.scope"}, "add a second one"},
		{"apart in one of two blocks", func(e *event.Event) {
			e.Rules[0].Apart.Scope = event.InBlock
			e.Blocks = append(e.Blocks, event.Block{ID: "later", Opens: "20:00"})
		}, []string{"error APART_IN_ONE_FRAME groupings[0]"}, "Make two photos of it"},
		{"two of one name", func(e *event.Event) { e.People[3].Name, e.People[3].Relation = "ROSA Lindqvist", "" }, []string{"warning SAME_NAME people[3].name"}, "say how each is related"},
		{"two of one name told apart", func(e *event.Event) { e.People[3].Name = "Rosa Lindqvist" }, []string{}, ""},
		{"in no grouping", func(e *event.Event) {
			e.People = append(e.People, event.Person{ID: "bo", Name: "Bo"}, event.Person{ID: "li", Name: "李丽", Absent: true})
		},
			[]string{"warning IN_NO_GROUPING people[5]"}, `"Bo" is in no photo`},
		{"same people", func(e *event.Event) { e.Groupings[2] = event.Grouping{Members: []string{"rosa", "theo", "amara"}} }, []string{"warning SAME_PEOPLE groupings[2]"}, `"g3" has the same people as "granny"`},
		{"one person", func(e *event.Event) { e.Groupings[1].Members = []string{"rosa"} }, []string{"info ONE_PERSON groupings[1].members"}, ""},
		{"circle emptied", func(e *event.Event) { e.People[3].Absent, e.People[4].Absent = true, true; e.Circles[1].Leader = "" },
			[]string{"warning CIRCLE_EMPTIED circles[1].members", "warning SAME_PEOPLE groupings[1]", "warning GROUPING_EMPTIED groupings[2].eachOf"}, ""},
		{"grouping emptied", func(e *event.Event) { e.Groupings[1].Members = []string{"rosa"}; e.People[2].Absent = true }, []string{"warning GROUPING_EMPTIED groupings[1].members"}, "Nobody in"},
		{"too many for the place", func(e *event.Event) { e.Blocks[0].Capacity = 4 }, []string{"warning TOO_MANY_FOR_PLACE groupings[0]"}, "has 5 people"},
		{"made-up id taken", func(e *event.Event) {
			e.Groupings[1].ID = ""
			e.Groupings[0].ID = "g2"
			e.Groupings[2].After = nil
			e.Groupings[1].After = nil
		},
			[]string{"error DUPLICATE_ID groupings[1].id"}, "would get"},
		{"id of an eachOf taken", func(e *event.Event) { e.Groupings[0].ID = "each.ines"; e.Groupings[1].After = nil }, []string{"error DUPLICATE_ID groupings[2].id"}, "give that one another id"},
		{"many people", func(e *event.Event) { e.People = make([]event.Person, 2001) }, []string{"error TOO_MANY people"}, "2001"},
		{"many photographs", func(e *event.Event) {
			e.People, e.Circles[1].Members, e.Circles[1].Leader = e.People[:3], nil, ""
			for i := range 251 {
				id := "p" + string(rune('a'+i/26)) + string(rune('a'+i%26))
				e.People = append(e.People, event.Person{ID: id, Name: id})
				e.Circles[1].Members = append(e.Circles[1].Members, id)
			}
			e.Rules, e.Groupings = nil, []event.Grouping{{ID: "x", EachOf: "friends"}, {ID: "y", EachOf: "friends"}}
		}, []string{"error TOO_MANY groupings"}, "Too many photos: 502"},
		{"many pairs", func(e *event.Event) {
			for i := range 300 {
				id := "p" + string(rune('a'+i/26)) + string(rune('a'+i%26))
				e.People = append(e.People, event.Person{ID: id, Name: id, Absent: true})
				e.Circles[i%2].Members = append(e.Circles[i%2].Members, id)
			}
			e.Groupings = e.Groupings[:2]
			e.Rules[0].Apart.People = []string{"couple", "friends"}
		}, []string{"error TOO_MANY rules[0].apart.people"}, "20000"},
		{"many in order", func(e *event.Event) {
			var ids []string
			for i := range 50 {
				ids = append(ids, fmt.Sprint("q", i))
				e.People = append(e.People, event.Person{ID: ids[i], Name: ids[i], Absent: true})
			}
			e.Rules = slices.Repeat([]event.Rule{{Turns: &event.Turns{People: ids}}, {Seniority: &event.Seniority{People: ids}}}, 3)
		}, []string{"error TOO_MANY rules[4]"}, "5000"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			e := small()
			c.change(&e)
			list := Event(e)
			require.Equal(t, c.want, found(list), "%+v", list)
			if c.says != "" {
				assert.Contains(t, list[0].Text(), c.says)
			}
			for _, a := range list {
				assert.NotContains(t, a.Text(), "SECRET")
			}
		})
	}
}

func TestCheckCountsWhatItDoesNotList(t *testing.T) {
	e := small()
	for range 1000 {
		e.People = append(e.People, event.Person{ID: "x y"})
		e.Groupings[0].Members = append(e.Groupings[0].Members, "nobody")
	}
	list := Event(e)
	require.Len(t, list, maxListed+1)
	last := list[maxListed]
	assert.Equal(t, event.CodeMoreNotListed, last.Code)
	assert.Equal(t, event.Error, last.Severity)
	assert.Contains(t, last.Text(), "2800 more errors")
}

// The zone rules are those of the IANA database: Lisbon went forward at 01:00 UTC on 2026-03-29 and
// goes back at 01:00 UTC on 2026-10-25, the last Sundays of March and October (Directive 2000/84/EC).
// Samoa left out 2011-12-30 altogether (IANA, file australasia). Lord Howe changes by half an hour.
func TestInstant(t *testing.T) {
	cases := []struct{ name, date, zone, in, want, fault string }{
		{"summer", "2026-06-20", "Europe/Lisbon", "15:30", "2026-06-20T14:30:00Z", ""},
		{"one digit", "2026-06-20", "Europe/Lisbon", "9:05", "2026-06-20T08:05:00Z", ""},
		{"no zone", "2026-06-20", "", "15:30", "2026-06-20T15:30:00Z", ""},
		{"midnight", "2026-03-29", "Europe/Lisbon", "00:00", "2026-03-29T00:00:00Z", ""},
		{"before the gap", "2026-03-29", "Europe/Lisbon", "00:59", "2026-03-29T00:59:00Z", ""},
		{"in the gap", "2026-03-29", "Europe/Lisbon", "01:30", "", "does not exist on 2026-03-29 in Europe/Lisbon"},
		{"after the gap", "2026-03-29", "Europe/Lisbon", "02:00", "2026-03-29T01:00:00Z", ""},
		{"twice", "2026-10-25", "Europe/Lisbon", "01:30", "", "write 2026-10-25T01:30:00+01:00 for the first or 2026-10-25T01:30:00Z for the second"},
		{"after twice", "2026-10-25", "Europe/Lisbon", "02:00", "2026-10-25T02:00:00Z", ""},
		{"half an hour skipped", "2026-10-04", "Australia/Lord_Howe", "02:15", "", "does not exist"},
		{"a day skipped", "2011-12-30", "Pacific/Apia", "12:00", "", "does not exist"},
		{"RFC 3339", "2026-06-20", "Europe/Lisbon", "2026-06-21T00:30:00+01:00", "2026-06-20T23:30:00Z", ""},
		{"RFC 3339 without a date", "", "", "2026-06-21t00:30:00z", "2026-06-21T00:30:00Z", ""},
		{"no offset", "2026-06-20", "", "2026-06-21T00:30:00", "", "offset"},
		{"no date", "", "", "15:30", "", "set a date for the event"},
		{"24:00", "2026-06-20", "", "24:00", "", "from 00 to 23"},
		{"seconds", "2026-06-20", "", "15:30:00", "", "is not understood"},
		{"12 hours", "2026-06-20", "", "3:30 pm", "", "is not understood"},
		{"empty", "2026-06-20", "", "", "", "is not understood"},
		{"other digits", "2026-06-20", "", "١٥:٣٠", "", "is not understood"},
		{"bad date", "2026-13-20", "", "15:30", "", "2026-13-20"},
		{"bad zone", "2026-06-20", "Nowhere/Town", "15:30", "", "Nowhere/Town"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := event.Event{Date: c.date, TimeZone: c.zone}.Instant(c.in)
			if c.fault != "" {
				require.ErrorContains(t, err, c.fault)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, c.want, got.UTC().Format(time.RFC3339))
		})
	}
}

func TestClosest(t *testing.T) {
	known := []string{"rosa", "amara", "grandma-rosa", "", "Zoë", "أمل", "李丽"}
	for word, want := range map[string]string{
		"rsoa": "rosa", "ROSA": "rosa", "amaraa": "amara", "granma-rosa": "grandma-rosa",
		"Zoe\u0308": "Zoë", "zoe": "Zoë", "امل": "أمل", "李莉": "李丽",
		"": "", "theo": "", "q": "", "xyz": "", strings.Repeat("rosa", 100): "",
	} {
		got, ok := kin.Closest(word, known)
		assert.Equal(t, want, got, word)
		assert.Equal(t, want != "", ok, word)
	}
}

// Distances from the definition: one change each, and the textbook pair kitten/sitting at 3
// (Levenshtein distance as commonly explained, from memory).
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"ab", "ba", 1}, {"", "abc", 3}, {"ca", "abc", 3}, {"same", "same", 0}} {
		assert.Equal(t, c.want, kin.Distance([]rune(c.a), []rune(c.b), 9), "%s %s", c.a, c.b)
		assert.Equal(t, c.want, kin.Distance([]rune(c.b), []rune(c.a), 9), "%s %s", c.b, c.a)
	}
	assert.Equal(t, 3, kin.Distance([]rune("kitten"), []rune("sitting"), 2), "limit + 1")
}

// With a limit, only what lies near the diagonal is looked at: the result is the same.
func TestDistanceWithLimit(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 5))
	word := func() []rune {
		w := make([]rune, random.IntN(9))
		for i := range w {
			w[i] = 'a' + random.Int32N(3)
		}
		return w
	}
	for range 5000 {
		a, b := word(), word()
		whole := kin.Distance(a, b, 20)
		for limit := range 6 {
			assert.Equal(t, min(whole, limit+1), kin.Distance(a, b, limit), "%s %s", string(a), string(b))
		}
	}
}
