package day

import (
	"context"
	"slices"

	"kinorder.example/solver"
)

// First returns the first plan that can be made, without a search. Its errors are those of Solve.
func First(p *Problem) (Result, error) { return Solve(unsearched(), p, Options{}) }

// unsearched is the context of what is not to be searched: a search ends as it begins.
func unsearched() context.Context {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	return ctx
}

// Fix times and costs given orders without any search: one order for each block of the Spec, as early
// as possible; groupings in none are left out. Its second value is false when the orders break a wish
// or are no orders of this day. The result has no bound: Bounded gives it one.
func Fix(p *Problem, given [][]solver.GroupingIndex) (Result, bool) {
	seen := make([]bool, len(p.spec.Groupings))
	for _, order := range given {
		for _, g := range order {
			if g < 0 || int(g) >= len(seen) || seen[g] {
				return Result{}, false
			}
			seen[g] = true
		}
	}
	s := &searcher{p: p, ctx: unsearched(), d: newDecoder(p)} // callers time thousands of orders: nothing that only a search needs
	if !s.offer(orders(slices.Clone(given))) {
		return Result{}, false
	}
	return s.result(), true
}

// Bounded gives a result of Fix the bound that holds for any plan of the same groupings without searching; see doc.go,
// Flat and Losses.
func Bounded(p *Problem, r Result) Result {
	s := &searcher{p: p, ctx: unsearched(), d: newDecoder(p)}
	s.offer(r.Plan.Orders())
	s.closeBound()
	return s.result()
}
