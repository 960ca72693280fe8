package check

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

func TestAnonymous(t *testing.T) {
	long := strings.Repeat("Zquorn", 20)
	e := event.Event{
		People: []event.Person{
			{ID: "mia", Name: `Maria "Mia" Zquorn`},
			{ID: "noor", Name: "نور Zquorn"},
			{ID: "long", Name: long},
			{ID: "odd", Name: "Zquorn\x00", Relation: "Zquorn's\x01 aunt"},
			{Name: "Zquorn without id"},
			{ID: "nick", Name: "Zquorn Nick", Nicknames: []string{long + long}},
		},
		Title:     long + long,
		Sides:     []event.Side{{ID: "one", Label: long + long}},
		Circles:   []event.Circle{{ID: "all", Title: long + long, Members: []string{"mia"}}},
		Blocks:    []event.Block{{ID: "lawn", Title: long + long, Place: long + long, Photographer: long + long}},
		Kit:       event.Kit{Lenses: []event.Lens{{Title: long + long}}},
		Groupings: []event.Grouping{{Title: long + long, Members: []string{"mia", "noor", "long", "odd", "Zquorn without id"}}},
		Rules: []event.Rule{
			{Apart: &event.Apart{People: []string{"mia", "noor"}}},
			{Apart: &event.Apart{People: []string{"long", "odd"}, Scope: event.InBlock}},
		},
	}
	faults := event.Faults(Event(e))
	require.NotEmpty(t, faults)
	named := 0
	for i, a := range Anonymous(e, faults) {
		named += strings.Count(faults[i].Text(), "Zquorn")
		if a.Field == "groupings[0].members[4]" {
			continue // quotes what was written in the place of an id
		}
		assert.NotContains(t, a.Text(), "Zquorn", "%s", a.Field)
	}
	assert.Positive(t, named, "the texts name nobody: the test shows nothing")
	assert.Empty(t, Anonymous(e, nil))
}
