package model

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

func TestFrail(t *testing.T) {
	w := newCostWeights(event.Weights{})
	for _, c := range []struct {
		p    event.Person
		want int
	}{
		{event.Person{}, defaultReleaseAdult},
		{event.Person{Relation: "grandmother, 79"}, defaultReleaseAdult},
		{event.Person{Relation: "grandmother, 82"}, 2 * defaultReleaseElder},
		{event.Person{PrivateNote: "tires soon; 91 years"}, 2 * defaultReleaseElder},
		{event.Person{PrivateNote: "table 91"}, defaultReleaseAdult},
		{event.Person{AgeBand: event.Elder}, defaultReleaseElder},
		{event.Person{AgeBand: event.Elder, Needs: []event.Need{event.Seat}}, 2 * defaultReleaseElder},
		{event.Person{AgeBand: event.Elder, Needs: []event.Need{event.Interpreter}}, defaultReleaseElder},
		{event.Person{Needs: []event.Need{event.Wheelchair}}, 2 * defaultReleaseElder},
	} {
		release, idle := w.of(c.p, 1, 10, event.Balanced)
		assert.EqualValues(t, c.want, release, "%+v", c.p)
		assert.Equal(t, c.want > defaultReleaseAdult, idle > 0, "%+v", c.p)
	}
}

// Whoever is, beside a photograph of most people, in one only that would be nice waits for the former alone, unless they tire or have a
// weight of their own.
func TestNiceAloneIsNotEarly(t *testing.T) {
	own := 7
	e := event.Event{
		Title: "Any", Date: "2027-05-15",
		People: []event.Person{
			{ID: "ann", Name: "Ann"}, {ID: "bob", Name: "Bob"}, {ID: "cleo", Name: "Cleo"}, {ID: "dan", Name: "Dan"},
			{ID: "eve", Name: "Eve", AgeBand: event.Elder}, {ID: "fay", Name: "Fay", ReleaseWeight: &own},
		},
		Groupings: []event.Grouping{
			{ID: "all", Title: "All", Members: []string{"ann", "bob", "cleo", "dan", "eve", "fay"}},
			{ID: "two", Title: "Two", Members: []string{"ann", "bob"}},
			{ID: "choir", Title: "Choir", Members: []string{"cleo", "dan", "eve", "fay"}, Priority: event.Nice},
		},
		Blocks: []event.Block{{ID: "lawn", Place: "Lawn", Opens: "14:00"}},
	}
	pr, err := New(e, 0)
	require.NoError(t, err)
	weight := map[string]int64{}
	for i, p := range pr.Event.People {
		weight[p.ID] = pr.Spec.People[i].ReleaseWeight
	}
	assert.Positive(t, weight["ann"])
	assert.Zero(t, weight["cleo"])
	assert.Zero(t, weight["dan"])
	assert.Positive(t, weight["eve"], "who tires")
	assert.Positive(t, weight["fay"], "whose weight is given")
}
