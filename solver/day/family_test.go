package day

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kinorder.example/solver"
)

// family makes a made-up day of two photographers: each half of the couple with their own before
// noon, at once and at two places, then everybody in one block that may be too short.
func family(seed uint64) Spec {
	f := &familyMaker{rng: rand.New(rand.NewPCG(seed, 11))}
	f.spec.Timing = solver.Timing{Settle: 15, PerStepIn: 2, PerStepOut: 1, Fresh: 45, Arrange: []int64{
		0, 24, 48, 56, 64, 72, 80, 94, 103, 113, 122, 132, 141, 151, 160, 170, 191, 193, 195, 198, 200, 202, 204, 206, 209, 211, 213, 215, 218, 220, 222, 315,
	}}
	f.spec.StepWeight, f.spec.Handover = 600, 600
	f.spec.Walk = [][]int64{{0, 300, 420}, {300, 0, 420}, {420, 420, 0}}
	const minute = 60
	f.spec.Blocks = []Block{
		{Open: 0, Close: 35 * minute, Place: 0, Photographer: 0},
		{Open: 0, Close: 35 * minute, Place: 1, Photographer: 1},
		{Open: 90 * minute, Close: int64(115+f.rng.IntN(40)) * minute, Place: 2, Photographer: 0},
	}
	couple := f.people(2, 0, 0, 0)
	for side := range 2 {
		f.side(couple, side)
	}
	for len(f.spec.Groupings) < 39 {
		friends := f.people(6+f.rng.IntN(8), 1, 0, 0)
		f.add(2, []BlockIndex{2}, couple, friends)
	}
	everybody := make([]solver.PersonIndex, len(f.spec.People))
	for q := range everybody {
		everybody[q] = solver.PersonIndex(q)
	}
	f.add(0, []BlockIndex{2}, everybody)
	return f.spec
}

type familyMaker struct {
	rng  *rand.Rand
	spec Spec
}

func (f *familyMaker) people(n int, release, idle, slow int64) []solver.PersonIndex {
	var out []solver.PersonIndex
	for range n {
		out = append(out, solver.PersonIndex(len(f.spec.People)))
		f.spec.People = append(f.spec.People, solver.Person{ReleaseWeight: release, IdleWeight: idle, Slow: slow})
	}
	return out
}

func (f *familyMaker) add(tier int, blocks []BlockIndex, sets ...[]solver.PersonIndex) {
	g := Grouping{Tier: tier, Blocks: blocks}
	for _, set := range sets {
		g.Members = append(g.Members, set...)
	}
	g.Shoot = int64(3 * min(15, 3+len(g.Members)/2))
	f.spec.Groupings = append(f.spec.Groupings, g)
}

// side adds the groupings of one family.
func (f *familyMaker) side(couple []solver.PersonIndex, side int) {
	half := couple[side : side+1]
	own, both, late := []BlockIndex{BlockIndex(side)}, []BlockIndex{BlockIndex(side), 2}, []BlockIndex{2}
	attendants := f.people(3, 1, 0, 0)
	grandparents := f.people(2+f.rng.IntN(3), 8, 2, 10)
	mother, father := f.people(1, 1, 0, 0), f.people(1, 1, 0, 0)
	siblings := f.people(1+f.rng.IntN(3), 1, 0, 0)
	partners := f.people(len(siblings), 1, 0, 0)
	children := f.people(f.rng.IntN(4), 5, 2, 10)
	aunts := f.people(6+f.rng.IntN(5), 1, 0, 0)
	cousins := f.people(8+f.rng.IntN(8), 1, 0, 0)
	f.add(0, own, half, attendants)
	for i := range attendants {
		f.add(1, own, half, attendants[i:i+1])
	}
	f.add(1, both, half, mother)
	f.add(1, both, half, father)
	f.add(0, both, half, mother, father)
	f.add(1, both, half, siblings)
	f.add(0, late, couple, mother, father)
	f.add(0, late, couple, mother, father, siblings)
	f.add(1, late, couple, mother, father, siblings, partners, children)
	f.add(0, late, couple, grandparents)
	f.add(1, late, couple, grandparents, mother, father)
	f.add(1, late, couple, grandparents, mother, father, siblings, partners, children)
	f.add(2, late, couple, aunts)
	f.add(2, late, couple, cousins)
	f.add(1, late, couple, grandparents, mother, father, siblings, partners, children, aunts, cousins)
	f.add(2, both, half, siblings, cousins)
}

// BenchmarkFamily plans days of 40 groupings in five seconds each and reports how far the first plan
// and the last are from a run of five minutes.
func BenchmarkFamily(b *testing.B) {
	for b.Loop() {
		for seed := range uint64(3) {
			p, err := New(family(seed))
			require.NoError(b, err)
			for _, limit := range []time.Duration{500 * time.Millisecond, 5 * time.Second, 300 * time.Second} {
				ctx, cancel := context.WithTimeout(b.Context(), limit)
				start, first := time.Now(), time.Duration(0)
				r, err := Solve(ctx, p, Options{Iterations: 1 << 30, OnImprove: func(Result) {
					if first == 0 {
						first = time.Since(start)
					}
				}})
				cancel()
				require.NoError(b, err)
				require.NoError(b, Verify(p, r.Plan, r.Cost, r.Lost))
				b.Logf("seed %d, %d people, %v: first plan after %v, left out %d, total %d, bound %d, proven %v, %d steps",
					seed, len(p.spec.People), limit, first, len(r.Plan.LeftOut), r.Total, r.Bound, r.Proven, r.Iterations)
			}
		}
	}
}
