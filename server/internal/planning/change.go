package planning

import (
	"slices"

	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
)

// stays finds the photographs of an order that still follow each other as they did, by their new places: as
// many as weigh most together. Moved is what all others weigh, in step-ins.
func stays(was []solver.GroupingIndex, place map[solver.GroupingIndex]int) (stay map[solver.GroupingIndex]bool, moved int64) {
	weight := func(i int) int64 {
		if i < nextFew {
			return moveWeight * nextWeight
		}
		return moveWeight
	}
	// heaviest[i] is the most that stays when was[i] does and is the last of it, before[i] the one before it.
	heaviest, before, last := make([]int64, len(was)), make([]int, len(was)), -1
	for i, g := range was {
		moved += weight(i)
		at, here := place[g]
		if !here {
			continue
		}
		heaviest[i], before[i] = weight(i), -1
		for j, h := range was[:i] {
			if p, here := place[h]; here && p < at && heaviest[j]+weight(i) > heaviest[i] {
				heaviest[i], before[i] = heaviest[j]+weight(i), j
			}
		}
		if last < 0 || heaviest[i] > heaviest[last] {
			last = i
		}
	}
	stay = map[solver.GroupingIndex]bool{}
	if last >= 0 {
		moved -= heaviest[last]
	}
	for ; last >= 0; last = before[last] {
		stay[was[last]] = true
	}
	return stay, moved
}

func places(order []solver.GroupingIndex) map[solver.GroupingIndex]int {
	out := map[solver.GroupingIndex]int{}
	for k, g := range order {
		out[g] = k
	}
	return out
}

// changes says what is different from the order in force, and why. What somebody has just marked, put off or
// begun, is not said again.
func (r *rest) changes() []wording.Message {
	if !r.today.Told {
		return nil
	}
	var short, better, fresh, waits, out []string
	known := map[string]bool{}
	for _, order := range r.today.Orders {
		for _, id := range order {
			known[id] = true
			if len(r.waiting[id]) > 0 && !r.today.Done[id] && r.index(id) < 0 {
				waits = append(waits, r.titleOf(id))
			}
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
		stay, _ := stays(r.was[b], places(order))
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
				short = append([]string{photo.Title}, short...)
			case late && r.expects(r.Spec.Groupings[g]):
				waits = append(waits, photo.Title)
			case stay[g] || late || !slices.Contains(was, g) || r.today.Later[photo.ID] || slices.Contains(r.current, g):
			case r.hurry[b]:
				short = append(short, photo.Title)
			default:
				better = append(better, photo.Title)
			}
		}
	}
	var list []wording.Message
	add := func(k wording.Key, titles []string) {
		if len(titles) > 0 {
			list = append(list, wording.Say(k, someOf(titles)))
		}
	}
	add("plan.changedShort", short)
	add("plan.changedBetter", better)
	add("plan.changedNew", fresh)
	add("plan.changedWaits", waits)
	add("plan.changedOut", out)
	return list
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

// titlesSaid is how many titles fit into one line.
const titlesSaid = 2

func someOf(titles []string) wording.Arg {
	var list []wording.Arg
	for i, title := range titles {
		if i == titlesSaid {
			list = append(list, wording.Comma(wording.Say("plan.changedMore", len(titles)-i)))
			break
		}
		list = append(list, wording.Curly(title))
	}
	return wording.Comma(list...)
}

func (r *rest) titleOf(id string) string {
	for _, photo := range r.all {
		if photo.ID == id {
			return photo.Title
		}
	}
	return id
}
