package sheet_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
)

// Papers of two orders are told apart: all sheets of one order bear one mark, and those of another bear another.
func TestSheetsBearTheirOrder(t *testing.T) {
	e, s := quay()
	var numbers map[string]int
	marks := func(s event.CallSheet) map[string]bool {
		found := map[string]bool{}
		for _, o := range []sheet.Options{
			{Kind: sheet.Call}, {Kind: sheet.Pocket}, {Kind: sheet.Call, Form: sheet.HTML}, {Kind: sheet.Pocket, Form: sheet.HTML}, {Kind: sheet.Reader, Form: sheet.HTML},
			{Kind: sheet.Finder, Form: sheet.HTML}, {Kind: sheet.Cards, Form: sheet.HTML}, {Kind: sheet.Chart, Form: sheet.HTML}, {Kind: sheet.Standing, Form: sheet.HTML},
		} {
			o.Numbers = numbers
			out := drawn(t, e, s, o)
			all := regexp.MustCompile(`Order (?:[2-9][A-Z]){2}\b`).FindAllString(string(out), -1)
			require.NotEmpty(t, all, "%v", o)
			for _, mark := range all {
				found[mark] = true
			}
		}
		return found
	}
	one := marks(s)
	assert.Len(t, one, 1)
	s.Blocks = slices.Clone(s.Blocks)
	s.Blocks[0].Entries = slices.Clone(s.Blocks[0].Entries)
	s.Blocks[0].Entries[0], s.Blocks[0].Entries[1] = s.Blocks[0].Entries[1], s.Blocks[0].Entries[0]
	other := marks(s)
	assert.Len(t, other, 1)
	assert.NotEqual(t, one, other)
	numbers = map[string]int{s.Blocks[0].Entries[0].Grouping: 99}
	assert.NotEqual(t, other, marks(s), "numbers mean something else")
}

// Photos keep the numbers that they go by already, on every sheet that has numbers; what has none is counted on from the highest.
func TestSheetsHaveTheNumbersOfTheDay(t *testing.T) {
	e, s := quay()
	numbers, last := map[string]int{}, 400
	for _, b := range s.Blocks {
		for _, x := range b.Entries {
			last--
			numbers[x.Grouping] = last
		}
	}
	delete(numbers, s.Blocks[0].Entries[0].Grouping)
	for _, o := range []sheet.Options{
		{Kind: sheet.Call}, {Kind: sheet.Pocket}, {Kind: sheet.Call, Form: sheet.CSV}, {Kind: sheet.Times, Form: sheet.CSV}, {Kind: sheet.Call, Form: sheet.Calendar},
		{Kind: sheet.Call, Form: sheet.HTML}, {Kind: sheet.Pocket, Form: sheet.HTML}, {Kind: sheet.Finder, Form: sheet.HTML}, {Kind: sheet.Cards, Form: sheet.HTML},
		{Kind: sheet.Chart, Form: sheet.HTML}, {Kind: sheet.Standing, Form: sheet.HTML},
	} {
		o.Numbers, o.Stamp = numbers, time.Unix(1, 0)
		out := []byte(strings.NewReplacer("\r\n ", "", `\n`, " ").Replace(string(drawn(t, e, s, o)))) // lines of calendars
		has := func(n int) bool { return regexp.MustCompile(fmt.Sprintf(`\b%d\b`, n)).Match(out) }
		assert.True(t, has(399), "%v: what has none is the last", o)
		for id, n := range numbers {
			assert.True(t, has(n) || o.Kind == sheet.Finder, "%v: %s", o, id) // who stays is not fetched
		}
	}
	out := string(drawn(t, e, s, sheet.Options{Kind: sheet.Finder, Form: sheet.HTML, Numbers: numbers}))
	assert.True(t, strings.Contains(out, "392–399") && strings.Contains(out, "390–391"), "the numbers of each time slot")
}
