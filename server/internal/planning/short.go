package planning

import (
	"cmp"
	"slices"
	"time"

	"kinorder.example/server/internal/planning/model"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
	"kinorder.example/solver/pace"
)

// inHurry finds the blocks in which time is short: the order goes beyond the end that the block may run over to, or is
// likely to, or what must be taken is not safe to end before it. It reports whether there is any that was not before.
func (r *rest) inHurry(a arranged) bool {
	found := false
	for b, slots := range a.result.Plan.Blocks {
		closes := r.PlannedEnd(b)
		if closes.IsZero() || len(slots) == 0 || r.hurry[b] {
			continue
		}
		end := solver.Seconds(closes.Sub(r.Clock.Origin)/time.Second) + r.Give[b]
		r.hurry[b] = slots[len(slots)-1].Finish > end || r.isShort(slots, end)
		found = found || r.hurry[b]
	}
	if found {
		r.base = nil
	}
	return found
}

// isShort says that a block is likely to go on after a time, or what must be taken in it may end after it, by the
// confidence of the event.
func (r *rest) isShort(slots []day.Slot, end solver.Seconds) bool {
	times, err := pace.Forecast(r.paceSlots(slots), pace.Spread{Own: model.Spread(r.Event).Own, Day: r.ratio.day}, model.Question(r.Event))
	if err != nil {
		return slots[len(slots)-1].Finish > end
	}
	after := func(seconds float64) bool { return slots[0].Begin+solver.Seconds(seconds) > end }
	for k, s := range slots {
		if r.Spec.Groupings[s.Grouping].Tier == 0 && after(times[k].SafeFinish) {
			return true
		}
	}
	return after(times[len(slots)-1].LikelyFinish)
}

// urgency ranks photographs for when time is short: 0 for what must be taken, and for what has to come before
// it, else the tier. What was put off is not urgent any more, and what cannot begin yet when a block is free for others, if that
// is given, waits for nobody.
func (r *rest) urgency(open []solver.Seconds) []int {
	out := make([]int, len(r.Spec.Groupings))
	for g, w := range r.Spec.Groupings {
		out[g] = w.Tier
		inTime := func(b day.BlockIndex) bool { return r.begins(solver.GroupingIndex(g), int(b)) <= open[b]+soonEnough }
		if r.today.Later[r.Photographs[g].ID] || open != nil && !slices.ContainsFunc(w.Blocks, inTime) {
			out[g] = max(1, w.Tier)
		}
	}
	for changed := true; changed; {
		changed = false
		raise := func(g solver.GroupingIndex, to int) {
			if out[g] > to && !r.today.Later[r.Photographs[g].ID] {
				out[g], changed = to, true
			}
		}
		for g, w := range r.Spec.Groupings {
			for _, before := range w.After {
				raise(before, out[g])
			}
		}
		for _, pair := range r.Spec.Ranks {
			if !r.today.Later[r.Photographs[pair[1]].ID] {
				raise(pair[0], out[pair[1]])
			}
		}
		for _, set := range r.Spec.Together {
			least := slices.MinFunc(set, func(g, h solver.GroupingIndex) int { return cmp.Compare(out[g], out[h]) })
			for _, g := range set {
				raise(g, out[least])
			}
		}
	}
	return out
}

// begins is when a photograph can begin in a block, behind what is being taken there.
func (r *rest) begins(g solver.GroupingIndex, b int) solver.Seconds {
	w, at := r.Spec.Groupings[g], r.Spec.Blocks[b].Open
	if c := r.current[b]; c >= 0 {
		at += r.Spec.Groupings[c].Fixed
	}
	if len(w.From) > 0 {
		at = max(at, w.From[b])
	}
	for _, x := range w.Windows {
		if at < x.Close {
			return max(at, x.Open)
		}
	}
	if len(w.Windows) > 0 {
		return solver.MaxSeconds
	}
	return at
}

