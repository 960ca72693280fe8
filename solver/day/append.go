package day

import (
	"slices"

	"kinorder.example/solver"
)

// together moves groupings of a sequence next to those they belong together with.
func (s *searcher) together(sequence []solver.GroupingIndex) []solver.GroupingIndex {
	n := len(s.p.spec.Groupings)
	pending, with := make([]bool, n), make([][]solver.GroupingIndex, n)
	for _, g := range sequence {
		pending[g] = true
	}
	for _, set := range s.p.spec.Together {
		for _, g := range set {
			with[g] = set
		}
	}
	out := make([]solver.GroupingIndex, 0, len(sequence))
	for _, g := range sequence {
		for _, h := range append([]solver.GroupingIndex{g}, with[g]...) {
			if pending[h] {
				pending[h] = false
				out = append(out, h)
			}
		}
	}
	return out
}

// appended is a candidate with groupings at the ends of blocks.
func (s *searcher) appended(o orders, sequence []solver.GroupingIndex) orders {
	if _, ok := s.d.decode(o); ok {
		s.appendAll(o, s.together(sequence), s.ends(o))
	}
	return o
}

// Append is the order of a block with a grouping at the last of its places.
func (p *Problem) Append(b BlockIndex, list []solver.GroupingIndex, g solver.GroupingIndex) []solver.GroupingIndex {
	_, last := p.between(b, list, g)
	return slices.Insert(slices.Clip(list), last, g)
}

// firstWork bounds a first plan of a large day for which there is no time, in people looked at: some tenths of a second.
const firstWork = 20_000_000

// appendAll puts groupings at the ends of blocks, each as appendTo does, but looks at the day once for all where they
// fit together, and for each half of them apart where they don't.
func (s *searcher) appendAll(o orders, sequence []solver.GroupingIndex, ends []solver.Seconds) []solver.Seconds {
	if len(sequence) == 0 || s.ctx.Err() != nil && (s.hasBest || s.d.work > firstWork) {
		return ends
	}
	if len(sequence) == 1 {
		return s.appendTo(o, sequence[0], ends)
	}
	before, until := slices.Clone(o), slices.Clone(ends)
	for _, g := range sequence {
		for _, b := range s.p.possible[g] {
			if closes := s.p.spec.Blocks[b].Close; closes == 0 || until[b]+s.p.leastSlot[g] <= closes {
				o[b], until[b] = s.p.Append(b, o[b], g), until[b]+s.p.leastSlot[g]
				break
			}
		}
	}
	if _, ok := s.d.decode(o); ok {
		return s.ends(o)
	}
	copy(o, before)
	half := len(sequence) / 2
	return s.appendAll(o, sequence[half:], s.appendAll(o, sequence[:half], ends))
}

// appendTo puts a grouping at the end of the first block that takes it there. Ends are when the blocks end so far: one that
// is too full is passed over without a look at the day.
func (s *searcher) appendTo(o orders, g solver.GroupingIndex, ends []solver.Seconds) []solver.Seconds {
	for _, b := range s.p.possible[g] {
		before := o[b]
		from, at := s.p.between(b, before, g)
		if closes := s.p.spec.Blocks[b].Close; from > at || closes > 0 && ends[b]+s.p.longer(b, before, at, g) > closes {
			continue
		}
		o[b] = slices.Insert(slices.Clip(before), at, g)
		if _, ok := s.d.decode(o); ok {
			return s.ends(o)
		}
		o[b] = before
	}
	return ends
}

// ends are when blocks end in orders that were decoded, 0 for those in which nothing is taken.
func (s *searcher) ends(o orders) []solver.Seconds {
	out := make([]solver.Seconds, len(o))
	for b, list := range o {
		if len(list) > 0 {
			out[b] = s.d.finish[list[len(list)-1]]
		}
	}
	return out
}
