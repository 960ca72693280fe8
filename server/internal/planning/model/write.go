package model

import (
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// InOrder lists the blocks by their opening; without any grouping a block is left out, unless the
// event named it.
func (pr *Problem) InOrder(plan day.Plan) []int {
	var out []int
	for b := range plan.Blocks {
		if len(plan.Blocks[b]) > 0 || len(pr.Event.Blocks) > 0 {
			out = append(out, b)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return int(pr.Spec.Blocks[a].Open - pr.Spec.Blocks[b].Open) })
	return out
}

// LastSlots says for each person when their last slot of the day ends.
func (pr *Problem) LastSlots(plan day.Plan) map[solver.PersonIndex]solver.Seconds {
	last := map[solver.PersonIndex]solver.Seconds{}
	for _, slots := range plan.Blocks {
		for _, s := range slots {
			for _, q := range pr.needed(s.Grouping) {
				last[q] = max(last[q], s.Finish)
			}
		}
	}
	return last
}

// needed lists who cannot be let go before a grouping: who is in it or near it, and the parents of its infants.
func (pr *Problem) needed(g solver.GroupingIndex) []solver.PersonIndex {
	w := pr.Spec.Groupings[g]
	out := slices.Concat(w.Members, w.Near)
	for _, q := range w.Members {
		for _, parent := range pr.carers[q] {
			if !slices.Contains(out, parent) {
				out = append(out, parent)
			}
		}
	}
	return out
}

// carersWork bounds addCarers, in pairs looked at: far more than the infants of a wedding need.
const carersWork = 20_000

// addCarers finds the parents of infants.
func (pr *Problem) addCarers(tree *family.Tree) {
	pr.carers = map[solver.PersonIndex][]solver.PersonIndex{}
	work := 0
	for q := range pr.Event.People {
		if tree.Band(q) != event.Infant {
			continue
		}
		if work += len(pr.Event.People); work > carersWork {
			return
		}
		for parent, p := range pr.Event.People {
			if !p.Absent && tree.Kindred(q, parent) == family.OwnParent {
				pr.carers[solver.PersonIndex(q)] = append(pr.carers[solver.PersonIndex(q)], solver.PersonIndex(parent))
			}
		}
	}
}

// Block writes the order of one block.
func (pr *Problem) Block(plan day.Plan, b int, last map[solver.PersonIndex]solver.Seconds) event.SheetBlock {
	slots := plan.Blocks[b]
	open := pr.Spec.Blocks[b].Open
	if len(slots) > 0 {
		open = slots[0].Begin
	}
	out := event.SheetBlock{Block: pr.Blocks[b].ID, Overrun: Duration(pr.Overrun(plan, b))}
	if pr.Blocks[b].Opens != "" || len(slots) > 0 {
		out.Start = pr.Clock.At(open)
	}
	frame := pr.Spec.Blocks[b].Frame
	for k, s := range slots {
		w := pr.Spec.Groupings[s.Grouping]
		photo := pr.Photographs[s.Grouping]
		e := event.SheetEntry{
			Grouping: photo.ID,
			Title:    photo.Title,
			Offset:   Duration(s.Start - open),
			Length:   Duration(s.Finish - s.Start),
			Wait:     Duration(s.Start - s.Begin),
			Near:     pr.IDs(w.Near),
			StepIn:   pr.IDs(Without(w.Members, frame)),
			StepOut:  pr.IDs(Without(frame, w.Members)),
			Stay:     pr.IDs(Without(w.Members, Without(w.Members, frame))),
			Frames:   pr.Frames[s.Grouping],

			BlinksLikely: NewMinutes(pr.Event.Pace).blinksLikely(photo, pr.light(w.Blocks)),
		}
		for _, q := range pr.needed(s.Grouping) {
			if last[q] == s.Finish {
				e.Released = append(e.Released, pr.Event.People[q].ID)
			}
		}
		if k+1 < len(slots) {
			e.Standby = pr.IDs(Without(pr.Spec.Groupings[slots[k+1].Grouping].Members, w.Members))
		}
		out.StepIns += len(e.StepIn)
		out.Length = Duration(s.Finish - open)
		out.Entries = append(out.Entries, e)
		frame = w.Members
	}
	return out
}

// Without returns the people of a who are not in b, in the order of a.
func Without(a, b []solver.PersonIndex) []solver.PersonIndex {
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

// StepIns counts the step-ins of orders, block by block.
func (pr *Problem) StepIns(orders [][]solver.GroupingIndex) int {
	total := 0
	for _, order := range orders {
		var frame []solver.PersonIndex
		for _, g := range order {
			members := pr.Spec.Groupings[g].Members
			total += len(Without(members, frame))
			frame = members
		}
	}
	return total
}

// PersonTimes says of everybody in a photograph when they are needed, near one or in it. Idle time is counted block by
// block: the time between blocks is the day's own.
func (pr *Problem) PersonTimes(plan day.Plan, blocks []event.SheetBlock) []event.PersonTimes {
	type stretch struct{ first, last, inFrame solver.Seconds }
	times := map[solver.PersonIndex]*event.PersonTimes{}
	call, release := map[solver.PersonIndex]solver.Seconds{}, pr.LastSlots(plan)
	for _, slots := range plan.Blocks {
		here := map[solver.PersonIndex]stretch{}
		for _, s := range slots {
			w := pr.Spec.Groupings[s.Grouping]
			for _, q := range slices.Concat(w.Members, w.Near) {
				if at, called := call[q]; !called || s.Start < at {
					call[q] = s.Start
				}
			}
			for _, q := range w.Members {
				if times[q] == nil {
					times[q] = &event.PersonTimes{Person: pr.Event.People[q].ID}
				}
				times[q].Groupings++
				x, seen := here[q]
				if !seen {
					x.first = s.Start
				}
				x.last, x.inFrame = s.Finish, x.inFrame+s.Finish-s.Start
				here[q] = x
			}
		}
		for q, x := range here {
			times[q].Idle += Duration(x.last - x.first - x.inFrame)
		}
	}
	for _, b := range blocks {
		for _, e := range b.Entries {
			for _, id := range e.StepIn {
				times[pr.People[id]].TimesIn++
			}
		}
	}
	var out []event.PersonTimes
	for i := range pr.Event.People {
		q := solver.PersonIndex(i)
		if t := times[q]; t != nil {
			t.Call, t.Release = pr.Clock.At(call[q]), pr.Clock.At(release[q])
			out = append(out, *t)
		}
	}
	return out
}

func Duration(s solver.Seconds) time.Duration { return time.Duration(s) * time.Second }
