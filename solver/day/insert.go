package day

import (
	"cmp"
	"iter"
	"slices"

	"kinorder.example/solver"
)

// Insert puts a grouping that a plan leaves out into a block of it, where the block then ends
// soonest, and leaves everything else in its order. It returns false when no place keeps the wishes.
// The plan may come from another problem over the same groupings, so that a caller can ask what a
// wish less would change.
func Insert(p *Problem, plan Plan, g solver.GroupingIndex, b BlockIndex) (Plan, bool) {
	d := p.decoder()
	defer p.decoders.Put(d)
	o := orders(plan.Orders())
	var best Plan
	var ends solver.Seconds
	found := false
	from, to := p.between(b, o[b], g)
	room := p.roomIn(b, o[b])
	for at := from; at <= to; at++ {
		if p.longer(b, o[b], at, g) > room {
			continue
		}
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
func (p *Problem) roomIn(b BlockIndex, list []solver.GroupingIndex) solver.Seconds {
	block := p.spec.Blocks[b]
	if block.Close == 0 {
		return solver.MaxSeconds
	}
	room, before := block.Close-block.Open, solver.GroupingIndex(-1)
	for _, g := range list {
		room -= p.slot(b, before, g)
		before = g
	}
	return room
}

func (p *Problem) longer(b BlockIndex, list []solver.GroupingIndex, at int, g solver.GroupingIndex) solver.Seconds {
	before := solver.GroupingIndex(-1)
	if at > 0 {
		before = list[at-1]
	}
	by := p.slot(b, before, g)
	if at < len(list) {
		by += p.slot(b, g, list[at]) - p.slot(b, before, list[at])
	}
	return by
}

// between are the first and the last place of a grouping in the order of a block, by what is pinned and what comes before
// and after it there. There is none if the first is behind the last.
func (p *Problem) between(b BlockIndex, list []solver.GroupingIndex, g solver.GroupingIndex) (first, last int) {
	pin := func(h solver.GroupingIndex) solver.Pin { return p.spec.Groupings[h].Pin }
	first, last = len(p.spec.Blocks[b].Prefix), len(list)
	opens, ends := first, last // what is pinned to the beginning is before opens, what is to the end from ends on
	for opens < last && pin(list[opens]) == solver.PinFirst {
		opens++
	}
	for ends > opens && pin(list[ends-1]) == solver.PinLast {
		ends--
	}
	switch pin(g) {
	case solver.PinFirst:
		last = opens
	case solver.PinLast:
		first = ends
	default:
		first, last = opens, ends
	}
	for at := first; at < last; at++ {
		if p.wishes.comesAfter(list[at], g) {
			return first, at
		}
		if p.wishes.comesAfter(g, list[at]) {
			first = at + 1
		}
	}
	return first, last
}

// Places are those at which orders have room for a grouping and no pin or rank is against it, the last of a block first.
func (p *Problem) Places(o [][]solver.GroupingIndex, g solver.GroupingIndex) iter.Seq2[BlockIndex, int] {
	return func(yield func(BlockIndex, int) bool) {
		p.everyPlace(o, g, func(c candidate) bool { return yield(c.block, c.at) })
	}
}

// everyPlace visits Places for as long as visit returns true.
func (p *Problem) everyPlace(o orders, g solver.GroupingIndex, visit func(candidate) bool) {
	for _, b := range p.possible[g] {
		from, to := p.between(b, o[b], g)
		room := p.roomIn(b, o[b])
		for at := to; at >= from; at-- {
			if by := p.longer(b, o[b], at, g); by <= room && !visit(candidate{block: b, at: at, longer: by}) {
				return
			}
		}
	}
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

// everyPlace visits the places for a grouping, and passes over each with the chance of noise.
func (s *searcher) everyPlace(o orders, g solver.GroupingIndex, noise float64, visit func(candidate)) {
	s.p.everyPlace(o, g, func(c candidate) bool {
		if noise == 0 || s.rng.Float64() >= noise {
			visit(c)
		}
		return true
	})
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
