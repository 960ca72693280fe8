package planning

import (
	"context"
	"slices"

	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// overtimeWork is how much is tried when time is up, in people of photographs timed: a fraction of a second, and far more
// than a day of a hundred needs.
const overtimeWork = 20_000_000

// build times orders. What cannot stand where they have it, and what they do not have, goes where it costs
// least; what has no place is left out. It is false when what has to open the blocks has no time.
func (r *rest) build(ctx context.Context, p *day.Problem, want [][]solver.GroupingIndex) (arranged, bool) {
	orders := make([][]solver.GroupingIndex, len(r.Blocks))
	placed := map[solver.GroupingIndex]bool{}
	for b := range orders {
		orders[b] = slices.Clone(r.Spec.Blocks[b].Prefix)
		for _, g := range orders[b] {
			placed[g] = true
		}
	}
	a, ok := r.arrange(p, orders)
	if !ok {
		return a, false // what opens the blocks does not go together
	}
	var rest []solver.GroupingIndex
	whole := r.asWanted(p, want)
	if all, ok := r.arrange(p, whole); ok && len(all.result.Plan.LeftOut) == 0 {
		return all, true
	}
	for b, order := range whole {
		for _, g := range order {
			if placed[g] || r.follows(g, placed) {
				continue
			}
			placed[g] = true
			before := orders[b]
			orders[b] = p.Append(day.BlockIndex(b), before, g)
			if _, ok := day.Fix(p, orders); !ok {
				orders[b] = before
				rest = append(rest, g)
			}
		}
	}
	for g := range r.Spec.Groupings {
		if !placed[solver.GroupingIndex(g)] {
			rest = append(rest, solver.GroupingIndex(g))
		}
	}
	a, _ = r.arrange(p, orders)
	for _, g := range r.insertion(rest) {
		if next, ok := r.insert(ctx, p, a.orders, g); ok {
			a = next
		}
	}
	return r.filled(ctx, a), true
}

// asWanted are the orders of all blocks with each photograph behind those before it, but before what has to come after
// it: what was put off goes to the end.
func (r *rest) asWanted(p *day.Problem, want [][]solver.GroupingIndex) [][]solver.GroupingIndex {
	out := make([][]solver.GroupingIndex, len(want))
	for b, order := range want {
		prefix := r.Spec.Blocks[b].Prefix
		out[b] = slices.Clone(prefix)
		for _, g := range order {
			if !slices.Contains(prefix, g) {
				out[b] = p.Append(day.BlockIndex(b), out[b], g)
			}
		}
	}
	return out
}

// follows says that a photograph comes after one that has no place yet.
func (r *rest) follows(g solver.GroupingIndex, placed map[solver.GroupingIndex]bool) bool {
	return slices.ContainsFunc(r.Spec.Groupings[g].After, func(h solver.GroupingIndex) bool { return !placed[h] })
}

// insertion is the sequence in which photographs get a place: by tier, and each behind those that it comes after.
func (r *rest) insertion(rest []solver.GroupingIndex) []solver.GroupingIndex {
	slices.SortStableFunc(rest, func(g, h solver.GroupingIndex) int { return r.Spec.Groupings[g].Tier - r.Spec.Groupings[h].Tier })
	var out []solver.GroupingIndex
	var add func(g solver.GroupingIndex)
	seen := map[solver.GroupingIndex]bool{} // turns that have begun and wishes may wait for each other
	add = func(g solver.GroupingIndex) {
		if seen[g] {
			return
		}
		seen[g] = true
		for _, h := range r.Spec.Groupings[g].After {
			if slices.Contains(rest, h) {
				add(h)
			}
		}
		out = append(out, g)
	}
	for _, g := range rest {
		add(g)
	}
	return out
}

// insert puts a photograph where the day costs least with it, as long as there is time to look for that.
func (r *rest) insert(ctx context.Context, p *day.Problem, orders [][]solver.GroupingIndex, g solver.GroupingIndex) (best arranged, found bool) {
	for b, at := range p.Places(orders, g) {
		if ctx.Err() != nil {
			return best, found
		}
		if a, ok := r.arrange(p, with(orders, int(b), at, g)); ok && (!found || a.less(best)) {
			best, found = a, true
		}
	}
	return best, found
}

// with is a copy of orders with a photograph at a place.
func with(orders [][]solver.GroupingIndex, b, at int, g solver.GroupingIndex) [][]solver.GroupingIndex {
	next := slices.Clone(orders)
	next[b] = slices.Insert(slices.Clone(orders[b]), at, g)
	return next
}

// filled takes what is left out though there is a place for it at the end of a block. If time is up, it looks for other
// places too: nothing has then been tried for all.
func (r *rest) filled(ctx context.Context, a arranged) arranged {
	p, left := a.problem, r.insertion(slices.Clone(a.result.Plan.LeftOut))
	orders := day.Fill(p, a.orders, left)
	for _, g := range left {
		if ctx.Err() == nil || slices.ContainsFunc(orders, func(order []solver.GroupingIndex) bool { return slices.Contains(order, g) }) {
			continue
		}
		for b, at := range p.Places(orders, g) {
			if r.overtime(p) {
				break
			}
			next := with(orders, int(b), at, g)
			if _, ok := day.Fix(p, next); ok {
				orders = next
				break
			}
		}
	}
	if more, ok := r.arrange(p, orders); ok {
		return more
	}
	return a
}

// overtime counts what is tried when time is up, and reports whether that is enough. Not to lose a photograph is worth a
// moment, not minutes.
func (r *rest) overtime(p *day.Problem) bool {
	if r.tried <= overtimeWork {
		r.tried += p.Look()
	}
	return r.tried > overtimeWork
}
