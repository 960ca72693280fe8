package people

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

// "Last older guest free at" is the last of them by the clock, and the minute in which that is not over does not count.
func TestLastFree(t *testing.T) {
	e := event.Event{TimeZone: "Europe/Lisbon", People: []event.Person{{ID: "gran", AgeBand: event.Elder}, {ID: "kit", AgeBand: event.Child}}}
	entry := func(at, length time.Duration, id string) event.SheetEntry {
		return event.SheetEntry{Offset: at, Length: length, StepIn: []string{id}}
	}
	s := event.CallSheet{Blocks: []event.SheetBlock{
		{Start: time.Date(2026, 6, 20, 14, 0, 0, 0, time.UTC), Entries: []event.SheetEntry{entry(0, time.Minute, "gran"), entry(time.Minute, time.Minute, "kit"), entry(20*time.Minute, 61*time.Second, "gran")}},
		{Start: time.Date(2026, 6, 20, 14, 5, 0, 0, time.UTC), Entries: []event.SheetEntry{entry(0, time.Minute, "gran")}},
	}}
	assert.Equal(t, FreeAt{Clock: "15:22"}, LastFree(e, s, event.Elder))
	assert.Equal(t, FreeAt{Clock: "15:02"}, LastFree(e, s, event.Child))
	assert.Equal(t, FreeAt{}, LastFree(e, s, event.Infant))
	s.Blocks = s.Blocks[:1]
	s.Blocks[0].Start = time.Time{}
	assert.Equal(t, FreeAt{Minutes: 22}, LastFree(e, s, event.Elder))
}
