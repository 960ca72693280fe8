package solver

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
)

// long leaves a test that takes seconds out with -short.
func long(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("takes seconds: left out with -short")
	}
}

func mustProblem(t testing.TB, s Spec) *Problem {
	t.Helper()
	p, err := NewProblem(s)
	if err != nil {
		t.Fatalf("NewProblem: %v", err)
	}
	return p
}

// An order is better when its total is less by one.
func TestImproves(t *testing.T) {
	r := run[[1]uint64]{m: &model[[1]uint64]{unit: 8}, total: 80}
	if !r.improves(72) || r.improves(73) {
		t.Error("72 can be a total of 9, 73 is above it")
	}
}

func mustSolve(t testing.TB, p *Problem, o Options) Result {
	t.Helper()
	r, err := Solve(context.Background(), p, o)
	if err != nil {
		t.Fatalf("Solve: %v", err)
	}
	if r.Status == Found {
		if err := Verify(p, r.Order, r.Cost); err != nil {
			t.Fatalf("Verify: %v", err)
		}
		if r.Bound > r.Total || r.Proven && r.Bound != r.Total {
			t.Fatalf("bound %d, total %d, proven %v", r.Bound, r.Total, r.Proven)
		}
	}
	return r
}

// TestSolveAgainstEveryOrder compares with brute force over every order, all emphases and features.
func TestSolveAgainstEveryOrder(t *testing.T) {
	long(t)
	found := 0
	for seed := range uint64(1000) {
		rng := rand.New(rand.NewPCG(seed, 1))
		n := 1 + rng.IntN(6)
		if seed%100 == 0 {
			n = 8
		}
		s := randomSpec(rng, n)
		p := mustProblem(t, s)
		r := mustSolve(t, p, Options{})
		want, ok := bruteForce(p)
		if !r.Proven {
			t.Fatalf("seed %d: not proven", seed)
		}
		if ok != (r.Status == Found) {
			t.Fatalf("seed %d: status %d, but an order exists: %v", seed, r.Status, ok)
		}
		if ok && r.Total != want {
			t.Fatalf("seed %d: total %d, want %d\n%s", seed, r.Total, want, fmt.Sprintf("%+v", s))
		}
		if ok {
			found++
		}
	}
	if found < 600 {
		t.Errorf("only %d of the random problems have an order: the test is too weak", found)
	}
}
