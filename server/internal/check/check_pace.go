package check

import "kinorder.example/server/internal/event"

// Pace lists what is wrong with a pace, as Event does of an event that has it.
func Pace(p event.Pace) []event.Advice {
	c := &checker{e: &event.Event{Pace: p}}
	c.sizes()
	if c.errors == 0 {
		c.checkPace()
	}
	return c.sorted()
}
