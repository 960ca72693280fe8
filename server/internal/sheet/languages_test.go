package sheet

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// inScript is an event all of whose own texts are in one script, so that any letter of another comes
// from the labels.
func inScript(word string) (event.Event, event.CallSheet) {
	e := event.Event{
		Title: word, Date: "2026-06-20", TimeZone: "Europe/Lisbon",
		Sides: []event.Side{{ID: "a", Label: word}},
		People: []event.Person{
			{ID: "p", Name: word + "1", SayAs: word, Relation: word, Side: "a", AgeBand: event.Elder,
				Needs: []event.Need{event.Seat, event.Wheelchair, event.StepFree, event.Interpreter}, PresentFrom: "15:03"},
			{ID: "q", Name: word + "2", AgeBand: event.Child}, {ID: "r", Name: word + "3"},
		},
		Circles: []event.Circle{{ID: "c", Title: word + "4", Members: []string{"p", "q"}, Leader: "p"}},
		Blocks:  []event.Block{{ID: "b", Title: word, Place: word, Photographer: word}, {ID: "n", Title: word}, {ID: "z", Title: word}},
	}
	start := time.Date(2026, 6, 20, 14, 0, 0, 0, time.UTC)
	entries := []event.SheetEntry{
		{Title: word, Wait: 3 * time.Minute, Offset: 3 * time.Minute, Length: 20 * time.Second, StepIn: []string{"p", "q"}, Frames: 2, Near: []string{"r"}},
		{Title: word, Wait: time.Minute, Offset: 5 * time.Minute, Length: 90 * time.Second, StepOut: []string{"p"}, Stay: []string{"q"}, Standby: []string{"r"}, Released: []string{"q"}},
		{Title: word, Offset: 7 * time.Minute, Length: 90 * time.Minute, StepOut: []string{"q"}, StepIn: []string{"r", "p"}, Released: []string{"p"}},
		{Title: word, Offset: 97 * time.Minute, Length: 90 * time.Minute, Stay: []string{"r", "p"}},
	}
	s := event.CallSheet{
		Blocks: []event.SheetBlock{
			{Block: "b", Start: start, Length: 187 * time.Minute, StepIns: 4, Entries: entries},
			{Block: "n", Start: start.Add(24 * time.Hour), Length: time.Minute, Entries: []event.SheetEntry{{Title: word, StepIn: []string{"r"}}}},
			{Block: "z", Start: start},
		},
		LeftOut: []event.LeftOut{
			{Grouping: "g", Why: wording.Said(word), Priority: event.Must},
			{Grouping: "g", Why: wording.Say("plan.noTimeLeftIn", word)},
		},
		Advice: []event.Advice{{Message: wording.Said(word)}, {Message: wording.Said(word), Severity: event.Warning}, {Message: wording.Said(word), Severity: event.Error},
			event.Tell(event.Warning, "", "", nil, wording.Say("advice.notAskedFor",
				wording.Say("advice.coupleWithTheParentsOfBoth"), wording.And(word, word)))},
		Totals: event.Totals{Groupings: 4, StepIns: 5, RequestedStepIns: 6, FloorStepIns: 5, Cost: 100, Bound: 90},
	}
	e.Groupings = []event.Grouping{{ID: "g", Title: word, Members: []string{"p"}}, {ID: "m", Members: []string{"c", "r"}, Without: []string{"q"}}}
	taken, _ := event.Expand(e)
	entries[3].Grouping, entries[3].Title = "m", taken[1].Title
	return e, s
}

var (
	markup   = regexp.MustCompile(`(?s)<style>.*?</style>|<[^>]*>`)
	latin    = regexp.MustCompile(`[A-Za-z]{2,}`)
	property = regexp.MustCompile(`(?m)^(BEGIN|END|VERSION|PRODID|CALSCALE|METHOD|UID|DTSTAMP|DTSTART|DTEND):.*$|^[A-Z]+:|\\n`)
)

// Nothing on any sheet is in English where the sheet is not: no text is written outside the catalogue.
func TestNoLabelEscapesTheCatalogue(t *testing.T) {
	for tag, word := range map[string]string{"ar": "كلمة", "zh": "词语"} {
		e, s := inScript(word)
		untimed := s
		untimed.Blocks = slices.Clone(s.Blocks)
		for i := range untimed.Blocks {
			untimed.Blocks[i].Start = time.Time{}
		}
		for kind := range kinds {
			for _, form := range kind.Forms() {
				for _, sheet := range []event.CallSheet{s, untimed, {}} {
					for _, per := range []Per{PerPerson, PerCircle} {
						out := string(draw(t, e, sheet, Options{Kind: kind, Form: form, Language: tag, Per: per, Stamp: time.Unix(0, 0)}))
						if form == Calendar {
							out = property.ReplaceAllString(strings.ReplaceAll(out, "\r\n ", ""), "")
						}
						out = markup.ReplaceAllString(out, " ")
						assert.Empty(t, latin.FindAllString(out, -1), "%s, kind %d, form %d", tag, kind, form)
					}
				}
			}
		}
	}
}
