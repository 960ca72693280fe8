package planning

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

func lines(o Outlook) (out []string) {
	for _, c := range o.Changes {
		out = append(out, c.String())
	}
	return out
}

// pairs is a garden of two hours with a photograph of each two people named.
func pairs(ids ...string) event.Event {
	e := event.Event{Date: "2027-05-15", TimeZone: "Europe/Lisbon", Blocks: []event.Block{{ID: "garden", Opens: "16:00", Closes: "18:00"}}}
	for _, id := range []string{"a", "b", "c", "d", "e", "f"} {
		e.People = append(e.People, event.Person{ID: id, Name: id})
	}
	for _, id := range ids {
		e.Groupings = append(e.Groupings, event.Grouping{ID: id, Title: id, Members: []string{id[:1], id[1:]}})
	}
	return e
}

// Each line about the order is so: what waits stands behind others and is not next, what somebody has put off is not said, what
// was in the list is not new, and only who leaves is said to.
func TestChangesAreTrue(t *testing.T) {
	e := pairs("ab", "cd", "ef")
	inForce := func(ids ...string) Today {
		known := map[string]bool{"ab": true, "cd": true, "ef": true}
		return Today{Now: at(1), Told: true, Known: known, Orders: map[string][]string{"garden": ids}, Frames: map[string]Calling{}}
	}
	today := inForce("ab")
	today.Done = map[string]bool{"cd": true, "ef": true}
	today.Away = map[string]time.Time{"a": at(11)}
	assert.Empty(t, lines(replan(t, e, today)), "the next one is not said to come later")

	today = inForce("ab", "cd", "ef")
	today.Away = map[string]time.Time{"f": at(30)}
	assert.Empty(t, lines(replan(t, e, today)), "it comes last as before")

	today = inForce("ab", "cd", "ef")
	today.Later = map[string]bool{"ab": true}
	assert.Empty(t, lines(replan(t, e, today)), "whoever leads put it off")

	o := replan(t, e, inForce("cd", "ef"))
	assert.Equal(t, []string{"Can be taken now: “ab”."}, lines(o))
	e.Groupings = append(e.Groupings, event.Grouping{ID: "ac", Title: "ac", Members: []string{"a", "c"}})
	assert.Equal(t, []string{"New in the order: “ac”."}, lines(replan(t, e, inForce("ab", "cd", "ef"))))

	e = pairs("ab", "cd", "ef")
	today = inForce("ab", "cd", "ef")
	today.Leaving = map[string]time.Time{"e": at(4)}
	o = replan(t, e, today)
	require.Less(t, slices.Index(order(o), "ef"), 2)
	for _, c := range o.Changes {
		if c.Key == changedLeaves {
			assert.Equal(t, []string{"ef"}, c.Of)
		}
	}
}

// Who was free to go and is wanted after all is said by name, and nobody else.
func TestWhoWasFreeIsCalledBack(t *testing.T) {
	e := pairs("ab", "cd", "ef")
	e.Groupings = append(e.Groupings, event.Grouping{ID: "ac", Title: "ac", Members: []string{"a", "c"}})
	today := Today{Now: at(1), Told: true, Done: map[string]bool{"ab": true}, Orders: map[string][]string{"garden": {"cd", "ef"}}, Frames: map[string]Calling{},
		Known: map[string]bool{"ab": true, "cd": true, "ef": true}, Wanted: map[string]bool{"c": true, "d": true, "e": true, "f": true}}
	o := replan(t, e, today)
	assert.Equal(t, []string{"Were free to go, call them again: a.", "New in the order: “ac”."}, lines(o))
	assert.Equal(t, []string{"ac"}, o.Changes[0].Of)
	e.Groupings = e.Groupings[:3]
	today.With = map[string][]string{"ef": {"b"}}
	assert.Equal(t, []string{"Were free to go, call them again: b."}, lines(replan(t, e, today)))
	today.Wanted["b"] = true
	assert.Empty(t, lines(replan(t, e, today)))
}

