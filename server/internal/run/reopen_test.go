package run

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// A must-have that is taken without somebody after all is next, before what is only wanted, and is no new one.
func TestWithoutSomebodyIsNext(t *testing.T) {
	e := event.Event{Date: "2027-05-15", Blocks: []event.Block{{ID: "garden", Opens: "15:00", Closes: "17:00"}}}
	for _, id := range []string{"a", "b", "c", "d", "e", "f"} {
		e.People = append(e.People, event.Person{ID: id, Name: id})
	}
	for _, id := range []string{"cd", "ab", "ef"} {
		e.Groupings = append(e.Groupings, event.Grouping{ID: id, Members: []string{id[:1], id[1:]}})
	}
	e.Groupings[1].Priority = event.Must
	sheet, err := planning.Plan(t.Context(), e, planning.Options{Work: 30})
	require.NoError(t, err)
	d := pressed{t: t, o: Occasion{Event: e, Sheet: sheet}, now: sheet.Blocks[0].Start}
	d.press(Mark{})
	d.press(Mark{Kind: Gone, Person: "a"})
	require.NotContains(t, ordersOf(d.plan.Sheet)["garden"], "ab")
	d.press(Mark{Kind: Without, Grouping: "ab", People: []string{"a"}})
	assert.Equal(t, "ab", ordersOf(d.plan.Sheet)["garden"][0])
	for _, c := range d.plan.Changes {
		assert.NotContains(t, c.String(), "New in the order")
	}
}
