package planning_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// Fifty people who are each to go first contradict each other. Nothing is left out for that: of two such rules the first
// holds, and the other one is named with the photographs that go in a circle.
func TestContradictingRulesLeaveNothingOut(t *testing.T) {
	var e event.Event
	var everybody []string
	for i := range 150 {
		id := fmt.Sprint("p", i)
		everybody = append(everybody, id)
		e.People = append(e.People, event.Person{ID: id, Name: fmt.Sprint("Person ", i)})
		e.Groupings = append(e.Groupings, event.Grouping{ID: fmt.Sprint("g", i), Title: fmt.Sprint("Photo ", i), Members: []string{id}})
	}
	e.Circles = []event.Circle{{ID: "all", Title: "All", Members: everybody}}
	for i := range 50 {
		e.Rules = append(e.Rules, event.Rule{Seniority: &event.Seniority{People: []string{everybody[i], "all"}}})
	}
	s, err := planning.Plan(t.Context(), e, planning.Options{Budget: 1}) // no search
	require.NoError(t, err)
	require.Empty(t, s.LeftOut)
	assert.Equal(t, "g0", s.Blocks[0].Entries[0].Grouping, "the first rule holds")
	told := adviceOf(t, s, event.CodeCircularRules)
	assert.Contains(t, told, "\"Photo 1\" before \"Photo 0\" before \"Photo 1\". There, rule 2 gives way.")
	for _, a := range s.Advice {
		if a.Code == event.CodeCircularRules {
			assert.Equal(t, "rules[1].seniority.people", a.Field)
			break
		}
	}
}

// A rule gives way to a pin and to a wish to come after as well, and only there. Where photographs cannot meet in a block
// there is no contradiction.
func TestSeniorityGivesWayToPhotographs(t *testing.T) {
	e := event.Event{Date: "2026-06-20", TimeZone: "Europe/Lisbon"}
	for _, id := range []string{"a", "b", "c"} {
		e.People = append(e.People, event.Person{ID: id, Name: "Person " + id})
		e.Groupings = append(e.Groupings, event.Grouping{ID: id, Title: "Photo " + id, Members: []string{id}})
	}
	e.Rules = []event.Rule{{Seniority: &event.Seniority{People: []string{"a", "b", "c"}}}}
	e.Groupings[0].After = []string{"c"}
	s := planned(t, e, planning.Options{})
	require.Empty(t, s.LeftOut)
	assert.Contains(t, adviceOf(t, s, event.CodeCircularRules), `"Photo a" before "Photo c" before "Photo a"`)

	e.Blocks = []event.Block{{ID: "x", Opens: "10:00"}, {ID: "y", Opens: "12:00"}}
	e.Groupings[0].Blocks, e.Groupings[2].Blocks = []string{"y"}, []string{"x"}
	for _, a := range planned(t, e, planning.Options{}).Advice {
		assert.NotEqual(t, event.CodeCircularRules, a.Code)
	}

	e.Blocks, e.Groupings[0].Blocks, e.Groupings[2].Blocks, e.Groupings[0].After = nil, nil, nil, nil
	e.Groupings[2].Pin = event.PinFirst
	s = planned(t, e, planning.Options{})
	require.Empty(t, s.LeftOut)
	assert.Equal(t, "c", s.Blocks[0].Entries[0].Grouping)
	assert.Equal(t, "a", s.Blocks[0].Entries[1].Grouping, "of the others the rule holds")
	assert.Contains(t, adviceOf(t, s, event.CodeCircularRules), `"Photo a" before "Photo c" before "Photo a"`)
}
