package model

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// Misplaced says that a photograph may not be taken in a block.
func (pr *Problem) Misplaced(g solver.GroupingIndex, b int) *event.InfeasibleError {
	if slices.Contains(pr.Spec.Groupings[g].Blocks, day.BlockIndex(b)) {
		return nil
	}
	return event.Infeasible([]string{pr.Photographs[g].ID}, wording.Say("plan.mayNotBeTakenIn",
		wording.Curly(pr.Photographs[g].Title), pr.Blocks[b].Named()))
}

// PinBroken says that a photograph of an order has to be first and is not, or last.
func (pr *Problem) PinBroken(order []solver.GroupingIndex, k int) *event.InfeasibleError {
	not := func(pin solver.Pin) func(solver.GroupingIndex) bool {
		return func(g solver.GroupingIndex) bool { return pr.Spec.Groupings[g].Pin != pin }
	}
	switch pin := pr.Spec.Groupings[order[k]].Pin; {
	case pin == solver.PinFirst && slices.ContainsFunc(order[:k], not(pin)):
		return pr.ClashOf("plan.hasToBeFirst", order[k])
	case pin == solver.PinLast && slices.ContainsFunc(order[k:], not(pin)):
		return pr.ClashOf("plan.hasToBeLast", order[k])
	}
	return nil
}

// BrokenUp says that photographs that differ only in somebody left out are not one after the other.
func (pr *Problem) BrokenUp(order, set []solver.GroupingIndex) *event.InfeasibleError {
	var here []solver.GroupingIndex
	first, last := -1, -1
	for k, g := range order {
		if slices.Contains(set, g) {
			here = append(here, g)
			last = k
			if first < 0 {
				first = k
			}
		}
	}
	if len(here) == 0 || last-first+1 == len(here) {
		return nil
	}
	return pr.ClashOf("plan.differByWhoStepsOutSo", here[0], here[1])
}

// ClashOf names photographs by their titles.
func (pr *Problem) ClashOf(k wording.Key, list ...solver.GroupingIndex) *event.InfeasibleError {
	var titles []any
	var ids []string
	for _, g := range list {
		titles = append(titles, wording.Curly(pr.Photographs[g].Title))
		ids = append(ids, pr.Photographs[g].ID)
	}
	return event.Infeasible(ids, wording.Say(k, titles...))
}
