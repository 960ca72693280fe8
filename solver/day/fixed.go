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
	if !p.areAllowed(given) {
		return Result{}, false
	}
	d := p.decoder()
	defer p.decoders.Put(d)
	score, ok := d.decode(given)
	if !ok {
		return Result{}, false
	}
	return Result{Status: Found, Plan: d.plan(given), Cost: d.cost, Lost: score.lost, Total: p.Total(d.cost)}, true
}

func (p *Problem) decoder() *decoder {
	if d, ok := p.decoders.Get().(*decoder); ok {
		return d
	}
	return newDecoder(p)
}

// areAllowed says that orders are one for each block, of groupings that may be taken in it.
func (p *Problem) areAllowed(o orders) bool {
	for b, list := range o {
		for _, g := range list {
			if !slices.Contains(p.spec.Groupings[g].Blocks, BlockIndex(b)) {
				return false
			}
		}
	}
	return len(o) == len(p.spec.Blocks)
}

// Fill puts groupings at the ends of the first blocks that take them there, without a search; see Places. What fits at no
// end stays out. The given orders are a plan.
func Fill(p *Problem, given [][]solver.GroupingIndex, sequence []solver.GroupingIndex) [][]solver.GroupingIndex {
	s := &searcher{p: p, ctx: unsearched(), d: p.decoder()}
	defer p.decoders.Put(s.d)
	return s.appended(orders(given).clone(), sequence)
}

// Bounded gives a result of Fix the bound that holds for any plan of the same groupings without searching; see doc.go,
// Flat and Losses.
func Bounded(p *Problem, r Result) Result {
	s := &searcher{p: p, ctx: unsearched(), d: newDecoder(p)}
	s.offer(r.Plan.Orders())
	s.closeBound()
	return s.result()
}
