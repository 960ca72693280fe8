package sheet_test

import (
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	ics "github.com/arran4/golang-ical"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
)

// stamp is when the calendars of the tests are drawn.
var stamp = time.Date(2027, 5, 1, 9, 30, 0, 0, time.FixedZone("", 3600))

// calendarOf draws a calendar, checks its lines against RFC 5545, section 3.1, and reads it with an
// independent library.
func calendarOf(t *testing.T, e event.Event, s event.CallSheet, o sheet.Options) []*ics.VEvent {
	t.Helper()
	o.Form, o.Stamp = sheet.Calendar, stamp
	text := string(drawn(t, e, s, o))
	require.True(t, utf8.ValidString(text))
	require.True(t, strings.HasSuffix(text, "\r\n"))
	for _, line := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		require.LessOrEqual(t, len(line), 75, "octets of %q", line)
		require.NotEmpty(t, line)
		require.True(t, utf8.ValidString(line), "a character is cut in %q", line)
		require.NotRegexp(t, `[\x00-\x08\x0a-\x1f\x7f]`, line)
	}
	c, err := ics.ParseCalendar(strings.NewReader(text))
	require.NoError(t, err)
	seen := map[string]bool{}
	for _, v := range c.Events() {
		assert.False(t, seen[v.Id()], "UID twice")
		seen[v.Id()] = true
		at, err := v.GetDtStampTime()
		require.NoError(t, err)
		assert.True(t, at.Equal(stamp))
	}
	return c.Events()
}

// value returns the text of a property, none when it is not there.
func value(v *ics.VEvent, p ics.ComponentProperty) string {
	if got := v.GetProperty(p); got != nil {
		return got.Value
	}
	return ""
}

func TestBlockCalendar(t *testing.T) {
	e, s := quay()
	e.Blocks[0].Place = `Old quay; by the \blue, boat shed`
	events := calendarOf(t, e, s, sheet.Options{})
	require.Len(t, events, 2)
	start, err := events[0].GetStartAt()
	require.NoError(t, err)
	assert.True(t, start.Equal(time.Date(2027, 6, 12, 13, 30, 0, 0, time.UTC)), "14:30 of a summer in Lisbon")
	end, err := events[0].GetEndAt()
	require.NoError(t, err)
	assert.True(t, end.Equal(time.Date(2027, 6, 12, 13, 53, 0, 0, time.UTC)), "1380 seconds later")
	assert.Equal(t, "Amara and Linh at the old quay – Group photos – Quay steps", value(events[0], ics.ComponentPropertySummary))
	assert.Equal(t, `Old quay; by the \blue, boat shed`, value(events[0], ics.ComponentPropertyLocation))
	lines := strings.Split(value(events[0], ics.ComponentPropertyDescription), "\n")
	require.Len(t, lines, len(s.Blocks[0].Entries))
	assert.Equal(t, "2  14:36  Linh's grandmother with the couple", lines[1])
}

// Everybody has an event for each of their blocks, under the same identifier when drawn again, and
// no other person's name in it.
func TestPersonalCalendar(t *testing.T) {
	e, s := quay()
	events := calendarOf(t, e, s, sheet.Options{Kind: sheet.Times})
	assert.Len(t, events, 20, "18 people, two of them in both blocks")
	ids := map[string]bool{}
	for _, v := range events {
		ids[v.Id()] = true
		assert.Regexp(t, `^[0-9a-f]{32}@kinorder\.example$`, v.Id(), "tells nothing about anybody")
		whole := value(v, ics.ComponentPropertySummary) + value(v, ics.ComponentPropertyDescription)
		named := 0
		for _, p := range e.People {
			if strings.Contains(whole, p.Name) && len(p.Name) > 4 {
				named++
			}
		}
		assert.LessOrEqual(t, named, 1)
	}
	s.Blocks[0].Start = s.Blocks[0].Start.Add(5 * time.Minute)
	for _, v := range calendarOf(t, e, s, sheet.Options{Kind: sheet.Times, Language: "ar"}) {
		assert.True(t, ids[v.Id()])
	}
	households := calendarOf(t, e, s, sheet.Options{Kind: sheet.Times, Per: sheet.PerCircle})
	assert.Less(t, len(households), len(events))
}

// A calendar without times is refused by name of the block, not written with wrong ones.
func TestCalendarNeedsAClock(t *testing.T) {
	e, s := quay()
	s.Blocks[1].Start = time.Time{}
	_, err := sheet.Draw(e, s, sheet.Options{Form: sheet.Calendar, Stamp: stamp})
	var invalid *sheet.InvalidError
	require.ErrorAs(t, err, &invalid)
	require.Len(t, invalid.Faults, 1)
	assert.Equal(t, "sheet.blocks[1].startTime", invalid.Faults[0].Field)
	_, err = sheet.Draw(e, s, sheet.Options{Form: sheet.Calendar})
	require.ErrorAs(t, err, &invalid)
	assert.Equal(t, "stamp", invalid.Faults[0].Field)
}

// Whatever is in the texts, a calendar keeps its grammar and gives the texts back.
func FuzzCalendar(f *testing.F) {
	f.Add("a;b,c\\n", "BEGIN:VEVENT\r\nEND:VEVENT")
	f.Add(strings.Repeat("長", 60), "\u2068ليلى")
	f.Add("\x00\xff\u202e", "\ufeff")
	f.Fuzz(func(t *testing.T, a, b string) {
		if len(a)+len(b) > 4000 {
			t.Skip("longer texts only take longer")
		}
		e := event.Event{
			Title: a, People: []event.Person{{ID: "p", Name: a, Relation: b}, {ID: b, Name: b}},
			Blocks: []event.Block{{ID: "b", Title: a, Place: b}},
		}
		s := event.CallSheet{Blocks: []event.SheetBlock{{Block: "b", Start: stamp, Entries: []event.SheetEntry{{Title: b, StepIn: []string{"p", b}}}}}}
		for _, kind := range []sheet.Kind{sheet.Call, sheet.Times} {
			if n := len(calendarOf(t, e, s, sheet.Options{Kind: kind})); n < 1 || n > 2 {
				t.Fatalf("%d events", n)
			}
		}
	})
}
