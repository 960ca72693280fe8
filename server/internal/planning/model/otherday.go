package model

import (
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
)

// Meant is how long before and after its blocks the times of a day mean something. Somebody who goes through a list
// outside of that is trying it out or making up for it, and can keep none of them.
const Meant = 3 * 24 * time.Hour

// OtherDay says that all blocks were days ago, that a day has begun of which all are days ahead, or that blocks, and now
// once it has begun, are further apart than a plan can be long.
func OtherDay(e event.Event, now time.Time, begun bool) bool {
	past, ahead := true, begun
	timed := false
	var first, last time.Time
	if begun {
		first, last = now, now
	}
	for _, b := range e.Blocks {
		opens, err := e.Instant(b.Opens)
		if err != nil {
			continue
		}
		timed = true
		past, ahead = past && now.Sub(opens) > Meant, ahead && opens.Sub(now) > Meant
		if first.IsZero() || opens.Before(first) {
			first = opens
		}
		if opens.After(last) {
			last = opens
		}
	}
	scattered := last.Sub(first) > solver.MaxSeconds*time.Second-24*time.Hour
	return timed && (past || ahead || scattered)
}

// WithoutTimes takes out every time of the day. Slices are copied before: the event is the caller's.
func WithoutTimes(e event.Event) event.Event {
	for i := range e.Blocks {
		e.Blocks[i].Opens, e.Blocks[i].Closes = "", ""
	}
	for i := range e.People {
		p := &e.People[i]
		p.PresentFrom, p.PresentUntil, p.Presence = "", "", nil
	}
	e.Groupings = slices.Clone(e.Groupings)
	for i := range e.Groupings {
		e.Groupings[i].NotBefore, e.Groupings[i].NotAfter = "", ""
	}
	return e
}
