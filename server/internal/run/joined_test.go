package run

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// Somebody who is not on the list is called with all others, in the photographs of the list and in those that are
// added, and is waited for when they are missing. When that was a mistake everything else stays.
func TestANewcomerIsPlanned(t *testing.T) {
	e := event.Event{
		People:    []event.Person{{ID: "ann", Name: "Ann"}, {ID: "bo", Name: "Bo"}, {ID: "cy", Name: "Cy"}},
		Groupings: []event.Grouping{{ID: "pair", Members: []string{"ann", "bo"}}, {ID: "one", Members: []string{"cy"}}},
	}
	k := &marker{}
	joined := k.mark(0, Mark{Kind: Joined, Person: "day-1", Name: "Nia", Groupings: []string{"pair"}})
	also := k.mark(0, Mark{Kind: Joined, Person: "cy", Groupings: []string{"pair"}})
	added := k.mark(1, Mark{Kind: Added, Grouped: &event.Grouping{ID: "new", Members: []string{"day-1", "ann"}}})
	absent := k.mark(2, Mark{Kind: Absent, Person: "day-1"})
	out := k.mark(2, Mark{Kind: LeaveOut, Grouping: "one"})
	replan := func(marks ...Mark) planning.Outlook {
		t.Helper()
		require.Empty(t, CheckMarks(e, State{}, noon, marks))
		plan, err := planning.Replan(t.Context(), e, Occasion{Event: e}.today(Fold(marks), nil, noon.Add(3*time.Minute)), planning.Options{Work: 1})
		require.NoError(t, err)
		require.Nil(t, plan.Fault)
		return plan
	}
	times := func(plan planning.Outlook, who string) int {
		n := 0
		for _, x := range plan.Sheet.Blocks[0].Entries {
			if slices.Contains(x.StepIn, who) {
				n++
			}
		}
		return n
	}
	needed := func(plan planning.Outlook) map[string][]string {
		by := map[string][]string{}
		for _, x := range plan.Owed {
			by[x.Grouping] = x.Needed
		}
		return by
	}
	plan := replan(joined, also, added)
	assert.Equal(t, map[string][]string{"pair": {"ann", "bo", "cy", "day-1"}, "one": {"cy"}, "new": {"ann", "day-1"}}, needed(plan))
	assert.Equal(t, 1, times(plan, "day-1"))

	plan = replan(joined, also, added, absent)
	for _, x := range plan.Owed {
		assert.Equal(t, x.Grouping == "one", x.Planned, x.Grouping)
	}
	assert.Equal(t, []string{"day-1"}, plan.Owed[0].Missing)

	undo := k.mark(3, Mark{Kind: Undone, Undoes: joined.ID})
	assert.Equal(t, map[string][]string{"pair": {"ann", "bo", "cy"}, "one": {"cy"}, "new": {"ann"}}, needed(replan(joined, also, added, absent, undo)))

	for _, x := range replan(joined, out).Owed {
		assert.Equal(t, x.Grouping == "pair", x.Planned, "what is left out is not planned")
	}
	back := k.mark(3, Mark{Kind: PutBack, Grouping: "one"})
	for _, x := range replan(joined, out, back).Owed {
		assert.True(t, x.Planned)
	}
}

// Somebody whom the list calls absent has come: one mark, sent twice, brings them back into all of their photographs that others
// allow, also into those that had been left out for want of them. Undo takes it back.
func TestSomebodyComesAfterAll(t *testing.T) {
	e := event.Event{
		People:  []event.Person{{ID: "ann", Name: "Ann"}, {ID: "bo", Name: "Bo"}, {ID: "di", Name: "Di", Absent: true}, {ID: "ex", Name: "Ex"}},
		Circles: []event.Circle{{ID: "all", Members: []string{"ann", "bo", "di"}}},
		Groupings: []event.Grouping{
			{ID: "family", Members: []string{"all"}}, {ID: "each", EachOf: "all"}, {ID: "peace", Members: []string{"di", "ex"}}, {ID: "pair", Members: []string{"ann", "bo"}},
		},
		Rules: []event.Rule{{ID: "r", Apart: &event.Apart{People: []string{"di", "ex"}, Scope: event.Frame}}},
	}
	assert.Equal(t, map[string][]string{"di": {"family", "each.di"}}, Invited(e))

	k := &marker{}
	here, gone, again := k.mark(0, Mark{Kind: Arrived, Person: "di"}), k.mark(2, Mark{Kind: Absent, Person: "di"}), k.mark(3, Mark{Kind: Arrived, Person: "di"})
	for _, m := range []*Mark{&here, &gone, &again} {
		m.bring(e)
	}
	in := func(marks ...Mark) map[string][]string {
		t.Helper()
		require.Empty(t, CheckMarks(e, State{}, noon, marks))
		plan, err := planning.Replan(t.Context(), e, Occasion{Event: e}.today(Fold(marks), nil, noon.Add(3*time.Minute)), planning.Options{Work: 1})
		require.NoError(t, err)
		require.Nil(t, plan.Fault)
		by := map[string][]string{}
		for _, x := range plan.Sheet.Blocks[0].Entries {
			by[x.Grouping] = slices.Sorted(slices.Values(slices.Concat(x.StepIn, x.Stay)))
		}
		return by
	}
	with := map[string][]string{
		"family": {"ann", "bo", "di"}, "each.ann": {"ann"}, "each.bo": {"bo"}, "each.di": {"di"}, "peace": {"ex"}, "pair": {"ann", "bo"},
	}
	without := map[string][]string{"family": {"ann", "bo"}, "each.ann": {"ann"}, "each.bo": {"bo"}, "peace": {"ex"}, "pair": {"ann", "bo"}}
	assert.Equal(t, with, in(here))
	assert.NotContains(t, in(here, gone), "family", "they are waited for")
	assert.Equal(t, with, in(here, gone, again))
	undo := k.mark(4, Mark{Kind: Undone, Undoes: here.ID})
	assert.Equal(t, without, in(here, undo))
	assert.Empty(t, reused([]Mark{here}, []Mark{here}))
}
