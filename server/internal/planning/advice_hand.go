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

// handBreaks says which wishes the order by hand breaks.
func (a *adviser) handBreaks() {
	for _, b := range a.broken {
		a.list = append(a.list, event.Tell(event.Warning, event.CodeHandBreaks, "", b.Subjects,
			wording.Sentences(wording.Say("plan.handBreaksAWish"), b.Message)))
	}
}

// handCosts says which locks cost what must be taken, and that an order without locks was not kept.
func (a *adviser) handCosts(ctx context.Context) {
	p, err := day.New(a.Spec)
	if err != nil || a.handMade == nil {
		return
	}
	if slices.ContainsFunc(a.Spec.Groupings, func(w day.Grouping) bool { return w.Keep }) {
		a.lockCosts(ctx, p)
		return
	}
	open := model.OpenEnded(a.Spec) // the order may run over
	if open == nil {
		return
	}
	if _, ok := day.Fix(open, a.handMade); !ok || inSequence(a.handMade, a.plan.Orders()) {
		return
	}
	a.add(event.Info, event.CodeHandBreaks, nil, "plan.orderIsNotKept", wording.Say("%s", a.StepIns(a.handMade)), wording.Say("%s", a.StepIns(a.plan.Orders())))
}

// lockCosts says of each photograph that must be taken and has no place which lock it would have one without.
func (a *adviser) lockCosts(ctx context.Context, p *day.Problem) {
	missed := slices.DeleteFunc(slices.Clone(a.plan.LeftOut), func(g solver.GroupingIndex) bool { return a.Spec.Groupings[g].Tier > 0 })
	for _, lock := range slices.Concat(a.plan.Orders()...) {
		if len(missed) == 0 || ctx.Err() != nil {
			return
		}
		if w := a.Spec.Groupings[lock]; !w.Keep || w.Tier == 0 {
			continue
		}
		orders := a.plan.Orders()
		for b, order := range orders {
			orders[b] = slices.DeleteFunc(order, func(g solver.GroupingIndex) bool { return g == lock })
		}
		without, ok := day.Fix(p, orders)
		missed = slices.DeleteFunc(missed, func(g solver.GroupingIndex) bool {
			fits := ok && slices.ContainsFunc(a.Spec.Groupings[g].Blocks, func(b day.BlockIndex) bool {
				_, fits := day.Insert(p, without.Plan, g, b)
				return ctx.Err() == nil && fits
			})
			if fits {
				a.add(event.Warning, event.CodeHandBreaks, []string{a.Photographs[lock].ID, a.Photographs[g].ID}, "plan.lockCosts",
					wording.Curly(a.Photographs[lock].Title), wording.Curly(a.Photographs[g].Title))
			}
			return fits
		})
	}
}

// inSequence says that what is in some orders stands there as it does in others, whatever they leave out.
func inSequence(others, orders [][]solver.GroupingIndex) bool {
	for b, order := range orders {
		at := -1
		for _, g := range order {
			next := slices.Index(others[b], g)
			if next < 0 && !slices.ContainsFunc(others, func(o []solver.GroupingIndex) bool { return slices.Contains(o, g) }) {
				continue // the hand has no place for it
			}
			if next < at {
				return false
			}
			at = next
		}
	}
	return true
}

// firmEnds says what falls when a block that must not run over runs late: what is not sure to be over in time.
func (a *adviser) firmEnds() {
	for b, times := range a.SafeTimes(a.plan) {
		closes := a.Closes(day.BlockIndex(b))
		if a.Blocks[b].Closing != event.FirmClosing || closes == 0 {
			continue
		}
		var falls []wording.Message
		subjects := a.blockIDs(b)
		for k, s := range a.plan.Blocks[b] {
			if times[k].Finish > closes {
				falls = append(falls, wording.Say("%s", wording.Curly(a.Photographs[s.Grouping].Title)))
				subjects = append(subjects, a.Photographs[s.Grouping].ID)
			}
		}
		if len(falls) > 0 {
			a.add(event.Info, event.CodeTightBlock, subjects, "plan.whenItRunsLateTheseFall",
				a.Blocks[b].Subject(), wording.Clock(a.Clock.At(closes)), wording.Few(adviceNames, falls))
		}
	}
}
