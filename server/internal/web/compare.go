package web

import (
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

// compared is what the plan for one emphasis comes to.
type compared struct {
	Emphasis string
	StepIns  int
	Length   time.Duration
	LeftOut  int
	// Elders and Children say when the last of them is free.
	Elders, Children freeAt
	Proven           bool
}

// compare plans for each emphasis; what the hand decided holds in all of them.
func (w *workbench) compare() error {
	e := w.plain()
	if w.hand.decided() {
		e = w.byHand()
	}
	w.hand.Compared = nil
	for _, name := range fields.EmphasisNames {
		emphasis := fields.Emphases[name]
		sheet, err := w.search(e, planning.Options{Emphasis: &emphasis})
		if err != nil {
			return err
		}
		w.hand.Compared = append(w.hand.Compared, compared{
			Emphasis: name, StepIns: sheet.Totals.StepIns, Length: sheet.Totals.Length, LeftOut: len(sheet.LeftOut),
			Elders:   lastFree(w.reading.event, sheet, event.Elder),
			Children: lastFree(w.reading.event, sheet, event.Child, event.Infant),
			Proven:   sheet.Totals.Proven && !w.hand.decided(),
		})
	}
	w.said = wording.Say("page.threeWaysToPlanAreSide")
	return nil
}

// freeAt is when somebody is free to go: on the clock of the event or, when the block has none, after some
// minutes from its start. The zero value says nothing.
type freeAt struct {
	Clock   string `json:",omitempty"`
	Minutes int    `json:",omitempty"`
}

// in writes it in a language.
func (f freeAt) in(c *wording.Catalogue) string {
	switch {
	case f.Clock != "":
		return c.Render(wording.Say("%s", wording.ClockText(f.Clock)))
	case f.Minutes > 0:
		return c.Say("page.after", c.Say("sheet.minutes", c.Number(f.Minutes)))
	}
	return "–"
}

// lastFree says when the last person of some age bands is free to go, the minute rounded up.
func lastFree(e event.Event, s event.CallSheet, bands ...event.AgeBand) freeAt {
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
		return freeAt{Minutes: wording.MinutesUp(offset)}
	}
	return freeAt{Clock: last.Add(time.Minute - time.Nanosecond).In(zone).Format("15:04")}
}
