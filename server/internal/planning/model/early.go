package model

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// How many adults who wait a photograph counts as itself, until it is over: for each rank of its priority above nice, and
// for parents and grandparents of those whom the day is about. So families go through one after the other behind the
// largest group, and friends come last. Common practice, no source; the tests hold what it costs in step-ins.
const (
	earlyByPriority = 2
	earlyOfParents  = 2
)

// addEarly has photographs that nobody wants to lose, and those of the closest family, wait for few others. Only
// differences count: where all are alike, none has a reason to be early, nor has one of people who stay to the end anyway.
// Under early release only those who tire count.
func (pr *Problem) addEarly(tree *family.Tree, weights costWeights) {
	if pr.Event.Emphasis == event.EarlyRelease || len(pr.Spec.Groupings) == 0 {
		return
	}
	parent := func(q solver.PersonIndex) bool { return slices.Contains(parents, tree.DegreeOf(int(q))) }
	leaves := func(q solver.PersonIndex) bool { return pr.Spec.People[q].ReleaseWeight > 0 }
	early := make([]int64, len(pr.Spec.Groupings))
	for g, w := range pr.Spec.Groupings {
		if w.Tier == tiers[event.Nice] || !slices.ContainsFunc(w.Members, leaves) {
			continue
		}
		early[g] = earlyByPriority * int64(tiers[event.Nice]-w.Tier)
		if slices.ContainsFunc(w.Members, parent) {
			early[g] += earlyOfParents
		}
	}
	least := slices.Min(early)
	for g := range early {
		pr.Spec.Groupings[g].ReleaseWeight += early[g] - least
	}
	pr.letNiceWait(int64(weights.releaseAdult))
	for g := range pr.Spec.Groupings {
		w := &pr.Spec.Groupings[g]
		w.ReleaseWeight = min(w.ReleaseWeight, solver.MaxWeight)
	}
}

var parents = []family.Degree{family.Parent, family.StepParent, family.Grandparent}

// letNiceWait has grown-ups who are, beside photographs of most people, in such only as would be nice wait for the former
// alone: eight of a choir counted more than the two parents who waited behind them.
func (pr *Problem) letNiceWait(adult int64) {
	nice, other := make([]bool, len(pr.Spec.People)), make([]bool, len(pr.Spec.People))
	ofMost := func(w day.Grouping) bool { return everywhere(len(w.Members), len(pr.Spec.People)) }
	for _, w := range pr.Spec.Groupings {
		for _, q := range w.Members {
			nice[q] = nice[q] || w.Tier == tiers[event.Nice]
			other[q] = other[q] || w.Tier < tiers[event.Nice] && !ofMost(w)
		}
	}
	waits := func(q solver.PersonIndex) bool {
		p := pr.Event.People[q]
		return nice[q] && !other[q] && !Tires(p) && p.ReleaseWeight == nil
	}
	for g := range pr.Spec.Groupings {
		w := &pr.Spec.Groupings[g]
		for _, q := range w.Members {
			if waits(q) {
				pr.Spec.People[q].ReleaseWeight = 0
				if w.Tier < tiers[event.Nice] {
					w.ReleaseWeight += adult
				}
			}
		}
	}
}
