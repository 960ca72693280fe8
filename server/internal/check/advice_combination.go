package check

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// maxFamily is how many photographs that are missing are told, the most usual first.
const maxFamily = 5

// combination is a photograph that most families ask for. It counts as asked for when a photograph
// holds all who are needed and nobody who is not allowed.
type combination struct {
	what    wording.Message // after a colon: "the couple with the parents of both"
	also    []int           // who may join: told, not needed
	need    []int
	allowed crowd
}

// asked returns the smallest photograph that is the combination, nil when there is none.
func (c *checker) asked(m combination) *event.Shot {
	var best *event.Shot
	for i := range c.x.All {
		s := &c.x.All[i]
		if s.Taken() && len(s.Members) >= len(m.need) && (best == nil || len(s.Members) < len(best.Members)) &&
			m.allowed.holds(s.Members) && contains(s.Members, m.need) {
			best = s
		}
	}
	return best
}

func contains(people, need []int) bool {
	return !slices.ContainsFunc(need, func(p int) bool { return !slices.Contains(people, p) })
}

// combinations tells which photographs of the near families nobody has asked for. Parents who are not
// together are never suggested for one photograph.
func (c *checker) combinations() {
	two := c.families()
	c.withoutCouple(two)
	var missing []combination
	told := 0
	for i := range two {
		f := &two[i]
		if !f.separated {
			told += c.birthFamily(f) + c.nearFamily(f)
		}
		missing = append(missing, c.withParents(f)...)
	}
	if len(two) == 2 {
		missing = append(missing, c.withAllParents(&two[0], &two[1])...)
		missing = append(missing, c.withSiblings(&two[0])...)
		missing = append(missing, c.withSiblings(&two[1])...)
		missing = append(missing, c.withGrandparents(&two[0])...)
		missing = append(missing, c.withGrandparents(&two[1])...)
	}
	for _, m := range missing {
		if c.asked(m) != nil || !c.mayMeet(m.need) {
			continue
		}
		if told++; told > maxFamily {
			return
		}
		join := wording.Message{}
		if len(m.also) > 0 {
			join = wording.Say("advice.whoMayJoin", c.people(m.also))
		}
		c.add(event.Info, event.CodeMissingCombination, "groupings", c.idsOf(m.need), wording.Sentences(wording.Say(
			"advice.notAskedFor", m.what, c.people(m.need)), join))
	}
}

// birthFamily tells when parents and all their children are never photographed by themselves, and returns how many
// advices that made.
func (c *checker) birthFamily(f *kindred) int {
	need := slices.Concat([]int{f.One}, f.Parents, f.Siblings)
	if len(f.Parents) == 0 || len(need) < 3 || !c.mayMeet(need) {
		return 0
	}
	only := make(crowd, len(c.e.People))
	for _, p := range slices.Concat(need, f.HalfSiblings) {
		only[p] = true
	}
	if c.asked(combination{need: need, allowed: only}) != nil {
		return 0
	}
	with := c.among(f.One, f.Other, need, f.HalfSiblings, f.SiblingPartners, f.SiblingsFamily, f.Children)
	who := wording.Say(birthWords(f), c.person(f.One))
	near := c.asked(combination{need: need, allowed: with})
	if near == nil {
		if len(f.Siblings) == 0 {
			return 0 // parents alone are told as a combination
		}
		c.add(event.Warning, event.CodeBirthFamily, "groupings", c.idsOf(need), wording.Say(
			"advice.inNoPhotographOfItsOwn", who, len(need), c.people(need)))
		return 1
	}
	var more []int
	for _, p := range near.Members {
		if !only[p] {
			more = append(more, p)
		}
	}
	c.add(event.Info, event.CodeBirthFamily, "groupings", append(c.idsOf(need), near.Photo.ID), wording.Say(
		"advice.inNoPhotographWithoutOthers",
		who, c.people(need), c.photo(near.Photo), c.people(more), wording.Say("sheet.stepOut", len(more))))
	return 1
}

// birthWords says who a birth family is.
func birthWords(f *kindred) wording.Key {
	switch {
	case len(f.Siblings) == 0 && len(f.Parents) == 1:
		return "advice.birthFamilyOfAParentAndChild"
	case len(f.Siblings) == 0:
		return "advice.birthFamilyOfParentsAndChild"
	case len(f.Parents) == 1:
		return "advice.birthFamilyOfAParentAnd"
	}
	return "advice.birthFamilyOfParentsAndAll"
}

