package sheet_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/clipperhouse/displaywidth"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

var update = flag.Bool("update", false, "write the golden files")

// golden compares output with a file, or writes the file.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	wanted, lines := strings.Split(string(want), "\n"), strings.Split(string(got), "\n")
	for i := range min(len(wanted), len(lines)) {
		require.Equal(t, wanted[i], lines[i], "%s, line %d; -update writes the file anew", path, i+1)
	}
	assert.Len(t, lines, len(wanted), path)
}

func TestTextGolden(t *testing.T) {
	e, s := quay()
	golden(t, "quay-80.txt", []byte(textOf(t, e, s, 0)))
	golden(t, "quay-40.txt", []byte(textOf(t, e, s, 40)))
	golden(t, "quay-120.txt", []byte(textOf(t, e, s, 120)))
}

// No line is wider than asked for, measured with the library, whatever is in the event.
func TestTextWidth(t *testing.T) {
	quayEvent, quaySheet := quay()
	crowdEvent, crowdSheet := crowd(300, 12, 60)
	cases := []struct {
		name string
		e    event.Event
		s    event.CallSheet
	}{{"quay", quayEvent, quaySheet}, {"crowd", crowdEvent, crowdSheet}}
	for _, c := range cases {
		for width := 40; width <= 120; width++ {
			for i, line := range strings.Split(textOf(t, c.e, c.s, width), "\n") {
				require.LessOrEqual(t, displaywidth.String(line), width, "%s, width %d, line %d: %q", c.name, width, i+1, line)
			}
		}
	}
}

// The widths of the library are as the Unicode data say; typed from memory of EastAsianWidth.txt
// (W: two columns) and the general categories Mn and Cf (none).
func TestWidthOfScripts(t *testing.T) {
	for text, want := range map[string]int{
		"陳美玲": 6, "Nguyễn": 6, "Nguye\u0302\u0303n": 6, "כ": 1, "\u2068كريم\u2069": 4,
	} {
		assert.Equal(t, want, displaywidth.String(text), "%q", text)
	}
}

// Every name that is called stands in the sheet whole, on a line of its entry.
func TestTextHoldsEveryCall(t *testing.T) {
	e, s := quay()
	text := textOf(t, e, s, 100)
	parts := strings.Split(text, "[ ]")
	require.Len(t, parts, 1+2*10, "a line of the pocket list and an entry each")
	at := 11
	for _, b := range s.Blocks {
		for _, entry := range b.Entries {
			for _, id := range entry.StepIn {
				for _, p := range e.People {
					if p.ID == id {
						called := `(?m)> \x{2068}?` // in a call of many, by groups, one after the other
						if len(entry.StepIn) > 8 {
							called = `(?m)(> |, |^\s+)\x{2068}?`
						}
						assert.Regexp(t, called+p.Name, parts[at], entry.Title)
					}
				}
			}
			at++
		}
	}
}

func TestPrivateNotesStayOut(t *testing.T) {
	e, s := quay()
	assert.NotContains(t, textOf(t, e, s, 0), secret)
	page := draw(t, e, s)
	assert.NotContains(t, string(page), secret)
}

// Totals are said in words, and only what is known.
func TestTotalsInWords(t *testing.T) {
	cases := []struct {
		name   string
		totals event.Totals
		want   []string
	}{
		{"floor reached and proven",
			event.Totals{Groupings: 9, StepIns: 26, RequestedStepIns: 34, FloorStepIns: 26, FloorReached: true, Cost: 9, Bound: 9, Proven: true},
			[]string{"Step-ins: 26 in this order, 34 in the order of your list, at least 26 in any order.", "This is the best order for"}},
		{"floor reached by another order",
			event.Totals{Groupings: 9, StepIns: 26, RequestedStepIns: 34, FloorStepIns: 25, FloorReached: true, Cost: 9, Bound: 9, Proven: true},
			[]string{"26 in this order, 34 in the order of your list, at least 25 in any order.", "This is the best order for"}},
		{"floor open",
			event.Totals{Groupings: 9, StepIns: 26, RequestedStepIns: 34, FloorStepIns: 25, Cost: 1000, Bound: 966},
			[]string{"at least 25 in any order.", "This is the best order found in the time given, for"}},
		{"nothing known",
			event.Totals{Groupings: 9, StepIns: 1, RequestedStepIns: 1, Cost: 1000},
			[]string{"Step-ins: 1 in this order, 1 in the order of your list."}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			text := textOf(t, event.Event{}, event.CallSheet{Totals: c.totals}, 400)
			for _, want := range c.want {
				assert.Contains(t, text, want)
			}
		})
	}
}

// Text from an event can't drive the terminal or reorder what follows it.
func TestTextIsHarmless(t *testing.T) {
	e := event.Event{
		Title:  "a\x1b[2Jb\u202ec\r\nd",
		People: []event.Person{{ID: "p", Name: "\x07Ann\u2066a\tLee\x00", SayAs: "\x9b31m", Relation: "bad \xff byte"}},
	}
	s := event.CallSheet{Blocks: []event.SheetBlock{{Entries: []event.SheetEntry{{Grouping: "g", StepIn: []string{"p", "gone\x1b"}}}}}}
	text := textOf(t, e, s, 0)
	assert.NotRegexp(t, `[\x00-\x09\x0b-\x1f\x7f-\x{9f}\x{202a}-\x{202e}\x{2066}-\x{2069}]`, text)
	assert.Contains(t, text, "a[2Jbc d")
	assert.Contains(t, text, "> Anna Lee")
	assert.Contains(t, text, "unknown id gone")
	assert.Contains(t, text, "unknown id g\n")
}

