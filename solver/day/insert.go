package day

import (
	"slices"

	"kinorder.example/solver"
)

// Insert puts a grouping that a plan leaves out into a block of it, where the block then ends
// soonest, and leaves everything else in its order. It returns false when no place keeps the wishes.
// The plan may come from another problem over the same groupings, so that a caller can ask what a
// wish less would change.
func Insert(p *Problem, plan Plan, g solver.GroupingIndex, b BlockIndex) (Plan, bool) {
	d := newDecoder(p)
	o := orders(plan.Orders())
	var best Plan
	var ends solver.Seconds
	found := false
	for at := 0; at <= len(o[b]); at++ {
		next := o.clone()
		next[b] = slices.Insert(next[b], at, g)
		if _, ok := d.decode(next); !ok {
			continue
		}
		if end := d.finish[next[b][len(next[b])-1]]; !found || end < ends {
			best, ends, found = d.plan(next), end, true
		}
	}
	return best, found
}
