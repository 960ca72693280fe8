package planning

import (
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/outdoors"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// sheet writes a plan as a call sheet, without the reasons for what is left out.
func (s *search) sheet(r day.Result) event.CallSheet {
	pr := s.problem
	out := event.CallSheet{Advice: s.advice}
	last := pr.lastSlots(r.Plan)
	safe := pr.safeTimes(r.Plan)
	for _, b := range pr.inOrder(r.Plan) {
		block := pr.block(r.Plan, b, last)
		addSafe(&block, r.Plan.Blocks[b], safe[b])
		out.Blocks = append(out.Blocks, block)
	}
	for _, g := range r.Plan.LeftOut {
		photo := pr.photographs[g]
		out.LeftOut = append(out.LeftOut, event.LeftOut{Grouping: photo.ID, Priority: photo.Priority})
	}
	for _, photo := range pr.emptied {
		out.LeftOut = append(out.LeftOut, leftOut(photo, wording.Say("plan.nobodyItIsTakenForIs")))
	}
	out.People = pr.personTimes(r.Plan, out.Blocks)
	t := &out.Totals
	for _, b := range out.Blocks {
		t.Groupings += len(b.Entries)
		t.StepIns += b.StepIns
		t.Length += b.Length
	}
	t.RequestedStepIns = pr.stepIns(pr.requested(r.Plan))
	t.FloorStepIns = s.floor.steps
	t.FloorReached = s.floor.exact || s.floor.steps == t.StepIns
	// A proof for blocks that are held to end earlier proves nothing of the day.
	t.Cost, t.Bound, t.Proven = r.Total, r.Bound, r.Proven && pr.realCloses == nil
	t.SolveTime = s.options.Now().Sub(s.started)
	outdoors.Describe(pr.event, &out)
	return out
}

// inOrder lists the blocks by their opening; without any grouping a block is left out, unless the
// event named it.
func (pr *problem) inOrder(plan day.Plan) []int {
	var out []int
	for b := range plan.Blocks {
		if len(plan.Blocks[b]) > 0 || len(pr.event.Blocks) > 0 {
			out = append(out, b)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return int(pr.spec.Blocks[a].Open - pr.spec.Blocks[b].Open) })
	return out
}

// lastSlots says for each person when their last slot of the day ends.
func (pr *problem) lastSlots(plan day.Plan) map[solver.PersonIndex]solver.Seconds {
	last := map[solver.PersonIndex]solver.Seconds{}
	for _, slots := range plan.Blocks {
		for _, s := range slots {
			w := pr.spec.Groupings[s.Grouping]
			for _, q := range slices.Concat(w.Members, w.Near) {
				last[q] = max(last[q], s.Finish)
			}
		}
	}
	return last
}

// block writes the order of one block.
func (pr *problem) block(plan day.Plan, b int, last map[solver.PersonIndex]solver.Seconds) event.SheetBlock {
	slots := plan.Blocks[b]
	open := pr.spec.Blocks[b].Open
	if len(slots) > 0 {
		open = slots[0].Begin
	}
	out := event.SheetBlock{Block: pr.blocks[b].ID, Overrun: seconds(pr.overrun(plan, b))}
	if pr.blocks[b].Opens != "" || len(slots) > 0 {
		out.Start = pr.clock.at(open)
	}
	frame := pr.spec.Blocks[b].Frame
	for k, s := range slots {
		w := pr.spec.Groupings[s.Grouping]
		photo := pr.photographs[s.Grouping]
		e := event.SheetEntry{
			Grouping: photo.ID,
			Title:    photo.Title,
			Offset:   seconds(s.Start - open),
			Length:   seconds(s.Finish - s.Start),
			Wait:     seconds(s.Start - s.Begin),
			Near:     pr.ids(w.Near),
			StepIn:   pr.ids(without(w.Members, frame)),
			StepOut:  pr.ids(without(frame, w.Members)),
			Stay:     pr.ids(without(w.Members, without(w.Members, frame))),
			Frames:   pr.frames[s.Grouping],

			BlinksLikely: newMinutesModel(pr.event.Pace).blinksLikely(photo, pr.light(w.Blocks)),
		}
		for _, q := range slices.Concat(w.Members, w.Near) {
			if last[q] == s.Finish {
				e.Released = append(e.Released, pr.event.People[q].ID)
			}
		}
		if k+1 < len(slots) {
			e.Standby = pr.ids(without(pr.spec.Groupings[slots[k+1].Grouping].Members, w.Members))
		}
		out.StepIns += len(e.StepIn)
		out.Length = seconds(s.Finish - open)
		out.Entries = append(out.Entries, e)
		frame = w.Members
	}
	return out
}

// addSafe writes the safe times of a block's slots.
func addSafe(block *event.SheetBlock, slots []day.Slot, safe []safeSlot) {
	for k := range block.Entries {
		block.Entries[k].SafeOffset = seconds(safe[k].start - slots[0].Begin)
		block.SafeLength = seconds(safe[k].finish - slots[0].Begin)
	}
}

// without returns the people of a who are not in b, in the order of a.
func without(a, b []solver.PersonIndex) []solver.PersonIndex {
	if len(b) == 0 {
		return slices.Clone(a)
	}
	in := make([]bool, slices.Max(b)+1)
	for _, q := range b {
		in[q] = true
	}
	var out []solver.PersonIndex
	for _, q := range a {
		if int(q) >= len(in) || !in[q] {
			out = append(out, q)
		}
	}
	return out
}

// stepIns counts the walk-ins of orders, block by block.
func (pr *problem) stepIns(orders [][]solver.GroupingIndex) int {
	total := 0
	for _, order := range orders {
		var frame []solver.PersonIndex
		for _, g := range order {
			members := pr.spec.Groupings[g].Members
			total += len(without(members, frame))
			frame = members
		}
	}
	return total
}

// personTimes says of everybody in a photograph when they are needed. Idle time is counted block by
// block: the time between blocks is the day's own.
func (pr *problem) personTimes(plan day.Plan, blocks []event.SheetBlock) []event.PersonTimes {
	type stretch struct{ first, last, inFrame solver.Seconds }
	times := map[solver.PersonIndex]*event.PersonTimes{}
	call, release := map[solver.PersonIndex]solver.Seconds{}, pr.lastSlots(plan)
	for _, slots := range plan.Blocks {
		here := map[solver.PersonIndex]stretch{}
		for _, s := range slots {
			for _, q := range pr.spec.Groupings[s.Grouping].Members {
				if times[q] == nil {
					times[q] = &event.PersonTimes{Person: pr.event.People[q].ID}
					call[q] = s.Start
				}
				times[q].Groupings++
				call[q] = min(call[q], s.Start)
				x, seen := here[q]
				if !seen {
					x.first = s.Start
				}
				x.last, x.inFrame = s.Finish, x.inFrame+s.Finish-s.Start
				here[q] = x
			}
		}
		for q, x := range here {
			times[q].Idle += seconds(x.last - x.first - x.inFrame)
		}
	}
	for _, b := range blocks {
		for _, e := range b.Entries {
			for _, id := range e.StepIn {
				times[pr.people[id]].TimesIn++
			}
		}
	}
	var out []event.PersonTimes
	for i := range pr.event.People {
		q := solver.PersonIndex(i)
		if t := times[q]; t != nil {
			t.Call, t.Release = pr.clock.at(call[q]), pr.clock.at(release[q])
			out = append(out, *t)
		}
	}
	return out
}

func seconds(s solver.Seconds) time.Duration { return time.Duration(s) * time.Second }
