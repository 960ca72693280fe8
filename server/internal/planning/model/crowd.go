package model

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// A photograph of so many people, and of so many of all who are in a block, one in two, comes first in it where that takes
// no more than a share of the cost, one in so many: whoever is in no other is free, and nobody has to be looked for again.
// The cost counts who waits between two photographs, not who stands about before the first. Common practice, no source.
const (
	crowdSize, crowdParts = 10, 2
	CrowdShare            = 30
)

// CrowdFirst puts the largest photograph first in each block of some orders in which none is pinned there, nor an order by
// hand has it elsewhere. It reports false where there is none to move, that cannot be, or only step-ins count.
func (pr *Problem) CrowdFirst(orders, byHand [][]solver.GroupingIndex) (day.Spec, [][]solver.GroupingIndex, bool) {
	spec, moved := pr.Spec, false
	spec.Groupings = slices.Clone(spec.Groupings)
	for b, order := range orders {
		g, found := pr.crowd(order)
		pinned := func(g solver.GroupingIndex) bool { return spec.Groupings[g].Pin != solver.PinNone }
		if !found || order[0] == g || pinned(order[0]) || pinned(g) ||
			slices.ContainsFunc(byHand, func(hand []solver.GroupingIndex) bool { return slices.Index(hand, g) > 0 }) {
			continue
		}
		spec.Groupings[g].Pin, moved = solver.PinFirst, true
		rest := slices.DeleteFunc(slices.Clone(order), func(h solver.GroupingIndex) bool { return h == g })
		orders[b] = slices.Concat([]solver.GroupingIndex{g}, rest)
	}
	if !moved || pr.Event.Emphasis == event.FewestSteps {
		return spec, orders, false
	}
	p, err := day.New(spec)
	if err != nil {
		return spec, orders, false
	}
	_, ok := day.Fix(p, orders)
	return spec, orders, ok
}

// crowd finds the largest photograph of an order, if it is of a crowd.
func (pr *Problem) crowd(order []solver.GroupingIndex) (solver.GroupingIndex, bool) {
	var largest solver.GroupingIndex
	most, seen := 0, map[solver.PersonIndex]bool{}
	for _, g := range order {
		w := pr.Spec.Groupings[g]
		for _, p := range w.Members {
			seen[p] = true
		}
		if n := len(w.Members) + w.Guests; n > most {
			most, largest = n, g
		}
	}
	return largest, most >= crowdSize && most*crowdParts >= len(seen)
}
