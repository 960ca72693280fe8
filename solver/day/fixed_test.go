package day

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/solver"
)

// Solve's own plan, given as fixed orders, is timed and costed the same.
func TestFixAgreesWithSolve(t *testing.T) {
	for seed := range 20 {
		p, err := New(randomSpec(rand.New(rand.NewPCG(uint64(seed), 5)), 3+seed%4, 1+seed%3))
		require.NoError(t, err)
		want, err := Solve(context.Background(), p, Options{Iterations: 100})
		require.NoError(t, err)
		if want.Status != Found {
			continue
		}
		got, ok := Fix(p, want.Plan.Orders())
		require.True(t, ok)
		assert.Equal(t, want.Plan, got.Plan)
		assert.Equal(t, want.Cost, got.Cost)
		require.NoError(t, Verify(p, got.Plan, got.Cost, got.Lost))
		assert.Zero(t, got.Bound)
		got = Bounded(p, got)
		assert.Equal(t, want.Plan, got.Plan)
		assert.LessOrEqual(t, got.Bound, want.Total)
		if want.Proven {
			assert.LessOrEqual(t, got.Bound, want.Bound)
		}
	}
}

func TestFixRefusesWhatIsNoOrder(t *testing.T) {
	p, err := New(Spec{
		People:    make([]solver.Person, 2),
		Groupings: []Grouping{{Grouping: solver.Grouping{Members: []solver.PersonIndex{0}}, Blocks: []BlockIndex{0}}, {Grouping: solver.Grouping{Members: []solver.PersonIndex{1}, After: []solver.GroupingIndex{0}}, Blocks: []BlockIndex{0}}},
		Blocks:    []Block{{}}, StepWeight: 1,
	})
	require.NoError(t, err)
	for name, given := range map[string][][]solver.GroupingIndex{
		"twice":        {{0, 0}},
		"unknown":      {{2}},
		"below 0":      {{-1}},
		"no block":     {{0}, {1}},
		"wish broken":  {{1, 0}},
		"blocks short": {},
	} {
		_, ok := Fix(p, given)
		assert.False(t, ok, name)
	}
	r, ok := Fix(p, [][]solver.GroupingIndex{{1}})
	require.True(t, ok, "one that is left out holds nobody up")
	assert.Equal(t, []solver.GroupingIndex{0}, r.Plan.LeftOut)
}
