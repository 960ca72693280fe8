package check

import (
	"fmt"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

func (c *checker) checkGroupings() {
	if len(c.e.Groupings) == 0 {
		c.fault(event.CodeNoGroupings, "groupings", nil, "check.noGroupings")
	}
	c.faulty = make([]bool, len(c.e.Groupings))
	blocks := make([]string, len(c.e.Blocks))
	for i, b := range c.e.Blocks {
		blocks[i] = b.ID
	}
	known, suggest := setOf(blocks), kin.NewWords(blocks)
	for i, g := range c.e.Groupings {
		at := fmt.Sprintf("groupings[%d]", i)
		c.text(at+".title", "check.title", g.Title, g.ID)
		c.value(at+".priority", "check.priority", int(g.Priority), int(event.Nice), g.ID)
		c.value(at+".pin", "check.pin", int(g.Pin), int(event.PinLast), g.ID)
		c.number(at+".frames", "check.numberOfFrames", g.Frames, 0, 500, g.ID)
		c.minutes(at, g.Minutes, g.ID)
		c.number(at+".guests", "check.numberOfGuests", g.Guests, 0, event.MaxPeople, g.ID)
		if g.Worth != nil {
			c.decimal(at+".worth", *g.Worth, 0.001, 1000, g.ID)
		}
		c.wishes(at, g)
		c.note(at+".privateNote", g.PrivateNote, g.ID)
		good := c.members(at+".members", g.Members, g.ID)
		good = c.members(at+".without", g.Without, g.ID) && good
		good = c.eachOf(at, g) && good
		c.faulty[i] = !good
		c.unresolved = c.unresolved || !good
		for k, b := range g.Blocks {
			if !known[b] {
				c.unknown(fmt.Sprintf("%s.blocks[%d]", at, k), "check.block", b, suggest, g.ID)
			}
		}
	}
	if c.countPhotographs() {
		c.x = event.NewExpansion(c.e, c.r)
		c.groupingIDs()
		c.afters()
		c.contents()
	}
}

func (c *checker) eachOf(at string, g event.Grouping) bool {
	if g.EachOf == "" {
		return true
	}
	if _, ok := c.r.Circles[g.EachOf]; ok {
		return true
	}
	if p, ok := c.r.People[g.EachOf]; ok {
		c.fault(event.CodeUnknownID, at+".eachOf", []string{g.ID, g.EachOf}, "check.eachofTakesACircleAndIs", c.person(p))
		return false
	}
	c.unknown(at+".eachOf", "check.circle", g.EachOf, c.circleIDs, g.ID)
	return false
}

// countPhotographs refuses more photographs than can be planned before they are made.
func (c *checker) countPhotographs() bool {
	n := c.r.Photographs()
	if n > event.MaxPhotographs {
		c.fault(event.CodeTooMany, "groupings", nil, "check.groupingsComeToPhotographsEachofCounted", n, event.MaxPhotographs)
	}
	return n <= event.MaxPhotographs
}

// groupingIDs checks ids, those that are made up for groupings without one included.
func (c *checker) groupingIDs() {
	seen := make(map[string]wording.Message)
	for i, g := range c.e.Groupings {
		at := fmt.Sprintf("groupings[%d].id", i)
		whose := place{wording.Say("check.grouping", i+1), wording.Say("check.grouping3", i+1)}
		if g.ID != "" {
			c.id(at, whose, g.ID, seen)
			continue
		}
		id := event.GroupingID(c.e, i)
		if first, double := seen[id]; double {
			c.fault(event.CodeDuplicateID, at, []string{id}, "check.hasNoIdAndWouldBe", whose.first, event.Quoted(id), first)
			continue
		}
		seen[id] = wording.Say("check.whichHasNoIdOfIts", whose.later)
	}
	for _, s := range c.x.All {
		if !s.Photo.Portrait {
			continue
		}
		if first, double := seen[s.Photo.ID]; double {
			c.fault(event.CodeDuplicateID, fmt.Sprintf("groupings[%d].id", s.Photo.Source), []string{s.Photo.ID},
				"check.photographOfWouldBeCalledWhich",
				c.person(s.Only), event.Quoted(s.Photo.ID), first)
			continue
		}
		seen[s.Photo.ID] = wording.Say("check.grouping3", s.Photo.Source+1)
	}
}

// afters checks the wishes to be taken after others.
func (c *checker) afters() {
	var ids []string
	for i := range c.e.Groupings {
		ids = append(ids, event.GroupingID(c.e, i))
	}
	for _, s := range c.x.All {
		if s.Photo.Portrait {
			ids = append(ids, s.Photo.ID)
		}
	}
	known, suggest := setOf(ids), kin.NewWords(ids)
	for i, g := range c.e.Groupings {
		for k, id := range g.After {
			if !known[id] {
				c.unknown(fmt.Sprintf("groupings[%d].after[%d]", i, k), "check.grouping2", id, suggest, g.ID)
			}
		}
	}
	c.byHand(known, suggest)
	c.afterRings()
	c.pins()
}

// byHand checks the order made by hand, what was left out, and whom the day is about.
func (c *checker) byHand(known map[string]bool, suggest kin.Words) {
	blocks := make([]string, len(c.e.Blocks))
	for i, b := range c.e.Blocks {
		blocks[i] = b.ID
	}
	isBlock, blockWords := setOf(blocks), kin.NewWords(blocks)
	placed := make(map[string]bool)
	for i, p := range c.e.Order {
		at := fmt.Sprintf("order[%d].", i)
		switch {
		case !known[p.Grouping]:
			c.unknown(at+"grouping", "check.grouping2", p.Grouping, suggest)
		case placed[p.Grouping]:
			c.fault(event.CodeDuplicateID, at+"grouping", []string{p.Grouping}, "check.hasTwoPlaces", event.Quoted(p.Grouping))
		}
		placed[p.Grouping] = true
		if p.Block != "" && !isBlock[p.Block] {
			c.unknown(at+"block", "check.block", p.Block, blockWords, p.Grouping)
		}
	}
	for i, id := range c.e.LeftOut {
		if !known[id] {
			c.unknown(fmt.Sprintf("leftOut[%d]", i), "check.grouping2", id, suggest)
		}
	}
	c.members("honour", c.e.Honour, "")
}

// afterRings reports photographs that wait for each other. Of rings that share a photograph it
// reports one: fixing that may fix the next.
func (c *checker) afterRings() {
	state := make([]search, len(c.x.All))
	told := make([]bool, len(c.x.All))
	var path []int
	var walk func(s int)
	walk = func(s int) {
		state[s] = onPath
		path = append(path, s)
		for _, b := range c.x.Before[s] {
			switch state[b] {
			case unseen:
				walk(b)
			case onPath:
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
		state[s] = finished
	}
	for s := range c.x.All {
		if state[s] == unseen {
			walk(s)
		}
	}
}

func (c *checker) afterRing(ring []int) {
	var ids []string
	var names []wording.Message
	for _, s := range ring {
		ids = append(ids, c.x.All[s].Photo.ID)
		names = append(names, c.photo(c.x.All[s].Photo))
	}
	at := fmt.Sprintf("groupings[%d].after", c.x.All[ring[0]].Photo.Source)
	if len(ring) == 1 {
		c.fault(event.CodeCircularAfter, at, ids, "check.groupingIsToBeTakenAfter", names[0])
		return
	}
	c.fault(event.CodeCircularAfter, at, ids, "check.groupingsWaitForEachOther", chain("plan.after", append(names, names[0])))
}

// pins reports photographs that would have to come before what they wait for. It is certain only
// when both are taken in the same block.
func (c *checker) pins() {
	place := func(p event.Pin) int {
		return map[event.Pin]int{event.PinFirst: 0, event.PinNone: 1, event.PinLast: 2}[p]
	}
	word := map[event.Pin]wording.Key{event.PinFirst: "check.pinnedFirst", event.PinNone: "check.notPinned", event.PinLast: "check.pinnedLast"}
	type pair struct{ earlier, later int }
	told := make(map[pair]bool)
	for s, befores := range c.x.Before {
		later := c.x.All[s].Photo
		for _, b := range befores {
			earlier := c.x.All[b].Photo
			k := pair{earlier.Source, later.Source}
			if place(earlier.Pin) <= place(later.Pin) || told[k] || k.earlier == k.later || !c.sameBlock(earlier, later) {
				continue
			}
			told[k] = true
			c.fault(event.CodePinAgainstAfter, fmt.Sprintf("groupings[%d].after", later.Source), []string{later.ID, earlier.ID},
				"check.toBeTakenAfterButIt",
				c.photo(later), c.photo(earlier), wording.Say(word[later.Pin]), wording.Say(word[earlier.Pin]))
		}
	}
}

// sameBlock reports whether two photographs can only be taken in one and the same block.
func (c *checker) sameBlock(a, b event.Photograph) bool {
	if len(c.e.Blocks) <= 1 {
		return true
	}
	return len(a.Blocks) == 1 && len(b.Blocks) == 1 && a.Blocks[0] == b.Blocks[0]
}

// search is how far a depth-first search has come at a photograph.
type search uint8

const (
	unseen search = iota
	onPath
	finished
)
