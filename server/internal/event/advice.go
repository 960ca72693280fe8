package event

import "kinorder.example/server/internal/wording"

// advise adds what a planner should know about an event without errors: trouble that shows on the
// day, and photographs that are sorely missed later. Each kind of advice is told a few times at most,
// the most telling first, so that a list of advice is read.
func (c *checker) advise() {
	if c.errors > 0 {
		return
	}
	c.kins = kinships(c.e.People)
	c.couple = c.findCouple()
	c.similarNames()
	c.sayAs()
	c.interpreters()
	c.overlappingBlocks()
	c.stepFree()
	c.busyLeaders()
	c.nearlySame()
	c.combinations()
}

// Named writes a person for a sentence, as the texts of Check do: the name, and the id to find them
// by.
func (p Person) Named() wording.Message { return wording.Say("%s (%s)", quote(p.Name), p.ID) }

// Quoted puts a title or id of the event between quotation marks, so that it can stand in a sentence
// whatever it holds. Long ones are shortened.
func Quoted(s string) wording.Arg { return quote(s) }

// Tell makes an advice.
func Tell(s Severity, code, field string, subjects []string, m wording.Message) Advice {
	return Advice{Code: code, Severity: s, Text: m.String(), Message: m, Subjects: subjects, Field: field}
}

// In returns the text of the advice in a language, in English where nothing else is known.
func (a Advice) In(c *wording.Catalogue) string { return c.Prefer(a.Message, a.Text) }

// In returns the reason in a language, in English where nothing else is known.
func (l LeftOut) In(c *wording.Catalogue) string { return c.Prefer(l.Why, l.Reason) }

// Because sets the reason.
func (l *LeftOut) Because(m wording.Message) { l.Reason, l.Why = m.String(), m }

// Said returns what the advice says, for every language where it has one.
func (a Advice) Said() wording.Message {
	if a.Message.Empty() {
		return wording.Said(a.Text)
	}
	return a.Message
}
