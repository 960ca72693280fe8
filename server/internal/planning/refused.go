package planning

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// against says what stands against orders that cannot be kept: the times and rules without which they could.
func (pr *problem) against(orders [][]solver.GroupingIndex) *event.InfeasibleError {
	for _, r := range []struct {
		relax func(*day.Spec)
		say   func(day.Plan) *event.InfeasibleError
	}{
		{func(s *day.Spec) { forEach(&s.Blocks, func(b *day.Block) { b.Close = 0 }) }, pr.tooLate},
		{func(s *day.Spec) { forEach(&s.Groupings, func(g *day.Grouping) { g.Windows = nil }) }, pr.notThere},
		{func(s *day.Spec) { s.Turns = nil }, said("plan.ruleSaysWhoIsPhotographedIn")},
		{func(s *day.Spec) { s.Apart = nil }, said("plan.ruleKeepsPeopleApartAndThe")},
		{func(s *day.Spec) { forEach(&s.Groupings, func(g *day.Grouping) { g.After = nil }) },
			said("plan.photographWouldBeTakenBeforeOne")},
	} {
		spec := pr.Spec
		r.relax(&spec)
		p, err := day.New(spec)
		if err != nil {
			continue
		}
		if result, ok := day.Fix(p, orders); ok {
			return r.say(result.Plan)
		}
	}
	return said("plan.timesAndRulesDoNotAllow")(day.Plan{})
}

func said(k wording.Key) func(day.Plan) *event.InfeasibleError {
	return func(day.Plan) *event.InfeasibleError { return event.Infeasible(nil, wording.Say(k)) }
}

// forEach changes the entries of a list, of which others may hold the same copy.
func forEach[T any](list *[]T, do func(*T)) {
	*list = slices.Clone(*list)
	for i := range *list {
		do(&(*list)[i])
	}
}

// tooLate says by how much blocks end after they close; the plan is one without closing times.
func (pr *problem) tooLate(plan day.Plan) *event.InfeasibleError {
	var late wording.Message
	var ids []string
	for b, slots := range plan.Blocks {
		closes := pr.Spec.Blocks[b].Close
		if closes == 0 || len(slots) == 0 {
			continue
		}
		if over := slots[len(slots)-1].Finish - closes; over > 0 {
			name := pr.Blocks[b].Named()
			late = wording.Sentences(late, wording.Say("plan.wouldEndAfterItCloses", name, model.MinutesUp(over)))
			ids = append(ids, pr.Blocks[b].ID)
		}
	}
	return event.Infeasible(ids, late)
}

// notThere names the photographs that the order would take while somebody is away or outside the times
// asked for; the plan is one without such times.
func (pr *problem) notThere(plan day.Plan) *event.InfeasibleError {
	for _, slots := range plan.Blocks {
		for _, s := range slots {
			windows := pr.Spec.Groupings[s.Grouping].Windows
			fits := func(w solver.Window) bool { return s.Start >= w.Open && s.Finish <= w.Close }
			if len(windows) > 0 && !slices.ContainsFunc(windows, fits) {
				return pr.ClashOf("plan.wouldComeWhileSomebodyIsNot", s.Grouping)
			}
		}
	}
	return said("plan.somebodyWouldNotBeThere")(plan)
}
