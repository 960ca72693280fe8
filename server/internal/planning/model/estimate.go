package model

import (
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
)

// Estimate is about how long the photographs of an event take, and how long its blocks are together, 0 where one has no
// end. It searches for no order: what takes the least time comes next, which the orders of plans come near to. Ways between
// places, waiting and what must not be together are left out. It expects an event in which check.Event finds no Error.
func Estimate(e event.Event) (takes, there time.Duration, err error) {
	pr, err := New(e, 0)
	if err != nil {
		return 0, 0, err
	}
	spec := solver.Spec{People: pr.Spec.People, Timing: pr.Spec.Timing}
	for _, g := range pr.Spec.Groupings {
		spec.Groupings = append(spec.Groupings, solver.Grouping{Members: g.Members, Guests: g.Guests, Shoot: g.Shoot, Fixed: g.Fixed})
	}
	if len(spec.Groupings) == 0 {
		return 0, 0, nil
	}
	p, err := solver.NewProblem(spec)
	if err != nil {
		return 0, 0, err
	}
	all := solver.Seconds(0)
	left := make([]solver.GroupingIndex, len(spec.Groupings))
	for g := range left {
		left[g] = solver.GroupingIndex(g)
	}
	for at := solver.GroupingIndex(-1); len(left) > 0; {
		next := 0
		for k, g := range left {
			if p.Slot(at, g) < p.Slot(at, left[next]) {
				next = k
			}
		}
		all += p.Slot(at, left[next])
		at = left[next]
		left[next] = left[len(left)-1]
		left = left[:len(left)-1]
	}
	ends := true
	length := solver.Seconds(0)
	for _, b := range pr.Spec.Blocks[:min(len(pr.Spec.Blocks), len(spec.Groupings))] {
		all += b.Opening
	}
	for _, b := range pr.Spec.Blocks {
		length += b.Close - b.Open
		ends = ends && b.Close > 0
	}
	if !ends {
		length = 0
	}
	return Duration(all), Duration(length), nil
}
