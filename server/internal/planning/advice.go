package planning

import (
	"cmp"
	"context"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/outdoors"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// From when on a plan is worth a word. Common practice, no source.
const (
	littleSpare = 5 * 60  // seconds between the end of a block and its closing
	longIdle    = 15 * 60 // seconds that an elder or child waits between photographs
	tooLongIdle = 30 * 60 // from here on it is a warning
	longGap     = 60 * 60 // seconds between two blocks for an elder or child
	adviceNames = 5       // people that one advice names before it only counts
)

// adviser says what a planner should know about one plan.
type adviser struct {
	*problem
	plan day.Plan
	// onTime is the plan in which no block runs over; nil when it is this one, or not known.
	onTime *day.Plan
	// budgeted says that the time was given with the request, so that no closing time is behind it.
	budgeted bool
	list     []event.Advice
}

// addAdvice adds what only shows in a plan to the advice on the event. Like the reasons, it takes no
// longer than a share of the budget.
func (s *search) addAdvice(ctx context.Context, sheet *event.CallSheet, plan day.Plan) {
	short, cancel := context.WithTimeout(ctx, s.options.Budget/(2*floorShare))
	defer cancel()
	a := adviser{problem: s.problem, plan: plan, onTime: s.onTime, budgeted: s.options.Available > 0}
	a.handBreaks()
	a.handCosts(short)
	a.runsOver()
	a.firmEnds()
	a.overBlocks(short)
	a.longIdle(sheet.People)
	a.longGaps()
	a.list = append(a.list, outdoors.Advice(s.problem.Event, *sheet)...)
	a.orderCannotHelp()
	sheet.Advice = slices.Concat(sheet.Advice, a.list)
}

func (a *adviser) add(s event.Severity, code string, subjects []string, k wording.Key, args ...any) {
	a.list = append(a.list, event.Tell(s, code, "", subjects, wording.Say(k, args...)))
}

// runsOver says which soft blocks run over, and what a plan that ends on time does without.
func (a *adviser) runsOver() {
	for b, slots := range a.plan.Blocks {
		over := a.Overrun(a.plan, b)
		if over == 0 {
			continue
		}
		subjects, remedy := a.blockIDs(b), wording.Message{}
		if drop := a.onlyHere(slots); len(drop) > 0 {
			var titles []wording.Arg
			for _, g := range drop {
				titles, subjects = append(titles, wording.Curly(a.Photographs[g].Title)), append(subjects, a.Photographs[g].ID)
			}
			remedy = wording.Say("plan.toEndOnTimeLeaveOut", wording.Comma(titles...))
		}
		a.list = append(a.list, event.Tell(event.Warning, event.CodeRunsOver, "", subjects, wording.Sentences(
			wording.Say("plan.runsOver", a.Blocks[b].Named(), model.MinutesUp(over), wording.Clock(a.Clock.At(a.Planned[b]))), remedy)))
	}
}

// onlyHere lists what of a block the plan that ends on time does without; of all blocks when that is nothing.
func (a *adviser) onlyHere(slots []day.Slot) []solver.GroupingIndex {
	if a.onTime == nil {
		return nil
	}
	all := slices.DeleteFunc(slices.Clone(a.onTime.LeftOut), func(g solver.GroupingIndex) bool { return slices.Contains(a.plan.LeftOut, g) })
	here := slices.DeleteFunc(slices.Clone(all), func(g solver.GroupingIndex) bool {
		return !slices.ContainsFunc(slots, func(s day.Slot) bool { return s.Grouping == g })
	})
	if len(here) == 0 {
		return all
	}
	return here
}

// overBlocks says by how much blocks are too short for what is asked of them, and which have hardly a
// minute to spare.
func (a *adviser) overBlocks(ctx context.Context) {
	whole, complete := a.everythingIn(ctx)
	for b, block := range a.Spec.Blocks {
		slots := whole.Blocks[b]
		if block.Close == 0 || len(slots) == 0 {
			continue
		}
		end := slots[len(slots)-1].Finish
		if end > block.Close {
			a.overBlock(day.BlockIndex(b), slots, complete)
			continue
		}
		spare := a.Planned[b] - end
		if a.Event.Fit == event.Safe || spare < 0 || spare >= littleSpare || len(a.plan.Blocks[b]) == 0 || !complete {
			continue
		}
		left := wording.Say("plan.withoutAMinute")
		if spare >= 60 {
			left = wording.Say("plan.with", minutesDown(spare))
		}
		a.add(event.Info, event.CodeTightBlock, a.blockIDs(b),
			"plan.plannedToItsEndToSpare",
			a.Blocks[b].Subject(), left)
	}
}

// everythingIn puts what a plan leaves out back into it, without regard to closing times. It reports
// false when there was no time to try all.
func (a *adviser) everythingIn(ctx context.Context) (day.Plan, bool) {
	whole := a.plan
	if len(a.plan.LeftOut) == 0 {
		return whole, true
	}
	open := model.OpenEnded(a.Spec)
	if open == nil {
		return whole, true
	}
	out := slices.Clone(a.plan.LeftOut)
	slices.SortStableFunc(out, func(g, h solver.GroupingIndex) int {
		return cmp.Compare(a.Spec.Groupings[g].Tier, a.Spec.Groupings[h].Tier)
	})
	for _, g := range out {
		var best day.Plan
		found := false
		for _, b := range a.Spec.Groupings[g].Blocks {
			if ctx.Err() != nil {
				return whole, false
			}
			if next, ok := day.Insert(open, whole, g, b); ok && (!found || a.late(next) < a.late(best)) {
				best, found = next, true
			}
		}
		if found {
			whole = best
		}
	}
	return whole, true
}

// late sums up by how much blocks end after they close.
func (a *adviser) late(plan day.Plan) solver.Seconds {
	var sum solver.Seconds
	for b, slots := range plan.Blocks {
		if closes := a.Spec.Blocks[b].Close; closes > 0 && len(slots) > 0 {
			sum += max(0, slots[len(slots)-1].Finish-closes)
		}
	}
	return sum
}

// overBlock says how many photographs do not fit a block, and how long all that is asked of it takes.
func (a *adviser) overBlock(b day.BlockIndex, slots []day.Slot, complete bool) {
	block, end := a.Spec.Blocks[b], a.WithReserve(b, slots[len(slots)-1].Finish)
	block.Close = a.Planned[b]
	subjects := a.blockIDs(int(b))
	var out [3]int // by tier
	for _, s := range slots {
		if slices.Contains(a.plan.LeftOut, s.Grouping) {
			subjects = append(subjects, a.Photographs[s.Grouping].ID)
			out[a.Spec.Groupings[s.Grouping].Tier]++
		}
	}
	var tiers []wording.Message
	for tier, k := range []wording.Key{"plan.must", "plan.should", "plan.nice"} {
		if out[tier] > 0 {
			tiers = append(tiers, wording.Say(k, out[tier]))
		}
	}
	about := wording.Key("plan.about")
	if !complete {
		about = "plan.atLeast"
	}
	remedy := wording.Say("plan.withMoreAllOfThemWould", model.MinutesUp(end-block.Close))
	if at := a.Clock.At(end + 59); !complete {
		remedy = wording.Say("plan.wouldHaveToCloseLaterBy")
	} else if !at.IsZero() && !a.budgeted {
		remedy = wording.Say("plan.ifItClosedAtAllOf", wording.Clock(at.Truncate(time.Minute)))
	}
	all := len(a.plan.Blocks[b]) // and what is left out for want of time, or for anything else
	for _, g := range a.plan.LeftOut {
		if slices.Contains(a.Spec.Groupings[g].Blocks, b) {
			all++
		}
	}
	text := wording.Say("plan.doNotFit", out[0]+out[1]+out[2], all, wording.Comma(tiers...),
		wording.Say(about, model.MinutesUp(end-block.Open)), minutesDown(block.Close-block.Open), remedy)
	if len(a.Blocks) > 1 {
		text = wording.Say("sheet.labelled", a.Blocks[b].Named(), text)
	}
	a.list = append(a.list, event.Tell(event.Warning, event.CodeOverBlock, "", subjects, text))
}

func (a *adviser) blockIDs(b int) []string {
	if id := a.Blocks[b].ID; id != "" {
		return []string{id}
	}
	return nil
}

// longIdle tells of elders, children and people with needs who wait long between their photographs.
func (a *adviser) longIdle(times []event.PersonTimes) {
	var waits []event.PersonTimes
	for _, t := range times {
		if model.Tires(a.person(t.Person)) && t.Idle >= longIdle*time.Second {
			waits = append(waits, t)
		}
	}
	if len(waits) == 0 {
		return
	}
	slices.SortStableFunc(waits, func(s, t event.PersonTimes) int { return cmp.Compare(t.Idle, s.Idle) })
	var ids []string
	var names []wording.Message
	for _, t := range waits {
		ids = append(ids, t.Person)
		names = append(names, wording.Say("%s %s", a.person(t.Person).Named(), minutesDown(solver.Seconds(t.Idle/time.Second))))
	}
	severity := event.Info
	if waits[0].Idle >= tooLongIdle*time.Second {
		severity = event.Warning
	}
	remedy := wording.Say("plan.haveAPlaceToSitOr")
	if a.Event.Emphasis != event.EarlyRelease {
		remedy = wording.Say("plan.haveAPlaceToSitOrPlay")
	}
	a.add(severity, event.CodeLongIdle, ids, "plan.longWaitsBetweenPhotographs", wording.Few(adviceNames, names), remedy)
}

// longGaps tells of elders, children and people with needs who are called to blocks far apart.
func (a *adviser) longGaps() {
	type stay struct{ from, until solver.Seconds }
	stays := make([][]stay, len(a.Event.People)) // by person, one for each block
	for _, b := range a.InOrder(a.plan) {
		here := make(map[solver.PersonIndex]stay)
		for _, s := range a.plan.Blocks[b] {
			for _, q := range a.Spec.Groupings[s.Grouping].Members {
				x, seen := here[q]
				if !seen {
					x.from = s.Start
				}
				x.until = s.Finish
				here[q] = x
			}
		}
		for q, x := range here {
			stays[q] = append(stays[q], x)
		}
	}
	var ids []string
	var names []wording.Message
	for q, list := range stays {
		if !model.Tires(a.Event.People[q]) {
			continue
		}
		slices.SortFunc(list, func(x, y stay) int { return cmp.Compare(x.from, y.from) })
		for k := 1; k < len(list); k++ {
			if gap := list[k].from - list[k-1].until; gap >= longGap {
				ids = append(ids, a.Event.People[q].ID)
				names = append(names, wording.Say("plan.doneAtAndCalledAgainAt", a.Event.People[q].Named(),
					wording.Clock(a.Clock.At(list[k-1].until)), wording.Clock(a.Clock.At(list[k].from))))
				break
			}
		}
	}
	if len(ids) > 0 {
		a.add(event.Info, event.CodeLongGap, slices.Compact(ids),
			"plan.calledTwiceFarApart", wording.Few(adviceNames, names))
	}
}

func (pr *problem) person(id string) event.Person { return pr.Event.People[pr.People[id]] }

// minutesDown writes whole minutes, rounded down.
func minutesDown(s solver.Seconds) wording.Message {
	return wording.Say("sheet.wholeMinutes", int(s/60))
}
