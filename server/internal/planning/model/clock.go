package model

import (
	"fmt"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
)

// clock counts seconds from the opening of the first block.
type clock struct {
	Event event.Clock
	// Origin is the opening of the first block; zero when no block says when it opens.
	Origin time.Time
}

func newClock(e event.Event) (clock, error) {
	var c clock
	var err error
	if c.Event, err = e.Clock(); err != nil {
		return c, fmt.Errorf("planning: %w", err)
	}
	for _, b := range e.Blocks {
		if b.Opens == "" {
			continue
		}
		at, err := c.Event.Instant(b.Opens)
		if err != nil {
			return c, fmt.Errorf("planning: %w", err)
		}
		if c.Origin.IsZero() || at.Before(c.Origin) {
			c.Origin = at
		}
	}
	return c, nil
}

// seconds translates a time of the event, clamped to the week that the solver counts; empty, or
// without any clock, gives otherwise.
func (c clock) seconds(s string, otherwise solver.Seconds) (solver.Seconds, error) {
	if s == "" || c.Origin.IsZero() {
		return otherwise, nil
	}
	at, err := c.Event.Instant(s)
	if err != nil {
		return 0, fmt.Errorf("planning: %w", err)
	}
	return min(max(0, solver.Seconds(at.Sub(c.Origin)/time.Second)), solver.MaxSeconds), nil
}

// At translates back; zero without any clock.
func (c clock) At(s solver.Seconds) time.Time {
	if c.Origin.IsZero() {
		return time.Time{}
	}
	return c.Origin.Add(time.Duration(s) * time.Second).In(c.Event.Location())
}

// always is the window that holds nobody up.
var always = solver.Window{Open: 0, Close: solver.MaxSeconds}

// Window reads a stretch of time of the event.
func (c clock) Window(from, until string) (solver.Window, error) {
	open, err := c.seconds(from, 0)
	if err != nil {
		return solver.Window{}, err
	}
	closes, err := c.seconds(until, solver.MaxSeconds)
	return solver.Window{Open: open, Close: max(open, closes)}, err
}

// Windows says when a photograph can be taken: while all its people, and who must be near, are there,
// and inside the times it asks for itself. Nil means at any time; a single empty window fits nothing.
func (pr *Problem) Windows(photo event.Photograph) ([]solver.Window, error) {
	g := pr.Event.Groupings[photo.Source]
	own, err := pr.Clock.Window(g.NotBefore, g.NotAfter)
	if err != nil {
		return nil, err
	}
	lists := [][]solver.Window{{own}}
	for _, id := range append(slices.Clone(photo.Members), pr.IDs(pr.Near(photo))...) {
		there, err := pr.Presence(pr.People[id])
		if err != nil {
			return nil, err
		}
		lists = append(lists, there)
	}
	for ; len(lists) > 1; lists = lists[2:] { // two by two: everybody may have many times
		lists = append(lists, intersect(lists[0], lists[1]))
	}
	list := lists[0]
	if len(list) == 1 && list[0] == always {
		return nil, nil
	}
	if len(list) == 0 {
		list = []solver.Window{{}}
	}
	return list, nil
}

// Presence lists when a person is there, sorted and disjoint. Somebody may be in every photograph: their times are read once.
func (pr *Problem) Presence(q solver.PersonIndex) ([]solver.Window, error) {
	if there, read := pr.there[q]; read {
		return there, nil
	}
	p := pr.Event.People[q]
	whole, err := pr.Clock.Window(p.PresentFrom, p.PresentUntil)
	if err != nil {
		return nil, err
	}
	there := []solver.Window{whole}
	if len(p.Presence) > 0 {
		var spans []solver.Window
		for _, s := range p.Presence {
			w, err := pr.Clock.Window(s.From, s.Until)
			if err != nil {
				return nil, err
			}
			spans = append(spans, w)
		}
		there = intersect(there, joined(spans))
	}
	pr.there[q] = there
	return there, nil
}

// joined sorts windows and joins those that touch.
func joined(list []solver.Window) []solver.Window {
	slices.SortFunc(list, func(a, b solver.Window) int { return int(a.Open - b.Open) })
	var out []solver.Window
	for _, w := range list {
		if n := len(out); n > 0 && w.Open <= out[n-1].Close {
			out[n-1].Close = max(out[n-1].Close, w.Close)
			continue
		}
		out = append(out, w)
	}
	return out
}

// intersect keeps the stretches that are in both lists; each is sorted and disjoint.
func intersect(a, b []solver.Window) []solver.Window {
	var out []solver.Window
	for len(a) > 0 && len(b) > 0 {
		w := solver.Window{Open: max(a[0].Open, b[0].Open), Close: min(a[0].Close, b[0].Close)}
		if w.Close > w.Open {
			out = append(out, w)
		}
		if a[0].Close < b[0].Close {
			a = a[1:]
		} else {
			b = b[1:]
		}
	}
	return out
}
