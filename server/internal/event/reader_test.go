package event

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// Who is near to interpret shows neither in a photograph nor by being free after one.
func TestReadersDoNotSeeWhoInterprets(t *testing.T) {
	c := CallSheet{
		Blocks: []SheetBlock{{Entries: []SheetEntry{
			{Grouping: "a", StepIn: []string{"bo", "cy"}, Near: []string{"di"}},
			{Grouping: "b", StepIn: []string{"ed"}, Released: []string{"bo", "cy", "di", "ed"}},
		}}},
		People: []PersonTimes{{Person: "bo", TimesIn: 1}, {Person: "cy"}, {Person: "di", Idle: time.Minute}, {Person: "ed"}},
	}
	got := SheetForReader(c)
	assert.Equal(t, []string{"bo", "cy", "ed"}, got.Blocks[0].Entries[1].Released)
	assert.Empty(t, got.Blocks[0].Entries[0].Near)
	assert.Len(t, got.People, 3)
	assert.Len(t, c.People, 4, "the sheet itself is left as it was")
	assert.Len(t, c.Blocks[0].Entries[1].Released, 4)
}

// How much somebody wants a photograph is no reader's business, on no sheet either.
func TestReadersDoNotSeePriorities(t *testing.T) {
	got := SheetForReader(CallSheet{LeftOut: []LeftOut{{Grouping: "a", Priority: Nice}, {Grouping: "b", Priority: Must}}})
	assert.Equal(t, []LeftOut{{Grouping: "a"}, {Grouping: "b"}}, got.LeftOut)
	assert.Equal(t, GroupingForReader(Grouping{Priority: Must}).Priority, got.LeftOut[0].Priority, "as of the photograph itself")
}
