package planning

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// reduce drops what is done, what waits and blocks that are over, so that the search sees only what is
// left. It numbers groupings and blocks anew.
func (r *rest) reduce() {
	keep, number := []solver.GroupingIndex{}, map[solver.GroupingIndex]solver.GroupingIndex{}
	for g := range r.spec.Groupings {
		if r.open(g) {
			number[solver.GroupingIndex(g)] = solver.GroupingIndex(len(keep))
			keep = append(keep, solver.GroupingIndex(g))
		}
	}
	list := func(set []solver.GroupingIndex) []solver.GroupingIndex {
		var out []solver.GroupingIndex
		for _, g := range set {
			if n, ok := number[g]; ok {
				out = append(out, n)
			}
		}
		return out
	}
	started := r.calledBefore()
	blocks := r.reduceBlocks()
	was := r.spec
	r.spec.Groupings = nil
	var photographs []event.Photograph
	var frames []int
	for _, g := range keep {
		w := was.Groupings[g]
		w.After = list(w.After)
		var allowed []day.BlockIndex
		for _, b := range w.Blocks {
			if n, ok := blocks[b]; ok {
				allowed = append(allowed, n)
			}
		}
		w.Blocks = allowed
		if len(w.From) > 0 {
			from := make([]solver.Seconds, len(blocks))
			for b, n := range blocks {
				from[n] = w.From[b]
			}
			w.From = from
		}
		r.spec.Groupings = append(r.spec.Groupings, w)
		photographs, frames = append(photographs, r.photographs[g]), append(frames, r.frames[g])
	}
	r.spec.Ranks, r.spec.Turns, r.spec.Together, r.spec.Apart = nil, nil, nil, nil
	for _, pair := range was.Ranks {
		if both := list(pair[:]); len(both) == 2 {
			r.spec.Ranks = append(r.spec.Ranks, [2]solver.GroupingIndex{both[0], both[1]})
		}
	}
	for _, pair := range was.Turns {
		if a, b := list(pair[0]), list(pair[1]); len(a) > 0 && len(b) > 0 {
			r.spec.Turns = append(r.spec.Turns, [2][]solver.GroupingIndex{a, b})
		}
	}
	for _, set := range was.Together {
		if left := list(set); len(left) > 1 {
			r.spec.Together = append(r.spec.Together, left)
		}
	}
	for _, rule := range was.Apart {
		r.spec.Apart = append(r.spec.Apart, day.KeptApart{A: list(rule.A), B: list(rule.B), Until: rule.Until})
	}
	for b := range r.current {
		r.current[b], r.next[b] = renumbered(r.current[b], number), renumbered(r.next[b], number)
	}
	r.photographs, r.frames = photographs, frames
	if len(r.spec.Blocks) == 1 {
		r.spec.People = slices.Clone(r.spec.People)
		for _, q := range started {
			r.spec.People[q].Started = true
		}
	}
}

func renumbered(g solver.GroupingIndex, number map[solver.GroupingIndex]solver.GroupingIndex) solver.GroupingIndex {
	if n, ok := number[g]; ok {
		return n
	}
	return -1
}

// calledBefore lists the people whose waiting has begun: they were in a photograph and have one left.
func (r *rest) calledBefore() []solver.PersonIndex {
	been, left := map[solver.PersonIndex]bool{}, map[solver.PersonIndex]bool{}
	for g, w := range r.spec.Groupings {
		for _, q := range w.Members {
			been[q] = been[q] || r.today.Done[r.photographs[g].ID]
			left[q] = left[q] || r.open(g)
		}
	}
	var out []solver.PersonIndex
	for i := range r.event.People {
		if q := solver.PersonIndex(i); been[q] && left[q] {
			out = append(out, q)
		}
	}
	return out
}

