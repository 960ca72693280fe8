package web

import (
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/wording"
)

// compared is what the plan for one emphasis comes to.
type compared struct {
	Emphasis string
	StepIns  int
	Length   time.Duration
	LeftOut  int
	// Elders and Children say when the last of them is free.
	Elders, Children people.FreeAt
	Proven           bool
	// Later says that it is after who is free early, and frees the last of them later than the balanced plan.
	Later bool `json:",omitempty"`
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
			Elders:   people.LastFree(w.reading.event, sheet, event.Elder),
			Children: people.LastFree(w.reading.event, sheet, event.Child, event.Infant),
			Proven:   sheet.Totals.Proven && !w.hand.decided(),
		})
	}
	of := func(e event.Emphasis) *compared {
		return &w.hand.Compared[slices.IndexFunc(w.hand.Compared, func(c compared) bool { return fields.Emphases[c.Emphasis] == e })]
	}
	early, balanced := of(event.EarlyRelease), of(event.Balanced)
	early.Later = early.Elders.After(balanced.Elders) || early.Children.After(balanced.Children)
	w.said = wording.Say("page.threeWaysToPlanAreSide")
	return nil
}
