package planning

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
)

const (
	manyCircles = 5 // groupings from which on it is worth saying that their order is all the same
	// A grouping with this share of everybody stands outside: it shares people with all others.
	wholeNumerator, wholeDenominator = 4, 5
	// The order of the list cannot help when this share of it is all the same.
	sameNumerator, sameDenominator = 2, 3
)

// orderCannotHelp tells of a list whose groupings share nobody but those who are in most of them: in any
// order the same people walk in and out. What helps then is that each is ready when it is called.
func (a *adviser) orderCannotHelp() {
	taken, core, in := a.census()
	all := 0
	for _, slots := range a.plan.Blocks {
		all += len(slots)
	}
	var alone []solver.GroupingIndex
	for _, g := range taken {
		members := a.Spec.Groupings[g].Members
		shares := slices.ContainsFunc(members, func(q solver.PersonIndex) bool { return !core[q] && in[q] > 1 })
		own := slices.ContainsFunc(members, func(q solver.PersonIndex) bool { return !core[q] })
		if own && !shares {
			alone = append(alone, g)
		}
	}
	if len(alone) < manyCircles || len(alone)*sameDenominator < len(taken)*sameNumerator {
		return
	}
	var subjects []string
	var everywhere []wording.Message
	for _, g := range alone {
		subjects = append(subjects, a.Photographs[g].ID)
	}
	for q := range a.Event.People {
		if core[q] {
			everywhere = append(everywhere, a.Event.People[q].Named())
		}
	}
	shared := wording.Say("plan.nobody")
	if len(everywhere) > 0 {
		shared = wording.Say("plan.nobodyBut", wording.Few(adviceNames, everywhere))
	}
	order := wording.Say("plan.whateverTheirOrderTheSamePeople")
	if len(alone) < all {
		order = wording.Say("plan.theirOrderHardlyChangesHowMany")
	}
	leaders := wording.Message{}
	if none := a.withoutLeader(alone, core); len(none) > 0 {
		leaders = wording.Say("plan.nobodyGathersTheseCirclesYet", wording.Few(adviceNames, none))
	}
	a.list = append(a.list, event.Tell(event.Info, event.CodeOrderCannotHelp, "", subjects, wording.Sentences(wording.Say(
		"plan.groupingsShare",
		len(alone), shared, order), leaders)))
}

// census lists the groupings that are taken, but for those of nearly everybody, and says who is in more
// than half of them and in how many everybody is.
func (a *adviser) census() (taken []solver.GroupingIndex, core []bool, in []int) {
	in = make([]int, len(a.Event.People))
	anywhere := make([]bool, len(a.Event.People))
	people := 0
	for _, slots := range a.plan.Blocks {
		for _, s := range slots {
			taken = append(taken, s.Grouping)
			for _, q := range a.Spec.Groupings[s.Grouping].Members {
				if !anywhere[q] {
					anywhere[q] = true
					people++
				}
			}
		}
	}
	slices.Sort(taken)
	taken = slices.DeleteFunc(taken, func(g solver.GroupingIndex) bool {
		return len(a.Spec.Groupings[g].Members)*wholeDenominator >= people*wholeNumerator
	})
	for _, g := range taken {
		for _, q := range a.Spec.Groupings[g].Members {
			in[q]++
		}
	}
	core = make([]bool, len(in))
	for q, n := range in {
		core[q] = 2*n > len(taken)
	}
	return taken, core, in
}

// withoutLeader lists the circles of groupings that nobody gathers. One or two people need nobody.
func (a *adviser) withoutLeader(groupings []solver.GroupingIndex, core []bool) []wording.Message {
	circles := make(map[string]event.Circle)
	for _, c := range a.Event.Circles {
		circles[c.ID] = c
	}
	var out []wording.Message
	told := make(map[string]bool)
	for _, g := range groupings {
		for _, id := range a.Event.Groupings[a.Photographs[g].Source].Members {
			c, ok := circles[id]
			if !ok || c.Leader != "" || told[id] {
				continue
			}
			own := slices.DeleteFunc(a.Index.Members(id), func(m string) bool { return core[a.People[m]] })
			if len(own) > 2 {
				told[id] = true
				name := c.Title
				if name == "" {
					name = c.ID
				}
				out = append(out, wording.Say("%s", event.Quoted(name)))
			}
		}
	}
	return out
}
