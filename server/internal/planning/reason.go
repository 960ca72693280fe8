package planning

import (
	"context"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// reason says in words why a plan leaves a grouping out and what would let it in.
// open is the day without closing times.
func (pr *problem) reason(ctx context.Context, plan day.Plan, g solver.GroupingIndex, open *day.Problem) wording.Message {
	photo := pr.Photographs[g]
	if len(pr.Spec.Groupings[g].Blocks) == 0 {
		return pr.tooLarge(photo)
	}
	if !pr.inTime(g) {
		return wording.Say("plan.itsTimesAreInNoBlock")
	}
	if !pr.EverTogether(g) {
		return wording.Sentences(wording.Say("plan.itsPeopleAreNeverThereTogether"), pr.remedyWithout(ctx, plan, g))
	}
	if overrun, block, ok := pr.tooLateWith(plan, g, open); ok && overrun > 0 {
		left := wording.Say("plan.noTimeLeft")
		if len(pr.Event.Blocks) > 0 {
			left = wording.Say("plan.noTimeLeftIn", pr.Blocks[block].Named())
		}
		why := wording.Sentences(left, pr.whyThis(plan, g))
		if pr.several(plan) {
			return why // how long all of them take is said of the block: each by itself would promise too much
		}
		return wording.Sentences(why, wording.Say("plan.wouldFitIfTheBlockClosed", minutesUp(overrun)))
	}
	if wishes := pr.clash(ctx, g); len(wishes) > 0 {
		return wording.Sentences(wording.Say("plan.theseWishesCannotAllHold", wording.Semicolons(wishes...)), pr.remedyWithout(ctx, plan, g))
	}
	return wording.Sentences(wording.Say("plan.otherGroupingsTheirTimesAndThe"), pr.remedyWithout(ctx, plan, g))
}

// several says that more than one is left out, not counting what the hand leaves out.
func (pr *problem) several(plan day.Plan) bool {
	n := 0
	for _, g := range plan.LeftOut {
		if !pr.byHand[g] {
			n++
		}
	}
	return n > 1
}

// tooLarge explains why no block may take a photograph.
func (pr *problem) tooLarge(photo event.Photograph) wording.Message {
	var largest event.Block
	for _, b := range pr.Blocks {
		if (len(photo.Blocks) == 0 || slices.Contains(photo.Blocks, b.ID)) && b.Capacity > largest.Capacity {
			largest = b
		}
	}
	if largest.Capacity == 0 {
		return wording.Say("plan.noBlockMayTakeIt")
	}
	return hasAndHolds(photo, largest)
}

func hasAndHolds(photo event.Photograph, b event.Block) wording.Message {
	return wording.Say("plan.hasAndHolds",
		wording.Say("sheet.personCount", photo.Size()), b.Named(), b.Capacity, wording.Say("sheet.fewerPeople", photo.Size()-b.Capacity))
}

// inTime says whether the times that a grouping itself states meet a block it may be taken in.
func (pr *problem) inTime(g solver.GroupingIndex) bool {
	from := pr.Event.Groupings[pr.Photographs[g].Source]
	own, err := pr.Clock.Window(from.NotBefore, from.NotAfter)
	return err != nil || pr.Meet(pr.Spec.Groupings[g].Blocks, []solver.Window{own})
}

// openEnded returns a day without closing times, nil when it is not one.
func openEnded(spec day.Spec) *day.Problem {
	spec.Blocks = slices.Clone(spec.Blocks)
	for b := range spec.Blocks {
		spec.Blocks[b].Close = 0
	}
	p, err := day.New(spec)
	if err != nil {
		return nil
	}
	return p
}

// tooLateWith puts the grouping into the plan without regard to closing times and returns by how much a
// block then ends too late, at least.
func (pr *problem) tooLateWith(plan day.Plan, g solver.GroupingIndex, open *day.Problem) (solver.Seconds, day.BlockIndex, bool) {
	if open == nil {
		return 0, 0, false
	}
	var least solver.Seconds
	var where day.BlockIndex
	found := false
	for _, b := range pr.Spec.Groupings[g].Blocks {
		next, ok := day.Insert(open, plan, g, b)
		if !ok {
			continue
		}
		var late solver.Seconds
		for c, slots := range next.Blocks {
			if closes := pr.closes(day.BlockIndex(c)); closes > 0 && len(slots) > 0 {
				late = max(late, pr.withReserve(day.BlockIndex(c), slots[len(slots)-1].Finish)-closes)
			}
		}
		if !found || late < least {
			least, where, found = late, b, true
		}
	}
	return least, where, found
}

// remedyWithout names the people without whom the grouping could be taken.
func (pr *problem) remedyWithout(ctx context.Context, plan day.Plan, g solver.GroupingIndex) wording.Message {
	photo := pr.Photographs[g]
	var names []wording.Message
	for _, id := range photo.Members {
		if ctx.Err() != nil {
			break
		}
		rest := photo
		rest.Members = slices.DeleteFunc(slices.Clone(photo.Members), func(m string) bool { return m == id })
		windows, err := pr.Windows(rest)
		if err != nil || len(rest.Members) == 0 {
			continue
		}
		spec := pr.Spec
		spec.Groupings = slices.Clone(pr.Spec.Groupings)
		spec.Groupings[g].Windows = windows
		spec.Groupings[g].Members = nil
		for _, m := range rest.Members {
			spec.Groupings[g].Members = append(spec.Groupings[g].Members, pr.People[m])
		}
		if late, _, ok := pr.tooLateWith(plan, g, openEnded(spec)); ok && late <= 0 {
			names = append(names, wording.Say("plan.without", pr.Event.People[pr.People[id]].Name))
		}
	}
	if len(names) == 0 {
		return wording.Message{}
	}
	return wording.Say("plan.wouldFit", wording.Or(names...))
}

// minutesUp writes whole minutes, rounded up and at least one.
func minutesUp(s solver.Seconds) wording.Message {
	return wording.Say("sheet.wholeMinutes", wording.MinutesUp(model.Duration(max(s, 1))))
}

// whyThis says why a photograph is done without rather than another.
func (pr *problem) whyThis(plan day.Plan, g solver.GroupingIndex) wording.Message {
	w := pr.Spec.Groupings[g]
	seen := map[solver.PersonIndex]bool{}
	for _, slots := range plan.Blocks {
		for _, s := range slots {
			other := pr.Spec.Groupings[s.Grouping]
			if other.Like == w.Like {
				return wording.Say("plan.almostTheSamePeopleAreIn", wording.Curly(pr.Photographs[s.Grouping].Title))
			}
			for _, q := range other.Members {
				seen[q] = true
			}
		}
	}
	var missed []wording.Message
	for _, q := range w.Members {
		if !seen[q] {
			missed = append(missed, pr.Event.People[q].Named())
		}
	}
	if len(missed) == 0 {
		return wording.Say("plan.everybodyInItIsInOthers")
	}
	return wording.Say("plan.inNoOtherPhotograph", wording.Few(adviceNames, missed))
}
