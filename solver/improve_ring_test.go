package solver

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestRingCountsStepIns: through every move and kick the ring stays a path whose length is twice its
// step-ins and the people of the start frame.
func TestRingCountsStepIns(t *testing.T) {
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 13))
		s := familySpec(seed, 12+rng.IntN(30), FewestSteps)
		if seed%2 == 0 {
			s.Frame = s.Groupings[0].Members
		}
		for q := range s.People {
			s.People[q].Extra = q%4 - 1
		}
		p := mustProblem(t, s)
		n := p.Groupings()
		g := newRing(p, rng.Perm(n))
		before := g.length()
		for u := range g.nodes {
			g.push(int32(u))
		}
		for range 30 {
			g.descend()
			path := g.path()
			if !isPermutation(path, n) {
				t.Fatalf("seed %d: the path is %v", seed, path)
			}
			for k, u := range g.order {
				if g.at[u] != int32(k) {
					t.Fatalf("seed %d: node %d stands at %d, not at %d", seed, u, k, g.at[u])
				}
			}
			cost, err := Evaluate(p, toIndexes(path))
			if err != nil {
				t.Fatal(err)
			}
			closing := g.between(int32(n+1), int32(n))
			if want := 2*cost.Cost.StepIns + s.stepsOf(s.Frame) + closing; g.length() != want {
				t.Fatalf("seed %d: the ring has length %d, its path %d", seed, g.length(), want)
			}
			if g.length() > before {
				t.Fatalf("seed %d: moves made the ring longer", seed)
			}
			order := slices.Clone(g.order)
			before = g.length()
			g.kick(rng, 8)
			if g.length() > before+1<<30 {
				copy(g.order, order) // The kick took the closing edge out.
				g.settle(0, g.nodes)
			}
			before = never
		}
	}
}

// TestShortenFindsTheFewest: on lists that the exact search can do, the ring finds as few step-ins.
func TestShortenFindsTheFewest(t *testing.T) {
	long(t)
	found := 0
	for seed := range uint64(20) {
		p := mustProblem(t, familySpec(seed, 20, FewestSteps))
		r := newRun[[1]uint64](context.Background(), p, Options{Workers: 1}, firstWidth)
		order := make([]int, p.Groupings())
		for k := range order {
			order[k] = k
		}
		cost, _ := r.base.costOf(order)
		r.offer(order, cost)
		r.shorten(rand.New(rand.NewPCG(seed, 3)), 500)
		got, want := r.total/r.m.scale.steps, mustSolve(t, p, Options{}).Cost.StepIns
		if got < want {
			t.Fatalf("seed %d: %d step-ins, fewer than the fewest %d", seed, got, want)
		}
		if got == want {
			found++
		}
	}
	if found < 18 {
		t.Errorf("the fewest step-ins were found in %d of 20 lists", found)
	}
}
