package event

import (
	"fmt"
	"slices"

	"kinorder.example/server/internal/wording"
)

func (c *checker) checkGroupings() {
	if len(c.e.Groupings) == 0 {
		c.fault(CodeNoGroupings, "groupings", nil, "There are no groupings: list the group photographs that are wanted.")
	}
	c.faulty = make([]bool, len(c.e.Groupings))
	blocks := make([]string, len(c.e.Blocks))
	for i, b := range c.e.Blocks {
		blocks[i] = b.ID
	}
	known, suggest := setOf(blocks), newSuggester(blocks)
	for i, g := range c.e.Groupings {
		at := fmt.Sprintf("groupings[%d]", i)
		c.text(at+".title", "title", g.Title, g.ID)
		c.value(at+".priority", "priority", int(g.Priority), int(Nice), g.ID)
		c.value(at+".pin", "pin", int(g.Pin), int(PinLast), g.ID)
		c.number(at+".frames", "number of frames", g.Frames, 0, 500, g.ID)
		c.minutes(at, g.Minutes, g.ID)
		c.wishes(at, g)
		c.note(at+".privateNote", g.PrivateNote, g.ID)
		good := c.members(at+".members", g.Members, g.ID)
		good = c.members(at+".without", g.Without, g.ID) && good
		good = c.eachOf(at, g) && good
		c.faulty[i] = !good
		c.unresolved = c.unresolved || !good
		for k, b := range g.Blocks {
			if !known[b] {
				c.unknown(fmt.Sprintf("%s.blocks[%d]", at, k), "block", b, suggest, g.ID)
			}
		}
	}
	if c.countPhotographs() {
		c.x = newExpansion(c.e, c.r)
		c.groupingIDs()
		c.afters()
		c.contents()
	}
}

func (c *checker) eachOf(at string, g Grouping) bool {
	if g.EachOf == "" {
		return true
	}
	if _, ok := c.r.circles[g.EachOf]; ok {
		return true
	}
	if p, ok := c.r.people[g.EachOf]; ok {
		c.fault(CodeUnknownID, at+".eachOf", []string{g.ID, g.EachOf}, "eachOf takes a circle, and %s is one person: list them under members instead.", c.r.person(p))
		return false
	}
	c.unknown(at+".eachOf", "circle", g.EachOf, c.circleIDs, g.ID)
	return false
}

// countPhotographs refuses more photographs than can be planned before they are made.
func (c *checker) countPhotographs() bool {
	n := c.r.photographs()
	if n > MaxPhotographs {
		c.fault(CodeTooMany, "groupings", nil, "The groupings come to %d photographs, eachOf counted for each person, and %d is the most: shorten the list.", n, MaxPhotographs)
	}
	return n <= MaxPhotographs
}

// groupingIDs checks ids, those that are made up for groupings without one included.
func (c *checker) groupingIDs() {
	seen := make(map[string]wording.Message)
	for i, g := range c.e.Groupings {
		at := fmt.Sprintf("groupings[%d].id", i)
		whose := place{wording.Say("Grouping %d", i+1), wording.Say("grouping %d", i+1)}
		if g.ID != "" {
			c.id(at, whose, g.ID, seen)
			continue
		}
		id := groupingID(c.e, i)
		if first, double := seen[id]; double {
			c.fault(CodeDuplicateID, at, []string{id}, "%s has no id and would be called %s, which is already the id of %s: give it one.", whose.first, quote(id), first)
			continue
		}
		seen[id] = wording.Say("%s, which has no id of its own", whose.later)
	}
	for _, s := range c.x.all {
		if !s.photo.Portrait {
			continue
		}
		if first, double := seen[s.photo.ID]; double {
			c.fault(CodeDuplicateID, fmt.Sprintf("groupings[%d].id", s.photo.Source), []string{s.photo.ID},
				"The photograph of %s would be called %s, which is already the id of %s: give that another id.",
				c.r.person(s.only), quote(s.photo.ID), first)
			continue
		}
		seen[s.photo.ID] = wording.Say("grouping %d", s.photo.Source+1)
	}
}

