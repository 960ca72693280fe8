package planning

import (
	"context"
	"fmt"
	"slices"

	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// runShare is the part of the cost, one in so many, that it may take to have the one-by-ones of a circle in one quick
// run. Common practice, no source.
const runShare = 20

// brokenUp says that a set does not stand in one run in some order.
func brokenUp(set []solver.GroupingIndex, orders [][]solver.GroupingIndex) bool {
	return slices.ContainsFunc(orders, func(order []solver.GroupingIndex) bool {
		first, count, last := -1, 0, 0
		for k, g := range order {
			if slices.Contains(set, g) {
				if first < 0 {
					first = k
				}
				last, count = k, count+1
			}
		}
		return count > 0 && last-first+1 != count
	})
}

// keepRuns has the one-by-ones of a circle in one run each where that costs no more than a share, and nothing that
// the result takes. What the hand has ordered stays as it is.
func (s *search) keepRuns(deadline context.Context, result day.Result) (day.Result, error) {
	if s.problem.handMade != nil {
		return result, nil
	}
	orders, spec, changed := result.Plan.Orders(), s.problem.Spec, false
	for _, set := range s.problem.OneByOnes() {
		if !brokenUp(set, orders) {
			continue
		}
		next := spec
		next.Together = append(slices.Clone(spec.Together), set)
		p, err := day.New(next)
		if err != nil {
			return result, fmt.Errorf("planning: %w", err)
		}
		if moved, ok := inOneRun(p, set, orders); ok {
			orders, spec, changed = moved, next, true
		}
	}
	if !changed {
		return result, nil
	}
	p, err := day.New(spec)
	if err != nil {
		return result, fmt.Errorf("planning: %w", err)
	}
	limits := s.options.limits()
	limits.Incumbent = orders
	ctx, cancel := s.share(deadline)
	defer cancel()
	with, err := day.Solve(ctx, p, limits)
	if err != nil {
		return result, fmt.Errorf("planning: %w", err)
	}
	if with.Status != day.Found || len(with.Plan.LeftOut) > len(result.Plan.LeftOut) || with.Lost != result.Lost || with.Total > result.Total+result.Total/runShare {
		return result, nil
	}
	s.day, s.problem.Spec, s.bounds = p, spec, map[string]int64{}
	return s.keepBound(with), nil
}

// inOneRun moves a set in some orders to where one of it stands, where that is cheapest.
func inOneRun(p *day.Problem, set []solver.GroupingIndex, orders [][]solver.GroupingIndex) ([][]solver.GroupingIndex, bool) {
	best, found := day.Result{}, false
	var out [][]solver.GroupingIndex
	for _, anchor := range set {
		moved := make([][]solver.GroupingIndex, len(orders))
		for b, order := range orders {
			var run []solver.GroupingIndex
			for _, g := range order {
				if slices.Contains(set, g) {
					run = append(run, g)
				}
			}
			at := anchor
			if !slices.Contains(order, anchor) && len(run) > 0 {
				at = run[0]
			}
			for _, g := range order {
				switch {
				case g == at:
					moved[b] = append(moved[b], run...)
				case !slices.Contains(set, g):
					moved[b] = append(moved[b], g)
				}
			}
		}
		if r, ok := day.Fix(p, moved); ok && (!found || r.Total < best.Total) {
			best, out, found = r, moved, true
		}
	}
	return out, found
}
