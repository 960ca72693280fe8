package planning

import (
	"cmp"
	"context"
	"math"
	"slices"

	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

const (
	// mostWaiting is how long the crew waits for somebody while others could be taken, in seconds: common practice, no
	// source.
	mostWaiting = 60
	// meanwhileTries bounds takeMeanwhile, in orders that are timed, and afterTries takeAfter, in days that are set up.
	meanwhileTries = 400
	afterTries     = 100
)

// takeMeanwhile moves photographs forward into a time in which everybody would wait for people of another: whoever is late
// holds up nobody else. Nothing loses its place by it, and what waits comes later by half of what is saved at most.
func (r *rest) takeMeanwhile(ctx context.Context, a arranged) arranged {
	tries := meanwhileTries
	for b := range a.orders {
		for k := len(r.Spec.Blocks[b].Prefix); k+1 < len(a.orders[b]); k++ {
			if waiting(a, b, k) < mostWaiting {
				continue
			}
			// First what stands before nothing more urgent by it, then anything.
			m, ok := r.instead(ctx, a, b, k, a.early, &tries)
			if !ok {
				m, ok = r.instead(ctx, a, b, k, math.MaxInt, &tries)
			}
			if ok {
				a, r.better = m, true
			}
		}
	}
	return a
}

// takeAfter plans what has no place because its people are needed elsewhere by some time: for when they have been there. What
// must be taken first may have left no time for it: then it is taken while everybody is still there, if they are.
func (r *rest) takeAfter(ctx context.Context, a arranged) arranged {
	tries := 0
	if r.lift(&r.Spec, a.result.Plan.LeftOut, r.hasBegun) {
		if p, err := day.New(r.Spec); err == nil {
			a, _ = r.arrange(p, a.orders)
			a = r.filled(ctx, a)
		}
	}
photographs:
	for _, g := range a.result.Plan.LeftOut {
		for _, b := range blocksWithRoom(a, g) {
			for _, at := range r.released(a, g, int(b)) {
				if tries++; tries > afterTries || ctx.Err() != nil && r.overtime(a.problem) {
					return a
				}
				was := r.Spec
				r.Spec.Groupings = slices.Clone(was.Groupings)
				from := make([]solver.Seconds, len(r.Blocks))
				copy(from, was.Groupings[g].From)
				from[b] = max(from[b], at)
				r.Spec.Groupings[g].From = from
				if p, err := day.New(r.Spec); err == nil {
					next := slices.Clone(a.orders)
					next[b] = p.Append(b, next[b], g)
					if m, ok := r.arrange(p, next); ok && m.lost.Less(a.lost) {
						a = m
						continue photographs
					}
				}
				r.Spec = was
			}
		}
	}
	return a
}

// blocksWithRoom are those that are long enough for a photograph more.
func blocksWithRoom(a arranged, g solver.GroupingIndex) (out []day.BlockIndex) {
	for b := range a.problem.Places(a.orders, g) {
		if !slices.Contains(out, b) {
			out = append(out, b)
		}
	}
	return out
}

// released is when those of a photograph who are in others elsewhere can be in a block after each of them.
func (r *rest) released(a arranged, g solver.GroupingIndex, b int) []solver.Seconds {
	var out []solver.Seconds
	for c, slots := range a.result.Plan.Blocks {
		for _, s := range slots {
			shares := func(q solver.PersonIndex) bool { return slices.Contains(r.Spec.Groupings[s.Grouping].Members, q) }
			if c != b && slices.ContainsFunc(r.Spec.Groupings[g].Members, shares) {
				out = append(out, r.arrival(past{s.Grouping, c, s.Finish}, b))
			}
		}
	}
	slices.Sort(out)
	return out
}

// instead is an order in which the first photograph that saves waiting comes at place k of a block, must-haves first, and in which
// no more than so many come before something that must be taken. It is looked for when time is up too: people stand and wait.
func (r *rest) instead(ctx context.Context, a arranged, b, k, early int, tries *int) (arranged, bool) {
	behind := make([]int, 0, len(a.orders[b]))
	for j := k + 1; j < len(a.orders[b]); j++ {
		behind = append(behind, j)
	}
	slices.SortStableFunc(behind, func(i, j int) int {
		return cmp.Compare(min(r.urgent[a.orders[b][i]], 1), min(r.urgent[a.orders[b][j]], 1))
	})
	for _, j := range behind {
		if *tries--; *tries < 0 || ctx.Err() != nil && r.overtime(a.problem) {
			break
		}
		next := slices.Clone(a.orders)
		next[b] = slices.Insert(slices.Delete(slices.Clone(a.orders[b]), j, j+1), k, a.orders[b][j])
		if m, ok := r.arrange(a.problem, next); ok && m.early <= early && saves(a, m, b, k) {
			return m, true
		}
	}
	return arranged{}, false
}

// waiting is how long everybody waits before a slot, in seconds.
func waiting(a arranged, b, k int) solver.Seconds {
	s := a.result.Plan.Blocks[b][k]
	return s.Start - s.Begin
}

// saves says that an order in which another photograph comes at place k of a block takes it while one would wait there.
func saves(was, now arranged, b, k int) bool {
	old, next := was.result.Plan.Blocks[b], now.result.Plan.Blocks[b]
	at := slices.IndexFunc(next, func(s day.Slot) bool { return s.Grouping == old[k].Grouping })
	return at > k && !was.lost.Less(now.lost) && now.late <= was.late &&
		old[k].Start-next[k].Start >= mostWaiting && next[at].Start-old[k].Start <= waiting(was, b, k)/2
}

// expects says that somebody of a photograph comes so late that others are taken meanwhile.
func (r *rest) expects(w day.Grouping) bool {
	return len(w.Windows) > 0 && !slices.ContainsFunc(w.Blocks, func(b day.BlockIndex) bool {
		return slices.ContainsFunc(w.Windows, func(x solver.Window) bool { return x.Open <= r.Spec.Blocks[b].Open+mostWaiting })
	})
}
