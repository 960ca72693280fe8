// Package why says in words why a plan leaves photographs out, and what would let them in. It changes nothing of the plan.
package why

import (
	"context"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// mostNames is how many people one reason names before it only counts.
const mostNames = 5

// Asked is a plan of a day that is asked why it leaves photographs out.
type Asked struct {
	*model.Problem
	plan day.Plan
	open *day.Problem // the day without closing times
}

// Of asks a plan of a day.
func Of(pr *model.Problem, plan day.Plan) Asked { return Asked{pr, plan, model.OpenEnded(pr.Spec)} }

// LeftOut says why a photograph is left out. When ctx ends it says less.
func (a Asked) LeftOut(ctx context.Context, g solver.GroupingIndex) wording.Message {
	photo := a.Photographs[g]
	if len(a.Spec.Groupings[g].Blocks) == 0 {
		return a.tooLarge(photo)
	}
	if !a.InTime(g) {
		return wording.Say("plan.itsTimesAreInNoBlock")
	}
	if !a.EverTogether(g) {
		return wording.Sentences(wording.Say("plan.itsPeopleAreNeverThereTogether"), a.without(ctx, g))
	}
	if overrun, block, ok := a.tooLateWith(g, a.open); ok && overrun > 0 {
		left := wording.Say("plan.noTimeLeft")
		if len(a.Event.Blocks) > 0 {
			left = wording.Say("plan.noTimeLeftIn", a.Blocks[block].Named())
		}
		why := wording.Sentences(left, a.whyThis(g))
		if a.several() {
			return why // how long all of them take is said of the block: each by itself would promise too much
		}
		return wording.Sentences(why, wording.Say("plan.wouldFitIfTheBlockClosed", model.MinutesUp(overrun)))
	}
	if wishes := a.clash(ctx, g); len(wishes) > 0 {
		return wording.Sentences(wording.Say("plan.theseWishesCannotAllHold", wording.Semicolons(wishes...)), a.without(ctx, g))
	}
	return wording.Sentences(wording.Say("plan.otherGroupingsTheirTimesAndThe"), a.without(ctx, g))
}

// several says that more than one is left out, not counting what the hand leaves out.
func (a Asked) several() bool {
	n := 0
	for _, g := range a.plan.LeftOut {
		if !a.ByHand[g] {
			n++
		}
	}
	return n > 1
}

// tooLarge explains why no block may take a photograph.
func (a Asked) tooLarge(photo event.Photograph) wording.Message {
	var largest event.Block
	for _, b := range a.Blocks {
		if (len(photo.Blocks) == 0 || slices.Contains(photo.Blocks, b.ID)) && b.Capacity > largest.Capacity {
			largest = b
		}
	}
	if largest.Capacity == 0 {
		return wording.Say("plan.noBlockMayTakeIt")
	}
	return model.HasAndHolds(photo, largest)
}

// tooLateWith puts the grouping into the plan without regard to closing times and returns by how much a
// block then ends too late, at least.
func (a Asked) tooLateWith(g solver.GroupingIndex, open *day.Problem) (solver.Seconds, day.BlockIndex, bool) {
	if open == nil {
		return 0, 0, false
	}
	var least solver.Seconds
	var where day.BlockIndex
	found := false
	for _, b := range a.Spec.Groupings[g].Blocks {
		next, ok := day.Insert(open, a.plan, g, b)
		if !ok {
			continue
		}
		var late solver.Seconds
		for c, slots := range next.Blocks {
			if closes := a.Closes(day.BlockIndex(c)); closes > 0 && len(slots) > 0 {
				late = max(late, a.WithReserve(day.BlockIndex(c), slots[len(slots)-1].Finish)-closes)
			}
		}
		if !found || late < least {
			least, where, found = late, b, true
		}
	}
	return least, where, found
}

// without names the people without whom the photograph could be taken: those who come late or leave early. Everybody takes
// time, so without anybody a full day has room; and without whom another photograph is the same is no remedy.
func (a Asked) without(ctx context.Context, g solver.GroupingIndex) wording.Message {
	photo := a.Photographs[g]
	var names []wording.Message
	for _, id := range photo.Members {
		if ctx.Err() != nil {
			break
		}
		rest := photo
		rest.Members = slices.DeleteFunc(slices.Clone(photo.Members), func(m string) bool { return m == id })
		windows, err := a.Windows(rest)
		if err != nil || len(rest.Members) == 0 || slices.Equal(windows, a.Spec.Groupings[g].Windows) || a.isThere(rest.Members) {
			continue
		}
		spec := a.Spec
		spec.Groupings = slices.Clone(a.Spec.Groupings)
		spec.Groupings[g].Windows = windows
		spec.Groupings[g].Members = nil
		for _, m := range rest.Members {
			spec.Groupings[g].Members = append(spec.Groupings[g].Members, a.People[m])
		}
		if late, _, ok := a.tooLateWith(g, model.OpenEnded(spec)); ok && late <= 0 {
			names = append(names, wording.Say("plan.without", a.Event.People[a.People[id]].Name))
		}
	}
	if len(names) == 0 {
		return wording.Message{}
	}
	return wording.Say("plan.wouldFit", wording.Or(names...))
}

// isThere says that there is a photograph of just these people.
func (a Asked) isThere(members []string) bool {
	return slices.ContainsFunc(a.Photographs, func(p event.Photograph) bool { return model.SameSet(p.Members, members) })
}

// whyThis says why a photograph is done without rather than another.
func (a Asked) whyThis(g solver.GroupingIndex) wording.Message {
	w := a.Spec.Groupings[g]
	seen := map[solver.PersonIndex]bool{}
	for _, slots := range a.plan.Blocks {
		for _, s := range slots {
			other := a.Spec.Groupings[s.Grouping]
			if other.Like == w.Like {
				return wording.Say("plan.almostTheSamePeopleAreIn", wording.Curly(a.Photographs[s.Grouping].Title))
			}
			for _, q := range other.Members {
				seen[q] = true
			}
		}
	}
	var missed []wording.Message
	for _, q := range w.Members {
		if !seen[q] {
			missed = append(missed, a.Event.People[q].Named())
		}
	}
	if len(missed) == 0 {
		return wording.Say("plan.everybodyInItIsInOthers")
	}
	return wording.Say("plan.inNoOtherPhotograph", wording.Few(mostNames, missed))
}
