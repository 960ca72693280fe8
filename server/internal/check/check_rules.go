package check

import (
	"cmp"
	"fmt"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// maxPairs is how many pairs of people the rules of one event may keep apart, all together.
const maxPairs = 20000

// maxInOrder is how many pairs of people or groups the rules of one event may put in order, all together: every look at
// a day looks at each of them.
const maxInOrder = 5000

// ruling is a rule that can be looked into, with its pairs.
type ruling struct {
	id    string
	apart event.Apart
	pairs []event.ApartPair
}

func (c *checker) checkRules() {
	var frames []ruling
	left, inOrder := maxPairs, maxInOrder
	seen := make(map[string]wording.Message)
	for i, r := range c.e.Rules {
		at := fmt.Sprintf("rules[%d]", i)
		c.note(at+".privateNote", r.PrivateNote)
		if r.ID != "" {
			c.id(at+".id", place{wording.Say("check.rule2", i+1), wording.Say("check.rule3", i+1)}, r.ID, seen)
		}
		apart := c.kinds(at, i, r)
		if inOrder -= pairsInOrder(r); inOrder < 0 {
			c.fault(event.CodeTooMany, at, nil, "check.rulesUpToRulePutInOrder", i+1, maxInOrder)
			break
		}
		if !apart {
			continue
		}
		c.value(at+".apart.scope", "check.scope", int(r.Apart.Scope), int(event.InBlock))
		c.time(at+".apart.until", r.Apart.Until)
		good := c.members(at+".apart.people", r.Apart.People, "")
		if len(setOf(r.Apart.People)) < 2 {
			c.fault(event.CodeBadRule, at+".apart.people", nil, "check.ruleKeepsFewerThanTwoApart", i+1)
			good = false
		}
		left -= countPairs(*r.Apart, c.r, maxPairs)
		if left < 0 {
			c.fault(event.CodeTooMany, at+".apart.people", nil, "check.rulesUpToRuleKeepMore", i+1, maxPairs)
			break
		}
		if !good || c.x == nil {
			continue
		}
		switch pairs := r.Apart.PairsIn(c.r); {
		case r.Apart.Scope == event.InBlock && r.Apart.Until != "": // taken after that
		case r.Apart.Scope == event.InBlock && len(c.e.Blocks) <= 1:
			c.apartInBlock(at, pairs)
		default:
			frames = append(frames, ruling{r.ID, *r.Apart, pairs})
		}
	}
	if len(frames) > 0 {
		c.apartInFrames(frames)
	}
}

// pairsInOrder counts the pairs of what a rule of turns or seniority names.
func pairsInOrder(r event.Rule) int {
	n := 0
	switch {
	case r.Turns != nil:
		n = len(r.Turns.People)
	case r.Seniority != nil:
		n = len(r.Seniority.People)
	}
	return n * (n - 1) / 2
}

// seniorities names the rules that others contradict, with a circle of photographs each.
func (c *checker) seniorities() {
	_, broken := event.Seniorities(c.e, c.r, c.x.All)
	for _, b := range broken {
		var ids []string
		var names []wording.Message
		for _, s := range b.Circle {
			ids = append(ids, c.x.All[s].Photo.ID)
			names = append(names, c.photo(c.x.All[s].Photo))
		}
		c.warn(event.CodeCircularRules, fmt.Sprintf("rules[%d].seniority.people", b.Rule), ids, "check.rulesPutInACircle",
			chain("check.before", append(names, names[0])), wording.Say("check.rule3", b.Rule+1))
	}
}

// apartInFrames reports the groupings that would bring into one photograph people whom a rule
// keeps apart. One photograph of an eachOf stands for all.
func (c *checker) apartInFrames(rules []ruling) {
	in := make([]bool, len(c.e.People))
	for i := range c.e.Groupings {
		told := make([]bool, len(rules))
		for _, s := range c.x.ByGrouping[i] {
			for _, p := range c.x.All[s].Members {
				in[p] = true
			}
			for k, r := range rules {
				alone := len(c.x.All[s].Members) == 2 // others can stand between
				if !told[k] && (alone || r.apart.Scope == event.Frame || r.apart.Scope == event.InBlock) && !c.faulty[i] && !c.confirmed(i, r.id) && !c.ended(r.apart, c.x.All[s].Photo) {
					told[k] = c.apartInFrame(i, r, in)
				}
			}
			for _, p := range c.x.All[s].Members {
				in[p] = false
			}
		}
	}
}

// confirmed reports whether a grouping breaks a rule on purpose.
func (c *checker) confirmed(i int, rule string) bool {
	return rule != "" && slices.Contains(c.e.Groupings[i].Confirms, rule)
}

// apartInFrame reports the first pair of the rule that is in, and how many more there are. It
// suggests how to split the grouping and keeps the reason, which is private, to itself.
func (c *checker) apartInFrame(i int, r ruling, in []bool) bool {
	together := 0
	var first event.ApartPair
	for _, p := range r.pairs {
		if in[p.One] && in[p.Other] {
			if together == 0 {
				first = p
			}
			together++
		}
	}
	if together == 0 {
		return false
	}
	one, other := c.e.People[first.One].ID, c.e.People[first.Other].ID
	id := event.GroupingID(c.e, i)
	if r.apart.Scope == event.Neighbours {
		c.add(event.Warning, event.CodeNeighbours, fmt.Sprintf("groupings[%d]", i), []string{id, one, other},
			wording.Say("standing.inTwoPeopleWhomARule", wording.Curly(cmp.Or(c.e.Groupings[i].Title, id))))
		return true
	}
	leaveOne, leaveOther, more := one, other, wording.Message{}
	if together > 1 {
		more = wording.Say("check.sameRuleKeepsApartAsWell", wording.Say("sheet.morePairs", together-1))
		leaveOne, leaveOther = r.apart.People[first.EntryOne], r.apart.People[first.EntryOther]
	}
	c.add(event.Error, event.CodeApartInOneFrame, fmt.Sprintf("groupings[%d]", i), []string{id, one, other}, wording.Sentences(
		wording.Say("check.groupingHasAndInOnePhotograph",
			event.Quoted(cmp.Or(c.e.Groupings[i].Title, id)), c.person(first.One), c.person(first.Other)), more,
		wording.Say("check.makeTwoGroupingsOfItOne",
			c.named(leaveOne), c.named(leaveOther))))
	return true
}

// ended reports whether a rule is certainly over whenever the photograph can be taken.
func (c *checker) ended(a event.Apart, p event.Photograph) bool {
	if a.Until == "" || c.clock == nil || len(c.e.Blocks) == 0 {
		return false
	}
	until, err := c.clock.InstantOf(a.Until)
	if err != nil {
		return false
	}
	if c.opens == nil {
		for _, b := range c.e.Blocks {
			opens, _ := c.clock.InstantOf(b.Opens) // the zero time is before all others
			c.opens = append(c.opens, opens)
		}
	}
	for i, b := range c.e.Blocks {
		if (len(p.Blocks) == 0 || slices.Contains(p.Blocks, b.ID)) && c.opens[i].Before(until) {
			return false
		}
	}
	return true
}

// apartInBlock reports people who must not be called to the only block that there is.
func (c *checker) apartInBlock(at string, pairs []event.ApartPair) {
	in := make([]bool, len(c.e.People))
	for _, s := range c.x.All {
		for _, p := range s.Members {
			in[p] = true
		}
	}
	for _, p := range pairs {
		if in[p.One] && in[p.Other] {
			c.fault(event.CodeApartInOneBlock, at+".apart.scope", []string{c.e.People[p.One].ID, c.e.People[p.Other].ID},
				"check.notToBeCalledToThe",
				c.person(p.One), c.person(p.Other))
			return
		}
	}
}

// countPairs returns how many pairs a.PairsIn looks at, or some number above most.
func countPairs(a event.Apart, r *event.Index, most int) int {
	n, before := 0, 0
	for _, id := range a.People {
		size := len(r.Of(id))
		if n += before * size; n > most {
			return n
		}
		before += size
	}
	return n
}
