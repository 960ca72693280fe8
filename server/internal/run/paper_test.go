package run

import (
	"fmt"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/wording"
)

// castle is a wedding of two blocks.
func castle(t testing.TB) event.Event {
	t.Helper()
	content, err := os.ReadFile("../../../testdata/days/castle.yaml")
	require.NoError(t, err)
	e, _, err := intake.Read(content, intake.YAML)
	require.NoError(t, err)
	return e
}

// A day that begins ten minutes late: the order is that on paper, or it is said why not. With more time it is that
// again.
func TestALateStartKeepsThePaper(t *testing.T) {
	needs.Alone(t)
	e := castle(t)
	sheet, err := planning.Plan(t.Context(), e, planning.Options{Work: 30})
	require.NoError(t, err)
	block, o := sheet.Blocks[0].Block, Occasion{Event: e, Sheet: sheet}
	opens, err := e.Instant(e.Blocks[0].Opens)
	require.NoError(t, err)
	closes, err := e.Instant(e.Blocks[0].Closes)
	require.NoError(t, err)
	paper := ordersOf(sheet)[block]
	for _, minutes := range []int{0, 10, 20} {
		now := opens.Add(time.Duration(minutes) * time.Minute)
		var marks []Mark
		var plan *Plan
		replan := func() []string {
			t.Helper()
			got, err := o.Replan(marks, Fold(marks), plan, now, func(_ event.Event, x planning.Today) (Plan, error) {
				return planning.Replan(t.Context(), e, x, planning.Options{Work: 30})
			})
			require.NoError(t, err)
			plan = &got
			return ordersOf(got.Sheet)[block]
		}
		order := replan()
		musts := func(list []string) []string {
			return slices.DeleteFunc(slices.Clone(list), func(id string) bool {
				g := e.Groupings[slices.IndexFunc(e.Groupings, func(g event.Grouping) bool { return g.ID == id })]
				return g.Priority != event.Must
			})
		}
		name := fmt.Sprint(minutes, " minutes late")
		if minutes < 20 { // then all of the family of one side goes first, which saves more than the moves weigh
			assert.Equal(t, musts(paper), musts(order), name)
		}
		assert.Equal(t, slices.Equal(order, paper), len(plan.Changes) == 0, name)
		marks = append(marks, Mark{ID: "more", Kind: Reset, Sequence: 1, At: now, Block: block, Closes: closes.Add(25 * time.Minute)})
		moved := !slices.Equal(order, paper)
		assert.Equal(t, paper, replan(), name)
		assert.Equal(t, moved, slices.ContainsFunc(plan.Changes, func(c planning.Change) bool { return c.Key == wording.Key("plan.changedPaper") }), name)
	}
}

// Somebody leaves in ten minutes: what must be taken of theirs comes before what is only wanted, also when that is called.
func TestWhoLeavesIsInTheirMustsFirst(t *testing.T) {
	needs.Alone(t)
	e := castle(t)
	sheet, err := planning.Plan(t.Context(), e, planning.Options{Work: 30})
	require.NoError(t, err)
	o := Occasion{Event: e, Sheet: sheet}
	opens, err := e.Instant(e.Blocks[0].Opens)
	require.NoError(t, err)
	now := opens.Add(-5 * time.Minute)
	var marks []Mark
	var plan *Plan
	replan := func() {
		t.Helper()
		got, err := o.Replan(marks, Fold(marks), plan, now, func(_ event.Event, x planning.Today) (Plan, error) {
			return planning.Replan(t.Context(), e, x, planning.Options{Work: 30})
		})
		require.NoError(t, err)
		plan = &got
	}
	replan()
	yard := plan.Sheet.Blocks[0].Entries
	wish := slices.IndexFunc(yard, func(e event.SheetEntry) bool { return e.Grouping == "d-sib" })
	yard[0], yard[wish] = yard[wish], yard[0] // a wish of theirs is called
	now = opens.Add(time.Minute)
	marks = append(marks, Mark{ID: "leaves", Kind: Leaving, Sequence: 1, At: now, Person: "priya", Until: now.Add(10 * time.Minute)})
	replan()
	first := plan.Sheet.Blocks[0].Entries[0].Grouping
	assert.Contains(t, []string{"both", "all-d"}, first, said(*plan)) // there is time for one of them
}
