package model

import (
	"context"
	"slices"

	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

const (
	// partedShare is the part of the cost, one in so many, that it may take to have another photograph between one with
	// somebody and one with whom they have parted from. Common practice, no source.
	partedShare = 40
	// mostTries bounds what is tried for that.
	mostTries = 2_000
)

// Between moves photographs so that another one comes between those of two who have parted: neither waits while the other is
// taken. All of it costs no more than a share, and no more than most where that is above 0.
func (pr *Problem) Between(ctx context.Context, p *day.Problem, result day.Result, most int64) day.Result {
	limit := result.Total + result.Total/partedShare
	if most > 0 {
		limit = min(limit, most)
	}
	for tries := 0; ; {
		best, orders := result, result.Plan.Orders()
		meetings := pr.Meetings(orders)
		fewest := meetings
		for _, moved := range pr.around(orders) {
			if tries++; tries > mostTries || ctx.Err() != nil {
				return result
			}
			n := pr.Meetings(moved)
			if n > fewest || n == meetings {
				continue
			}
			r, ok := day.Fix(p, moved)
			if ok && r.Lost == result.Lost && r.Total <= limit && (n < fewest || r.Total < best.Total) {
				best, fewest = r, n
			}
		}
		if fewest == meetings {
			return result
		}
		result = best
	}
}

// Meetings counts where a photograph with somebody follows one with whom they have parted from, and neither has both.
func (pr *Problem) Meetings(orders [][]solver.GroupingIndex) int {
	n := 0
	for _, order := range orders {
		for k := 1; k < len(order); k++ {
			if pr.clashing(order[k-1], order[k]) {
				n++
			}
		}
	}
	return n
}

// clashing says that of two who have parted one is in each of two photographs alone.
func (pr *Problem) clashing(g, h solver.GroupingIndex) bool {
	in := func(g solver.GroupingIndex, q int) bool {
		return slices.Contains(pr.Spec.Groupings[g].Members, solver.PersonIndex(q))
	}
	return slices.ContainsFunc(pr.parted, func(two [2]int) bool {
		a, b := two[0], two[1]
		return in(g, a) && in(h, b) && !in(g, b) && !in(h, a) || in(g, b) && in(h, a) && !in(g, a) && !in(h, b)
	})
}

// around lists orders in which another photograph is moved to between two that meet. These stay: photographs of one parent are
// one run.
func (pr *Problem) around(orders [][]solver.GroupingIndex) [][][]solver.GroupingIndex {
	var out [][][]solver.GroupingIndex
	for b, order := range orders {
		for k := 1; k < len(order); k++ {
			if !pr.clashing(order[k-1], order[k]) {
				continue
			}
			for from, g := range order {
				to := k
				if from < k {
					to = k - 1
				}
				if from != k-1 && from != k {
					moved := slices.Clone(orders)
					moved[b] = slices.Insert(slices.Delete(slices.Clone(order), from, from+1), to, g)
					out = append(out, moved)
				}
			}
		}
	}
	return out
}
