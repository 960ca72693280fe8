package placing

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver/standing"
)

// A plan that breaks the rules costs one picture and not the sheet.
func TestAWrongPlanCostsOnePicture(t *testing.T) {
	e := event.Event{People: []event.Person{{ID: "a"}, {ID: "b"}}, Groupings: []event.Grouping{{ID: "g", Members: []string{"a", "b"}}}}
	entry := event.SheetEntry{Grouping: "g", StepIn: []string{"a", "b"}}
	s := event.CallSheet{Blocks: []event.SheetBlock{{Entries: []event.SheetEntry{entry, entry, entry}}}}
	p := newPlacer(e)
	looked := 0
	p.verify = func(*standing.Problem, standing.Plan) error {
		if looked++; looked == 2 {
			return fmt.Errorf("%w: person 0 is nowhere", standing.ErrPlan)
		}
		return nil
	}
	err := newDay(p, &s).all(t.Context())
	var wrong *WrongPlansError
	require.ErrorAs(t, err, &wrong)
	assert.Equal(t, 1, wrong.Plans)
	for k, entry := range s.Blocks[0].Entries {
		assert.Equal(t, k != 1, entry.Standing != nil, k)
	}
}