// Isolates that a title was made with stay, are closed where they are not, and are closed at the end
// of every line and opened again on the next.
func TestIsolatesArePaired(t *testing.T) {
	s := event.CallSheet{Blocks: []event.SheetBlock{{Entries: []event.SheetEntry{
		{Title: "Amara & Théo with \u2068أمينة بن علي والعائلة كلها من المدينة القديمة\u2069 and friends"},
		{Title: "open \u2068end"}, {Title: "no\u2069 start"},
	}}}}
	for line := range strings.Lines(textOf(t, event.Event{}, s, 40)) {
		assert.Equal(t, strings.Count(line, "\u2068"), strings.Count(line, "\u2069"), "%q", line)
	}
	text := textOf(t, event.Event{}, s, 200)
	assert.Contains(t, text, "with \u2068أمينة")
	assert.Contains(t, text, "open \u2068end\u2069\n")
	assert.Contains(t, text, "no start\n")
}

// Photographs of an eachOf and groupings without a title have one made for them.
func TestMadeTitles(t *testing.T) {
	e := event.Event{
		People:    []event.Person{{ID: "a", Name: "Ada"}, {ID: "b", Name: "Bo"}},
		Circles:   []event.Circle{{ID: "c", Title: "The pair", Members: []string{"a", "b"}}},
		Groupings: []event.Grouping{{ID: "each", Title: "Alone", EachOf: "c"}, {ID: "two", Members: []string{"a", "b"}}},
	}
	s := event.CallSheet{LeftOut: []event.LeftOut{
		{Grouping: "each.b", Why: wording.Said("No time."), Priority: event.Must}, {Grouping: "two", Why: wording.Said("No light.")},
	}}
	text := textOf(t, e, s, 0)
	assert.Contains(t, text, "- Alone: Bo (must have): No time.\n")
	assert.Contains(t, text, "- Ada & Bo: No light.\n")
}

// Sheets with little or nothing in them are drawn, not refused.
func TestEmptySheets(t *testing.T) {
	for name, s := range map[string]event.CallSheet{
		"nothing":       {},
		"empty block":   {Blocks: []event.SheetBlock{{}}},
		"unknown block": {Blocks: []event.SheetBlock{{Block: "where", Entries: []event.SheetEntry{{}}}}},
		"odd times":     {Blocks: []event.SheetBlock{{Length: -5, Entries: []event.SheetEntry{{Offset: -1 << 62, Length: -1 << 62, Frames: -4, Standby: []string{""}}}}}},
	} {
		t.Run(name, func(t *testing.T) {
			assert.NotEmpty(t, []byte(textOf(t, event.Event{Date: "soon", TimeZone: "Nowhere/Here"}, s, 1)))
			page := draw(t, event.Event{Date: "soon", TimeZone: "Nowhere/Here"}, s)
			assert.NotEmpty(t, page)
		})
	}
}

// Circles that contain each other end, and a circle with somebody missing is not named for all.
func TestCirclesStandForTheirPeople(t *testing.T) {
	e := event.Event{
		People: []event.Person{{ID: "a", Name: "Ada"}, {ID: "b", Name: "Bo"}, {ID: "c", Name: "Cy"},
			{ID: "d", Name: "Di", Absent: true}},
		Circles: []event.Circle{
			{ID: "x", Title: "The pair", Members: []string{"a", "b", "d"}},
			{ID: "y", Title: "The three", Members: []string{"x", "c", "y", "z"}},
			{ID: "z", Title: "The loop", Members: []string{"y", "z"}},
		},
	}
	entry := func(stay ...string) event.CallSheet {
		return event.CallSheet{Blocks: []event.SheetBlock{{Entries: []event.SheetEntry{{Grouping: "g", Title: "G", Stay: stay}}}}}
	}
	assert.Contains(t, textOf(t, e, entry("a", "b"), 0), "The pair\n")
	assert.Contains(t, textOf(t, e, entry("c", "a"), 0), "Cy, Ada\n")
	assert.Contains(t, textOf(t, e, entry("c", "a", "b"), 0), "The three (3)\n")
}

// Two photographers at once: what comes next is decided by the clock, not by the place on the sheet.
func TestBackInAnotherBlock(t *testing.T) {
	e := event.Event{People: []event.Person{{ID: "a", Name: "Ada"}, {ID: "b", Name: "Bo"}}}
	_, s := quay()
	start := s.Blocks[0].Start
	s = event.CallSheet{Blocks: []event.SheetBlock{
		block("", start, []taken{{"1", "One", 60, 1, []string{"b"}}, {"2", "Two", 60, 1, []string{"a"}}, {"3", "Three", 60, 1, []string{"b"}}}, nil),
		block("", start, []taken{{"4", "Four", 60, 1, []string{"a"}}, {"5", "Five", 60, 1, []string{"b"}}}, map[string]bool{"b": true}),
	}}
	s.Blocks[1].Start = start.Add(-time.Minute)
	text := textOf(t, e, s, 0)
	parts := strings.Split(text, "[ ]")
	assert.Regexp(t, `Step out +back for 3: Bo`, parts[7])
	assert.Regexp(t, `Back later +back for 3: Bo`, parts[10])
	assert.Regexp(t, `Step out +back for 2: Ada`, parts[10])
}
