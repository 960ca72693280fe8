package people

import (
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// FreeAt is when somebody is free to go: on the clock of the event or, when the block has none, after some
// minutes from its start. The zero value says nothing.
type FreeAt struct {
	Clock   string `json:",omitempty"`
	Minutes int    `json:",omitempty"`
}

// After says that it is later than another one.
func (f FreeAt) After(g FreeAt) bool { return f.Clock > g.Clock || f.Minutes > g.Minutes }

// In writes it in a language.
func (f FreeAt) In(c *wording.Catalogue) string {
	switch {
	case f.Clock != "":
		return c.Render(wording.Say("%s", wording.ClockText(f.Clock)))
	case f.Minutes > 0:
		return c.Say("page.after", c.Say("sheet.minutes", c.Number(f.Minutes)))
	}
	return "–"
}

// LastFree says when the last person of some age bands is free to go, the minute rounded up.
func LastFree(e event.Event, s event.CallSheet, bands ...event.AgeBand) FreeAt {
	of := map[string]bool{}
	for _, p := range e.People {
		for _, band := range bands {
			of[p.ID] = of[p.ID] || p.AgeBand == band
		}
	}
	zone, err := e.Location()
	if err != nil {
		zone = time.UTC
	}
	var last time.Time
	var offset time.Duration
	for id, at := range s.Frees() {
		if !of[id] {
			continue
		}
		over := s.Entry(at).Over()
		offset = max(offset, over)
		if start := s.Blocks[at.Block].Start; !start.IsZero() && start.Add(over).After(last) {
			last = start.Add(over)
		}
	}
	if last.IsZero() {
		return FreeAt{Minutes: wording.MinutesUp(offset)}
	}
	return FreeAt{Clock: last.Add(time.Minute - time.Nanosecond).In(zone).Format("15:04")}
}
