package sheet

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet/fold"
	"kinorder.example/server/internal/wording"
)

// A sheet that is read from right to left isolates names that are not, and only those.
func TestNamesAgainstTheDirectionOfTheSheet(t *testing.T) {
	cat, _ := wording.For("ar")
	e := event.Event{Title: "T", People: []event.Person{{ID: "a", Name: "Ada"}, {ID: "b", Name: "ليلى"}}}
	s := event.CallSheet{Blocks: []event.SheetBlock{{Entries: []event.SheetEntry{
		{Grouping: "g", Title: "G", StepIn: []string{"a", "b"}},
	}}}}
	page, err := newBuilder(cat, &e, &s).html(Options{Form: HTML})
	require.NoError(t, err)
	assert.Contains(t, string(page), `<html lang="ar" dir="rtl">`)
	text := string(newBuilder(cat, &e, &s).text(Options{Kind: Call, Width: 60}))
	assert.Contains(t, text, "> \u2068Ada\u2069\n", "a name from left to right is isolated")
	assert.Contains(t, text, "> ليلى\n", "a name in the direction of the sheet is not")
}

// draw draws a sheet that must be drawable, unless its texts are too long or a block has no clock.
func draw(t *testing.T, e event.Event, s event.CallSheet, o Options) []byte {
	t.Helper()
	d, err := Draw(e, s, o)
	var invalid *InvalidError
	if errors.As(err, &invalid) {
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	return d.Content
}

// Whatever stands in the texts of an event, lines keep their width and carry no control character.
func FuzzText(f *testing.F) {
	f.Add("Nguyễn Thị Mỹ Linh", "كريم", uint8(80))
	f.Add("\u0301\u0301 \u200d\U0001F469\u200d\U0001F467", strings.Repeat("長", 90), uint8(40))
	f.Add("\x1b[31m\u202e", "%[1]d %s\u2068\xff", uint8(41))
	f.Fuzz(func(t *testing.T, a, b string, columns uint8) {
		e := event.Event{
			Title: a, Date: b, TimeZone: b,
			People: []event.Person{
				{ID: "p", Name: a, SayAs: b, Relation: a, AgeBand: event.Elder},
				{ID: "q", Name: b, Needs: []event.Need{event.Seat, 99}},
			},
			Circles: []event.Circle{{ID: "c", Title: b, Members: []string{"p", "q", "c"}}},
			Blocks:  []event.Block{{ID: "b", Title: b, Place: a, Photographer: b}},
		}
		s := event.CallSheet{
			Blocks: []event.SheetBlock{{Block: "b", Entries: []event.SheetEntry{
				{Grouping: a, Title: a, StepIn: []string{"p", "q", b}, Standby: []string{"p", "q"}},
				{Grouping: b, StepOut: []string{"p", "q", b}, Released: []string{a}},
				{Grouping: b, StepIn: []string{"p", "q", b, a, "p", "q"}, Stay: []string{"p", "q"}},
			}}},
			LeftOut: []event.LeftOut{{Grouping: a, Why: wording.Said(b)}},
			Advice:  []event.Advice{{Message: wording.Said(a), Severity: 7}, {Message: wording.Said(b), Severity: event.Warning}},
		}
		w := min(max(int(columns), MinWidth), MaxWidth)
		for line := range strings.SplitSeq(string(draw(t, e, s, Options{Width: w})), "\n") {
			if fold.Width(line) > w {
				t.Fatalf("%d columns instead of %d: %q", fold.Width(line), w, line)
			}
			if strings.ContainsFunc(line, func(r rune) bool { return r < ' ' || r >= 0x7f && r < 0xa0 || r == 0x202e }) {
				t.Fatalf("control character in %q", line)
			}
		}
		for kind := range kinds {
			for _, form := range formsOf[kind].forms {
				draw(t, e, s, Options{Kind: kind, Form: form, Language: "ar", Stamp: time.Unix(0, 0)})
			}
		}
	})
}

// French puts a narrow no-break space before a semicolon: a line must not end there.
func TestCleanKeepsNoBreakSpaces(t *testing.T) {
	assert.Equal(t, "a\u202f; b\u00a0c d", fold.Clean("a\u202f; b\u00a0c \n d"))
}

// In the caller's larger type fewer names fit beside each other, so what is said of them takes the full width sooner.
func TestSidesOfTheCallersSheet(t *testing.T) {
	e := entryView{Out: []outView{{Names: []string{"Amara & Théo", "Sven Lindqvist"}}}, Stay: []string{"Théo's grandparents"}, Release: []string{"Nguyễn Minh Khôi"}}
	assert.Equal(t, "beside", e.Side())
	e.Large, e.Stay = true, []string{"Théo's grandparents", "Linnéa's household"}
	assert.Equal(t, "above", e.Side())
	e.Large = false
	assert.Equal(t, "beside", e.Side())
}

// A label in Chinese has a colon as wide as a character, and no space after it.
func TestColons(t *testing.T) {
	for language, want := range map[string]string{"en": "Free: Ann", "fr": "Free\u00a0: Ann", "zh": "Free：Ann"} {
		c, _ := wording.For(language)
		assert.Equal(t, want, "Free"+(&labels{Catalogue: c}).Colon()+"Ann")
		assert.Equal(t, language != "zh", (&labels{Catalogue: c}).OutItems([]outView{{Back: 3, Names: []string{"Ann"}}})[0][0].Past == " ")
	}
}
