package day

import (
	"slices"

	"kinorder.example/solver"
)

// The neighbourhood search. Common settings of large neighbourhood search; none is tuned to a file.
const (
	removeMost     = 12    // groupings taken out at once, at most
	restartAfter   = 400   // steps without a better plan before going back to the best
	enoughAfter    = 3000  // steps without a better plan before a look at the bound
	acceptWithin   = 0.02  // how much worse than the best a step may be
	tightStretch   = 200   // steps that make room, and as many that do not
	tightWithin    = 0.004 // how much longer than the last a step may take that makes room
	blinkChance    = 0.08  // chance that a repair passes over a place
	worthLuck      = 0.5   // by how much luck may lower what a grouping brings
	polishEvery    = 64    // steps between exact re-solves of the current best
	polishNodes    = 500   // size of one such re-solve
	checkStopEvery = 4
)

// improve runs the large neighbourhood search: take a few groupings out, put them and what was left
// out back in, keep the result when it is good enough; now and then re-solve each block exactly. It
// ends when ctx ends, when the iterations are used up, or when it has found nothing for a while.
func (s *searcher) improve() error {
	if !s.hasBest {
		return nil
	}
	current, currentIs := s.best.clone(), s.bestIs
	idle, sinceBest, restarts := 0, 0, 0
	everything := s.leftOut(s.empty())
	if err := s.polish(polishNodes); err != nil {
		return err
	}
	for ; s.iters < s.o.Iterations && sinceBest < enoughAfter; s.iters++ {
		if s.iters%checkStopEvery == 0 && s.ctx.Err() != nil {
			return nil
		}
		next := current.clone()
		out := s.remove(next)
		out = append(out, s.leftOut(current)...)
		// Where something is left out, every other stretch of steps makes room for it.
		place, accept := s.bestPlace, s.acceptable
		if s.bestIs.lost != (Lost{}) && s.iters/tightStretch%2 == 0 {
			place, accept = s.shortPlace, func(sc score) bool { return s.tightEnough(sc, currentIs) }
		}
		s.repair(next, out, place)
		sc, ok := s.d.decode(next)
		if ok && accept(sc) {
			current, currentIs = next, sc
		}
		idle++
		sinceBest++
		if ok && sc.less(s.bestIs) {
			s.best, s.bestIs = next.clone(), sc
			idle, sinceBest = 0, 0
			s.report()
		}
		if idle >= restartAfter {
			current, currentIs, idle = s.best.clone(), s.bestIs, 0
			if restarts++; restarts%2 == 1 && s.bestIs.lost != (Lost{}) { // from somewhere else
				current = s.insertAll(s.empty(), s.byWorth(everything))
				currentIs, _ = s.d.decode(current)
			}
		}
		if s.iters%polishEvery == polishEvery-1 {
			before := s.bestIs
			if err := s.polish(polishNodes); err != nil {
				return err
			}
			if s.bestIs.less(before) {
				current, currentIs, idle, sinceBest = s.best.clone(), s.bestIs, 0, 0
			}
		}
	}
	if s.bestIs.lost != (Lost{}) {
		return s.polish(separateNodes) // to take more is worth more than to prove what is taken
	}
	return s.polish(0)
}

func (s *searcher) acceptable(sc score) bool {
	if sc.lost != s.bestIs.lost {
		return sc.less(s.bestIs)
	}
	slack := float64(s.bestIs.total) * acceptWithin * s.rng.Float64()
	return float64(sc.total) <= float64(s.bestIs.total)+slack
}

// tightEnough accepts what loses no more than the plan it came from and takes hardly longer.
func (s *searcher) tightEnough(sc, from score) bool {
	if sc.lost != from.lost {
		return sc.less(from)
	}
	return float64(sc.busy) <= float64(from.busy)*(1+tightWithin*s.rng.Float64())
}

func (s *searcher) leftOut(o orders) []solver.GroupingIndex {
	in := make([]bool, len(s.p.spec.Groupings))
	for _, list := range o {
		for _, g := range list {
			in[g] = true
		}
	}
	var out []solver.GroupingIndex
	for g, present := range in {
		if !present && len(s.p.possible[g]) > 0 {
			out = append(out, solver.GroupingIndex(g))
		}
	}
	return out
}

