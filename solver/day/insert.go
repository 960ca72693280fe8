package day

import (
	"cmp"
	"slices"

	"kinorder.example/solver"
)

// Insert puts a grouping that a plan leaves out into a block of it, where the block then ends
// soonest, and leaves everything else in its order. It returns false when no place keeps the wishes.
// The plan may come from another problem over the same groupings, so that a caller can ask what a
// wish less would change.
func Insert(p *Problem, plan Plan, g solver.GroupingIndex, b BlockIndex) (Plan, bool) {
	d := newDecoder(p)
	o := orders(plan.Orders())
	var best Plan
	var ends solver.Seconds
	found := false
	for at := 0; at <= len(o[b]); at++ {
		next := o.clone()
		next[b] = slices.Insert(next[b], at, g)
		if _, ok := d.decode(next); !ok {
			continue
		}
		if end := d.finish[next[b][len(next[b])-1]]; !found || end < ends {
			best, ends, found = d.plan(next), end, true
		}
	}
	return best, found
}

// roomIn is the time that is left of a block even if nobody in it waits for anything, and longer by how much less it is
// with a grouping put in at a place. What is longer than the room fits nowhere, and needs no look at the day.
func (s *searcher) roomIn(b BlockIndex, list []solver.GroupingIndex) solver.Seconds {
	block := s.p.spec.Blocks[b]
	if block.Close == 0 {
		return solver.MaxSeconds
	}
	room, before := block.Close-block.Open, solver.GroupingIndex(-1)
	for _, g := range list {
		room -= s.p.slot(b, before, g)
		before = g
	}
	return room
}

func (s *searcher) longer(b BlockIndex, list []solver.GroupingIndex, at int, g solver.GroupingIndex) solver.Seconds {
	before := solver.GroupingIndex(-1)
	if at > 0 {
		before = list[at-1]
	}
	by := s.p.slot(b, before, g)
	if at < len(list) {
		by += s.p.slot(b, g, list[at]) - s.p.slot(b, before, list[at])
	}
	return by
}

// bestPlace tries every place for a grouping. With noise above 0 it passes over a place
// with that chance, so that repeated repairs differ.
func (s *searcher) bestPlace(o orders, g solver.GroupingIndex, noise float64) (candidate, bool) {
	var best candidate
	found := false
	s.everyPlace(o, g, noise, func(c candidate) {
		if s.fits(o, g, &c) && (!found || c.score.less(best.score)) {
			best, found = c, true
		}
	})
	return best, found
}

// shortPlace is the place for a grouping at which it takes least time.
func (s *searcher) shortPlace(o orders, g solver.GroupingIndex, noise float64) (candidate, bool) {
	s.places = s.places[:0]
	s.everyPlace(o, g, noise, func(c candidate) { s.places = append(s.places, c) })
	slices.SortStableFunc(s.places, func(a, b candidate) int { return cmp.Compare(a.longer, b.longer) })
	for _, c := range s.places {
		if s.fits(o, g, &c) {
			return c, true
		}
	}
	return candidate{}, false
}

// everyPlace visits the places at which there is room for a grouping.
func (s *searcher) everyPlace(o orders, g solver.GroupingIndex, noise float64, visit func(candidate)) {
	for _, b := range s.p.possible[g] {
		from, room := len(s.p.spec.Blocks[b].Prefix), s.roomIn(b, o[b])
		for at := len(o[b]); at >= from; at-- {
			if by := s.longer(b, o[b], at, g); by <= room && (noise == 0 || s.rng.Float64() >= noise) {
				visit(candidate{block: b, at: at, longer: by})
			}
		}
	}
}

// fits looks at the day with a grouping at a place.
func (s *searcher) fits(o orders, g solver.GroupingIndex, c *candidate) bool {
	without := o[c.block]
	s.list = append(append(append(s.list[:0], without[:c.at]...), g), without[c.at:]...)
	o[c.block] = s.list
	score, ok := s.d.decode(o)
	o[c.block], c.score = without, score
	return ok
}