// soonest is when anything can begin in a block, behind what is being taken there.
func (r *rest) soonest(b int) solver.Seconds {
	at := solver.Seconds(solver.MaxSeconds)
	for i, w := range r.Spec.Groupings {
		if g := solver.GroupingIndex(i); r.open(i) && slices.Contains(w.Blocks, day.BlockIndex(b)) && !slices.Contains(r.current, g) {
			at = min(at, r.begins(g, b))
		}
	}
	return at
}

// soonEnough is a wait, in seconds, that nobody minds. Common practice, no source.
const soonEnough = 60

// openFor is when each block is free for what can wait: as soon as anything can begin, or by an arrangement.
func (r *rest) openFor(a arranged) []solver.Seconds {
	out := make([]solver.Seconds, len(r.Blocks))
	for b := range out {
		out[b] = r.soonest(b)
	}
	for b, list := range a.result.Plan.Blocks {
		wish := func(s day.Slot) bool {
			return r.urgent[s.Grouping] > 0 && s.Grouping != r.current[b] && s.Grouping != r.next[b]
		}
		if k := slices.IndexFunc(list, wish); k >= 0 {
			out[b] = max(out[b], list[k].Start)
		}
	}
	return out
}

// mustFirst puts what must be taken to the front of the orders of blocks in which time is short, behind what
// opens them. All else follows as it was.
func (r *rest) mustFirst(orders [][]solver.GroupingIndex) [][]solver.GroupingIndex {
	for b, order := range orders {
		if !r.hurry[b] {
			continue
		}
		opens := 0
		for opens < len(order) && (order[opens] == r.current[b] || order[opens] == r.next[b]) {
			opens++
		}
		slices.SortStableFunc(order[opens:], func(g, h solver.GroupingIndex) int {
			return cmp.Or(cmp.Compare(r.pinned(g), r.pinned(h)), cmp.Compare(min(r.urgent[g], 1), min(r.urgent[h], 1)))
		})
	}
	return orders
}

// early counts what comes before something that must be taken, and could be in the same block by then, where time is short.
func (r *rest) early(plan day.Plan) int {
	wishes, n := make([][]solver.Seconds, len(r.Blocks)), 0
	rest := func(b int) []day.Slot { return plan.Blocks[b][min(len(r.Spec.Blocks[b].Prefix), len(plan.Blocks[b])):] }
	for b := range wishes {
		for _, s := range rest(b) {
			if r.hurry[b] && r.musts[s.Grouping] > 0 {
				wishes[b] = append(wishes[b], s.Start)
			}
		}
	}
	for b := range wishes {
		for _, s := range rest(b) {
			if r.musts[s.Grouping] > 0 {
				continue
			}
			for _, c := range r.Spec.Groupings[s.Grouping].Blocks {
				before, _ := slices.BinarySearch(wishes[c], s.Start)
				filled, _ := slices.BinarySearch(wishes[c], r.begins(s.Grouping, int(c))-soonEnough)
				n += max(0, before-filled)
			}
		}
	}
	return n
}

func (r *rest) pinned(g solver.GroupingIndex) int {
	return [...]int{solver.PinNone: 0, solver.PinFirst: -1, solver.PinLast: 1}[r.Spec.Groupings[g].Pin]
}

// mustRanks say the same to the search.
func (r *rest) mustRanks() [][2]solver.GroupingIndex {
	free := func(g int) bool {
		w, at := r.Spec.Groupings[g], solver.GroupingIndex(g)
		return !slices.Contains(r.current, at) && !slices.Contains(r.next, at) && w.Pin == solver.PinNone &&
			slices.ContainsFunc(w.Blocks, func(b day.BlockIndex) bool { return r.hurry[b] })
	}
	var out [][2]solver.GroupingIndex
	for g := range r.Spec.Groupings {
		for h := range r.Spec.Groupings {
			if r.urgent[g] == 0 && r.urgent[h] > 0 && free(g) && free(h) {
				out = append(out, [2]solver.GroupingIndex{solver.GroupingIndex(g), solver.GroupingIndex(h)})
			}
		}
	}
	return out
}
