package planning

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// Two photographers have begun, a walk of ten minutes apart: what is being taken in the second place is so now, and its
// people are called to the first when they can be there.
func TestReplanTwoAtWork(t *testing.T) {
	e := event.Event{
		Date:   "2027-05-15",
		Walks:  []event.Walk{{From: "A", To: "B", Minutes: 10}},
		Blocks: []event.Block{{ID: "a", Place: "A", Photographer: "x", Opens: "15:00", Closes: "16:00"}, {ID: "b", Place: "B", Photographer: "y", Opens: "15:00", Closes: "16:00"}},
	}
	for _, id := range []string{"ann", "bo", "cy", "dee"} {
		e.People = append(e.People, event.Person{ID: id, Name: id})
	}
	e.Groupings = []event.Grouping{
		{ID: "ann-bo", Members: []string{"ann", "bo"}}, {ID: "cy-dee", Members: []string{"cy", "dee"}}, {ID: "ann-cy", Members: []string{"ann", "cy"}, Blocks: []string{"a"}},
	}
	o := replan(t, e, Today{Now: at(1), Current: map[string]Calling{"a": {Grouping: "ann-bo", At: at(0)}, "b": {Grouping: "cy-dee", At: at(0)}}})
	for _, b := range o.Sheet.Blocks {
		require.NotEmpty(t, b.Entries, b.Block)
		assert.WithinDuration(t, at(1), b.Start.Add(b.Entries[0].Offset), 2*time.Minute, b.Block)
		for _, x := range b.Entries[1:] {
			assert.GreaterOrEqual(t, b.Start.Add(x.Offset).Sub(at(1)), 10*time.Minute, x.Grouping)
		}
	}
}

// When the only place without steps is closed, or more people come than a place holds, photographs go elsewhere all the same:
// nobody but the crew can say where.
func TestReplanWithoutARightPlace(t *testing.T) {
	e := gardenList()
	e.People[0].Needs = []event.Need{event.Wheelchair}
	e.Blocks[0].StepFree = true
	e.Blocks = append(e.Blocks, event.Block{ID: "hall", Opens: "17:30", Closes: "18:30"})
	o := replan(t, e, Today{Now: at(0), Closed: map[string]bool{"garden": true}})
	assert.Len(t, order(o), len(e.Groupings))

	e = gardenList()
	e.Blocks[0].Capacity = len(e.Groupings[0].Members) + 1
	o = replan(t, e, Today{Now: at(0), With: map[string][]string{e.Groupings[0].ID: {"x", "y"}}, Newcomers: []event.Person{{ID: "x", Name: "X"}, {ID: "y", Name: "Y"}}})
	assert.Len(t, order(o), len(e.Groupings))
	require.Len(t, o.Changes, 1)
	assert.Contains(t, o.Changes[0].String(), "It has 9 people, and garden has room for 8. It would fit with 1 fewer")

	// What had no room by the list has none for that somebody is said to be in it.
	e = gardenList()
	e.Blocks[0].Capacity = len(e.Groupings[0].Members) - 1
	assert.NotContains(t, order(replan(t, e, Today{Now: at(0), With: map[string][]string{"all": {"rosa"}}})), "all")
}

// What is put off leaves nothing without a place: neither what is last nor those who come behind it by seniority.
func TestReplanPutsOffAgainstWishes(t *testing.T) {
	e := gardenList()
	e.Groupings[0].Pin, e.Groupings[1].Pin = event.PinFirst, event.PinLast
	e.Rules = []event.Rule{{Seniority: &event.Seniority{People: []string{"rosa", "lan"}}}}
	for _, g := range e.Groupings {
		o := replan(t, e, Today{Now: at(0), Later: map[string]bool{g.ID: true}})
		assert.Len(t, order(o), len(e.Groupings), "%s is put off", g.ID)
	}
}

// A turn that has begun ends before the other begins.
func TestReplanKeepsTurns(t *testing.T) {
	e := gardenList()
	e.Groupings = []event.Grouping{
		{ID: "a1", Members: []string{"ann", "rui"}}, {ID: "b1", Members: []string{"bo", "samir"}},
		{ID: "a2", Members: []string{"ann", "vera"}}, {ID: "b2", Members: []string{"bo", "lan"}},
	}
	e.Rules = []event.Rule{{Turns: &event.Turns{People: []string{"ann", "bo"}}}}
	o := replan(t, e, Today{Now: at(5), Done: map[string]bool{"b1": true}, Slots: []Timed{{Grouping: "b1", Block: "garden", Started: at(0), Finished: at(5)}}})
	assert.Equal(t, "b2", order(o)[0])
	assert.Len(t, order(o), 3)
}

