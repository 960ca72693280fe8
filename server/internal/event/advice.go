package event

import "fmt"

// advise adds what a planner should know about an event without errors: trouble that shows on the
// day, and photographs that are sorely missed later. Each kind of advice is told a few times at most,
// the most telling first, so that a list of advice is read.
func (c *checker) advise() {
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
func (p Person) Named() string { return fmt.Sprintf("%s (%s)", quote(p.Name), p.ID) }

// Quoted puts a title or id of the event between quotation marks, so that it can stand in a sentence
// whatever it holds. Long ones are shortened.
func Quoted(s string) string { return quote(s) }
