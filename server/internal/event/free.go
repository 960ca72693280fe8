package event

import (
	"slices"
	"time"
)

// SheetPlace is where an entry stands on a sheet: the block, and its place in the block, from 0.
type SheetPlace struct{ Block, Entry int }

// Entry returns the entry at a place.
func (s *CallSheet) Entry(at SheetPlace) *SheetEntry { return &s.Blocks[at.Block].Entries[at.Entry] }

// Over returns how long after the start of its block an entry is over.
func (e *SheetEntry) Over() time.Duration { return e.Offset + e.Length }

// Wanted lists who is in an entry, then who is at hand for it.
func (e *SheetEntry) Wanted() []string { return slices.Concat(e.StepIn, e.Stay, e.Near) }

// timed reports whether every block with entries has a clock time.
func (s *CallSheet) timed() bool {
	return !slices.ContainsFunc(s.Blocks, func(b SheetBlock) bool { return b.Start.IsZero() && len(b.Entries) > 0 })
}

// InTime lists the entries of a sheet by when they begin, however the blocks stand on it: two
// photographers may be at work at once. Where a block has no clock time nothing says how the blocks
// lie to each other, and entries are listed as they stand.
func (s *CallSheet) InTime() []SheetPlace {
	var out []SheetPlace
	for i := range s.Blocks {
		for k := range s.Blocks[i].Entries {
			out = append(out, SheetPlace{i, k})
		}
	}
	if s.timed() {
		begins := func(at SheetPlace) time.Time { return s.Blocks[at.Block].Start.Add(s.Entry(at).Offset) }
		slices.SortStableFunc(out, func(x, y SheetPlace) int { return begins(x).Compare(begins(y)) })
	}
	return out
}

// Frees says for everybody after which entry of the day they are free to go: of those that they are in
// or at hand for, the one that is over last. Where blocks have no clock times it is in the block that
// releases them, or else in the last one as they stand. Every sheet and page goes by this.
func (s *CallSheet) Frees() map[string]SheetPlace {
	timed, released := s.timed(), map[string]int{}
	for i := range s.Blocks {
		for k := range s.Blocks[i].Entries {
			for _, id := range s.Blocks[i].Entries[k].Released {
				released[id] = i
			}
		}
	}
	later := func(id string, x, y SheetPlace) bool {
		if x.Block == y.Block || timed {
			over := func(at SheetPlace) time.Time { return s.Blocks[at.Block].Start.Add(s.Entry(at).Over()) }
			return !over(x).Before(over(y))
		}
		block, said := released[id]
		return !said || block != y.Block
	}
	out := map[string]SheetPlace{}
	for _, at := range s.InTime() {
		for _, id := range s.Entry(at).Wanted() {
			if before, seen := out[id]; !seen || later(id, at, before) {
				out[id] = at
			}
		}
	}
	return out
}
