package planning

import (
	"context"
	"fmt"
	"slices"

	"kinorder.example/server/internal/planning/model"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// runShare is the part of the cost, one in so many, that it may take to have the one-by-ones of a circle in one quick
// run, and niceShare the part for what would be nice to stand behind what must be taken. Common practice, no source.
const (
	runShare  = 20
	niceShare = 8
)

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
// the result takes. An order by hand that breaks one up has no such run.
func (s *search) keepRuns(deadline context.Context, result day.Result) (day.Result, error) {
	orders, spec, changed := result.Plan.Orders(), s.problem.Spec, false
	for _, set := range s.problem.OneByOnes() {
		if !brokenUp(set, orders) || brokenUp(set, s.problem.handMade) {
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
	return s.within(deadline, result, spec, orders, runShare)
}

// keepNiceLast has what would be nice behind what must be taken in every block that may run late, where that costs no
// more than a share and nobody who tires waits for it: if the block runs late, nothing that must be taken is lost for it.
// What an order by hand has before it stays before it.
func (s *search) keepNiceLast(deadline context.Context, result day.Result) (day.Result, error) {
	pr := s.problem
	turn := pr.turns(pr.handMade)
	before := func(h, g solver.GroupingIndex) bool {
		at, placed := turn[h]
		of, both := turn[g]
		return placed && both && at < of
	}
	orders, spec, safe := result.Plan.Orders(), pr.Spec, pr.SafeTimes(result.Plan)
	spec.Ranks = slices.Clone(spec.Ranks)
	tires := func(id string) bool { return model.Tires(pr.person(id)) }
	for b, order := range orders {
		if pr.Planned[b] == 0 || len(order) == 0 || safe[b][len(order)-1].Finish <= pr.Planned[b] {
			continue
		}
		last := lastMust(pr.Spec, order)
		var first, nice, after []solver.GroupingIndex
		for k, g := range order {
			switch {
			case k > last:
				after = append(after, g)
			case pr.Spec.Groupings[g].Tier == tierOfNice && !slices.ContainsFunc(pr.Photographs[g].Members, tires):
				nice = append(nice, g)
			default:
				first = append(first, g)
			}
		}
		for _, g := range first {
			for _, h := range nice {
				if pr.Spec.Groupings[g].Tier == 0 && !before(h, g) {
					spec.Ranks = append(spec.Ranks, [2]solver.GroupingIndex{g, h})
				}
			}
		}
		orders[b] = slices.Concat(first, nice, after)
	}
	if len(spec.Ranks) == len(pr.Spec.Ranks) {
		return result, nil
	}
	return s.within(deadline, result, spec, orders, niceShare)
}

// tierOfNice is that of what would be nice.
const tierOfNice = 2

// lastMust is where the last of what must be taken stands in an order, -1 where there is none.
func lastMust(spec day.Spec, order []solver.GroupingIndex) int {
	last := -1
	for k, g := range order {
		if spec.Groupings[g].Tier == 0 {
			last = k
		}
	}
	return last
}

// keepBetween has another photograph between those of two who have parted, where that costs little. An order by hand that has
// them one after the other keeps it so, and none is made worse than it was.
func (s *search) keepBetween(ctx context.Context, result day.Result) (day.Result, error) {
	var most int64
	if hand := s.problem.handMade; hand != nil {
		by, ok := day.Fix(s.day, hand)
		if s.problem.Meetings(hand) > 0 || !ok {
			return result, nil
		}
		most = by.Total
	}
	between := s.problem.Between(ctx, s.day, result, most)
	if between.Total == result.Total {
		return result, nil
	}
	return s.keepBound(between), nil
}

// within searches from some orders with wishes more, and takes what it finds where that costs no more than a share, and
// nothing that the result takes.
func (s *search) within(
	deadline context.Context, result day.Result, spec day.Spec, orders [][]solver.GroupingIndex, share int64,
) (day.Result, error) {
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
	if with.Status != day.Found || len(with.Plan.LeftOut) > len(result.Plan.LeftOut) || with.Lost != result.Lost ||
		with.Total > result.Total+result.Total/share {
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
