package planning

import (
	"slices"

	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
)

// changes says what is different from the order in force, and why. What somebody has just marked, put off or
// begun, is not said again.
func (r *rest) changes() []wording.Message {
	if !r.today.Told {
		return nil
	}
	var fresh, waits, out []string
	moved := map[wording.Key][]string{}
	known := map[string]bool{}
	for _, order := range r.today.Orders {
		for _, id := range order {
			known[id] = true
		}
	}
	for _, g := range r.plan.LeftOut {
		if photo := r.Photographs[g]; known[photo.ID] {
			out = append(out, photo.Title)
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
				fresh = append(fresh, photo.Title)
			case over && waiting: // named first
				waits = append([]string{photo.Title}, waits...)
			case over:
				why := r.whyMoved(b, g, true)
				moved[why] = append([]string{photo.Title}, moved[why]...)
			case late && r.expects(r.Spec.Groupings[g]):
				waits = append(waits, photo.Title)
			case stay[g] || late || !slices.Contains(was, g) || r.today.Later[photo.ID] || slices.Contains(r.current, g):
			default:
				why := r.whyMoved(b, g, false)
				moved[why] = append(moved[why], photo.Title)
			}
		}
	}
	var list []wording.Message
	add := func(k wording.Key, titles []string) {
		if len(titles) > 0 {
			list = append(list, wording.Say(k, model.SomeOf(titles)))
		}
	}
	for _, why := range []wording.Key{changedLeaves, changedShort, changedBetter} {
		add(why, moved[why])
	}
	add("plan.changedNew", fresh)
	list = append(list, r.lacking(known)...)
	add("plan.changedWaits", waits)
	add("plan.changedOut", out)
	return list
}

// namesSaid is how many names fit into one line.
const namesSaid = 3

const changedLeaves, changedShort, changedBetter wording.Key = "plan.changedLeaves", "plan.changedShort", "plan.changedBetter"

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
			out[g] = r.begins(g, b) > r.soonest(b)
		}
	}
	return out
}

// lacking says what of the order in force waits, and for whom.
func (r *rest) lacking(known map[string]bool) []wording.Message {
	var titles []string
	var whom []wording.Message
	sought := map[string]bool{}
	for _, photo := range r.all {
		if missing := r.waiting[photo.ID]; known[photo.ID] && len(missing) > 0 && !r.today.Done[photo.ID] && r.index(photo.ID) < 0 {
			titles = append(titles, photo.Title)
			for _, id := range missing {
				sought[id] = true
			}
		}
	}
	for _, p := range r.Event.People {
		if sought[p.ID] {
			whom = append(whom, wording.Say("%s", p.Name))
		}
	}
	if len(titles) == 0 {
		return nil
	}
	return []wording.Message{wording.Say("plan.changedWaitsFor", wording.Few(namesSaid, whom), model.SomeOf(titles))}
}