// nearFamily tells when the near family with partners and children is never together, and
// returns how many advices that made.
func (c *checker) nearFamily(f *kindred) int {
	partners := slices.Concat(f.SiblingPartners, f.SiblingsFamily)
	if len(f.Parents) == 0 || len(f.Siblings) == 0 || len(partners) == 0 {
		return 0
	}
	need := slices.Concat([]int{f.One, f.Other}, f.Parents, f.Siblings, partners)
	allowed := c.among(f.One, f.Other, need, f.HalfSiblings, f.Children)
	if !c.mayMeet(need) || c.asked(combination{need: need, allowed: allowed}) != nil {
		return 0
	}
	c.add(event.Info, event.CodeNearFamily, "groupings", c.idsOf(need), wording.Say(
		"advice.nearFamilyOfWithPartnersAnd",
		c.person(f.One), c.people(need)))
	return 1
}

// withParents is the couple with both parents of one half, or that half with each where they are
// separated.
func (c *checker) withParents(f *kindred) []combination {
	if len(f.Parents) == 0 {
		return nil
	}
	if !f.separated {
		what := wording.Key("advice.coupleWithTheParentsOf")
		if len(f.Parents) == 1 {
			what = "advice.coupleWithAParentOf"
		}
		return []combination{{
			what:    wording.Say(what, c.person(f.One)),
			need:    slices.Concat([]int{f.One, f.Other}, f.Parents),
			allowed: c.among(f.One, f.Other, f.Parents, f.StepParents, f.Children),
		}}
	}
	var out []combination
	for _, p := range f.Parents {
		out = append(out, combination{
			what: wording.Say("advice.withAParent", c.person(f.One), c.person(p)),
			need: []int{f.One, p},
			allowed: c.among(f.One, f.Other, []int{p}, f.StepParents, f.Siblings, f.HalfSiblings,
				f.SiblingPartners, f.SiblingsFamily, f.Children),
		})
	}
	return out
}

// withAllParents is the couple with the parents of both.
func (c *checker) withAllParents(a, b *kindred) []combination {
	if len(a.Parents) == 0 || len(b.Parents) == 0 || a.separated || b.separated {
		return nil
	}
	return []combination{{
		what:    wording.Say("advice.coupleWithTheParentsOfBoth"),
		need:    slices.Concat([]int{a.One, b.One}, a.Parents, b.Parents),
		allowed: c.among(a.One, b.One, a.Parents, b.Parents, a.StepParents, b.StepParents, a.Children, b.Children),
	}}
}

// withSiblings is one half with all siblings of two parents in common.
func (c *checker) withSiblings(f *kindred) []combination {
	if len(f.Siblings) == 0 {
		return nil
	}
	return []combination{{
		what:    wording.Say(oneOrMore(f.Siblings, "advice.withASibling", "advice.withSiblings"), c.person(f.One)),
		also:    f.HalfSiblings,
		need:    slices.Concat([]int{f.One}, f.Siblings),
		allowed: c.among(f.One, f.Other, f.Siblings, f.HalfSiblings, f.Children),
	}}
}

// withGrandparents is one half with the grandparents who are in no photograph with their grandchild and
// nobody but other grandparents.
func (c *checker) withGrandparents(f *kindred) []combination {
	m := combination{need: []int{f.One}, allowed: c.among(f.One, f.Other, f.Grandparents, f.Children)}
	for _, g := range f.Grandparents {
		alone := m
		alone.need = []int{f.One, g}
		if c.asked(alone) == nil {
			m.need = append(m.need, g)
		}
	}
	if len(m.need) == 1 {
		return nil
	}
	m.what = wording.Say(oneOrMore(m.need[1:], "advice.withAGrandparent", "advice.withGrandparents"), c.person(f.One))
	return []combination{m}
}

func oneOrMore(people []int, one, more wording.Key) wording.Key {
	if len(people) == 1 {
		return one
	}
	return more
}

// idsOf returns the ids of people.
func (c *checker) idsOf(people []int) []string {
	var out []string
	for _, p := range people {
		out = append(out, c.e.People[p].ID)
	}
	return out
}

// people writes people for a sentence.
func (c *checker) people(list []int) wording.Arg {
	var names []wording.Message
	for _, p := range list {
		names = append(names, c.person(p))
	}
	return wording.And(names...)
}
