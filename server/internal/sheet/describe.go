package sheet

import (
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet/limits"
	"kinorder.example/server/internal/wording"
)

// Description is a call sheet in words, for pages that set it in a form of their own. Its fields are
// those that the call sheet itself is drawn from, so that both say the same.
type Description struct {
	*sheetView
	Say *labels
}

// Describe puts a sheet into the words of a language. Its errors are those of Draw.
func Describe(e event.Event, s event.CallSheet, cat *wording.Catalogue) (Description, error) {
	if faults := limits.Oversize(&e, &s); len(faults) > 0 {
		return Description{}, &InvalidError{Faults: faults}
	}
	return Description{newBuilder(cat, &e, &s).view(), &labels{Catalogue: cat}}, nil
}
