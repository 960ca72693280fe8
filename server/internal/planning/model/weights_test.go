package model

import (
	"testing"

	"github.com/stretchr/testify/assert"

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
