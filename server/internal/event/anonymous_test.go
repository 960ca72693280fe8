package event

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAnonymous(t *testing.T) {
	long := strings.Repeat("Zquorn", 20)
	e := Event{
		People: []Person{
			{ID: "mia", Name: `Maria "Mia" Zquorn`},
			{ID: "noor", Name: "نور Zquorn"},
			{ID: "long", Name: long},
			{ID: "odd", Name: "Zquorn\x00", Relation: "Zquorn's\x01 aunt"},
			{Name: "Zquorn without id"},
		},
		Groupings: []Grouping{{Members: []string{"mia", "noor", "long", "odd", "Zquorn without id"}}},
		Rules: []Rule{
			{Apart: &Apart{People: []string{"mia", "noor"}}},
			{Apart: &Apart{People: []string{"long", "odd"}, Scope: InBlock}},
		},
	}
	faults := Faults(Check(e))
	require.NotEmpty(t, faults)
	named := 0
	for i, a := range Anonymous(e, faults) {
		named += strings.Count(faults[i].Text, "Zquorn")
		if a.Field == "groupings[0].members[4]" {
			continue // quotes what was written in the place of an id
		}
		assert.NotContains(t, a.Text, "Zquorn", "%s", a.Field)
	}
	assert.Positive(t, named, "the texts name nobody: the test shows nothing")
	assert.Empty(t, Anonymous(e, nil))
}
