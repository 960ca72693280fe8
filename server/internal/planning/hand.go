package planning

import (
	"context"
	"fmt"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// HandPlaces writes orders as the order by hand of an event; locked are ids of photographs that keep their place.
func HandPlaces(orders []Order, locked []string) []event.HandPlace {
	var out []event.HandPlace
	for _, o := range orders {
		for _, id := range o.Photographs {
			out = append(out, event.HandPlace{Grouping: id, Block: o.Block, Locked: slices.Contains(locked, id)})
		}
	}
	return out
}

// addHand puts what was decided by hand into the day: what is left out has no block, and what is locked
// has its own block only, a rank behind all that comes before it and a rank before all that follows, and is given up
// last. Wishes that the order breaks no longer hold.
func (pr *problem) addHand() {
	pr.ByHand = map[solver.GroupingIndex]bool{}
	for _, id := range pr.Event.LeftOut {
		for _, g := range pr.Named(id) {
			pr.ByHand[g] = true
			pr.Spec.Groupings[g].Blocks = nil
		}
	}
	if len(pr.Event.Order) == 0 {
		return
	}
	orders := make([][]solver.GroupingIndex, len(pr.Blocks))
	locked, placed := map[solver.GroupingIndex]bool{}, map[solver.GroupingIndex]bool{}
	b := 0
	for _, p := range pr.Event.Order {
		if at := slices.IndexFunc(pr.Blocks, func(x event.Block) bool { return x.ID == p.Block }); p.Block != "" && at >= 0 {
			b = at
		}
		for _, g := range pr.Named(p.Grouping) {
			if !pr.ByHand[g] && !placed[g] {
				orders[b] = append(orders[b], g)
				placed[g], locked[g] = true, p.Locked
			}
		}
	}
	pr.yield(orders)
	for b, order := range orders {
		pr.lock(day.BlockIndex(b), order, locked)
	}
	pr.handMade = orders
}

// lock ties a locked photograph to all others of its block: each of those between may be left out.
func (pr *problem) lock(b day.BlockIndex, order []solver.GroupingIndex, locked map[solver.GroupingIndex]bool) {
	for k, g := range order {
		if !locked[g] {
			continue
		}
		pr.Spec.Groupings[g].Blocks = []day.BlockIndex{b}
		pr.Spec.Groupings[g].Keep = true
		for _, before := range order[:k] {
			pr.Spec.Ranks = append(pr.Spec.Ranks, [2]solver.GroupingIndex{before, g})
		}
		for _, after := range order[k+1:] {
			if !locked[after] {
				pr.Spec.Ranks = append(pr.Spec.Ranks, [2]solver.GroupingIndex{g, after})
			}
		}
	}
}

// yield takes back what orders break of the wishes, and remembers it: where to take a photograph, what comes first,
// last, or after what, who goes first, and what belongs together. Rules that keep people apart or have them take
// turns, and the times of people, stay.
func (pr *problem) yield(orders [][]solver.GroupingIndex) {
	say := func(found *event.InfeasibleError) bool {
		if found != nil {
			pr.broken = append(pr.broken, found)
		}
		return found != nil
	}
	turn := pr.turns(orders)
	for b, order := range orders {
		var unpinned []solver.GroupingIndex
		for k, g := range order {
			w := &pr.Spec.Groupings[g]
			if say(pr.Misplaced(g, b)) {
				w.Blocks = append(slices.Clone(w.Blocks), day.BlockIndex(b))
			}
			w.After = slices.DeleteFunc(slices.Clone(w.After), func(before solver.GroupingIndex) bool {
				at, placed := turn[before]
				return placed && at > turn[g] && say(pr.ClashOf("plan.hasToComeAfter", g, before))
			})
			if say(pr.PinBroken(order, k)) {
				unpinned = append(unpinned, g)
			}
		}
		for _, g := range unpinned {
			pr.Spec.Groupings[g].Pin = solver.PinNone
		}
		pr.Spec.Ranks = slices.DeleteFunc(slices.Clone(pr.Spec.Ranks), func(pair [2]solver.GroupingIndex) bool {
			first, second := slices.Index(order, pair[0]), slices.Index(order, pair[1])
			return second >= 0 && first > second && say(pr.ClashOf("plan.ruleOnWhoGoesFirstPuts", pair[0], pair[1]))
		})
		pr.Spec.Together = slices.DeleteFunc(slices.Clone(pr.Spec.Together), func(set []solver.GroupingIndex) bool {
			return say(pr.BrokenUp(order, set))
		})
	}
}

// turns numbers what is in orders, block after block as they open.
func (pr *problem) turns(orders [][]solver.GroupingIndex) map[solver.GroupingIndex]int {
	var blocks []int
	for b := range orders {
		blocks = append(blocks, b)
	}
	slices.SortStableFunc(blocks, func(a, b int) int { return int(pr.Spec.Blocks[a].Open - pr.Spec.Blocks[b].Open) })
	out := map[solver.GroupingIndex]int{}
	for _, b := range blocks {
		for _, g := range orders[b] {
			out[g] = len(out)
		}
	}
	return out
}

// firmEnd says that a block must not run over, whoever wants it to.
func (pr *problem) firmEnd(b int) bool { return pr.Planned[b] > 0 && pr.Firm[b] }

// withoutSoftEnds is the day with firm closings only.
func (pr *problem) withoutSoftEnds() day.Spec {
	spec := pr.Spec
	spec.Blocks = slices.Clone(pr.Spec.Blocks)
	for b := range spec.Blocks {
		if !pr.firmEnd(b) {
			spec.Blocks[b].Close = 0
		}
	}
	return spec
}

// aroundHand searches from the order by hand, so that what is found is never worse. Soft blocks may run over as far as
// they do in it, and further only when it does without something.
func (s *search) aroundHand(deadline context.Context) (day.Result, error) {
	pr := s.problem
	open, err := day.New(pr.withoutSoftEnds())
	if err != nil {
		return day.Result{}, fmt.Errorf("planning: %w", err)
	}
	if by, ok := day.Fix(open, pr.handMade); ok {
		leaves := s.leavesOut(by.Plan)
		for b := range pr.Give {
			switch over := pr.Overrun(by.Plan, b); {
			case pr.firmEnd(b):
			case leaves:
				pr.Give[b] = max(pr.Give[b], over)
			default:
				pr.Give[b] = over
			}
		}
	}
	onTime := pr.Spec
	if pr.GiveWay() {
		if s.day, err = day.New(pr.Spec); err != nil {
			return day.Result{}, fmt.Errorf("planning: %w", err)
		}
	}
	result, err := s.search(deadline, pr.handMade)
	if err != nil || result.Status != day.Found {
		return result, err
	}
	for b := range pr.Blocks {
		if pr.Overrun(result.Plan, b) > 0 {
			return result, s.searchOnTime(deadline, onTime)
		}
	}
	return result, nil
}

// searchOnTime looks for what ends on time, to say what that would leave out.
func (s *search) searchOnTime(deadline context.Context, spec day.Spec) error {
	p, err := day.New(spec)
	if err != nil {
		return fmt.Errorf("planning: %w", err)
	}
	ctx, cancel := s.share(deadline)
	defer cancel()
	r, err := day.Solve(ctx, p, s.options.limits())
	if err == nil && r.Status == day.Found {
		s.onTime = &r.Plan
	}
	return err
}
