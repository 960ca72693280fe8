package day

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/solver"
)

func TestSolveAgainstBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(101, 2))
	proven, found := 0, 0
	for range 500 { // the 491st has blocks that are tied by nothing but a wish
		spec := randomSpec(rng, 2+rng.IntN(4), 1+rng.IntN(3))
		p, err := New(spec)
		require.NoError(t, err)
		want, ok := bruteForce(p)
		got, err := Solve(context.Background(), p, Options{Iterations: 300, OnImprove: func(r Result) {
			require.NoError(t, Verify(p, r.Plan, r.Cost, r.Lost), "%+v", spec)
		}})
		require.NoError(t, err)
		require.Equal(t, ok, got.Status == Found, "%+v", spec)
		if !ok {
			continue
		}
		found++
		require.NoError(t, Verify(p, got.Plan, got.Cost, got.Lost), "%+v", spec)
		is := outcomeOf(got)
		assert.True(t, is.same(want, &spec), "found %+v, the best there is %+v, of\n%+v", is, want, spec)
		assert.Equal(t, p.Total(got.Cost), got.Total)
		assert.LessOrEqual(t, got.Bound, got.Total)
		if got.Proven {
			proven++
		}
	}
	assert.Greater(t, found, 350, "nearly every day has a plan")
	assert.Greater(t, proven, 100, "small days are mostly proven")
}

// The neighbourhood search alone, without the enumerations, finds the best plan of nearly all.
func TestImproveAgainstBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	best, days := 0, 0
	for range 200 {
		p, err := New(randomSpec(rng, 2+rng.IntN(4), 1+rng.IntN(3)))
		require.NoError(t, err)
		want, ok := bruteForce(p)
		if !ok {
			continue
		}
		days++
		s := newSearcher(context.Background(), p, Options{Iterations: 500})
		s.construct()
		require.NoError(t, s.improve())
		is := outcomeOf(s.result())
		require.False(t, is.less(want, &p.spec))
		if is.same(want, &p.spec) {
			best++
		}
	}
	assert.GreaterOrEqual(t, best, days*95/100)
}

// A bound of the same groupings is never above the cheapest plan that takes them, and losses are called
// least only when they are.
func TestBoundsAgainstBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	tight, none := 0, 0
	for range 500 {
		spec := randomSpec(rng, 2+rng.IntN(3), 1+rng.IntN(3))
		p, err := New(spec)
		require.NoError(t, err)
		type choice struct {
			least int64
			lost  Lost
			plan  orders
		}
		choices := map[string]*choice{}
		var least outcome
		everyPlan(p, func(o orders, is outcome) {
			if len(choices) == 0 || is.less(least, &spec) {
				least = is
			}
			key, total := keyOf(o), p.Total(is.cost)
			if c := choices[key]; c == nil || total < c.least {
				choices[key] = &choice{total, is.lost, o.clone()}
			}
		})
		for _, c := range choices {
			s := newSearcher(context.Background(), p, Options{})
			require.True(t, s.offer(c.plan))
			assert.LessOrEqual(t, s.flatBound(s.taken()), c.least, "flat bound of %v in\n%+v", c.plan, spec)
			if sum, ok := s.chosenSum(); ok {
				assert.LessOrEqual(t, sum, c.least, "block sum of %v in\n%+v", c.plan, spec)
				if sum == c.least {
					tight++
				}
			}
			s.best, s.bestIs.lost, s.bestIs.total = c.plan, c.lost, c.least
			if s.noneBetter() {
				assert.Equal(t, least.lost, c.lost, "%+v", spec)
				assert.Equal(t, p.Total(least.cost), c.least, "%+v", spec)
				none++
			}
		}
		s := newSearcher(context.Background(), p, Options{Iterations: 50})
		require.NoError(t, s.run())
		if c := choices[keyOf(orders{s.boundOf})]; c != nil {
			assert.LessOrEqual(t, s.bound, c.least, "bound of the search in\n%+v", spec)
		}
	}
	assert.Greater(t, tight, 100, "the block sum is often exact")
	assert.Greater(t, none, 50, "other choices are often ruled out")
}

// keyOf names the groupings that a candidate takes.
func keyOf(o orders) string {
	taken := slices.Concat(o...)
	slices.Sort(taken)
	return fmt.Sprint(taken)
}

