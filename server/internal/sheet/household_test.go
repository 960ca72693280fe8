package sheet_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/sheet"
)

// A message goes to people who may know each other's times: not to all there are, not across sides, not to those whom a rule
// keeps apart, and nothing is said to words for people without a name.
func TestMessagesGoToHouseholds(t *testing.T) {
	e := event.Event{
		Honour: []string{"eva", "tim"}, Sides: []event.Side{{ID: "e"}, {ID: "t"}},
		People: []event.Person{{ID: "eva", Name: "Eva"}, {ID: "tim", Name: "Tim"}, {ID: "ruth", Name: "Ruth", Side: "e"}, {ID: "otto", Name: "Otto", Side: "e"},
			{ID: "karl", Name: "Karl", Side: "t"}, {ID: "lea", Name: "Lea", Side: "t"}, {ID: "pip", Name: "Pip", Side: "t", Relation: "Karl's child", AgeBand: event.Child}, {ID: "x", Name: "Otto's grandchildren", Side: "e"}},
		Circles: []event.Circle{{ID: "all", Title: "Everybody", Members: []string{"eva", "tim", "ruth", "otto", "karl", "lea", "x"}},
			{ID: "maids", Title: "Maids", Members: []string{"ruth", "lea"}}, {ID: "parents", Title: "Eva's parents", Members: []string{"ruth", "otto"}},
			{ID: "karls", Title: "Karl's household", Members: []string{"karl", "lea"}}},
		Rules:  []event.Rule{{Apart: &event.Apart{People: []string{"ruth", "otto"}}}},
		Blocks: []event.Block{{ID: "b", Place: "Lawn"}},
	}
	s := event.CallSheet{Blocks: []event.SheetBlock{block("b", stamp, []taken{{"1", "One", 60, 1, []string{"eva", "tim", "ruth", "karl", "lea"}},
		{"2", "Two", 60, 1, []string{"eva", "tim", "otto", "x"}},
		{"3", "Three", 60, 1, []string{"otto", "pip"}}, {"4", "Four", 60, 1, []string{"eva"}}, {"5", "Five", 60, 1, []string{"tim"}}}, nil)}}
	var to []string
	for _, m := range sheet.Messages(e, s, "en") {
		to = append(to, m.To)
		assert.NotContains(t, m.Body, "grandchildren")
		assert.Equal(t, strings.HasPrefix(m.To, "Karl "), strings.Contains(m.Body, "Pip"), m.Body)
	}
	assert.Equal(t, []string{"Ruth", "Otto", "Karl (Karl's household)"}, to)
}

// Somebody who goes from one place to another is told no two times that contradict each other, and those who go on at
// different times are told so by themselves.
func TestMessagesGoOnWithoutContradiction(t *testing.T) {
	e := event.Event{
		People: []event.Person{{ID: "kofi", Name: "Kofi"}, {ID: "emil", Name: "Emil"}, {ID: "ada", Name: "Ada"}, {ID: "dan", Name: "Dan"}, {ID: "bo", Name: "Bo"}},
		Blocks: []event.Block{{ID: "x", Place: "Pier"}, {ID: "y", Place: "Hall"}},
	}
	e.Circles = []event.Circle{{ID: "c", Title: "The house", Members: []string{"kofi", "emil", "ada"}}}
	s := event.CallSheet{Blocks: []event.SheetBlock{
		block("x", stamp, []taken{{"1", "One", 120, 1, []string{"kofi", "emil", "ada"}}}, map[string]bool{"kofi": true, "emil": true}),
		block("y", stamp.Add(3*time.Minute), []taken{{"2", "Two", 60, 1, []string{"emil"}}, {"3", "Three", 600, 1, []string{"dan"}}, {"4", "Four", 60, 1, []string{"bo"}},
			{"5", "Five", 60, 1, []string{"kofi"}}}, nil),
	}}
	all := sheet.Messages(e, s, "en")
	assert.Len(t, all, 3)
	assert.Contains(t, all[0].Body, "- Emil: from 08:25, then straight on to Hall\n")
	assert.Contains(t, all[0].Body, "- Kofi: 08:25 to about 08:35, and again from 08:40\n", "who goes on later")
}
