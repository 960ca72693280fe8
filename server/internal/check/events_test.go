package check

import (
	"fmt"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
)

// random makes an event out of a few letters. Now and then an id is double, unknown or circular.
func random(r *rand.Rand) event.Event {
	people, circles := "abcdef"[:2+r.Intn(5)], "uvw"[:r.Intn(4)]
	pick := func(from string) string {
		if from == "" || r.Intn(50) == 0 {
			from = "abuvz"
		}
		return string(from[r.Intn(len(from))])
	}
	some := func(from string, least, most int) []string {
		out := make([]string, least+r.Intn(most-least+1))
		for i := range out {
			out[i] = pick(from)
		}
		return out
	}
	var e event.Event
	for i := range people {
		e.People = append(e.People, event.Person{ID: people[i : i+1], Name: pick("ABCDأ"), Absent: r.Intn(5) == 0})
	}
	for i := range circles {
		e.Circles = append(e.Circles, event.Circle{ID: circles[i : i+1], Members: some(people+circles[i+1:], 1, 4)})
	}
	for range 1 + r.Intn(4) {
		g := event.Grouping{Members: some(people+circles, 1, 4), Without: some(people, 0, 1), Pin: event.Pin(r.Intn(8) - 5)}
		g.Pin = max(g.Pin, event.PinNone)
		if r.Intn(3) == 0 && circles != "" {
			g.EachOf = pick(circles)
		}
		if n := len(e.Groupings); n > 0 && r.Intn(3) == 0 {
			g.After = []string{fmt.Sprint("g", 1+r.Intn(n))}
		}
		e.Groupings = append(e.Groupings, g)
	}
	for range r.Intn(2) {
		e.Rules = append(e.Rules, event.Rule{Apart: &event.Apart{People: some(people+circles, 1, 3), Scope: event.ApartScope(r.Intn(3))}})
	}
	return e
}

// TestExpandOfRandomEvents holds for every event, and more for those that Event lets pass.
func TestExpandOfRandomEvents(t *testing.T) {
	needs.Time(t)
	r := rand.New(rand.NewSource(7))
	passed := 0
	for range 5000 {
		e := random(r)
		advice := Event(e)
		taken, emptied := event.Expand(e)
		for _, a := range advice {
			require.NotEmpty(t, a.Text())
			require.NotEmpty(t, a.Code)
		}
		if len(event.Faults(advice)) > 0 {
			continue
		}
		passed++
		absent, ids := map[string]bool{}, map[string]bool{}
		for _, p := range e.People {
			absent[p.ID] = p.Absent
		}
		sources := map[int]bool{}
		for _, p := range append(append([]event.Photograph{}, taken...), emptied...) {
			require.False(t, ids[p.ID], "%+v", e)
			ids[p.ID] = true
			sources[p.Source] = true
			require.NotEmpty(t, p.Title, "%+v", e)
		}
		require.Len(t, sources, len(e.Groupings), "every grouping is accounted for: %+v", e)
		for _, p := range taken {
			require.NotEmpty(t, p.Members)
			for _, m := range p.Members {
				require.False(t, absent[m])
			}
			for _, a := range p.After {
				require.True(t, ids[a])
			}
		}
		for _, rule := range e.Rules {
			for _, pair := range rule.Apart.PairsIn(event.NewIndex(&e)) {
				for _, p := range taken {
					if rule.Apart.Scope == event.Frame {
						require.NotSubset(t, p.Members, []string{e.People[pair.One].ID, e.People[pair.Other].ID}, "%+v", e)
					}
				}
			}
		}
	}
	require.Greater(t, passed, 500, "the events are too wild to test anything")
}
