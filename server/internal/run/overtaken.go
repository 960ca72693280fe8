package run

import "time"

// leastAge is how old a plan is at least when it is made anew without a mark.
const leastAge = time.Minute

// overtaken says whether time has gone past a plan: what it has first in some block should have been
// taken by now, and nobody said so. Then its times and forecasts promise what cannot be kept. Told is
// when somebody last said something; the longer ago that is, the more rarely a plan is made anew, so
// that a viewer who was left open overnight costs next to nothing.
func overtaken(p Plan, told, now time.Time) bool {
	if now.Sub(p.Made) < max(leastAge, p.Made.Sub(told)/4) {
		return false
	}
	for _, b := range p.Sheet.Blocks {
		if len(b.Entries) == 0 || b.Start.IsZero() {
			continue
		}
		if first := b.Entries[0]; now.After(b.Start.Add(first.Offset + first.Length)) {
			return true
		}
	}
	return false
}

// overtaken says whether time has gone past the plan in force.
func (c Changes) overtaken(now time.Time) bool {
	if c.Plan == nil {
		return false
	}
	told := c.Run.Created
	if len(c.Marks) > 0 {
		told = c.Marks[len(c.Marks)-1].Received
	}
	return overtaken(*c.Plan, told, now)
}