// The one integer of a cost orders plans as the emphasis does.
func TestTotalOrdersAsTheEmphasis(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 14))
	for range 60 {
		spec := randomSpec(rng, 2+rng.IntN(3), 1+rng.IntN(2))
		p, err := New(spec)
		require.NoError(t, err)
		var all []outcome
		everyPlan(p, func(_ orders, is outcome) {
			is.lost = Lost{}
			all = append(all, is)
		})
		for k := 1; k < len(all); k++ {
			for _, pair := range [2][2]outcome{{all[k-1], all[k]}, {all[0], all[k]}} {
				assert.Equal(t, pair[0].less(pair[1], &spec), p.Total(pair[0].cost) < p.Total(pair[1].cost), "%+v\n%+v", pair, spec)
			}
		}
	}
}

// Whatever a single step-in costs in time, it comes first, also where a grouping has to wait for long.
func TestTotalCountsWaiting(t *testing.T) {
	for name, change := range map[string]func(*Spec){
		"somebody is there late": func(s *Spec) { s.Groupings[1].From = []solver.Seconds{5000} },
		"kept apart in one grouping": func(s *Spec) {
			s.Apart = []KeptApart{{A: []solver.GroupingIndex{1}, B: []solver.GroupingIndex{1}, Until: 5000}}
		},
	} {
		spec := simple(2, 1, change)
		spec.Emphasis = solver.FewestSteps
		spec.People[0].ReleaseWeight = 10
		p, err := New(spec)
		require.NoError(t, err)
		r, err := Solve(t.Context(), p, Options{})
		require.NoError(t, err)
		assert.Less(t, p.Total(solver.Cost{Release: 10 * (5000 + 10)}), p.Total(solver.Cost{StepIns: 1}), name)
		assert.Equal(t, Found, r.Status)
	}
}

// Fourteen of fifteen groupings just fit: that one is left out is the least there can be, and the plan is
// proven though so many are not enumerated.
func TestLossesAreTheLeastWhereRoomIsUsedUp(t *testing.T) {
	spec := simple(15, 1, func(s *Spec) { s.Blocks[0].Close = 140 })
	for q := range spec.People {
		spec.People[q] = solver.Person{}
	}
	p, err := New(spec)
	require.NoError(t, err)
	r, err := Solve(t.Context(), p, Options{Iterations: 50, NodeLimit: 1000})
	require.NoError(t, err)
	assert.Len(t, r.Plan.LeftOut, 1)
	assert.True(t, r.Proven)
}

// A block is solved with the times at which people arrive: what fits between is proven, though too many to
// be enumerated.
func TestProvenWhereSomebodyIsOnTheWay(t *testing.T) {
	p, err := New(simple(9, 1, func(s *Spec) {
		s.People[0].ReleaseWeight, s.Groupings[0].From = 100, []solver.Seconds{20}
	}))
	require.NoError(t, err)
	r, err := Solve(t.Context(), p, Options{Iterations: 50})
	require.NoError(t, err)
	assert.Equal(t, solver.GroupingIndex(0), r.Plan.Blocks[0][2].Grouping)
	assert.True(t, r.Proven)
}

// Blocks without people in common are not free of each other where groupings of both take turns.
func TestTurnsCoupleBlocks(t *testing.T) {
	for _, turns := range [][][2][]solver.GroupingIndex{nil, {{{0, 1}, {2, 3}}}} {
		p, err := New(simple(4, 2, func(s *Spec) {
			for g := range s.Groupings {
				s.Groupings[g].Blocks = []BlockIndex{BlockIndex(g % 2)}
			}
			s.Turns = turns
		}))
		require.NoError(t, err)
		assert.Equal(t, len(turns) > 0, (&searcher{p: p}).coupled())
	}
}

// A photograph that waits for one of another block couples the two, whoever is in them.
func TestOrderCouplesBlocks(t *testing.T) {
	for _, after := range [][]solver.GroupingIndex{nil, {0}} {
		p, err := New(simple(4, 2, func(s *Spec) {
			for g := range s.Groupings {
				s.Groupings[g].Blocks = []BlockIndex{BlockIndex(g % 2)}
			}
			s.Groupings[1].After = after
		}))
		require.NoError(t, err)
		assert.Equal(t, len(after) > 0, (&searcher{p: p}).coupled())
	}
}

