package solver

import (
	"context"
	"math/rand/v2"
	"testing"
)

// talentSpec is a random talent scheduling problem: only idle time costs anything.
func talentSpec(rng *rand.Rand, scenes, actors int) Spec {
	var s Spec
	for range actors {
		s.People = append(s.People, Person{IdleWeight: 1 + rng.Int64N(9)})
	}
	density := 0.2 + 0.4*rng.Float64()
	for range scenes {
		g := Grouping{Fixed: 1 + rng.Int64N(9)}
		for q := range actors {
			if rng.Float64() < density {
				g.Members = append(g.Members, PersonIndex(q))
			}
		}
		s.Groupings = append(s.Groupings, g)
	}
	return s
}

// TestTalentAgainstEveryOrder checks the rules that hold when only idle time costs anything.
func TestTalentAgainstEveryOrder(t *testing.T) {
	for seed := range uint64(500) {
		rng := rand.New(rand.NewPCG(seed, 9))
		p := mustProblem(t, talentSpec(rng, 2+rng.IntN(6), 1+rng.IntN(8)))
		r := mustSolve(t, p, Options{})
		want, _ := bruteForce(p)
		if !r.Proven || r.Total != want {
			t.Fatalf("seed %d: %d, proven %v, want %d", seed, r.Total, r.Proven, want)
		}
		table := newRun[[1]uint64](context.Background(), p, Options{Workers: 1, MemoryLimit: 1 << 20}, 1)
		order := make([]int, p.Groupings())
		for k := range order {
			order[k] = k
		}
		cost, _ := table.base.costOf(order)
		table.offer(order, cost)
		if table.bySubsets() && table.base.total(table.total) != want {
			t.Fatalf("seed %d: %d by the table, want %d", seed, table.base.total(table.total), want)
		}
	}
}