// Everybody walks to where a block was moved, and is told to, for as long as the list says that it takes, else two minutes; who
// has been photographed there since is there.
func TestAMovedBlockTakesTheWay(t *testing.T) {
	e := pairs("ab", "cd", "ef")
	e.Blocks[0].Place = "Yard"
	next := func(now float64, taken time.Time) (time.Time, []string) {
		moved := map[string]Times{"garden": {Place: "Hall", From: "Yard", Said: at(5), Moved: at(5)}}
		o := replan(t, e, Today{Now: at(now), Told: true, Times: moved, Done: map[string]bool{"ab": true}, Orders: map[string][]string{"garden": {"cd", "ef"}},
			Frames: map[string]Calling{"garden": {Grouping: "ab", At: taken}}})
		b := o.Sheet.Blocks[0]
		return b.Start.Add(b.Entries[0].Offset).UTC(), lines(o)
	}
	begins, said := next(5, at(3))
	assert.Equal(t, at(7), begins)
	assert.Equal(t, []string{"First, everybody goes to the new place: Hall."}, said)
	e.Walks = []event.Walk{{From: "Hall", To: "Yard", Minutes: 6}}
	begins, _ = next(6, at(3))
	assert.Equal(t, at(11), begins)
	for _, there := range []float64{8, 12} {
		begins, said = next(there, at(there-5))
		assert.Equal(t, there == 8, begins.After(at(there)))
		assert.Equal(t, there == 8, len(said) > 0)
	}
	begins, said = next(8, at(7.5))
	assert.Equal(t, at(8), begins)
	assert.Empty(t, said)
}

// A wait until a block begins ends when something was taken or called there, and holds when somebody has moved it since.
func TestAWaitEndsWhenTheBlockHasBegun(t *testing.T) {
	e := pairs("ab", "cd", "ef")
	begins := func(today Today) time.Time {
		today.Done = map[string]bool{"ab": true}
		b := replan(t, e, today).Sheet.Blocks[0]
		return b.Start.Add(b.Entries[0].Offset).UTC()
	}
	moved := map[string]Times{"garden": {Opens: at(5), Said: at(-10)}}
	assert.Equal(t, at(5), begins(Today{Now: at(0), Times: moved}))
	taken := map[string]Calling{"garden": {Grouping: "ab", At: at(-1)}}
	assert.Equal(t, at(0), begins(Today{Now: at(0), Times: moved, Frames: taken}))
	moved["garden"] = Times{Opens: at(5), Said: at(-0.5)}
	assert.Equal(t, at(5), begins(Today{Now: at(0), Times: moved, Frames: taken}))
}

// What can be taken while people walk over, or come, is taken meanwhile, must-haves first, though time is up.
func TestNobodyStandsIdle(t *testing.T) {
	e := pairs("ab", "cd", "ef")
	e.Groupings[2].Priority = event.Must
	e.Blocks[0].Place = "Garden"
	e.Blocks = append(e.Blocks, event.Block{ID: "house", Opens: "16:00", Closes: "18:00", Place: "House", Photographer: "other"})
	e.Walks = []event.Walk{{From: "Garden", To: "House", Minutes: 3}}
	e.Groupings = append(e.Groupings, event.Grouping{ID: "a", Members: []string{"a"}, Blocks: []string{"house"}})
	for i := range 3 {
		e.Groupings[i].Blocks = []string{"garden"}
	}
	today := Today{
		Now: at(10), Told: true, Done: map[string]bool{"a": true}, Orders: map[string][]string{"garden": {"ab", "cd", "ef"}},
		Frames: map[string]Calling{"house": {Grouping: "a", At: at(10)}, "garden": {Grouping: "gone", At: at(9)}}, Slots: []Timed{{Grouping: "a", Block: "house", Started: at(9), Finished: at(10)}},
	}
	o, err := Replan(t.Context(), e, today, Options{Budget: 1})
	require.NoError(t, err)
	assert.Equal(t, "ef", entriesIn(o, "garden")[0])
	assert.Contains(t, lines(o), "Later, once everybody in it is here: “ab”.")
}
