package run

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// Where a block was before it was moved, and when, is known from the marks, also when it is moved back or only made longer.
func TestMarksSayWhenABlockMoved(t *testing.T) {
	o := Occasion{Event: event.Event{Blocks: []event.Block{{ID: "yard", Place: "Courtyard"}}}}
	noon := time.Date(2027, 5, 15, 12, 0, 0, 0, time.UTC)
	reset := func(minute int, place string) Mark {
		at := noon.Add(time.Duration(minute) * time.Minute)
		return Mark{ID: at.String(), Kind: Reset, At: at, Block: "yard", Place: place, Closes: noon.Add(time.Hour)}
	}
	marks := []Mark{reset(0, ""), reset(1, "Hall"), reset(2, "Hall"), reset(3, "")}
	for n, want := range []planning.Times{
		{Said: noon}, {Said: noon.Add(time.Minute), Moved: noon.Add(time.Minute), From: "Courtyard", Place: "Hall"},
		{Said: noon.Add(2 * time.Minute), Moved: noon.Add(time.Minute), From: "Courtyard", Place: "Hall"},
		{Said: noon.Add(3 * time.Minute), Moved: noon.Add(3 * time.Minute), From: "Hall", Place: "Courtyard"},
	} {
		today := o.today(Fold(marks[:n+1]), nil, noon)
		o.said(&today, marks[:n+1])
		want.Closes = noon.Add(time.Hour)
		assert.Equal(t, want, today.Times["yard"])
	}
}
