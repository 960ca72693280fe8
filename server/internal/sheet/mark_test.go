package sheet_test

import (
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
)

// Papers of two orders are told apart: all sheets of one order bear one mark, and those of another bear another.
func TestSheetsBearTheirOrder(t *testing.T) {
	e, s := quay()
	marks := func(s event.CallSheet) map[string]bool {
		found := map[string]bool{}
		for _, o := range []sheet.Options{
			{Kind: sheet.Call}, {Kind: sheet.Pocket}, {Kind: sheet.Call, Form: sheet.HTML}, {Kind: sheet.Pocket, Form: sheet.HTML}, {Kind: sheet.Reader, Form: sheet.HTML},
			{Kind: sheet.Finder, Form: sheet.HTML}, {Kind: sheet.Cards, Form: sheet.HTML}, {Kind: sheet.Chart, Form: sheet.HTML}, {Kind: sheet.Standing, Form: sheet.HTML},
		} {
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
}
