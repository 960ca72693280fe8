package model

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// What rules cost grows with the rules, not with the rules times everybody: no index of the event is made for each of them.
func TestRulesOfManyPeople(t *testing.T) {
	allocations := func(rules int) float64 {
		e := event.Event{Blocks: []event.Block{{ID: "lawn"}}}
		for i := range event.MaxPeople {
			id := fmt.Sprint("p", i)
			e.People = append(e.People, event.Person{ID: id, Name: "Guest " + id})
		}
		e.Groupings = []event.Grouping{{ID: "g", Members: []string{"p0", "p1"}}}
		for i := range rules {
			people := make([]string, 12)
			for k := range people {
				people[k] = fmt.Sprint("p", 12*i+k)
			}
			e.Rules = append(e.Rules, event.Rule{Turns: &event.Turns{People: people}})
		}
		return testing.AllocsPerRun(1, func() {
			_, err := New(e, 0)
			require.NoError(t, err)
		})
	}
	assert.Less(t, allocations(100), 2*allocations(1))
}
