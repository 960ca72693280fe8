package day

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/solver"
)

// Places leaves out nothing at which a plan takes a grouping, and Append the last of them unless time or other wishes forbid it.
func TestPlacesMissNone(t *testing.T) {
	tried := 0
	for seed := range 300 {
		rng := rand.New(rand.NewPCG(uint64(seed), 9))
		p, err := New(randomSpec(rng, 3+seed%5, 1+seed%3))
		require.NoError(t, err)
		found, err := Solve(context.Background(), p, Options{Iterations: 20})
		require.NoError(t, err)
		if found.Status != Found {
			continue
		}
		o := found.Plan.Orders()
		var movable []solver.GroupingIndex
		for b := range o {
			movable = append(movable, o[b][len(p.spec.Blocks[b].Prefix):]...)
		}
		for _, g := range slices.Concat(movable, found.Plan.LeftOut) {
			without := orders(o).clone()
			for b := range without {
				without[b] = slices.DeleteFunc(without[b], func(h solver.GroupingIndex) bool { return h == g })
			}
			if _, ok := Fix(p, without); !ok {
				continue
			}
			places := map[[2]int]bool{}
			for b, at := range p.Places(without, g) {
				places[[2]int{int(b), at}] = true
			}
			for b := range without {
				for at := range len(without[b]) + 1 {
					next := without.clone()
					next[b] = slices.Insert(next[b], at, g)
					if _, ok := Fix(p, next); ok {
						tried++
						assert.True(t, places[[2]int{b, at}], "seed %d: %d at %d of %d", seed, g, at, b)
						assert.GreaterOrEqual(t, slices.Index(p.Append(BlockIndex(b), without[b], g), g), at)
					}
				}
			}
		}
	}
	assert.Greater(t, tried, 500)
}

// What is behind all others by rank has one place, whatever the number of them.
func TestPlacesByRank(t *testing.T) {
	s := crowded(t, 150, 0)
	spec := s.p.spec
	for g := range solver.GroupingIndex(149) {
		spec.Ranks = append(spec.Ranks, [2]solver.GroupingIndex{g, 149})
	}
	p, err := New(spec)
	require.NoError(t, err)
	var at []int
	for b, place := range p.Places([][]solver.GroupingIndex{everyGrouping(149), nil}, 149) {
		at = append(at, int(b), place)
	}
	assert.Equal(t, []int{0, 149, 1, 0}, at)
	assert.Equal(t, []solver.GroupingIndex{3, 4, 149}, p.Append(0, []solver.GroupingIndex{3, 149}, 4))
}

// Callers time thousands of orders: what a look at a day needs is set up once.
func TestFixSetsUpNothing(t *testing.T) {
	s := crowded(t, 150, 0)
	o := [][]solver.GroupingIndex{everyGrouping(150), nil}
	assert.Less(t, testing.AllocsPerRun(50, func() {
		if _, ok := Fix(s.p, o); !ok {
			t.Error("is no plan")
		}
	}), 25.0)
}
