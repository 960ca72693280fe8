package planning

import (
	"slices"

	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
)

// changes says what is different from the order in force, or on paper as long as nobody was called, and why. What somebody
// has just marked, put off or begun, is not said again.
func (r *rest) changes() []Change {
	known := map[string]bool{}
	for _, order := range r.today.Orders {
		for _, id := range order {
			known[id] = true
		}
	}
	lists := map[wording.Key][]solver.GroupingIndex{}
	say := func(k wording.Key, g solver.GroupingIndex) { lists[k] = append(lists[k], g) }
	sayFirst := func(k wording.Key, g solver.GroupingIndex) { lists[k] = append([]solver.GroupingIndex{g}, lists[k]...) }
	for _, g := range r.plan.LeftOut {
		switch {
		case !known[r.Photographs[g].ID]:
		case slices.Contains(r.ready, g): // named first
			sayFirst(changedOut, g)
		default:
			say(changedOut, g)
		}
	}
	for b, order := range r.plan.Orders() {
		later, stay := r.shifted(b, order)
		next := slices.IndexFunc(order, func(g solver.GroupingIndex) bool { return g != r.current[b] })
		for i, g := range order {
			over := slices.Contains(r.ready, g) && (g != r.ready[b] || i > next) // here, or in another place
			switch id := r.Photographs[g].ID; {
			case r.marked(g):
			case !known[id] && r.today.Known[id]:
				say(changedAgain, g)
			case !known[id]:
				say(changedNew, g)
			case over && r.cannotYet(g, b):
				sayFirst(changedWaits, g)
			case later[g]:
				say(changedWaits, g)
			case over:
				sayFirst(r.whyMoved(b, g, order[next], true), g)
				if r.leavesIn(order[next]) && !r.hurry[b] && !slices.Contains(lists[changedLeaves], order[next]) {
					say(changedLeaves, order[next]) // which is why
				}
			case !stay[g]:
				say(r.whyMoved(b, g, order[next], false), g)
			}
		}
	}
	out := r.calledBack(known)
	for _, k := range []wording.Key{changedLeaves, changedShort, changedBetter, changedMoved, changedAgain, changedNew, changedWaits, changedOut} {
		var titles, of []string
		for _, g := range lists[k] {
			titles, of = append(titles, r.Photographs[g].Title), append(of, r.Photographs[g].ID)
		}
		if len(known) > 0 && len(of) > 0 {
			out = append(out, Change{Message: wording.Say(k, model.SomeOf(titles)), Of: of})
		}
	}
	return out
}

// calledBack says who was free to go and is wanted again, in a photograph that is new or that they have joined.
func (r *rest) calledBack(known map[string]bool) []Change {
	had := map[string]bool{}
	for _, photo := range r.all {
		for _, id := range model.MembersToday(photo, r.today) {
			had[id] = had[id] || r.today.Done[photo.ID]
		}
	}
	var names, of []string
	for _, order := range r.plan.Orders() {
		for _, g := range order {
			photo := r.Photographs[g]
			for _, id := range photo.Members {
				joins := !known[photo.ID] || slices.Contains(r.today.With[photo.ID], id)
				if x := r.Event.People[r.People[id]].Name; joins && had[id] && r.today.Wanted != nil && !r.today.Wanted[id] && !slices.Contains(names, x) {
					names, of = append(names, x), append(of, photo.ID)
				}
			}
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []Change{{Message: wording.Say(changedBack, wording.Comma(names...)), Of: slices.Compact(of)}}
}

// marked says that whoever leads has just said of a photograph when it comes: it is being taken, or was put off.
func (r *rest) marked(g solver.GroupingIndex) bool {
	return slices.Contains(r.current, g) || r.today.Later[r.Photographs[g].ID]
}

// shifted finds what comes behind others of its block because it cannot begin yet, and of the rest those that follow each other
// as they did.
func (r *rest) shifted(b int, order []solver.GroupingIndex) (later, stay map[solver.GroupingIndex]bool) {
	place := model.Places(order)
	later = map[solver.GroupingIndex]bool{}
	was := slices.DeleteFunc(slices.Clone(r.was[b]), r.marked)
	for i, g := range was {
		at, here := place[g]
		later[g] = here && r.cannotYet(g, b) && slices.ContainsFunc(was[i+1:], func(h solver.GroupingIndex) bool {
			p, there := place[h]
			return there && p < at
		})
	}
	stay, _ = model.Stays(slices.DeleteFunc(was, func(g solver.GroupingIndex) bool { return later[g] }), place)
	return later, stay
}

// cannotYet says that people of a photograph are not there when the block is free for it: they come later, or are elsewhere.
func (r *rest) cannotYet(g solver.GroupingIndex, b int) bool {
	return r.begins(g, b) > r.soonest(b) || r.expects(r.Spec.Groupings[g])
}

const (
	changedLeaves wording.Key = "plan.changedLeaves"
	changedShort  wording.Key = "plan.changedShort"
	changedBetter wording.Key = "plan.changedBetter"
	changedMoved  wording.Key = "plan.changedMoved"
	changedAgain  wording.Key = "plan.changedAgain"
	changedNew    wording.Key = "plan.changedNew"
	changedBack   wording.Key = "plan.changedBack"
	changedPlace  wording.Key = "plan.changedPlace"
	changedWaits  wording.Key = "plan.changedWaits"
	changedOut    wording.Key = "plan.changedOut"
)

// whyMoved says why a photograph stands elsewhere in the order, in which another is next, and whether it was to come next.
func (r *rest) whyMoved(b int, g, next solver.GroupingIndex, over bool) wording.Key {
	switch {
	case r.hurry[b]:
		return changedShort
	case r.leavesIn(g) && !over:
		return changedLeaves
	case over && r.leavesIn(next):
		return changedMoved
	case over: // something would have no place
		return changedShort
	case r.better:
		return changedBetter
	}
	return changedMoved
}

// leavesIn says that somebody of a photograph has said on the day when to leave.
func (r *rest) leavesIn(g solver.GroupingIndex) bool {
	w := r.Spec.Groupings[g]
	return slices.ContainsFunc(slices.Concat(w.Members, w.Near), r.leaves)
}
