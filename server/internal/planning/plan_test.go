package planning

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// small is an event of four people and three groupings.
func small() event.Event {
	return event.Event{
		Title: "Small", Date: "2026-06-20", TimeZone: "Europe/Lisbon",
		People: []event.Person{{ID: "a", Name: "Ann"}, {ID: "b", Name: "Bo"}, {ID: "c", Name: "Cleo"}, {ID: "d", Name: "Dag"}},
		Groupings: []event.Grouping{
			{ID: "ab", Members: []string{"a", "b"}}, {ID: "cd", Members: []string{"c", "d"}}, {ID: "abc", Members: []string{"a", "b", "c"}},
		},
		Blocks: []event.Block{{ID: "x", Place: "Yard", Opens: "15:00", Closes: "15:30"}},
	}
}

// On the night of 25 October 2026 clocks in Lisbon go from 02:00 back to 01:00 (IANA time zone data).
func TestPlanAcrossDaylightSaving(t *testing.T) {
	e := small()
	e.Date = "2026-10-25"
	e.Blocks = []event.Block{{ID: "x", Opens: "00:58", Closes: "02:30"}}
	for i := range e.Groupings {
		m := 30.0
		e.Groupings[i].Minutes = &m
	}
	s := plan(t, e, Options{})
	require.Empty(t, s.LeftOut, "there are 152 minutes between the two times")
	b := s.Blocks[0]
	assert.Equal(t, "00:58 +0100", b.Start.Format("15:04 -0700"))
	last := b.Entries[2]
	assert.Equal(t, "01:31 +0000", b.Start.Add(last.Offset+last.Length).Format("15:04 -0700"))
}

func TestPlanWaitsForPeople(t *testing.T) {
	e := small()
	e.People[2].PresentFrom = "15:20"
	s := plan(t, e, Options{})
	require.Empty(t, s.LeftOut)
	entries := s.Blocks[0].Entries
	assert.Equal(t, "ab", entries[0].Grouping)
	assert.Equal(t, 20*time.Minute, entries[1].Offset)
	assert.Equal(t, entries[1].Offset-entries[0].Length, entries[1].Wait)
}

func TestPlanPresenceInSpans(t *testing.T) {
	e := small()
	e.People[3].Presence = []event.Span{{Until: "15:02"}, {From: "15:25"}} // a nap
	s := plan(t, e, Options{})
	require.Empty(t, s.LeftOut)
	last := s.Blocks[0].Entries[2]
	assert.Equal(t, "cd", last.Grouping)
	assert.GreaterOrEqual(t, last.Offset, 25*time.Minute)
}

func TestPlanStepFreePlace(t *testing.T) {
	e := small()
	e.People[0].Needs = []event.Need{event.Wheelchair}
	e.Blocks = append(e.Blocks, event.Block{ID: "y", Place: "Hall", Opens: "16:00", Closes: "16:30", StepFree: true})
	s := plan(t, e, Options{})
	require.Len(t, s.Blocks, 2)
	assert.Equal(t, "cd", s.Blocks[0].Entries[0].Grouping)
	assert.Len(t, s.Blocks[1].Entries, 2, "whoever needs no steps is called where there are none")
}

func TestPlanTwoPhotographersNeverShareAGuest(t *testing.T) {
	e := small()
	e.Blocks = []event.Block{
		{ID: "x", Place: "Yard", Opens: "15:00", Closes: "15:12", Photographer: "one"},
		{ID: "y", Place: "Hall", Opens: "15:00", Closes: "15:12", Photographer: "two"},
	}
	e.Walks = []event.Walk{{From: "Yard", To: "Hall", Minutes: 4}}
	e.Groupings[0].Blocks, e.Groupings[2].Blocks = []string{"x"}, []string{"y"}
	s := plan(t, e, Options{})
	require.Empty(t, s.LeftOut)
	var ab, abc event.SheetEntry
	for _, b := range s.Blocks {
		for _, x := range b.Entries {
			switch x.Grouping {
			case "ab":
				ab = x
			case "abc":
				abc = x
			}
		}
	}
	apart := max(abc.Offset-ab.Offset-ab.Length, ab.Offset-abc.Offset-abc.Length)
	assert.GreaterOrEqual(t, apart, 4*time.Minute)
}

func TestPlanSeniority(t *testing.T) {
	e := small()
	e.Rules = []event.Rule{{Seniority: &event.Seniority{People: []string{"d", "a"}}}}
	s := plan(t, e, Options{})
	assert.Equal(t, "cd", s.Blocks[0].Entries[0].Grouping)
}

func TestPlanRefusesAndStops(t *testing.T) {
	e := small()
	e.Groupings[0].Members = []string{"nobody"}
	_, err := Plan(context.Background(), e, Options{})
	var invalid *event.InvalidError
	require.ErrorAs(t, err, &invalid)

	ended, cancel := context.WithCancel(context.Background())
	cancel()
	s, err := Plan(ended, small(), Options{})
	require.NoError(t, err, "an order is found even so")
	assert.Equal(t, 3, s.Totals.Groupings)
}

// Who is kept from whom is nobody's business but the planner's.
func TestReasonsDoNotTellWhoIsKeptApart(t *testing.T) {
	e := small()
	e.Groupings[0].Priority, e.Groupings[1].Priority = event.Must, event.Must
	e.Groupings = e.Groupings[:2]
	e.Rules = []event.Rule{{Apart: &event.Apart{People: []string{"a", "c"}, Scope: event.InBlock, Until: "15:29"}}}
	s := plan(t, e, Options{})
	require.Len(t, s.LeftOut, 1)
	assert.Contains(t, s.LeftOut[0].Why.String(), "rule 1 (keep apart)")
	for _, name := range []string{"Ann", "Cleo"} {
		assert.False(t, strings.Contains(s.LeftOut[0].Why.String(), name), s.LeftOut[0].Why.String())
	}
}

// Nobody is said to be away when it is the photograph's own time that no block is open at.
func TestReasonsTellOwnTimesFromPeople(t *testing.T) {
	e := small()
	e.Groupings[0].NotAfter = "09:00"
	s := plan(t, e, Options{})
	require.Len(t, s.LeftOut, 1)
	assert.Equal(t, "Its own times are outside every time slot that it could be taken in.", s.LeftOut[0].Why.String())
	e.Groupings[0].NotAfter = ""
	e.People[0].PresentUntil = "09:00"
	s = plan(t, e, Options{})
	require.NotEmpty(t, s.LeftOut)
	assert.Contains(t, s.LeftOut[0].Why.String(), "Its people are never there at the same time")
}
