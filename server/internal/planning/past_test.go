package planning

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// justTaken is an afternoon in which a photograph of Rui has just been taken in the garden, and one is left
// for the house, which is open.
func justTaken(next ...string) (event.Event, Today) {
	e := gardenList()
	e.Blocks = append(e.Blocks, event.Block{ID: "house", Opens: "16:00", Photographer: "second"})
	e.Blocks[0].Place, e.Blocks[1].Place = "Garden", "House"
	e.Walks = []event.Walk{{From: "Garden", To: "House", Minutes: 4}}
	e.Groupings = []event.Grouping{{ID: "over", Members: []string{"rui"}}, {ID: "next", Members: next, Blocks: []string{"house"}}}
	over := Timed{Grouping: "over", Block: "garden", Started: at(5), Finished: at(10)}
	return e, Today{
		Now: at(11), Done: map[string]bool{"over": true}, Slots: []Timed{over},
		Frames: map[string]Calling{"garden": {Grouping: "over", At: at(5)}},
	}
}

// begins is when the first photograph that is planned begins.
func begins(t *testing.T, e event.Event, today Today) time.Time {
	t.Helper()
	o := replan(t, e, today)
	i := slices.IndexFunc(o.Sheet.Blocks, func(b event.SheetBlock) bool { return len(b.Entries) > 0 })
	require.GreaterOrEqual(t, i, 0)
	b := o.Sheet.Blocks[i]
	return b.Start.Add(b.Entries[0].Offset).UTC()
}

// People and photographers walk from where their last photograph was taken.
func TestReplanLetsPeopleWalk(t *testing.T) {
	e, today := justTaken("rui", "vera")
	assert.Equal(t, at(14), begins(t, e, today), "rui comes from the garden")

	today.Times = map[string]Times{"house": {Place: "Garden"}}
	assert.Equal(t, at(11), begins(t, e, today), "the house is closed, and both are in the garden")
	today.Times = nil

	today.Slots = append(today.Slots, Timed{Grouping: "over", Block: "house", Started: at(10), Finished: at(11)})
	assert.Equal(t, at(11), begins(t, e, today), "he is there")

	e, today = justTaken("vera")
	assert.Equal(t, at(11), begins(t, e, today), "nobody comes from the garden")
	e.People[4].Needs, e.People[4].Interpreter = []event.Need{event.Interpreter}, "rui"
	assert.Equal(t, at(14), begins(t, e, today), "rui interprets")

	e, today = justTaken("vera")
	e.Blocks[1].Photographer = ""
	assert.Equal(t, at(14), begins(t, e, today), "the photographer comes from the garden")
	today.Current = map[string]Calling{"house": {Grouping: "next", At: at(10)}}
	assert.Equal(t, at(11), begins(t, e, today), "and has begun already")

	e, today = justTaken("rui")
	today.Told, today.Orders = true, map[string][]string{"house": {"next"}}
	e.Groupings = append(e.Groupings, event.Grouping{ID: "other", Members: []string{"lan"}, Blocks: []string{"house"}})
	o := replan(t, e, today)
	assert.Equal(t, []string{"other", "next"}, order(o), "nobody stands idle while those whose names are up are on their way")
	assert.Equal(t, []string{"New in the order: “lan”.", "Later, once everybody in it is here: “rui”."}, lines(o))
	today.Orders["house"] = []string{"gone", "next"}
	assert.Equal(t, []string{"other", "next"}, order(replan(t, e, today)), "nobody waits for those who only stand by")
}

// At one place, ten minutes lie between people who must not meet, whichever of them is done.
func TestReplanKeepsApartAtOnePlace(t *testing.T) {
	e, today := justTaken("vera")
	e.Blocks[1].Place = "Garden"
	e.Walks = nil
	e.Rules = []event.Rule{{Apart: &event.Apart{People: []string{"vera", "rui"}, Scope: event.InBlock}}}
	assert.Equal(t, at(20), begins(t, e, today))
	e.Rules[0].Apart.Until = "16:18"
	assert.Equal(t, at(18), begins(t, e, today), "from then on they may meet")
	e.Rules[0].Apart.People = []string{"rui", "vera"}
	assert.Equal(t, at(18), begins(t, e, today))
	e.Groupings[1].Blocks = []string{"garden"}
	assert.Equal(t, at(18), begins(t, e, today), "in the same block")
	e.Blocks[1].Place, e.Groupings[1].Blocks = "House", []string{"house"}
	assert.Equal(t, at(11), begins(t, e, today), "elsewhere")
}
