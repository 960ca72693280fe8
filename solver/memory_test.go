package solver

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestRungsOfWhatIsDone: a grouping that every set is done with can be heavier than all of what is left.
// The table once had a row for each unit of it, billions of them.
func TestRungsOfWhatIsDone(t *testing.T) {
	p := mustProblem(t, plannedSpec(3, 24, EarlyRelease))
	r := newRun[[1]uint64](context.Background(), p, Options{}, firstWidth)
	r.construct()
	c := r.newClimber(10 * r.m.n)
	require.NotNil(t, c)
	l := c.l
	var light [1]uint64
	for j, of := range r.m.of {
		if len(of) == 0 {
			light = with(light, j)
		}
	}
	require.Greater(t, size(light), 2)
	l.setRungs(100, [][1]uint64{light}, 0)
	assert.LessOrEqual(t, l.top(), 400+r.m.n)
	assert.Equal(t, size(light), l.rungs(light), "a rung each where nobody weighs")
	assert.Greater(t, l.rungs(r.m.all), l.top(), "what is done with is beyond the table")
	assert.False(t, l.reach([][1]uint64{{}}, r.stopped), "and never read")
}

// TestMemoryLimits gives every kind of search less and less room.
func TestMemoryLimits(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 15))
	timed := familySpec(2, 16, Balanced)
	timed.Close = 3600
	for j := range timed.Groupings {
		timed.Groupings[j].Windows = []Window{{0, 1800}, {2000, 3600}}
	}
	for name, s := range map[string]Spec{
		"family": familySpec(1, 20, Balanced), "fewest": familySpec(1, 20, FewestSteps), "early": familySpec(1, 20, EarlyRelease),
		"planned": plannedSpec(4, 24, EarlyRelease), "few": plannedSpec(3, 24, EarlyRelease), "timed": timed,
		"both ends": fixedSlotsSpec(rng, 14, 12), "many who wait": talentSpec(rng, 12, 80), "large": familySpec(1, 66, EarlyRelease),
	} {
		t.Run(name, func(t *testing.T) {
			if len(s.Groupings) > 14 {
				long(t)
			}
			p := mustProblem(t, s)
			best := never
			var bounds []int64
			limits := []int64{0, 8 << 20, 1 << 20, 200_000, 40_000, 5000, 1}
			if p.Groupings() > large {
				limits = limits[3:] // With more, the local search of so many takes its time.
			}
			for _, limit := range limits {
				r := mustSolve(t, p, Options{MemoryLimit: limit, NodeLimit: 60_000})
				require.Equal(t, Found, r.Status, limit)
				if limit > 0 {
					assert.LessOrEqual(t, r.Stats.PeakBytes, limit)
				}
				best = min(best, r.Total)
				bounds = append(bounds, r.Bound)
			}
			for k, bound := range bounds {
				assert.LessOrEqual(t, bound, best, k)
			}
		})
	}
}

// TestShortOfRoomAgainstPlainTable: where room is so short that states are dropped in the middle of a
// layer, the bound stays one, and what is called proven is.
func TestShortOfRoomAgainstPlainTable(t *testing.T) {
	long(t)
	short, proven := 0, 0
	for seed := range uint64(setting(t, "KINORDER_CASES", 60)) {
		rng := rand.New(rand.NewPCG(seed, 16))
		s := plainSpec(rng, 9)
		s.Emphasis = Emphasis(rng.IntN(3))
		p := mustProblem(t, s)
		r := newRun[[1]uint64](context.Background(), p, Options{MemoryLimit: 12_000 + rng.Int64N(100_000)}, 1<<20)
		told := int64(0)
		r.o.OnImprove = func(g Progress) { told = max(told, g.Bound) }
		got := r.result()
		want, _ := plainTable(p)
		require.LessOrEqual(t, told, want, "seed %d", seed)
		require.LessOrEqual(t, got.Stats.PeakBytes, r.o.MemoryLimit, "seed %d", seed)
		if got.Proven {
			proven++
			require.Equal(t, want, got.Total, "seed %d", seed)
		} else {
			short++
		}
	}
	t.Logf("%d proven, %d not", proven, short)
	assert.Greater(t, short, 5, "searches that room was too short for")
	assert.Greater(t, proven, 5, "searches that it was enough for")
}