// Somebody is not called to a block in which the other was photographed.
func TestReplanKeepsApart(t *testing.T) {
	e := gardenList()
	e.Groupings = []event.Grouping{{ID: "a", Members: []string{"rui"}}, {ID: "b", Members: []string{"vera"}}, {ID: "c", Members: []string{"ann"}}}
	e.Blocks = append(e.Blocks, event.Block{ID: "hall", Place: "Hall", Opens: "17:30", Closes: "18:00"})
	e.Rules = []event.Rule{{Apart: &event.Apart{People: []string{"rui", "vera"}, Scope: event.InBlock}}}
	o := replan(t, e, Today{Now: at(2), Done: map[string]bool{"a": true}, Slots: []Timed{{Grouping: "a", Block: "garden", Started: at(0), Finished: at(2)}}})
	require.Len(t, o.Sheet.Blocks, 2)
	assert.Equal(t, "hall", o.Sheet.Blocks[1].Block)
	require.Len(t, o.Sheet.Blocks[1].Entries, 1)
	assert.Equal(t, "b", o.Sheet.Blocks[1].Entries[0].Grouping)
}

// A turn that has begun makes photographs wait for each other where a wish goes the other way: the day goes on.
func TestReplanWhereTurnsGoAgainstAWish(t *testing.T) {
	e := event.Event{
		People: []event.Person{{ID: "ann"}, {ID: "bo"}, {ID: "cy"}},
		Groupings: []event.Grouping{
			{ID: "a", Members: []string{"ann"}}, {ID: "a2", Members: []string{"ann", "cy"}, After: []string{"b"}},
			{ID: "b", Members: []string{"bo"}}, {ID: "b2", Members: []string{"bo", "cy"}},
		},
		Rules: []event.Rule{{Turns: &event.Turns{People: []string{"ann", "bo"}}}},
	}
	for i := range e.People {
		e.People[i].Name = e.People[i].ID
	}
	for _, today := range []Today{{}, {Later: map[string]bool{"a2": true}}, {Later: map[string]bool{"b": true}}} {
		today.Now, today.Done = at(2), map[string]bool{"a": true}
		today.Frames = map[string]Calling{"": {Grouping: "a", At: at(0)}}
		assert.NotEmpty(t, order(replan(t, e, today)))
	}
}

// Whoever holds the camera may begin what a rule forbids: it is finished, and the rule holds nobody back after it.
func TestReplanWhatARuleForbids(t *testing.T) {
	e := gardenList()
	e.Rules = []event.Rule{{ID: "r", Apart: &event.Apart{People: []string{"rui", "vera"}, Scope: event.InBlock, Until: "19:00"}}}
	begun := Calling{Grouping: "parents", At: at(1)}
	o := replan(t, e, Today{Now: at(1), Current: map[string]Calling{"garden": begun}, Frames: map[string]Calling{"garden": begun}})
	assert.Equal(t, "parents", order(o)[0])
	assert.Len(t, order(o), 6)
	assert.Less(t, o.Sheet.Totals.Length, 20*time.Minute, "nobody waits for a rule that is broken")

	// Of two that cannot both be, what was called last counts.
	e.Rules = nil
	e.Blocks = append(e.Blocks, event.Block{ID: "steps", Opens: "16:00", Closes: "17:00", Photographer: "second"})
	o = replan(t, e, Today{Now: at(2), Current: map[string]Calling{"garden": begun, "steps": {Grouping: "couple", At: at(2)}}})
	assert.Equal(t, "couple", o.Sheet.Blocks[1].Entries[0].Grouping)
	assert.True(t, owed(t, o, "parents").Planned)
}

// What is put off and has to be over by some time is not put off beyond it, however often the day is planned anew.
func TestReplanPutsOffNoLongerThanCanWait(t *testing.T) {
	e := gardenList()
	e.People[2].PresentUntil = "16:20"
	today := Today{Now: at(0), Told: true, Later: map[string]bool{"rosa": true}, Done: map[string]bool{"all": true}, Orders: map[string][]string{"garden": {"rosa", "couple", "parents", "others", "uncles"}}}
	assert.NotEqual(t, "rosa", order(replan(t, e, today))[0])
	for _, minute := range []float64{14, 15, 15.5, 16, 16.5, 17, 17.5, 18} {
		today.Now, today.Frames = at(minute), map[string]Calling{"garden": {Grouping: "all", At: at(minute)}}
		o := replan(t, e, today)
		assert.Empty(t, owed(t, o, "rosa").Why, "%v: %v", minute, order(o))
	}
}
