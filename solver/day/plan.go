package day

import "kinorder.example/solver"

// Slot is one grouping in its time. All times are seconds from the origin of the day.
type Slot struct {
	Grouping solver.GroupingIndex
	// Begin is the end of the slot before, or the time at which the block can begin. From Begin
	// to Start everybody waits, out of the frame.
	Begin  solver.Seconds
	Start  solver.Seconds
	Finish solver.Seconds
}

// Plan is what is taken when, and what is not.
type Plan struct {
	// Blocks holds the slots of each block of the Spec in order; a block may stay empty.
	Blocks [][]Slot
	// LeftOut lists the groupings that are not taken, by rising index.
	LeftOut []solver.GroupingIndex
}

// Orders are the groupings of each block in their order.
func (p Plan) Orders() [][]solver.GroupingIndex {
	out := make([][]solver.GroupingIndex, len(p.Blocks))
	for b, slots := range p.Blocks {
		for _, s := range slots {
			out[b] = append(out[b], s.Grouping)
		}
	}
	return out
}
