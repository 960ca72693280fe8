package planning

import (
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// past is a slot that is over.
type past struct {
	grouping solver.GroupingIndex
	block    int
	finish   solver.Seconds
}

// past lists the slots that are over, as far as their photographs and blocks are still known.
func (r *rest) past() []past {
	var out []past
	for _, s := range r.today.Slots {
		g := r.index(s.Grouping)
		b := slices.IndexFunc(r.Blocks, func(b event.Block) bool { return b.ID == s.Block })
		if g >= 0 && b >= 0 && r.today.Done[s.Grouping] {
			finish := (s.Finished.Sub(r.Clock.Origin) + time.Second - 1) / time.Second
			out = append(out, past{g, b, solver.Seconds(finish)})
		}
	}
	return out
}

// arrival is when those of a slot can be at a block, within the times that a day counts.
func (r *rest) arrival(x past, b int) solver.Seconds {
	from, to := r.Spec.Blocks[x.block].Place, r.Spec.Blocks[b].Place
	return min(max(0, x.finish+r.Spec.Walk[from][to]), solver.MaxSeconds)
}

// photographerAt is when the photographer of a block can be there, from where they took the last
// photograph. A photographer who has called somebody since is there.
func (r *rest) photographerAt(b int, over []past) solver.Seconds {
	mine, last := r.Spec.Blocks[b].Photographer, past{block: b}
	for _, x := range over {
		if r.Spec.Blocks[x.block].Photographer == mine && x.finish >= last.finish {
			last = x
		}
	}
	if _, calls := r.today.Current[r.Blocks[b].ID]; calls {
		return 0
	}
	return r.arrival(last, b)
}

// changedPlaces sends everybody to where a block is now, as long as they are on their way.
func (r *rest) changedPlaces() (out []Change) {
	for b, order := range r.plan.Orders() {
		if at := r.GoesOver(r.today, b); len(order) > 0 && at > 0 && r.Spec.Blocks[b].Open <= at {
			out = append(out, Change{Message: wording.Say(changedPlace, r.Blocks[b].Place), Of: []string{r.Photographs[order[0]].ID}})
		}
	}
	return out
}

// oneAtATime leaves out what is said to be taken while its photographer or somebody in it is elsewhere: what
// was called last counts.
func (r *rest) oneAtATime() {
	kept := map[string]Calling{}
	blocks := make([]int, len(r.Blocks))
	for b := range blocks {
		blocks[b] = b
	}
	slices.SortStableFunc(blocks, func(a, b int) int {
		return r.today.Current[r.Blocks[b].ID].At.Compare(r.today.Current[r.Blocks[a].ID].At)
	})
	busy, people := map[int]bool{}, map[solver.PersonIndex]bool{}
	for _, b := range blocks {
		c, ok := r.today.Current[r.Blocks[b].ID]
		g := r.index(c.Grouping)
		if !ok || g < 0 || busy[int(r.Spec.Blocks[b].Photographer)] {
			continue
		}
		needed := slices.Concat(r.Spec.Groupings[g].Members, r.Spec.Groupings[g].Near)
		if slices.ContainsFunc(needed, func(q solver.PersonIndex) bool { return people[q] }) {
			continue
		}
		kept[r.Blocks[b].ID], busy[int(r.Spec.Blocks[b].Photographer)] = c, true
		for _, q := range needed {
			people[q] = true
		}
	}
	r.today.Current = kept
}

// dropBroken lifts the rules that whoever holds the camera has broken already: the people have met.
func (r *rest) dropBroken(over []past) {
	met := over
	for b, g := range r.current {
		if g >= 0 {
			met = append(slices.Clip(met), past{g, b, solver.MaxSeconds})
		}
	}
	r.Spec.Apart = slices.DeleteFunc(slices.Clone(r.Spec.Apart), func(rule day.KeptApart) bool {
		return slices.ContainsFunc(met, func(x past) bool {
			return slices.Contains(rule.A, x.grouping) && slices.ContainsFunc(met, func(y past) bool {
				together := x.block == y.block || x.finish == y.finish && r.Spec.Blocks[x.block].Place == r.Spec.Blocks[y.block].Place
				return together && slices.Contains(rule.B, y.grouping)
			})
		})
	})
	r.Spec.Turns = slices.DeleteFunc(slices.Clone(r.Spec.Turns), func(pair [2][]solver.GroupingIndex) bool {
		return r.begunIn(pair[0]) && r.begunIn(pair[1])
	})
}

// keepPast has what is over, or being taken, hold up what is left: people come from where they were photographed last,
// and people kept apart still must not meet.
func (r *rest) keepPast() {
	over := r.past()
	r.dropBroken(over)
	var busy []past
	for b, g := range r.current {
		if g >= 0 {
			busy = append(busy, past{g, b, r.Spec.Blocks[b].Open + r.Spec.Blocks[b].Opening + r.Spec.Groupings[g].Fixed})
		}
	}
	for g := range r.Spec.Groupings {
		w := &r.Spec.Groupings[g]
		w.From = make([]solver.Seconds, len(r.Blocks))
		for _, q := range slices.Concat(w.Members, w.Near) {
			for _, slots := range [][]past{over, busy} {
				if last, ok := r.lastWith(q, slots); ok {
					for b := range w.From {
						if b != last.block { // there it goes on where it ends
							w.From[b] = max(w.From[b], r.arrival(last, b))
						}
					}
				}
			}
		}
	}
	for _, rule := range r.Spec.Apart {
		for _, x := range over {
			if slices.Contains(rule.A, x.grouping) {
				r.keepFrom(x, rule.B, rule.Until)
			}
			if slices.Contains(rule.B, x.grouping) {
				r.keepFrom(x, rule.A, rule.Until)
			}
		}
	}
	for _, g := range r.current {
		if g >= 0 {
			r.Spec.Groupings[g].From = nil // It has begun.
		}
	}
}

// lastWith finds the last slot that somebody was needed in.
func (r *rest) lastWith(q solver.PersonIndex, over []past) (last past, ok bool) {
	for _, x := range over {
		w := r.Spec.Groupings[x.grouping]
		if (slices.Contains(w.Members, q) || slices.Contains(w.Near, q)) && (!ok || x.finish >= last.finish) {
			last, ok = x, true
		}
	}
	return last, ok
}

// keepFrom keeps groupings away from a slot with people whom theirs must not meet before a time: out of its
// block, and at its place for the handover.
func (r *rest) keepFrom(x past, others []solver.GroupingIndex, until solver.Seconds) {
	for _, g := range others {
		w := &r.Spec.Groupings[g]
		for b, block := range r.Spec.Blocks {
			switch {
			case block.Place != r.Spec.Blocks[x.block].Place:
			case b != x.block:
				w.From[b] = max(w.From[b], min(until, x.finish+r.Spec.Handover))
			case until < solver.MaxSeconds:
				w.From[b] = max(w.From[b], until)
			default:
				w.Blocks = slices.DeleteFunc(slices.Clone(w.Blocks), func(y day.BlockIndex) bool { return int(y) == b })
			}
		}
	}
}
