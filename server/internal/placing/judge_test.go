package placing_test

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/placing"
)

// randomDay is an event of households of both sides around a couple, with whom they do not get on.
func randomDay(r *rand.Rand, n int) event.Event {
	e := event.Event{Sides: []event.Side{{ID: "a"}, {ID: "b"}}, People: []event.Person{
		{ID: "ada", Name: "Ada", Side: "a", Relation: "bride", HeightCM: 165 + r.IntN(20)}, {ID: "bo", Name: "Bo", Side: "b", Relation: "groom", HeightCM: 165 + r.IntN(25)},
	}}
	relations := []string{"aunt", "uncle", "cousin, 8", "nephew, 7 months", "grandmother", "grandfather, 84", "niece, 4", "sister", "friend", "mother", "father (divorced)", "attendant", "best man", "great-aunt, 79", "sister's baby, 1"}
	for len(e.People) < n {
		home := event.Circle{ID: fmt.Sprint("home", len(e.People))}
		side := e.Sides[r.IntN(2)].ID
		for range 1 + r.IntN(4) {
			p := event.Person{ID: fmt.Sprint("p", len(e.People)), Side: side, Relation: relations[r.IntN(len(relations))]}
			if r.IntN(2) == 0 {
				p.HeightCM = 150 + r.IntN(40)
			}
			if r.IntN(15) == 0 {
				p.Needs = []event.Need{event.Seat, event.Wheelchair}[r.IntN(2):][:1]
			}
			e.People, home.Members = append(e.People, p), append(home.Members, p.ID)
		}
		if r.IntN(2) == 0 {
			e.Circles = append(e.Circles, home)
		}
	}
	e.Rules = []event.Rule{{Apart: &event.Apart{People: []string{e.People[2].ID, e.People[len(e.People)-1].ID}, Scope: event.ApartScope(r.IntN(3))}}}
	e.Blocks = []event.Block{{ID: "b", Space: event.Space{Kneeling: r.IntN(3) == 0, Chairs: r.IntN(2) * 8, Steps: r.IntN(2), StepCM: 17}}}
	var all []string
	for _, p := range e.People {
		all = append(all, p.ID)
	}
	e.Groupings = []event.Grouping{{ID: "all", Members: all}, {ID: "half", Members: all[:len(all)/2+1]}, {ID: "rest", Members: all[len(all)/2:]}}
	return e
}

// Nor does any of events that chance made.
func TestNoFaultsInRandomDays(t *testing.T) {
	needs.Time(t)
	r := rand.New(rand.NewPCG(15, 4))
	for round := range 24 {
		e := randomDay(r, 5+round)
		s := sheetOf(e, asRequested(e))
		require.NoError(t, placing.Day(t.Context(), e, &s))
		assert.Empty(t, newJudge(e).faults(s), "round %d", round)
	}
}

// No plan of the test data shows a fault that a photographer would mend.
func TestNoFaultsInTheTestData(t *testing.T) {
	needs.Time(t)
	for _, pattern := range []string{"*.yaml", "cases/*.yaml", "days/*.yaml", "lists/*.yaml", "reading/*.txt"} {
		files, err := filepath.Glob(filepath.Join("..", "..", "..", "testdata", pattern))
		require.NoError(t, err)
		for _, file := range files {
			name, err := filepath.Rel(filepath.Join("..", "..", "..", "testdata"), file)
			require.NoError(t, err)
			if strings.HasPrefix(name, filepath.Join("cases", "standing-")) {
				continue // TestStandingFaults judges them
			}
			t.Run(name, func(t *testing.T) {
				e := read(t, name)
				if len(event.Faults(check.Event(e))) > 0 {
					return
				}
				s := sheetOf(e, asRequested(e))
				require.NoError(t, placing.Day(t.Context(), e, &s))
				for _, fault := range newJudge(e).faults(s) {
					assert.Fail(t, fault)
				}
			})
		}
	}
}
