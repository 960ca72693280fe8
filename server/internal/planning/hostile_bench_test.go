//go:build unix

package planning_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/hostile"
	"kinorder.example/server/internal/planning"
)

// crowd is an event of the most photographs, with as many people, each in those that in says.
func crowd(people int, in func(person, photo int) bool) event.Event {
	e := event.Event{Date: "2026-06-20", TimeZone: "Europe/Lisbon"}
	for i := range people {
		e.People = append(e.People, event.Person{ID: fmt.Sprint("p", i), Name: fmt.Sprint("Person ", i)})
	}
	for g := range event.MaxPhotographs {
		x := event.Grouping{ID: fmt.Sprint("g", g)}
		for i := range people {
			if in(i, g) {
				x.Members = append(x.Members, fmt.Sprint("p", i))
			}
		}
		e.Groupings = append(e.Groupings, x)
	}
	return e
}

func most(i, g int) bool { return (i*31+g*17+i*g)%3 != 0 }

func pairs(i, g int) bool { return i == g || i == g+1 }

func blocked(e event.Event, blocks int, closes string) event.Event {
	for b := range blocks {
		e.Blocks = append(e.Blocks, event.Block{
			ID: fmt.Sprint("b", b), Opens: fmt.Sprintf("%02d:%02d", 10+b/4, b%4*15), Closes: closes, Closing: event.FirmClosing,
		})
	}
	return e
}

// locked holds the first of an event in their order; all others must be taken.
func locked(e event.Event, n int) event.Event {
	for i := range e.Groupings {
		if i < n {
			e.Order = append(e.Order, event.HandPlace{Grouping: e.Groupings[i].ID, Locked: true})
		} else {
			e.Groupings[i].Priority = event.Must
		}
	}
	return e
}

// comeAndGo gives everybody as many times as they may have, each at other minutes.
func comeAndGo(e event.Event) event.Event {
	for i := range e.People {
		from := 0
		at := func(minute, second int) string {
			return fmt.Sprintf("2026-06-20T%02d:%02d:%02dZ", 10+minute/60, minute%60, (i*3+second)%30+second)
		}
		for k := range 20 {
			until := k*38 + (i*7+k)%37 + 1
			e.People[i].Presence = append(e.People[i].Presence, event.Span{From: at(from, 30), Until: at(until, 20)})
			from = until
		}
	}
	return e
}

// BenchmarkHostile says how much processor time the largest events take beyond the time they may be searched for: two
// seconds at most.
func BenchmarkHostile(b *testing.B) {
	for name, e := range map[string]event.Event{
		"all locked":                     locked(crowd(399, most), event.MaxPhotographs),
		"locks that cost what must be":   locked(blocked(crowd(501, pairs), 1, "17:00"), 300),
		"twenty blocks that are too few": blocked(crowd(399, most), 20, "16:00"),
		"many times of everybody":        comeAndGo(blocked(crowd(300, most), 20, "23:00")),
	} {
		b.Run(name, func(b *testing.B) {
			const budget = 10 * time.Millisecond
			took := hostile.Bench(b, func() {
				_, err := planning.Plan(b.Context(), e, planning.Options{Budget: budget})
				require.NoError(b, err)
			})
			b.ReportMetric(took-budget.Seconds(), "cpu-s-beyond")
		})
	}
}
