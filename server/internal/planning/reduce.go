package planning

import (
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// reduce drops what is done, what waits and blocks that are over, so that the search sees only what is
// left. It numbers groupings and blocks anew.
func (r *rest) reduce() {
	number, kept := numbers{}, []int{}
	for g := range r.Spec.Groupings {
		if r.open(g) {
			number[solver.GroupingIndex(g)] = solver.GroupingIndex(len(kept))
			kept = append(kept, g)
		}
	}
	started := r.calledBefore()
	blocks := r.reduceBlocks()
	var groupings []day.Grouping
	var photographs []event.Photograph
	var frames []int
	for _, g := range kept {
		w := inBlocks(r.Spec.Groupings[g], blocks)
		w.After = number.list(w.After)
		groupings = append(groupings, w)
		photographs, frames = append(photographs, r.Photographs[g]), append(frames, r.Frames[g])
	}
	r.Spec.Groupings, r.Photographs, r.Frames = groupings, photographs, frames
	number.rules(&r.Spec)
	for b := range r.current {
		r.current[b], r.next[b], r.ready[b] = number.of(r.current[b]), number.of(r.next[b]), number.of(r.ready[b])
	}
	if len(r.Spec.Blocks) == 1 {
		r.Spec.People = slices.Clone(r.Spec.People)
		for _, q := range started {
			r.Spec.People[q].Started = true
		}
	}
}

// inBlocks is a grouping by the new numbers of the blocks that are left.
func inBlocks(w day.Grouping, number map[day.BlockIndex]day.BlockIndex) day.Grouping {
	var allowed []day.BlockIndex
	for _, b := range w.Blocks {
		if n, ok := number[b]; ok {
			allowed = append(allowed, n)
		}
	}
	w.Blocks = allowed
	if len(w.From) > 0 {
		from := make([]solver.Seconds, len(number))
		for b, n := range number {
			from[n] = w.From[b]
		}
		w.From = from
	}
	return w
}

// numbers are the new numbers of the groupings that are left.
type numbers map[solver.GroupingIndex]solver.GroupingIndex

// of is -1 where a grouping is not left.
func (n numbers) of(g solver.GroupingIndex) solver.GroupingIndex {
	if now, ok := n[g]; ok {
		return now
	}
	return -1
}

func (n numbers) list(set []solver.GroupingIndex) []solver.GroupingIndex {
	var out []solver.GroupingIndex
	for _, g := range set {
		if now, ok := n[g]; ok {
			out = append(out, now)
		}
	}
	return out
}

// rules numbers the rules of a day anew, and drops those that have nothing left to rule.
func (n numbers) rules(spec *day.Spec) {
	was := *spec
	spec.Ranks, spec.Turns, spec.Together, spec.Apart = nil, nil, nil, nil
	for _, pair := range was.Ranks {
		if both := n.list(pair[:]); len(both) == 2 {
			spec.Ranks = append(spec.Ranks, [2]solver.GroupingIndex(both))
		}
	}
	for _, pair := range was.Turns {
		if a, b := n.list(pair[0]), n.list(pair[1]); len(a) > 0 && len(b) > 0 {
			spec.Turns = append(spec.Turns, [2][]solver.GroupingIndex{a, b})
		}
	}
	for _, set := range was.Together {
		if left := n.list(set); len(left) > 1 {
			spec.Together = append(spec.Together, left)
		}
	}
	for _, rule := range was.Apart {
		spec.Apart = append(spec.Apart, day.KeptApart{A: n.list(rule.A), B: n.list(rule.B), Until: rule.Until})
	}
}

// calledBefore lists the people whose waiting has begun: they were in a photograph and have one left.
func (r *rest) calledBefore() []solver.PersonIndex {
	been, left := map[solver.PersonIndex]bool{}, map[solver.PersonIndex]bool{}
	for g, w := range r.Spec.Groupings {
		for _, q := range w.Members {
			been[q] = been[q] || r.today.Done[r.Photographs[g].ID]
			left[q] = left[q] || r.open(g)
		}
	}
	var out []solver.PersonIndex
	for i := range r.Event.People {
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
	var current, next, ready []solver.GroupingIndex
	var planned, give []solver.Seconds
	for b, block := range r.Blocks {
		if r.over[block.ID] && (len(blocks) > 0 || b < len(r.Blocks)-1) {
			continue
		}
		number[day.BlockIndex(b)] = day.BlockIndex(len(blocks))
		spec, blocks = append(spec, r.Spec.Blocks[b]), append(blocks, block)
		current, next, ready = append(current, r.current[b]), append(next, r.next[b]), append(ready, r.ready[b])
		planned, give = append(planned, r.Planned[b]), append(give, r.Give[b])
	}
	r.Planned, r.Give = planned, give
	r.Spec.Blocks, r.Blocks, r.current, r.next, r.ready = spec, blocks, current, next, ready
	return number
}

// prefixes returns the blocks with what has to open them: what is being taken, and those who were told.
func (r *rest) prefixes() []day.Block {
	blocks := slices.Clone(r.Spec.Blocks)
	for b := range blocks {
		blocks[b].Prefix = nil
		for _, g := range []solver.GroupingIndex{r.current[b], r.next[b]} {
			if g >= 0 {
				blocks[b].Prefix = append(blocks[b].Prefix, g)
				r.free(g)
			}
		}
		if r.isUnderWay(b) {
			w := &r.Spec.Groupings[r.next[b]]
			since := solver.Seconds(r.today.Now.Sub(r.today.Frames[r.Blocks[b].ID].At) / time.Second)
			w.Fixed = max(r.Takes(blocks[b].Frame, blocks[b].FrameGuests, r.next[b])-since, solver.Seconds(leastLeft/time.Second))
		}
	}
	return blocks
}

// isUnderWay says that those who are called in a block walk in since the photograph before them: nobody presses a button for
// that each time. Whoever was elsewhere since then does not.
func (r *rest) isUnderWay(b int) bool {
	frame, begun := r.today.Frames[r.Blocks[b].ID]
	g := r.next[b]
	if g < 0 || r.current[b] >= 0 || !begun || r.today.Now.Sub(frame.At) >= Standing || r.begins(g, b) > r.now+soonEnough {
		return false
	}
	for _, since := range r.today.Frames {
		for _, photo := range r.all {
			shares := func(id string) bool { return slices.Contains(photo.Members, id) }
			if photo.ID == since.Grouping && since.At.After(frame.At) && slices.ContainsFunc(r.Photographs[g].Members, shares) {
				return false
			}
		}
	}
	return true
}

// free lifts the wishes that would hold back what opens a block: it is there already.
func (r *rest) free(g solver.GroupingIndex) {
	r.Spec.Groupings = slices.Clone(r.Spec.Groupings)
	w := &r.Spec.Groupings[g]
	w.Pin, w.After = solver.PinNone, nil
	r.Spec.Ranks = slices.DeleteFunc(slices.Clone(r.Spec.Ranks), func(pair [2]solver.GroupingIndex) bool { return pair[1] == g })
	var together [][]solver.GroupingIndex
	for _, set := range r.Spec.Together {
		if left := slices.DeleteFunc(slices.Clone(set), func(x solver.GroupingIndex) bool { return x == g }); len(left) > 1 {
			together = append(together, left)
		}
	}
	r.Spec.Together = together
}
