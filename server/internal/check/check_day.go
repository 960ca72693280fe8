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
			c.fault(event.CodeMissing, field, []string{p.ID}, "check.stretchOfPresenceHasNoTime", k+1)
		}
		if fromOK && untilOK && !from.Before(until) {
			c.fault(event.CodeEndsBeforeStart, field+".until", []string{p.ID},
				"check.stretchOfPresenceGoesFromTo",
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
		c.fault(event.CodeUnknownID, at+".interpreter", []string{p.ID, p.Interpreter}, "check.interpreterIsACircle", event.Quoted(p.Interpreter))
	case !ok:
		c.unknownMember(at+".interpreter", p.Interpreter, p.ID)
	case q == i:
		c.fault(event.CodeUnknownID, at+".interpreter", []string{p.ID}, "check.cannotInterpretForThemselves", c.person(i))
	case c.e.People[q].Absent && !p.Absent:
		c.warn(event.CodeInterpreterAbsent, at+".interpreter", []string{p.ID, p.Interpreter}, "check.interpretsForAndIsNotComing", c.person(q), c.person(i))
	}
}

// wishes checks the times that a grouping asks for and the rules that it confirms.
func (c *checker) wishes(at string, g event.Grouping) {
	from, fromOK := c.time(at+".notBefore", g.NotBefore, g.ID)
	until, untilOK := c.time(at+".notAfter", g.NotAfter, g.ID)
	if fromOK && untilOK && !from.Before(until) {
		c.fault(event.CodeEndsBeforeStart, at+".notAfter", []string{g.ID},
			"check.groupingIsNotToStartBefore", event.Quoted(g.NotBefore), event.Quoted(g.NotAfter))
	}
	for k, id := range g.Confirms {
		if id == "" || !slices.Contains(c.ruleIDs.Known, id) {
			c.unknown(fmt.Sprintf("%s.confirms[%d]", at, k), "check.rule", id, c.ruleIDs, g.ID)
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
				c.fault(event.CodeMissing, at+end.field, nil, "check.walkHasNoPlaceHere", i+1)
			case !known[end.place] && c.errors >= maxListed:
				c.errors++ // counted without looking for a suggestion
			case !known[end.place]:
				hint := wording.Say("check.writeItAsTheBlockDoes")
				if like, ok := suggest.Closest(end.place); ok {
					hint = wording.Say("check.didYouMean", event.Quoted(like))
				}
				c.fault(event.CodeUnknownID, at+end.field, nil, "check.noBlockIsAtThePlace", event.Quoted(end.place), hint)
			}
		}
		if w.From != "" && w.From == w.To {
			c.warn(event.CodeNoEffect, at, nil, "check.walkLeadsFromToItself", i+1, event.Quoted(w.From))
		}
		c.number(at+".minutes", "check.walkingTimeInMinutes", w.Minutes, 0, 240)
	}
}

// order checks a rule about who goes first, turns or seniority.
func (c *checker) order(at string, i int, people []string) {
	c.members(at+".people", people, "")
	if len(setOf(people)) < 2 {
		c.fault(event.CodeBadRule, at+".people", nil, "check.ruleNamesFewerThanTwo", i+1)
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
		c.fault(event.CodeBadRule, at, nil, "check.ruleSaysNothing", i+1)
		return false
	case given > 1:
		c.fault(event.CodeBadRule, at, nil, "check.ruleSaysSeveralThings", i+1)
		return false
	case r.Turns != nil:
		c.order(at+".turns", i, r.Turns.People)
	case r.Seniority != nil:
		c.order(at+".seniority", i, r.Seniority.People)
	}
	return r.Apart != nil
}
