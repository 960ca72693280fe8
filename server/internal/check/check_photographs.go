package check

import (
	"cmp"
	"fmt"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// contents checks what each grouping comes to once circles, without and absences are applied.
func (c *checker) contents() {
	first := make(map[string]int) // people of a photograph -> index in all
	for i, g := range c.e.Groupings {
		at := fmt.Sprintf("groupings[%d]", i)
		if c.faulty[i] {
			continue
		}
		shots := c.x.ByGrouping[i]
		if len(shots) == 0 {
			c.nobody(at, i, g)
			continue
		}
		c.withoutEffect(at, g)
		c.notTaken(at, shots)
		c.capacity(at, shots)
		for _, s := range shots {
			if !c.unresolved {
				c.samePeople(at, s, first)
			}
		}
	}
}

// nobody reports a grouping without people, even before absences.
func (c *checker) nobody(at string, i int, g event.Grouping) {
	id := event.GroupingID(c.e, i)
	switch {
	case len(g.Members) == 0 && g.EachOf == "":
		c.fault(event.CodeEmptyGrouping, at+".members", []string{id}, "check.groupingHasNoMembers", event.Quoted(cmp.Or(g.Title, id)))
	case g.EachOf != "" && len(c.r.CircleOf(g.EachOf)) == 0 || len(g.Without) == 0:
		// The circles behind it hold nobody: that is an error of theirs, reported there.
	default:
		c.fault(event.CodeEmptyGrouping, at+".without", []string{id}, "check.groupingComesOutEmpty", event.Quoted(cmp.Or(g.Title, id)))
	}
}

// withoutEffect warns about people left out who were not in it.
func (c *checker) withoutEffect(at string, g event.Grouping) {
	if len(g.Without) == 0 {
		return
	}
	in := make([]bool, len(c.e.People))
	for _, p := range append(c.r.PeopleOf(g.Members...), c.r.CircleOf(g.EachOf)...) {
		in[p] = true
	}
	for k, id := range g.Without {
		if !slices.ContainsFunc(c.r.Of(id), func(p int) bool { return in[p] }) {
			c.warn(event.CodeNoEffect, fmt.Sprintf("%s.without[%d]", at, k), []string{g.ID, id}, "check.leftOutButWasNotIn", c.named(id))
		}
	}
}

// notTaken warns about photographs that absences leave nothing of.
func (c *checker) notTaken(at string, shots []int) {
	var ids []string
	var names []wording.Message
	for _, s := range shots {
		if !c.x.All[s].Taken() {
			ids = append(ids, c.x.All[s].Photo.ID)
			names = append(names, c.photo(c.x.All[s].Photo))
		}
	}
	switch {
	case len(ids) == 0:
	case len(ids) == 1 && len(shots) == 1:
		c.warn(event.CodeGroupingEmptied, at+".members", ids, "check.nobodyOfTheGroupingIsComing", names[0])
	default:
		field := at + ".eachOf"
		c.warn(event.CodeGroupingEmptied, field, ids, "check.leftOutBecauseThePersonIt", wording.Comma(names...))
	}
}

// samePeople warns when the people of a photograph have been seen in an earlier one.
func (c *checker) samePeople(at string, s int, first map[string]int) {
	shot := c.x.All[s]
	if !shot.Taken() {
		return
	}
	if len(shot.Members) == 1 && !shot.Photo.Portrait {
		c.add(event.Info, event.CodeOnePersonInFrame, at+".members", []string{shot.Photo.ID}, wording.Say("check.groupingHasOnePersonOnly", c.photo(shot.Photo)))
	}
	key := fmt.Sprint(shot.Members)
	other, double := first[key]
	if !double {
		first[key] = s
		return
	}
	before := c.x.All[other].Photo
	c.warn(event.CodeSamePeople, at, []string{before.ID, shot.Photo.ID}, "check.hasTheSamePeopleAs", c.photo(shot.Photo), c.photo(before))
}

// capacity warns about a photograph that none of its blocks has room for.
func (c *checker) capacity(at string, shots []int) {
	for _, s := range shots {
		p := c.x.All[s].Photo
		most, bounded := 0, len(c.e.Blocks) > 0
		for _, b := range c.e.Blocks {
			if len(p.Blocks) == 0 || slices.Contains(p.Blocks, b.ID) {
				most = max(most, b.Capacity)
				bounded = bounded && b.Capacity > 0
			}
		}
		if bounded && most > 0 && p.Size() > most {
			c.warn(event.CodeTooManyForPlace, at, []string{p.ID}, "check.hasPeopleAndNoPlaceIt", c.photo(p), p.Size(), most)
			return
		}
	}
}

// checkWhole checks what can only be seen with people, groupings and blocks together.
func (c *checker) checkWhole() {
	c.neverThere()
	if c.x == nil || c.unresolved || len(c.e.Groupings) == 0 {
		return // people of a grouping that cannot be read would be reported wrongly
	}
	in := make([]bool, len(c.e.People))
	for _, s := range c.x.All {
		for _, p := range s.Members {
			in[p] = true
		}
	}
	var none []int
	for i, p := range c.e.People {
		if !in[i] && !p.Absent {
			none = append(none, i)
		}
	}
	if len(none) > maxNamed+1 { // a list of all guests, not a slip
		c.warn(event.CodeInNoGrouping, "people", c.idsOf(none), "check.peopleAreInNoGrouping", len(none), c.few(none))
		return
	}
	for _, i := range none {
		c.warn(event.CodeInNoGrouping, fmt.Sprintf("people[%d]", i), []string{c.e.People[i].ID}, "check.inNoGrouping", c.person(i))
	}
}

// neverThere warns about people whose presence overlaps none of the blocks. It needs every block
// to say when it opens.
func (c *checker) neverThere() {
	if c.clock == nil || len(c.e.Blocks) == 0 {
		return
	}
	for i, p := range c.e.People {
		from, fromErr := c.clock.InstantOf(p.PresentFrom)
		until, untilErr := c.clock.InstantOf(p.PresentUntil)
		if p.Absent || (fromErr != nil && untilErr != nil) {
			continue
		}
		meets := slices.ContainsFunc(c.e.Blocks, func(b event.Block) bool {
			opens, err := c.clock.InstantOf(b.Opens)
			if err != nil {
				return true
			}
			closes, err := c.clock.InstantOf(b.Closes)
			if err == nil && !opens.Before(closes) {
				return true // an error of the block
			}
			return (untilErr != nil || until.After(opens)) && (err != nil || fromErr != nil || from.Before(closes))
		})
		if !meets {
			c.warn(event.CodeNeverThere, fmt.Sprintf("people[%d]", i), []string{p.ID}, "check.duringNoneOfTheBlocks", c.person(i))
		}
	}
}
