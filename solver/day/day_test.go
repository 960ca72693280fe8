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

// randomSpec makes a small day with the features that the switches allow.
func randomSpec(rng *rand.Rand, groupings, blocks int) Spec {
	people := 3 + rng.IntN(5)
	s := Spec{
		Timing: solver.Timing{
			Settle: int64(rng.IntN(5)), PerStepIn: int64(rng.IntN(4)), PerStepOut: int64(rng.IntN(3)),
			Fresh: int64(rng.IntN(6)), Arrange: []int64{0, 3, 5, 6},
		},
		StepWeight: int64(rng.IntN(30)),
		Emphasis:   solver.Emphasis(rng.IntN(3)),
		Handover:   int64(rng.IntN(10)),
	}
	for range people {
		s.People = append(s.People, solver.Person{
			ReleaseWeight: int64(rng.IntN(4)), IdleWeight: int64(rng.IntN(3)), Slow: int64(rng.IntN(4)),
		})
	}
	opens := int64(0)
	for b := range blocks {
		length := int64(20 + rng.IntN(60))
		block := Block{Open: opens, Close: opens + length, Place: rng.IntN(2), Photographer: rng.IntN(2)}
		if rng.IntN(5) == 0 {
			block.Close = 0
		}
		if rng.IntN(3) > 0 { // otherwise the next one opens at the same time
			opens += length + int64(rng.IntN(15))
		} else if blocks > 1 {
			block.Photographer = b
		}
		s.Blocks = append(s.Blocks, block)
	}
	s.Walk = [][]int64{{0, int64(rng.IntN(8))}, {int64(rng.IntN(8)), 0}}
	for range groupings {
		g := Grouping{Tier: rng.IntN(3)}
		for q := range people {
			if rng.IntN(3) == 0 {
				g.Members = append(g.Members, solver.PersonIndex(q))
			}
		}
		if len(g.Members) == 0 {
			g.Members = append(g.Members, solver.PersonIndex(rng.IntN(people)))
		}
		g.Shoot = int64(1 + rng.IntN(15))
		for b := range blocks {
			if rng.IntN(3) > 0 {
				g.Blocks = append(g.Blocks, BlockIndex(b))
			}
		}
		if rng.IntN(4) == 0 {
			open := int64(rng.IntN(40))
			g.Windows = []solver.Window{{Open: open, Close: open + 20 + int64(rng.IntN(60))}}
		}
		s.Groupings = append(s.Groupings, g)
	}
	addWishes(rng, &s)
	return s
}

func addWishes(rng *rand.Rand, s *Spec) {
	n := len(s.Groupings)
	some := func() []solver.GroupingIndex {
		var set []solver.GroupingIndex
		for g := range n {
			if rng.IntN(3) == 0 {
				set = append(set, solver.GroupingIndex(g))
			}
		}
		return set
	}
	if rng.IntN(3) == 0 {
		j := 1 + rng.IntN(n-1)
		s.Groupings[j].After = []solver.GroupingIndex{solver.GroupingIndex(rng.IntN(j))}
	}
	if rng.IntN(4) == 0 {
		s.Groupings[rng.IntN(n)].Pin = solver.Pin(rng.IntN(3))
	}
	if rng.IntN(4) == 0 {
		s.Together = [][]solver.GroupingIndex{some()}
	}
	if rng.IntN(4) == 0 {
		a := some()
		b := slices.DeleteFunc(some(), func(g solver.GroupingIndex) bool { return slices.Contains(a, g) })
		s.Turns = [][2][]solver.GroupingIndex{{a, b}}
	}
	if rng.IntN(4) == 0 {
		i := rng.IntN(n - 1)
		s.Ranks = [][2]solver.GroupingIndex{{solver.GroupingIndex(i), solver.GroupingIndex(i + 1)}}
	}
	if rng.IntN(4) == 0 {
		s.Apart = []KeptApart{{A: some(), B: some(), Until: int64(rng.IntN(80))}}
	}
	if rng.IntN(4) == 0 {
		s.Groupings[rng.IntN(n)].Near = []solver.PersonIndex{solver.PersonIndex(rng.IntN(len(s.People)))}
	}
}

