package placing_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/placing"
	"kinorder.example/solver/standing"
)

func harbour(t *testing.T) event.Event {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "harbour-wedding.yaml"))
	require.NoError(t, err)
	e, problems, err := intake.Read(raw, intake.Auto)
	require.NoError(t, err)
	require.False(t, slices.ContainsFunc(problems, func(p intake.Problem) bool { return p.Severity == event.Error }))
	return e
}

// place returns where a person is.
func place(t *testing.T, p placing.Plan, id string) standing.Place {
	t.Helper()
	at := slices.IndexFunc(p.People, func(q event.Person) bool { return q.ID == id })
	require.GreaterOrEqual(t, at, 0, id)
	return p.Places[at]
}

// Every photograph of the demo is placed: the verified rules of package standing hold (Arrange has it
// checked), and what the event says of needs and rules is in them.
func TestArrangeTheDemo(t *testing.T) {
	needs.Time(t)
	e := harbour(t)
	photographs, _ := event.Expand(e)
	for _, photo := range photographs {
		p, err := placing.Arrange(t.Context(), e, photo.ID, nil)
		require.NoError(t, err, photo.ID)
		require.Len(t, p.People, len(photo.Members), photo.ID)
		assert.NotContains(t, p.Warnings, standing.ApartBroken, photo.ID)
		for i, person := range p.People {
			if slices.Contains(person.Needs, event.Wheelchair) {
				assert.Equal(t, standing.InWheelchair, p.Places[i].Posture, photo.ID)
			}
			if person.AgeBand == event.Infant && len(p.People) > 2 {
				assert.Equal(t, standing.Held, p.Places[i].Posture, photo.ID)
			}
		}
	}
}

// The couple are in the middle, next to each other, with the first side on the left of the second.
func TestArrangeCentresTheCouple(t *testing.T) {
	p, err := placing.Arrange(t.Context(), harbour(t), "attendants", nil)
	require.NoError(t, err)
	amara, theo := place(t, p, "amara"), place(t, p, "theo")
	assert.Equal(t, amara.Row, theo.Row)
	assert.Equal(t, 1, theo.Order-amara.Order)
	assert.Less(t, max(-amara.XCM, theo.XCM), 80)
	assert.Less(t, place(t, p, "chioma").XCM, place(t, p, "pavel").XCM)
}

// Whom a rule keeps from being neighbours, and whom a grouping brings together on purpose, are not
// side by side.
func TestArrangeKeepsApart(t *testing.T) {
	for _, scope := range []event.ApartScope{event.Neighbours, event.Frame} {
		e := event.Event{Rules: []event.Rule{{ID: "r", Apart: &event.Apart{People: []string{"a", "b"}, Scope: scope}}}}
		for _, id := range []string{"a", "b", "c"} {
			e.People = append(e.People, event.Person{ID: id, Name: id, HeightCM: 170})
		}
		e.Groupings = []event.Grouping{{ID: "g", Members: []string{"a", "b", "c"}, Confirms: []string{"r"}}}
		p, err := placing.Arrange(t.Context(), e, "g", nil)
		require.NoError(t, err)
		require.Len(t, p.Rows, 1)
		assert.Equal(t, 1, place(t, p, "c").Order, "somebody stands between them")
	}
}

func TestArrangeRefuses(t *testing.T) {
	e := event.Event{}
	var all []string
	for i := range standing.MaxPeople + 1 {
		id := fmt.Sprint("p", i)
		e.People = append(e.People, event.Person{ID: id, Name: id})
		all = append(all, id)
	}
	e.Groupings = []event.Grouping{{ID: "all", Members: all}, {ID: "two", Members: all[:2]}}
	for _, c := range []struct {
		grouping string
		space    event.Space
		field    string
	}{
		{"none", event.Space{}, "grouping"}, {"all", event.Space{}, "grouping"}, {"two", event.Space{WidthCM: 5, Steps: 9}, "space"},
	} {
		_, err := placing.Arrange(t.Context(), e, c.grouping, &c.space)
		var invalid *event.InvalidError
		require.ErrorAs(t, err, &invalid, c.grouping)
		assert.Equal(t, c.field, invalid.Faults[0].Field)
	}
}