// reduceBlocks drops the blocks that are over; one is always left.
func (r *rest) reduceBlocks() map[day.BlockIndex]day.BlockIndex {
	number := map[day.BlockIndex]day.BlockIndex{}
	var spec []day.Block
	var blocks []event.Block
	var current, next []solver.GroupingIndex
	for b, block := range r.blocks {
		if r.over[block.ID] {
			continue
		}
		number[day.BlockIndex(b)] = day.BlockIndex(len(blocks))
		spec, blocks = append(spec, r.spec.Blocks[b]), append(blocks, block)
		current, next = append(current, r.current[b]), append(next, r.next[b])
	}
	r.spec.Blocks, r.blocks, r.current, r.next = spec, blocks, current, next
	return number
}

// prefixes returns the blocks with what has to open them: what is being taken, and, if they are to keep
// their turn, those who stand by.
func (r *rest) prefixes(standby bool) []day.Block {
	blocks := slices.Clone(r.spec.Blocks)
	for b := range blocks {
		blocks[b].Prefix = nil
		for _, g := range []solver.GroupingIndex{r.current[b], r.next[b]} {
			if g >= 0 && (standby || g == r.current[b]) {
				blocks[b].Prefix = append(blocks[b].Prefix, g)
				r.free(g)
			}
		}
	}
	return blocks
}

// free lifts the wishes that would hold back what opens a block: it is there already.
func (r *rest) free(g solver.GroupingIndex) {
	r.spec.Groupings = slices.Clone(r.spec.Groupings)
	w := &r.spec.Groupings[g]
	w.Pin, w.After = solver.PinNone, nil
	r.spec.Ranks = slices.DeleteFunc(slices.Clone(r.spec.Ranks), func(pair [2]solver.GroupingIndex) bool { return pair[1] == g })
	var together [][]solver.GroupingIndex
	for _, set := range r.spec.Together {
		if left := slices.DeleteFunc(slices.Clone(set), func(x solver.GroupingIndex) bool { return x == g }); len(left) > 1 {
			together = append(together, left)
		}
	}
	r.spec.Together = together
}

// incumbent is the order of the plan in force as far as it is left.
func (r *rest) incumbent() [][]solver.GroupingIndex {
	out := make([][]solver.GroupingIndex, len(r.blocks))
	for b, block := range r.blocks {
		for _, g := range []solver.GroupingIndex{r.current[b], r.next[b]} {
			if g >= 0 {
				out[b] = append(out[b], g)
			}
		}
		for _, id := range r.today.Orders[block.ID] {
			if g := r.index(id); g >= 0 && !slices.ContainsFunc(out, func(list []solver.GroupingIndex) bool { return slices.Contains(list, g) }) {
				out[b] = append(out[b], g)
			}
		}
	}
	return out
}

// standbyCosts says that something is left out that matters more than those who stand by.
func (r *rest) standbyCosts() bool {
	for _, g := range r.plan.LeftOut {
		for _, n := range r.next {
			if n >= 0 && len(r.spec.Groupings[g].Blocks) > 0 && r.spec.Groupings[g].Tier < r.spec.Groupings[n].Tier {
				return true
			}
		}
	}
	return false
}

// mustFirst wants what must be taken before the rest of its block, behind what opens it. It reports
// whether that changes anything.
func (r *rest) mustFirst() bool {
	before := len(r.spec.Ranks)
	for g, w := range r.spec.Groupings {
		for h, x := range r.spec.Groupings {
			opens := slices.ContainsFunc(r.spec.Blocks, func(b day.Block) bool {
				return slices.Contains(b.Prefix, solver.GroupingIndex(h)) || slices.Contains(b.Prefix, solver.GroupingIndex(g))
			})
			if w.Tier == 0 && x.Tier > 0 && !opens {
				r.spec.Ranks = append(slices.Clip(r.spec.Ranks), [2]solver.GroupingIndex{solver.GroupingIndex(g), solver.GroupingIndex(h)})
			}
		}
	}
	return len(r.spec.Ranks) > before
}
