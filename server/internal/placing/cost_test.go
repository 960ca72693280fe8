package placing_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/placing"
)

// A day of hundreds of small photographs has them all placed, each with its share of what a second of exact search holds.
func TestDayOfSmallPhotographs(t *testing.T) {
	var e event.Event
	var entries []event.SheetEntry
	for i := range 100 {
		e.People = append(e.People, event.Person{ID: fmt.Sprint("p", i), Name: fmt.Sprint("P", i)})
	}
	for i := range 200 {
		var in []string
		for j := range 8 {
			in = append(in, fmt.Sprint("p", (7*i+j)%100))
		}
		id := fmt.Sprint("g", i)
		e.Groupings = append(e.Groupings, event.Grouping{ID: id, Members: in})
		entries = append(entries, event.SheetEntry{Grouping: id, StepIn: in})
	}
	s := event.CallSheet{Blocks: []event.SheetBlock{{Entries: entries}}}
	require.NoError(t, placing.Day(t.Context(), e, &s))
	proven := 0
	for _, x := range s.Blocks[0].Entries {
		require.NotNil(t, x.Standing)
		if x.Standing.Proven {
			proven++
		}
	}
	assert.Less(t, proven, 200, "eight people who are all alike take more than a day of them can have each")
}
