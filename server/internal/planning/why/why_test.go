package why_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/planning/why"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// Whoever leaves early may be what a photograph has no room for, unless without them it is another one. Whoever is there all the
// time is not, however slow they are.
func TestWithoutWhom(t *testing.T) {
	four, none := 4.0, 0
	e := event.Event{
		Title: "A day", Date: "2027-07-18", Honour: []string{"dad"}, Pace: event.Pace{OpeningSeconds: &none},
		People: []event.Person{
			{ID: "dad", Name: "Dad"}, {ID: "mum", Name: "Mum", AgeBand: event.Elder, Needs: []event.Need{event.Seat}},
			{ID: "kit", Name: "Kit"}, {ID: "sky", Name: "Sky", AgeBand: event.Child, PresentUntil: "15:06"},
		},
		Blocks: []event.Block{{ID: "club", Opens: "15:00", Closes: "15:30"}},
		Groupings: []event.Grouping{
			{ID: "first", Members: []string{"dad", "sky"}, Minutes: &four}, {ID: "both", Members: []string{"dad", "mum", "kit", "sky"}},
			{ID: "dads", Members: []string{"dad", "kit", "sky"}, Priority: event.Nice},
		},
	}
	reason := func() string {
		pr, err := model.New(e, 0)
		require.NoError(t, err)
		p, err := day.New(pr.Spec)
		require.NoError(t, err)
		taken, ok := day.Fix(p, [][]solver.GroupingIndex{{0}})
		require.True(t, ok)
		return why.Of(pr, taken.Plan).LeftOut(t.Context(), 1).String()
	}
	assert.Equal(t, "No room with the times you gave. It would fit without Sky.", reason())
	e.Groupings = append(e.Groupings, event.Grouping{ID: "rest", Members: []string{"kit", "mum", "dad"}})
	assert.Equal(t, "No room with the times you gave.", reason())
}
