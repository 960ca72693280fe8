package planning

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver/day"
)

func fourPeople() event.Event {
	return event.Event{
		People: []event.Person{{ID: "ann", Name: "Ann"}, {ID: "bo", Name: "Bo"}, {ID: "cy", Name: "Cy"}, {ID: "di", Name: "Di", Absent: true}},
		Groupings: []event.Grouping{
			{ID: "one", Members: []string{"ann", "bo"}},
			{ID: "two", Members: []string{"cy"}},
			{ID: "three", Members: []string{"ann", "bo", "cy"}},
			{ID: "four", Members: []string{"di"}, Priority: event.Must},
		},
	}
}

func TestPlanTellsOfAPlanBeforeItLooksForTheFloor(t *testing.T) {
	var told []Progress
	_, err := Plan(t.Context(), fourPeople(), Options{OnProgress: func(p Progress) { told = append(told, p) }})
	require.NoError(t, err)
	require.NotEmpty(t, told)
	assert.Zero(t, told[0].Sheet.Totals.FloorStepIns, "the floor is not known yet")
	assert.Equal(t, 3, told[0].Sheet.Totals.Groupings)
}

func TestPlanStoppedAtTheFirstProgressHasASheet(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	sheet, err := Plan(ctx, fourPeople(), Options{OnProgress: func(Progress) { cancel() }})
	require.NoError(t, err)
	assert.Equal(t, 3, sheet.Totals.Groupings)
}

func TestPlanListsWhatAbsencesLeaveOut(t *testing.T) {
	sheet, err := Plan(t.Context(), fourPeople(), Options{})
	require.NoError(t, err)
	require.Len(t, sheet.LeftOut, 1)
	assert.Equal(t, event.LeftOut{Grouping: "four", Why: wording.Say("plan.nobodyItIsTakenForIs"), Priority: event.Must}, sheet.LeftOut[0])
}

// With blocks running over less is known at first, of a plan that was told of before.
func TestProgressDoesNotGoBackWhenBlocksRunOver(t *testing.T) {
	var told []int64
	s, err := newSearch(fourPeople(), Options{OnProgress: func(p Progress) { told = append(told, p.Bound) }})
	require.NoError(t, err)
	found, err := day.First(s.day)
	require.NoError(t, err)
	found.Bound = 1
	s.progress(found)
	_, err = s.giveWay(t.Context(), found.Plan)
	require.NoError(t, err)
	require.NotEmpty(t, told)
	assert.True(t, slices.IsSorted(told), told)
	s.bounds = map[string]int64{}
	found.Bound = 0
	before := len(told)
	s.progress(found)
	assert.Len(t, told, before)
}

// A search that begins anew once told a floor of 0 after the one that was known.
func TestProgressKeepsWhatIsProven(t *testing.T) {
	needs.Time(t)
	names := []string{"harbour-wedding.yaml", "valley-wedding.yaml"}
	for _, name := range names {
		for _, emphasis := range []event.Emphasis{event.Balanced, event.FewestSteps, event.EarlyRelease} {
			t.Run(fmt.Sprint(name, emphasis), func(t *testing.T) {
				proven := map[string]int64{}
				check := func(totals event.Totals, out []event.LeftOut) {
					var left []string
					for _, l := range out {
						left = append(left, l.Grouping)
					}
					key := fmt.Sprint(left)
					assert.GreaterOrEqual(t, totals.Bound, proven[key])
					assert.LessOrEqual(t, totals.Bound, totals.Cost)
					proven[key] = max(proven[key], totals.Bound)
				}
				told := 0
				sheet, err := Plan(t.Context(), wedding(t, name), Options{Work: 1, Emphasis: &emphasis, OnProgress: func(p Progress) {
					assert.Equal(t, p.Bound, p.Sheet.Totals.Bound)
					check(p.Sheet.Totals, p.Sheet.LeftOut)
					told++
				}})
				require.NoError(t, err)
				check(sheet.Totals, sheet.LeftOut)
				assert.Greater(t, told, 1)
			})
		}
	}
}