func TestSolveSameInputSamePlan(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 20 {
		p, err := New(randomSpec(rng, 10, 3))
		require.NoError(t, err)
		first, err := Solve(context.Background(), p, Options{Iterations: 200})
		require.NoError(t, err)
		second, err := Solve(context.Background(), p, Options{Iterations: 200})
		require.NoError(t, err)
		assert.Equal(t, first, second)
		if first.Status == Found {
			require.NoError(t, Verify(p, first.Plan, first.Cost, first.Lost))
		}
	}
}

// A longer block never loses more of the first tier, and another wish never lowers the cost of a
// small day that loses nothing either way.
func TestSolveMonotone(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	lost := func(spec Spec) (Lost, int64) {
		p, err := New(spec)
		require.NoError(t, err)
		want, ok := bruteForce(p)
		r, err := Solve(context.Background(), p, Options{Iterations: 200})
		require.NoError(t, err)
		if !ok { // no plan keeps the prefixes
			return Lost{1 << 30}, math.MaxInt64
		}
		l := outcomeOf(r).lost
		require.Equal(t, want.lost, l)
		return l, r.Total
	}
	for range 60 {
		spec := randomSpec(rng, 4, 1+rng.IntN(2))
		before, cost := lost(spec)
		wished := spec
		wished.Ranks = append(slices.Clone(spec.Ranks), [2]solver.GroupingIndex{0, 1})
		if after, more := lost(wished); after == before {
			assert.GreaterOrEqual(t, more, cost)
		}
		longer := spec
		longer.Blocks = slices.Clone(spec.Blocks)
		last := &longer.Blocks[len(longer.Blocks)-1]
		if last.Close > 0 {
			last.Close += 30
		}
		after, _ := lost(longer)
		assert.False(t, before.Less(after), "a longer block never loses worth")
	}
}

// Where it says that it tried everything, the enumeration has found the best plan without any help; in
// blocks that close when that plan is over, it finds as good a one again.
func TestEnumerateAgainstBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(19, 20))
	enumerate := func(spec Spec) (Plan, bool) {
		p, err := New(spec)
		require.NoError(t, err)
		want, ok := bruteForce(p)
		s := newSearcher(context.Background(), p, Options{})
		done, err := s.enumerate()
		require.NoError(t, err)
		if !done || !ok {
			return Plan{}, false
		}
		r := s.result()
		is := outcomeOf(r)
		require.True(t, is.same(want, &spec), "found %+v, the best there is %+v, of\n%+v", is, want, spec)
		return r.Plan, true
	}
	exhausted := 0
	for range 200 {
		spec := randomSpec(rng, 3+rng.IntN(2), 1+rng.IntN(3))
		best, done := enumerate(spec)
		if !done {
			continue
		}
		exhausted++
		spec.Blocks = slices.Clone(spec.Blocks)
		for b, slots := range best.Blocks {
			if len(slots) > 0 {
				spec.Blocks[b].Close = slots[len(slots)-1].Finish
			}
		}
		enumerate(spec)
	}
	assert.Greater(t, exhausted, 100)
}

// However short the search was, nothing is left out that has a place in the plan as it stands.
func TestNothingIsLeftOutThatHasAPlace(t *testing.T) {
	left := 0
	for seed := range uint64(240) {
		rng := rand.New(rand.NewPCG(seed, 5))
		spec := randomSpec(rng, 14, 1+rng.IntN(2))
		p, err := New(spec)
		require.NoError(t, err)
		r, err := Solve(t.Context(), p, Options{Iterations: 1 + rng.IntN(30), NodeLimit: 10, Seed: seed})
		require.NoError(t, err)
		if r.Status != Found {
			continue
		}
		for _, g := range r.Plan.LeftOut {
			left++
			for _, b := range spec.Groupings[g].Blocks {
				_, fits := Insert(p, r.Plan, g, b)
				assert.False(t, fits, "seed %d: %d has a place in block %d", seed, g, b)
			}
		}
	}
	assert.Greater(t, left, 1000)
}
