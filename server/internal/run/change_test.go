package run

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// A photograph is taken where the crew says and as much as they say, also where the list would not have it; when that is taken back it is
// where it was.
func TestAPhotographIsMovedToAnotherPlace(t *testing.T) {
	e := event.Event{Date: "2027-05-15", Blocks: []event.Block{
		{ID: "garden", Opens: "15:00", Closes: "16:00", Photographer: "Mara"}, {ID: "hall", Opens: "15:00", Closes: "16:00", Photographer: "Idris", Capacity: 1},
	}}
	for _, id := range []string{"a", "b", "c", "d", "e", "f"} {
		e.People = append(e.People, event.Person{ID: id, Name: id})
	}
	for _, id := range []string{"cd", "ab", "ef"} {
		e.Groupings = append(e.Groupings, event.Grouping{ID: id, Members: []string{id[:1], id[1:]}, Blocks: []string{"garden"}})
	}
	sheet, err := planning.Plan(t.Context(), e, planning.Options{Work: 30})
	require.NoError(t, err)
	d := pressed{t: t, o: Occasion{Event: e, Sheet: sheet}, now: sheet.Blocks[0].Start}
	d.press(Mark{})
	paper := ordersOf(d.plan.Sheet)["garden"]
	require.Len(t, paper, 3)
	last := paper[2]
	d.press(Mark{Kind: Changed, Grouping: last, Block: "hall", Priority: new(event.Must)})
	assert.Equal(t, []string{last}, ordersOf(d.plan.Sheet)["hall"])
	at := slices.IndexFunc(d.plan.Owed, func(x planning.Owed) bool { return x.Grouping == last })
	assert.Equal(t, event.Must, d.plan.Owed[at].Priority)
	d.press(Mark{Kind: Taken, Grouping: last, Block: "hall"})
	d.press(Mark{Kind: PutBack, Grouping: last})
	assert.Equal(t, []string{last}, ordersOf(d.plan.Sheet)["hall"], "it is still wanted there")
	d.press(Mark{Kind: Changed, Grouping: last})
	assert.Empty(t, ordersOf(d.plan.Sheet)["hall"])
	assert.ElementsMatch(t, paper, ordersOf(d.plan.Sheet)["garden"])
	assert.Equal(t, event.Should, d.plan.Owed[at].Priority)
}

// How much something is wanted is between the crew and the planner.
func TestReadersAreToldNoPriorities(t *testing.T) {
	k := &marker{}
	marks := []Mark{k.mark(0, Mark{Kind: Changed, Grouping: "a", Block: "hall", Priority: new(event.Must)})}
	s := Fold(marks)
	u := ForReader(Update{Marks: marks, State: s, Change: Change{Groupings: s.Groupings}})
	for _, g := range []Progress{u.State.Groupings["a"], u.Change.Groupings["a"]} {
		assert.Equal(t, planning.Move{Block: "hall"}, g.Move)
	}
	assert.Nil(t, u.Marks[0].Priority)
	assert.NotNil(t, s.Groupings["a"].Move.Priority)
}
