package planning

import (
	"fmt"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

func etiquette(t *testing.T) event.Event {
	t.Helper()
	raw, err := os.ReadFile("../../../testdata/cases/etiquette.yaml")
	require.NoError(t, err)
	e, _, err := intake.Read(raw, intake.YAML)
	require.NoError(t, err)
	return e
}

func orderOf(s event.CallSheet) []string {
	var out []string
	for _, entry := range s.Blocks[0].Entries {
		out = append(out, entry.Grouping)
	}
	return out
}

// Whoever is over 80 or in a wheelchair is free in the first half of the photographs of their side.
func TestCaseEtiquetteFrailEarly(t *testing.T) {
	e := etiquette(t)
	s := plan(t, e, Options{})
	require.Empty(t, s.LeftOut)
	sides := map[string]string{}
	for _, p := range e.People {
		sides[p.ID] = p.Side
	}
	for _, frail := range []string{"mg", "iu"} {
		last, count := 0, 0
		for _, entry := range s.Blocks[0].Entries {
			here := slices.Concat(entry.StepIn, entry.Stay)
			if !slices.ContainsFunc(here, func(id string) bool {
				return sides[id] == sides[frail] && id != "maren" && id != "idris"
			}) {
				continue
			}
			count++
			if slices.Contains(here, frail) {
				last = count
			}
		}
		assert.LessOrEqual(t, 2*last, count+1, "%s: %v", frail, orderOf(s))
	}
}

// Whom a family seats first goes first.
func TestCaseEtiquetteSeniority(t *testing.T) {
	e := etiquette(t)
	e.Rules = append(e.Rules, event.Rule{Seniority: &event.Seniority{People: []string{"ma", "ib"}}})
	order := orderOf(plan(t, e, Options{}))
	last := max(slices.Index(order, "m-aunt"), slices.Index(order, "m-all"))
	assert.Less(t, last, min(slices.Index(order, "i-brother"), slices.Index(order, "i-all")), "%v", order)
}

// The one-by-ones of a circle are one quick run, though the best order takes one of them with the family, unless that
// costs more than a share.
func TestCaseEtiquetteOneByOnes(t *testing.T) {
	ones := []string{"one.ms", "one.a1", "one.a2"}
	inRun := func(order []string) bool {
		var at []int
		for _, id := range ones {
			at = append(at, slices.Index(order, id))
		}
		return slices.Max(at)-slices.Min(at) == len(ones)-1
	}
	e := etiquette(t)
	s := plan(t, e, Options{})
	assert.True(t, inRun(orderOf(s)), "%v", orderOf(s))
	assert.True(t, s.Totals.Proven, "no order with them in a run is better")

	// One of them cannot stay and another, who tires, is wanted much later: a run would have one of them wait.
	soon := 40
	for i, p := range e.People {
		switch p.ID {
		case "a1":
			e.People[i].ReleaseWeight = &soon
		case "a2":
			e.People[i].AgeBand = event.Elder
		}
	}
	e.Groupings = slices.DeleteFunc(e.Groupings, func(g event.Grouping) bool { return g.ID == "all-attendants" })
	e.Groupings = append(e.Groupings, event.Grouping{ID: "late", Members: []string{"maren", "a2"}, NotBefore: "14:50"})
	s, err := Plan(t.Context(), e, Options{Work: 30})
	require.NoError(t, err)
	assert.False(t, inRun(orderOf(s)), "%v", orderOf(s))
}

func TestBrokenUp(t *testing.T) {
	set := []solver.GroupingIndex{1, 2, 3}
	orders := func(o ...[]solver.GroupingIndex) [][]solver.GroupingIndex { return o }
	assert.False(t, brokenUp(set, orders([]solver.GroupingIndex{0, 2, 1, 3, 4})))
	assert.True(t, brokenUp(set, orders([]solver.GroupingIndex{2, 0, 1, 3, 4})))
	assert.False(t, brokenUp(set, orders([]solver.GroupingIndex{2}, []solver.GroupingIndex{0, 3, 1})), "a run in each block")
	assert.False(t, brokenUp(set, orders([]solver.GroupingIndex{0, 4})))
}

// One photograph more can save time: its people are then called one after the other. So what a search that was stopped
// left out goes in where it fits.
func TestWhatFitsIsTaken(t *testing.T) {
	e := etiquette(t)
	s, err := newSearch(e, Options{Work: 1})
	require.NoError(t, err)
	all, ok := day.First(s.day)
	require.NoError(t, ok)
	require.Empty(t, all.Plan.LeftOut)
	short := all.Plan.Orders()
	short[0] = slices.Delete(slices.Clone(short[0]), 3, 6)
	without, fits := day.Fix(s.day, short)
	require.True(t, fits)
	require.Len(t, without.Plan.LeftOut, 3)
	more := s.fillUp(without)
	assert.Empty(t, more.Plan.LeftOut)
	require.NoError(t, day.Verify(s.day, more.Plan, more.Cost, more.Lost))
}

// A day of hundreds that a search was not given the time for is not made up for after that time.
func TestWhatFitsIsTakenForAWhile(t *testing.T) {
	e := event.Event{Blocks: []event.Block{{ID: "x"}, {ID: "y"}}}
	for i := range event.MaxPhotographs {
		id := fmt.Sprint("p", i)
		e.People = append(e.People, event.Person{ID: id, Name: "Guest " + id})
		e.Groupings = append(e.Groupings, event.Grouping{ID: "g" + id, Members: []string{id, "p0"}})
	}
	e.Groupings[0].Members = []string{"p0", "p1"}
	s, err := newSearch(e, Options{Work: 1})
	require.NoError(t, err)
	none, fits := day.Fix(s.day, make([][]solver.GroupingIndex, 2))
	require.True(t, fits)
	some := s.fillUp(none)
	assert.NotEmpty(t, some.Plan.LeftOut)
	assert.Less(t, len(some.Plan.LeftOut), event.MaxPhotographs)
	require.NoError(t, day.Verify(s.day, some.Plan, some.Cost, some.Lost))
}

// Nor is one of fewer photographs with hundreds of people each: what is bounded is people.
func TestWhatFitsIsTakenForPeople(t *testing.T) {
	e := event.Event{Blocks: []event.Block{{ID: "x"}}}
	for i := range 500 {
		id := fmt.Sprint("p", i)
		e.People = append(e.People, event.Person{ID: id, Name: "Guest " + id})
	}
	for i := range 120 {
		g := event.Grouping{ID: fmt.Sprint("g", i)}
		for k, p := range e.People {
			if k != i {
				g.Members = append(g.Members, p.ID)
			}
		}
		e.Groupings = append(e.Groupings, g)
	}
	s, err := newSearch(e, Options{Work: 1})
	require.NoError(t, err)
	none, fits := day.Fix(s.day, make([][]solver.GroupingIndex, 1))
	require.True(t, fits)
	some := s.fillUp(none)
	assert.Greater(t, len(some.Plan.LeftOut), 40)
	assert.Less(t, len(some.Plan.LeftOut), 110)
}

// A search that is not done in time leaves some for the wishes that are kept if they cost little, where an event has any.
func TestSearchLeavesTimeForWishes(t *testing.T) {
	plain := gardenList()
	for i := range plain.Groupings {
		plain.Groupings[i].Priority = event.Should
	}
	for _, c := range []struct {
		e     event.Event
		share time.Duration
	}{{etiquette(t), 30 * time.Second}, {plain, 0}} {
		s, err := newSearch(c.e, Options{Budget: 40 * time.Second, Now: func() time.Time { return time.Time{} }})
		require.NoError(t, err)
		ctx, cancel := s.share(t.Context())
		defer cancel()
		ends, limited := ctx.Deadline()
		assert.Equal(t, c.share > 0, limited)
		if limited {
			assert.WithinDuration(t, time.Now().Add(c.share), ends, 5*time.Second)
		}
	}
}
