package planning

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver/day"
)

// Planning the rest never ends worse than what the hand left, by the measure of a plan: also when the hand runs over a
// soft end further than planning would, and when it takes what planning would leave out.
func TestPlanIsNeverWorseThanTheHand(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	same, over := 0, 0
	for range 60 {
		e := gardenList()
		var list []string
		for _, i := range rng.Perm(len(e.Groupings)) {
			list = append(list, e.Groupings[i].ID)
		}
		e.Blocks[0].Closes = fmt.Sprintf("16:%02d", 6+rng.IntN(20))
		given := []Order{{Block: "garden", Photographs: list[rng.IntN(3):]}}
		fixed, orders, err := newFixed(e, Options{}, given)
		require.NoError(t, err)
		by, ok := day.Fix(fixed.day, orders)
		require.True(t, ok)

		e.Order = HandPlaces(given, given[0].Photographs[:rng.IntN(3)])
		s, err := newSearch(e, Options{Work: 1 + rng.IntN(20)})
		require.NoError(t, err)
		got, err := s.find(t.Context())
		require.NoError(t, err)
		require.False(t, by.Lost.Less(got.Lost), "%v of %v", got.Plan.LeftOut, list)
		if by.Lost == got.Lost {
			same++
			assert.LessOrEqual(t, got.Total, by.Total)
			assert.LessOrEqual(t, s.problem.Overrun(got.Plan, 0), s.problem.Give[0])
		}
		if s.problem.Overrun(got.Plan, 0) > 0 {
			over++
			assert.NotNil(t, s.onTime, "what to leave out to end on time is known")
		}
	}
	assert.Greater(t, same, 20)
	assert.Greater(t, over, 5)
}

// What the hand left out stays out on the day, unless somebody takes it.
func TestReplanKeepsOutWhatTheHandLeftOut(t *testing.T) {
	e := gardenList()
	e.LeftOut = []string{"uncles"}
	o := replan(t, e, Today{Now: at(0)})
	assert.NotContains(t, order(o), "uncles")
	assert.Equal(t, leftOutByHand(), owed(t, o, "uncles").Why)
	o = replan(t, e, Today{Now: at(5), Current: map[string]Calling{"garden": {Grouping: "uncles", At: at(4)}}})
	assert.Equal(t, "uncles", order(o)[0])
}

// An order made by hand stays on the day, whatever a search would find, as long as it takes everything in time.
func TestReplanKeepsTheOrderByHand(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	moved := 0
	for range 40 {
		e := gardenList()
		e.Blocks[0].Closes = "17:30"
		var list []string
		for _, i := range rng.Perm(len(e.Groupings)) {
			list = append(list, e.Groupings[i].ID)
		}
		orders := map[string][]string{"garden": list}
		if !slices.Equal(list, order(replan(t, e, Today{Now: at(-5), Orders: orders}))) {
			moved++
		}
		e.Order = HandPlaces([]Order{{Block: "garden", Photographs: list}}, nil)
		assert.Equal(t, list, order(replan(t, e, Today{Now: at(-5), Orders: orders})))
		assert.Equal(t, list[1:], order(replan(t, e, Today{Now: at(3), Orders: orders, Done: map[string]bool{list[0]: true}})))
	}
	assert.Positive(t, moved, "a search finds better ones")
}

// What is locked stays in its order also where something locked between them cannot be taken.
func TestLockedPhotographsKeepTheirOrder(t *testing.T) {
	e := event.Event{
		Date: "2027-05-15",
		People: []event.Person{
			{ID: "ann", Name: "Ann"}, {ID: "old", Name: "Old", AgeBand: event.Elder}, {ID: "gone", Name: "Gone", PresentUntil: "14:30"},
		},
		Groupings: []event.Grouping{
			{ID: "first", Members: []string{"ann"}}, {ID: "never", Members: []string{"gone"}}, {ID: "last", Members: []string{"old"}},
		},
		Blocks:   []event.Block{{ID: "garden", Opens: "15:00", Closes: "16:00"}},
		Emphasis: event.EarlyRelease,
		Order:    []event.HandPlace{{Grouping: "first", Locked: true}, {Grouping: "never", Locked: true}, {Grouping: "last", Locked: true}},
	}
	s, err := Plan(t.Context(), e, Options{Work: 10})
	require.NoError(t, err)
	require.Len(t, s.Blocks[0].Entries, 2)
	assert.Equal(t, "first", s.Blocks[0].Entries[0].Grouping)
}
