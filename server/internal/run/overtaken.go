package run

import (
	"slices"
	"time"
)

// leastAge is the age from which a plan may be remade without a mark.
const leastAge = time.Minute

// overtaken says whether a plan is out of date: the first photograph of some block should have been taken by now,
// and nobody has marked it, so the plan's times and forecasts can no longer be kept. told is the time of the last
// mark; the longer ago it is, the more rarely a plan is remade, so that a page left open overnight costs next to
// nothing.
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
	return Overtaken(*c.Plan, c.Marks, told, now)
}

// Overtaken says whether time has gone past a plan that heeds all marks, the last of which was told at a time.
func Overtaken(p Plan, marks []Mark, told, now time.Time) bool {
	// Somebody had to leave since: nobody is to call them.
	if slices.ContainsFunc(marks, func(m Mark) bool { return m.Kind == Leaving && m.Until.After(p.Made) && !m.Until.After(now) }) {
		return true
	}
	return overtaken(p, told, now)
}
