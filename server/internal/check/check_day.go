package check

import (
	"fmt"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// maxSpans is how many stretches of presence one person may have.
const maxSpans = 20

// maxOrdered is how many a rule of turns or seniority may put in order.
const maxOrdered = 50

// spans checks the stretches of time in which a person is there.
func (c *checker) spans(at string, p event.Person) {
	for k, s := range p.Presence {
		field := fmt.Sprintf("%s.presence[%d]", at, k)
		from, fromOK := c.time(field+".from", s.From, p.ID)
		until, untilOK := c.time(field+".until", s.Until, p.ID)
		if s.From == "" && s.Until == "" {
			c.fault(event.CodeMissing, field, []string{p.ID}, "Stretch %d of presence has no time: write from, until or both, or take it out.", k+1)
		}
		if fromOK && untilOK && !from.Before(until) {
			c.fault(event.CodeEndsBeforeStart, field+".until", []string{p.ID},
				"A stretch of presence goes from %s to %s, which ends before it begins: correct one of the two; a time after midnight needs its date, as 2026-06-21T00:30:00+01:00.",
				event.Quoted(s.From), event.Quoted(s.Until))
		}
	}
}

// interpreter checks who interprets for a person.
func (c *checker) interpreter(at string, i int, p event.Person) {
	if p.Interpreter == "" {
		return
	}
	q, ok := c.r.People[p.Interpreter]
	switch {
	case !ok && c.r.Known(p.Interpreter):
		c.fault(event.CodeUnknownID, at+".interpreter", []string{p.ID, p.Interpreter}, "The interpreter %s is a circle: write the id of one person.", event.Quoted(p.Interpreter))
	case !ok:
		c.unknownMember(at+".interpreter", p.Interpreter, p.ID)
	case q == i:
		c.fault(event.CodeUnknownID, at+".interpreter", []string{p.ID}, "%s cannot interpret for themselves: write the id of somebody else.", c.r.Person(i))
	case c.e.People[q].Absent && !p.Absent:
		c.warn(event.CodeInterpreterAbsent, at+".interpreter", []string{p.ID, p.Interpreter}, "%s interprets for %s and is not coming: choose somebody else.", c.r.Person(q), c.r.Person(i))
	}
}

// wishes checks the times that a grouping asks for and the rules that it confirms.
func (c *checker) wishes(at string, g event.Grouping) {
	from, fromOK := c.time(at+".notBefore", g.NotBefore, g.ID)
	until, untilOK := c.time(at+".notAfter", g.NotAfter, g.ID)
	if fromOK && untilOK && !from.Before(until) {
		c.fault(event.CodeEndsBeforeStart, at+".notAfter", []string{g.ID},
			"The grouping is not to start before %s and to be finished by %s, which is not later: correct one of the two.", event.Quoted(g.NotBefore), event.Quoted(g.NotAfter))
	}
	for k, id := range g.Confirms {
		if id == "" || !slices.Contains(c.ruleIDs.Known, id) {
			c.unknown(fmt.Sprintf("%s.confirms[%d]", at, k), "rule", id, c.ruleIDs, g.ID)
		}
	}
}

func (c *checker) checkWalks() {
	var places []string
	for _, b := range c.e.Blocks {
		places = append(places, b.Place)
	}
	known, suggest := setOf(places), kin.NewWords(places)
	for i, w := range c.e.Walks {
		at := fmt.Sprintf("walks[%d]", i)
		for _, end := range []struct{ field, place string }{{".from", w.From}, {".to", w.To}} {
			switch {
			case end.place == "":
				c.fault(event.CodeMissing, at+end.field, nil, "Walk %d has no place here: write the place of a block.", i+1)
			case !known[end.place] && c.errors >= maxListed:
				c.errors++ // counted without looking for a suggestion
			case !known[end.place]:
				hint := wording.Say("write it as the block does, or take the walk out.")
				if like, ok := suggest.Closest(end.place); ok {
					hint = wording.Say("did you mean %s?", event.Quoted(like))
				}
				c.fault(event.CodeUnknownID, at+end.field, nil, "No block is at the place %s: %s", event.Quoted(end.place), hint)
			}
		}
		if w.From != "" && w.From == w.To {
			c.warn(event.CodeNoEffect, at, nil, "Walk %d leads from %s to itself: take it out.", i+1, event.Quoted(w.From))
		}
		c.number(at+".minutes", "walking time in minutes", w.Minutes, 0, 240)
	}
}

// order checks a rule about who goes first, turns or seniority.
func (c *checker) order(at string, i int, people []string) {
	c.members(at+".people", people, "")
	if len(setOf(people)) < 2 {
		c.fault(event.CodeBadRule, at+".people", nil, "Rule %d names fewer than two: list two or more people or circles.", i+1)
	}
}

// kinds checks that a rule says just one thing, and returns whether it keeps people apart.
func (c *checker) kinds(at string, i int, r event.Rule) bool {
	given := 0
	for _, is := range []bool{r.Apart != nil, r.Turns != nil, r.Seniority != nil} {
		if is {
			given++
		}
	}
	switch {
	case given == 0:
		c.fault(event.CodeBadRule, at, nil, "Rule %d says nothing: write apart, turns or seniority with the people it is about, or take it out.", i+1)
		return false
	case given > 1:
		c.fault(event.CodeBadRule, at, nil, "Rule %d says several things: make a rule of each.", i+1)
		return false
	case r.Turns != nil:
		c.order(at+".turns", i, r.Turns.People)
	case r.Seniority != nil:
		c.order(at+".seniority", i, r.Seniority.People)
	}
	return r.Apart != nil
}
