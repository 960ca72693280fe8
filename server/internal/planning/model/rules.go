package model

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// Near lists those who interpret for somebody in a photograph without being in it.
func (pr *Problem) Near(photo event.Photograph) []solver.PersonIndex {
	var out []solver.PersonIndex
	for _, id := range photo.Members {
		who := pr.Event.People[pr.People[id]].Interpreter
		q, known := pr.People[who]
		if known && !slices.Contains(photo.Members, who) && !pr.Event.People[q].Absent && !slices.Contains(out, q) {
			out = append(out, q)
		}
	}
	return out
}

// addRules turns the rules that bear on the order into sets of groupings. Rules of scope Frame are
// for check.Event, those of scope Neighbours for standing plans.
func (pr *Problem) addRules() error {
	for _, rule := range pr.Event.Rules {
		switch {
		case rule.Apart != nil && rule.Apart.Scope == event.InBlock:
			until, err := pr.Clock.seconds(rule.Apart.Until, solver.MaxSeconds)
			if err != nil {
				return err
			}
			pr.addApart(rule, until)
		case rule.Turns != nil:
			pr.addTurns(rule)
		}
	}
	pr.addSeniorities()
	pr.addCompanions()
	return nil
}

func (pr *Problem) addApart(rule event.Rule, until solver.Seconds) {
	for i, a := range rule.Apart.People {
		for _, b := range rule.Apart.People[i+1:] {
			pr.Spec.Apart = append(pr.Spec.Apart, day.KeptApart{
				A: pr.holding(a, rule.ID), B: pr.holding(b, rule.ID), Until: until,
			})
		}
	}
}

// addTurns leaves out groupings with people of several entries: they belong to no one's turn.
func (pr *Problem) addTurns(rule event.Rule) {
	sets := make([][]solver.GroupingIndex, len(rule.Turns.People))
	count := make([]int, len(pr.Photographs))
	for i, id := range rule.Turns.People {
		sets[i] = pr.holding(id, rule.ID)
		for _, g := range sets[i] {
			count[g]++
		}
	}
	for i := range sets {
		sets[i] = slices.DeleteFunc(sets[i], func(g solver.GroupingIndex) bool { return count[g] > 1 })
	}
	for i, a := range sets {
		for _, b := range sets[i+1:] {
			if len(a) > 0 && len(b) > 0 {
				pr.Spec.Turns = append(pr.Spec.Turns, [2][]solver.GroupingIndex{a, b})
			}
		}
	}
}

// addSeniorities ranks photographs by the most senior entry that each holds somebody of.
func (pr *Problem) addSeniorities() {
	shots := make([]event.Shot, len(pr.Photographs))
	for g, photo := range pr.Photographs {
		shots[g].Photo = photo
		for _, q := range pr.Spec.Groupings[g].Members {
			shots[g].Members = append(shots[g].Members, int(q))
		}
	}
	pairs, _ := event.Seniorities(&pr.Event, pr.Index, shots)
	for _, pair := range pairs {
		pr.Spec.Ranks = append(pr.Spec.Ranks, [2]solver.GroupingIndex{solver.GroupingIndex(pair[0]), solver.GroupingIndex(pair[1])})
	}
}

// addCompanions makes neighbours of groupings that differ only in somebody left out of one of them:
// then it is one step out. It leaves alone what other wishes pull apart.
func (pr *Problem) addCompanions() {
	set := make([]int, len(pr.Photographs)) // 0 is none, else the number of the set
	for g, photo := range pr.Photographs {
		asked := pr.Event.Groupings[photo.Source]
		if len(asked.Without) == 0 || photo.Portrait || set[g] != 0 || !pr.freeToMove(g) {
			continue
		}
		for h, other := range pr.Photographs {
			full := pr.Event.Groupings[other.Source]
			if h == g || other.Portrait || len(full.Without) > 0 || !pr.freeToMove(h) ||
				!SameSet(asked.Members, full.Members) || photo.Priority != other.Priority ||
				!slices.Equal(pr.Spec.Groupings[g].Windows, pr.Spec.Groupings[h].Windows) {
				continue
			}
			if set[h] == 0 {
				pr.Spec.Together = append(pr.Spec.Together, []solver.GroupingIndex{solver.GroupingIndex(h)})
				set[h] = len(pr.Spec.Together)
			}
			set[g] = set[h]
			pr.Spec.Together[set[h]-1] = append(pr.Spec.Together[set[h]-1], solver.GroupingIndex(g))
			break
		}
	}
}

// freeToMove says that no pin and no wish to come after or before another grouping holds a grouping.
func (pr *Problem) freeToMove(g int) bool {
	w := pr.Spec.Groupings[g]
	if w.Pin != solver.PinNone || len(w.After) > 0 {
		return false
	}
	return !slices.ContainsFunc(pr.Spec.Groupings, func(o day.Grouping) bool {
		return slices.Contains(o.After, solver.GroupingIndex(g))
	})
}

func SameSet(a, b []string) bool {
	return len(a) == len(b) && slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b)))
}

// holding lists the groupings that a person, or somebody of a circle, is in, except those that break
// the rule on purpose.
func (pr *Problem) holding(id, rule string) []solver.GroupingIndex {
	var out []solver.GroupingIndex
	who := pr.Index.Members(id)
	for g, photo := range pr.Photographs {
		if rule != "" && slices.Contains(pr.Event.Groupings[photo.Source].Confirms, rule) {
			continue
		}
		if slices.ContainsFunc(photo.Members, func(m string) bool { return slices.Contains(who, m) }) {
			out = append(out, solver.GroupingIndex(g))
		}
	}
	return out
}

// OneByOnes lists the photographs of each eachOf that nothing else holds in its place.
func (pr *Problem) OneByOnes() [][]solver.GroupingIndex {
	var out [][]solver.GroupingIndex
	last := -1
	for g, photo := range pr.Photographs {
		if !photo.Portrait || !pr.freeToMove(g) || len(pr.Spec.Groupings[g].Windows) > 0 {
			continue
		}
		if photo.Source != last {
			out, last = append(out, nil), photo.Source
		}
		out[len(out)-1] = append(out[len(out)-1], solver.GroupingIndex(g))
	}
	return slices.DeleteFunc(out, func(set []solver.GroupingIndex) bool { return len(set) < 2 })
}
