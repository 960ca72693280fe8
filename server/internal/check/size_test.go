package check

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// Everybody of the largest list may be in a hundred photographs, but for the circle that holds them all; what names
// people oftener is refused, each in a circle counted.
func TestNamesPeopleTooOften(t *testing.T) {
	var e event.Event
	for i := range event.MaxPeople {
		e.People = append(e.People, event.Person{ID: fmt.Sprint(i), Name: fmt.Sprint("Guest ", i)})
	}
	e.Circles = []event.Circle{{ID: "all", Title: "All"}, {ID: "few", Title: "Few", Members: []string{"0", "1"}}}
	for _, p := range e.People {
		e.Circles[0].Members = append(e.Circles[0].Members, p.ID)
	}
	for range 98 {
		e.Groupings = append(e.Groupings, event.Grouping{Members: []string{"all"}})
	}
	for _, a := range Event(e) {
		assert.NotEqual(t, event.CodeTooMany, a.Code)
	}
	e.Groupings[0].EachOf = "few"
	advice := Event(e)
	require.Len(t, advice, 1)
	assert.Equal(t, event.CodeTooMany, advice[0].Code)
	assert.Equal(t, "groupings", advice[0].Field)
	assert.Contains(t, advice[0].Text(), "200000 times")
}
