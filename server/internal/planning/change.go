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
	say := func(k wording.Key, first bool, g solver.GroupingIndex) {
		if first {
			lists[k] = append([]solver.GroupingIndex{g}, lists[k]...)
		} else {
			lists[k] = append(lists[k], g)
		}
	}
	for _, g := range r.plan.LeftOut {
		if known[r.Photographs[g].ID] {
			say(changedOut, false, g)
		}
	}
	was := slices.Concat(r.was...)
	passed := r.passedOver()
	for b, order := range r.plan.Orders() {
		stay, _ := model.Stays(r.was[b], model.Places(order))
		late := slices.ContainsFunc(order, func(g solver.GroupingIndex) bool { return slices.Contains(was, g) && !stay[g] }) &&
			slices.ContainsFunc(order, func(g solver.GroupingIndex) bool { return r.expects(r.Spec.Groupings[g]) })
		for _, g := range order {
			photo := r.Photographs[g]
			waiting, over := passed[g]
			switch {
			case !known[photo.ID]:
				say(changedNew, false, g)
			case over && waiting: // named first
				say(changedWaits, true, g)
			case over:
				say(r.whyMoved(b, g, true), true, g)
			case late && r.expects(r.Spec.Groupings[g]):
				say(changedWaits, false, g)
			case stay[g] || late || !slices.Contains(was, g) || r.today.Later[photo.ID] || slices.Contains(r.current, g):
			default:
				say(r.whyMoved(b, g, false), false, g)
			}
		}
	}
	var out []Change
	for _, k := range []wording.Key{changedLeaves, changedShort, changedBetter, changedNew, changedWaits, changedOut} {
		var titles, of []string
		for _, g := range lists[k] {
			titles, of = append(titles, r.Photographs[g].Title), append(of, r.Photographs[g].ID)
		}
		if len(known) > 0 && len(of) > 0 {
			out = append(out, Change{wording.Say(k, model.SomeOf(titles)), of})
		}
	}
	return out
}

const (
	changedLeaves wording.Key = "plan.changedLeaves"
	changedShort  wording.Key = "plan.changedShort"
	changedBetter wording.Key = "plan.changedBetter"
	changedNew    wording.Key = "plan.changedNew"
	changedWaits  wording.Key = "plan.changedWaits"
	changedOut    wording.Key = "plan.changedOut"
)

// whyMoved says why a photograph stands elsewhere in the order, and whether it was to come next.
func (r *rest) whyMoved(b int, g solver.GroupingIndex, over bool) wording.Key {
	w := r.Spec.Groupings[g]
	switch {
	case slices.ContainsFunc(slices.Concat(w.Members, w.Near), r.leaves), over && !r.hurry[b] && len(r.today.Leaving) > 0:
		return changedLeaves
	case over || r.hurry[b]:
		return changedShort
	}
	return changedBetter
}

// passedOver are those who were told to stand by and do not come next: others can begin before them, which is true
// here, time is short, or something would have no place.
func (r *rest) passedOver() map[solver.GroupingIndex]bool {
	out := map[solver.GroupingIndex]bool{}
	for b, g := range r.ready {
		if g >= 0 && r.next[b] != g {
			up := r.today.Orders[r.Blocks[b].ID][0] == r.Photographs[g].ID // they would be waited for
			out[g] = r.begins(g, b) > r.soonest(b) && (!up || r.expects(r.Spec.Groupings[g]))
		}
	}
	return out
}
