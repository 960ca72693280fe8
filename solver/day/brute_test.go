package day

import (
	"cmp"
	"slices"

	"kinorder.example/solver"
)

// outcome is what a plan is judged by, worked out from the description alone.
type outcome struct {
	lost Lost
	cost solver.Cost
}

// less is the objective of doc.go for an emphasis.
func (o outcome) less(x outcome, s *Spec) bool {
	if c := slices.Compare(o.lost[:], x.lost[:]); c != 0 {
		return c < 0
	}
	a, b := o.cost, x.cost
	switch s.Emphasis {
	case solver.FewestSteps:
		return cmp.Or(cmp.Compare(a.StepIns, b.StepIns), cmp.Compare(a.Release+a.Idle, b.Release+b.Idle)) < 0
	case solver.EarlyRelease:
		return cmp.Or(cmp.Compare(a.Release, b.Release), cmp.Compare(a.StepIns, b.StepIns)) < 0
	default:
		return s.StepWeight*a.StepIns+a.Release+a.Idle < s.StepWeight*b.StepIns+b.Release+b.Idle
	}
}

// same says that two outcomes are equally good.
func (o outcome) same(x outcome, s *Spec) bool { return !o.less(x, s) && !x.less(o, s) }

// everyPlan visits each valid plan of a small day: every choice of blocks and every order, timed, checked
// and costed by the verifier.
func everyPlan(p *Problem, visit func(orders, outcome)) {
	o := make(orders, len(p.spec.Blocks))
	var place func(g int)
	place = func(g int) {
		if g == len(p.spec.Groupings) {
			if is, ok := judge(p, o); ok {
				visit(o, is)
			}
			return
		}
		place(g + 1) // left out
		for _, b := range p.spec.Groupings[g].Blocks {
			for at := 0; at <= len(o[b]); at++ {
				o[b] = slices.Insert(o[b], at, solver.GroupingIndex(g))
				place(g + 1)
				o[b] = slices.Delete(o[b], at, at+1)
			}
		}
	}
	place(0)
}

// judge works a candidate out without the search.
func judge(p *Problem, o orders) (outcome, bool) {
	v := newVerifier(p)
	plan, err := v.timed(o)
	if err != nil {
		return outcome{}, false
	}
	taken := slices.Concat(o...)
	var is outcome
	for g := range p.spec.Groupings {
		if !slices.Contains(taken, solver.GroupingIndex(g)) {
			plan.LeftOut = append(plan.LeftOut, solver.GroupingIndex(g))
		}
	}
	if v.valid(plan) != nil {
		return outcome{}, false
	}
	is.cost, is.lost = v.cost(plan), v.losses(plan)
	return is, true
}

// bruteForce returns the best of every plan; false when there is none.
func bruteForce(p *Problem) (best outcome, found bool) {
	everyPlan(p, func(_ orders, is outcome) {
		if !found || is.less(best, &p.spec) {
			best, found = is, true
		}
	})
	return best, found
}

// outcomeOf judges the plan of a result by what it says itself.
func outcomeOf(r Result) outcome { return outcome{r.Lost, r.Cost} }
