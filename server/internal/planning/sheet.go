package planning

import (
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/outdoors"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// problem is a day to plan, and what of its order was decided by hand.
type problem struct {
	*model.Problem
	// handMade is the order by hand, nil when there is none, and broken are the wishes that it breaks.
	handMade [][]solver.GroupingIndex
	broken   []*event.InfeasibleError
}

func newProblem(e event.Event, o Options) (*problem, error) {
	day, err := model.New(e, o.Available)
	return &problem{Problem: day}, err
}

// sheet writes a plan as a call sheet, without the reasons for what is left out.
func (s *search) sheet(r day.Result) event.CallSheet {
	pr := s.problem
	out := event.CallSheet{Advice: s.advice}
	last := pr.LastSlots(r.Plan)
	safe := pr.SafeTimes(r.Plan)
	for _, b := range pr.InOrder(r.Plan) {
		block := pr.Block(r.Plan, b, last)
		addSafe(&block, r.Plan.Blocks[b], safe[b])
		out.Blocks = append(out.Blocks, block)
	}
	for _, g := range r.Plan.LeftOut {
		photo := pr.Photographs[g]
		out.LeftOut = append(out.LeftOut, event.LeftOut{Grouping: photo.ID, Priority: photo.Priority})
	}
	for _, photo := range pr.Emptied {
		out.LeftOut = append(out.LeftOut, leftOut(photo, nobodyComes()))
	}
	out.People = pr.PersonTimes(r.Plan, out.Blocks)
	t := &out.Totals
	for _, b := range out.Blocks {
		t.Groupings += len(b.Entries)
		t.StepIns += b.StepIns
		t.Length += b.Length
	}
	t.RequestedStepIns = pr.StepIns(pr.Requested(r.Plan))
	t.FloorStepIns = s.floor.steps
	t.FloorReached = s.floor.exact || s.floor.steps == t.StepIns
	// A proof for blocks that are held to end earlier proves nothing of the day.
	t.Cost, t.Bound, t.Proven = r.Total, r.Bound, r.Proven && pr.RealCloses == nil
	t.SolveTime = s.options.Now().Sub(s.started)
	outdoors.Describe(pr.Event, &out)
	return out
}

// addSafe writes the safe times of a block's slots.
func addSafe(block *event.SheetBlock, slots []day.Slot, safe []model.SafeSlot) {
	for k := range block.Entries {
		block.Entries[k].SafeOffset = model.Duration(safe[k].Start - slots[0].Begin)
		block.SafeLength = model.Duration(safe[k].Finish - slots[0].Begin)
	}
}