// afters checks the wishes to be taken after others.
func (c *checker) afters() {
	var ids []string
	for i := range c.e.Groupings {
		ids = append(ids, groupingID(c.e, i))
	}
	for _, s := range c.x.all {
		if s.photo.Portrait {
			ids = append(ids, s.photo.ID)
		}
	}
	known, suggest := setOf(ids), newSuggester(ids)
	for i, g := range c.e.Groupings {
		for k, id := range g.After {
			if !known[id] {
				c.unknown(fmt.Sprintf("groupings[%d].after[%d]", i, k), "grouping", id, suggest, g.ID)
			}
		}
	}
	c.afterRings()
	c.pins()
}

// afterRings reports photographs that wait for each other. Of rings that share a photograph it
// reports one: with that mended, the next may be gone too.
func (c *checker) afterRings() {
	state := make([]visit, len(c.x.all))
	told := make([]bool, len(c.x.all))
	var path []int
	var walk func(s int)
	walk = func(s int) {
		state[s] = open
		path = append(path, s)
		for _, b := range c.x.before[s] {
			switch state[b] {
			case untouched:
				walk(b)
			case open:
				ring := path[slices.Index(path, b):]
				if !slices.ContainsFunc(ring, func(s int) bool { return told[s] }) {
					c.afterRing(ring)
				}
				for _, s := range ring {
					told[s] = true
				}
			}
		}
		path = path[:len(path)-1]
		state[s] = done
	}
	for s := range c.x.all {
		if state[s] == untouched {
			walk(s)
		}
	}
}

func (c *checker) afterRing(ring []int) {
	var ids []string
	var names []wording.Arg
	for _, s := range ring {
		ids = append(ids, c.x.all[s].photo.ID)
		names = append(names, quote(c.x.all[s].photo.ID))
	}
	at := fmt.Sprintf("groupings[%d].after", c.x.all[ring[0]].photo.Source)
	if len(ring) == 1 {
		c.fault(CodeCircularAfter, at, ids, "The grouping %s is to be taken after itself: take that out.", names[0])
		return
	}
	c.fault(CodeCircularAfter, at, ids, "The groupings wait for each other: %s. Take one of these wishes out.", chain("%s after %s", append(names, names[0])))
}

// pins reports photographs that would have to come before what they wait for. It is certain only
// when both are taken in the same block.
func (c *checker) pins() {
	place := func(p Pin) int { return map[Pin]int{PinFirst: 0, PinNone: 1, PinLast: 2}[p] }
	word := map[Pin]wording.Key{PinFirst: "pinned first", PinNone: "not pinned", PinLast: "pinned last"}
	type pair struct{ earlier, later int }
	told := make(map[pair]bool)
	for s, befores := range c.x.before {
		later := c.x.all[s].photo
		for _, b := range befores {
			earlier := c.x.all[b].photo
			k := pair{earlier.Source, later.Source}
			if place(earlier.Pin) <= place(later.Pin) || told[k] || k.earlier == k.later || !c.sameBlock(earlier, later) {
				continue
			}
			told[k] = true
			c.fault(CodePinAgainstAfter, fmt.Sprintf("groupings[%d].after", later.Source), []string{later.ID, earlier.ID},
				"%s is to be taken after %s, but it is %s and the other is %s: change a pin or take the wish out.",
				quote(later.ID), quote(earlier.ID), wording.Say(word[later.Pin]), wording.Say(word[earlier.Pin]))
		}
	}
}

// sameBlock reports whether two photographs can only be taken in one and the same block.
func (c *checker) sameBlock(a, b Photograph) bool {
	if len(c.e.Blocks) <= 1 {
		return true
	}
	return len(a.Blocks) == 1 && len(b.Blocks) == 1 && a.Blocks[0] == b.Blocks[0]
}
