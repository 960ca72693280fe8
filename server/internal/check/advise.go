package check

import "kinorder.example/server/internal/family"

// advise adds what a planner should know about an event without errors: trouble that shows on the
// day, and photographs that are sorely missed later. Each kind of advice is given a few times at most,
// the most useful first, so that people read the list.
func (c *checker) advise() {
	if c.errors > 0 {
		return
	}
	c.tree = family.Of(c.e, c.r, c.x)
	c.similarNames()
	c.sayAs()
	c.interpreters()
	c.overlappingBlocks()
	c.stepFree()
	c.busyLeaders()
	c.nearlySame()
	c.combinations()
	c.seniorities()
}
