package sheet_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
)

// Nobody is asked for before they have come, and before they have walked over from where they were.
func TestNobodyIsAskedForTooEarly(t *testing.T) {
	e := event.Event{
		Date: "2027-05-15", TimeZone: "UTC",
		People: []event.Person{{ID: "a", Name: "Anna"}, {ID: "b", Name: "Bert"}, {ID: "c", Name: "Cleo", PresentFrom: "15:20"}},
		Groupings: []event.Grouping{
			{ID: "g", Members: []string{"a", "b"}}, {ID: "h", Members: []string{"b"}}, {ID: "i", Members: []string{"a", "b", "c"}},
		},
		Blocks: []event.Block{{ID: "x", Place: "Garden", Opens: "15:00"}, {ID: "y", Place: "House", Opens: "15:02"}},
		Walks:  []event.Walk{{From: "House", To: "Garden", Minutes: 6}},
	}
	start := time.Date(2027, 5, 15, 15, 0, 0, 0, time.UTC)
	s := event.CallSheet{Blocks: []event.SheetBlock{
		block("x", start, []taken{{"g", "One", 5 * 60, 1, []string{"a"}}}, map[string]bool{"a": true}),
		block("y", start.Add(2*time.Minute), []taken{{"h", "Two", 19 * 60, 1, []string{"b"}}, {"i", "Three", 5 * 60, 1, []string{"a", "b", "c"}}}, nil),
	}}
	for _, o := range []sheet.Options{{Kind: sheet.Times, Per: sheet.PerPerson}, {Kind: sheet.Times, Per: sheet.PerPerson, Form: sheet.Calendar, Stamp: start}} {
		out := string(drawn(t, e, s, o))
		if o.Form == sheet.Calendar {
			assert.Contains(t, out, "DTSTART:20270515T151100Z")
			assert.Contains(t, out, "DTSTART:20270515T152000Z")
			continue
		}
		assert.Contains(t, out, "be there by 15:10", "fifteen five and six minutes on foot, to five minutes")
		assert.Contains(t, out, "be there by 15:20", "Cleo comes then")
	}
}