// remove takes groupings out of a candidate: at random, a stretch of one block, or a grouping and
// those that share most people with it.
func (s *searcher) remove(o orders) []solver.GroupingIndex {
	var movable []solver.GroupingIndex
	for b, list := range o {
		movable = append(movable, list[len(s.p.spec.Blocks[b].Prefix):]...)
	}
	if len(movable) == 0 {
		return nil
	}
	count := 1 + s.rng.IntN(min(removeMost, len(movable)))
	var out []solver.GroupingIndex
	switch kind := s.rng.IntN(3); {
	case kind == 0:
		s.rng.Shuffle(len(movable), func(i, j int) { movable[i], movable[j] = movable[j], movable[i] })
		out = movable[:count]
	case kind == 1:
		from := s.rng.IntN(len(movable))
		out = movable[from:min(len(movable), from+count)]
	default:
		seed := movable[s.rng.IntN(len(movable))]
		slices.SortStableFunc(movable, func(a, b solver.GroupingIndex) int {
			return s.p.flat.Shared(seed, b) - s.p.flat.Shared(seed, a)
		})
		out = movable[:count]
	}
	out = slices.Clone(out)
	for b, list := range o {
		from := len(s.p.spec.Blocks[b].Prefix)
		o[b] = append(list[:from:from], slices.DeleteFunc(slices.Clone(list[from:]), func(g solver.GroupingIndex) bool {
			return slices.Contains(out, g)
		})...)
	}
	return out
}

// repair puts groupings back in: mostly what brings most for its time first, sometimes at random, since one that must
// wait for others can only be placed after them.
func (s *searcher) repair(o orders, out []solver.GroupingIndex, place func(orders, solver.GroupingIndex, float64) (candidate, bool)) {
	s.rng.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	choosing := s.bestIs.lost != (Lost{}) && s.rng.IntN(4) > 0
	if choosing {
		s.tallyOf(o)
	}
	out = s.withRoom(o, out)
	for len(out) > 0 && s.ctx.Err() == nil {
		next := 0
		if choosing {
			next = s.worthMost(out)
		}
		g := out[next]
		out = slices.Delete(out, next, next+1)
		if best, ok := place(o, g, blinkChance); ok {
			o[best.block] = slices.Insert(o[best.block], best.at, g)
			s.tally.set(g, true)
			out = s.withRoom(o, out)
		}
	}
}

// withRoom drops the groupings for which no place is left.
func (s *searcher) withRoom(o orders, list []solver.GroupingIndex) []solver.GroupingIndex {
	room := make([]solver.Seconds, len(o))
	for b := range o {
		room[b] = s.p.roomIn(BlockIndex(b), o[b])
	}
	return slices.DeleteFunc(list, func(g solver.GroupingIndex) bool {
		return !slices.ContainsFunc(s.p.possible[g], func(b BlockIndex) bool {
			for at := len(s.p.spec.Blocks[b].Prefix); at <= len(o[b]); at++ {
				if s.p.longer(b, o[b], at, g) <= room[b] {
					return true
				}
			}
			return false
		})
	})
}

// tallyOf brings the tally of the search up to date with a candidate.
func (s *searcher) tallyOf(o orders) {
	in := make([]bool, len(s.p.spec.Groupings))
	for _, list := range o {
		for _, g := range list {
			in[g] = true
		}
	}
	for g, taken := range in {
		s.tally.set(solver.GroupingIndex(g), taken)
	}
}

// worthMost is the place in a list of what brings most for its time beside what the tally holds, give or take some
// luck. What brings something of an earlier entry of Lost comes first.
func (s *searcher) worthMost(list []solver.GroupingIndex) int {
	best, bestEntry, bestRate := 0, len(Lost{}), 0.0
	for i, g := range list {
		gain := s.tally.gain(g)
		entry := 0
		for entry < len(gain)-1 && gain[entry] <= 0 {
			entry++
		}
		rate := float64(gain[entry]) / float64(max(1, s.p.leastSlot[g])) * (1 - worthLuck*s.rng.Float64())
		if entry < bestEntry || entry == bestEntry && rate > bestRate {
			best, bestEntry, bestRate = i, entry, rate
		}
	}
	return best
}