// bruteForce tries every choice of blocks and every order.
func bruteForce(p *Problem) (orders, score, bool) {
	var best orders
	var bestIs score
	found := false
	d := newDecoder(p)
	o := make(orders, len(p.spec.Blocks))
	var place func(g int)
	place = func(g int) {
		if g == len(p.spec.Groupings) {
			if sc, ok := d.decode(o); ok && (!found || sc.less(bestIs)) {
				best, bestIs, found = o.clone(), sc, true
			}
			return
		}
		place(g + 1) // left out
		for _, b := range p.spec.Groupings[g].Blocks {
			for at := 0; at <= len(o[b]); at++ {
				o[b] = slices.Insert(o[b], at, solver.GroupingIndex(g))
				place(g + 1)
				o[b] = slices.Delete(o[b], at, at+1)
			}
		}
	}
	place(0)
	return best, bestIs, found
}

func TestSolveAgainstBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	proven := 0
	for range 400 {
		spec := randomSpec(rng, 2+rng.IntN(4), 1+rng.IntN(3))
		p, err := New(spec)
		require.NoError(t, err)
		_, want, ok := bruteForce(p)
		require.True(t, ok)
		got, err := Solve(context.Background(), p, Options{Iterations: 300})
		require.NoError(t, err)
		require.Equal(t, Found, got.Status)
		require.NoError(t, Verify(p, got.Plan, got.Cost))
		var lost losses
		for _, g := range got.Plan.LeftOut {
			lost[spec.Groupings[g].Tier]++
		}
		assert.Equal(t, score{lost: want.lost, total: want.total}, score{lost: lost, total: got.Total}, "the best plan there is\n%+v", spec)
		assert.LessOrEqual(t, got.Bound, got.Total)
		if got.Proven {
			proven++
		}
	}
	assert.Greater(t, proven, 100, "small days are mostly proven")
}

// The neighbourhood search alone, without the enumerations, finds the best plan of nearly all.
func TestImproveAgainstBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	const days = 200
	best := 0
	for range days {
		p, err := New(randomSpec(rng, 2+rng.IntN(4), 1+rng.IntN(3)))
		require.NoError(t, err)
		_, want, ok := bruteForce(p)
		require.True(t, ok)
		s := newSearcher(context.Background(), p, Options{Iterations: 500})
		s.construct()
		require.NoError(t, s.improve())
		require.False(t, s.bestIs.less(want))
		if s.bestIs.lost == want.lost && s.bestIs.total == want.total {
			best++
		}
	}
	assert.GreaterOrEqual(t, best, days*95/100)
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
		require.NoError(t, Verify(p, first.Plan, first.Cost))
	}
}

func TestVerifyRejectsTamperedPlans(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	p, err := New(randomSpec(rng, 6, 2))
	require.NoError(t, err)
	r, err := Solve(context.Background(), p, Options{Iterations: 50})
	require.NoError(t, err)
	require.NoError(t, Verify(p, r.Plan, r.Cost))
	wrong := r.Cost
	wrong.StepIns++
	assert.ErrorIs(t, Verify(p, r.Plan, wrong), ErrPlan)
	for b, slots := range r.Plan.Blocks {
		if len(slots) == 0 {
			continue
		}
		tampered := Plan{Blocks: slices.Clone(r.Plan.Blocks), LeftOut: r.Plan.LeftOut}
		tampered.Blocks[b] = slices.Clone(slots)
		tampered.Blocks[b][0].Finish--
		assert.ErrorIs(t, Verify(p, tampered, r.Cost), ErrPlan)
		tampered.Blocks[b] = slots[1:]
		assert.ErrorIs(t, Verify(p, tampered, r.Cost), ErrPlan)
	}
}

// A longer block never loses more of the first tier, and another wish never lowers the cost of a
// small day that loses nothing either way.
func TestSolveMonotone(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	lost := func(spec Spec) (losses, int64) {
		p, err := New(spec)
		require.NoError(t, err)
		_, sc, ok := bruteForce(p)
		require.True(t, ok)
		r, err := Solve(context.Background(), p, Options{Iterations: 200})
		require.NoError(t, err)
		var l losses
		for _, g := range r.Plan.LeftOut {
			l[spec.Groupings[g].Tier]++
		}
		require.Equal(t, sc.lost, l)
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
		assert.LessOrEqual(t, after[0], before[0])
	}
}
