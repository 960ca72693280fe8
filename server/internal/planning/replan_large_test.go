package planning

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// longDay makes up a day of hundreds of photographs, with more of them than there is time for.
func longDay(rng *rand.Rand, photographs int) (event.Event, Today) {
	e := event.Event{Title: "Long", Date: "2027-05-15", TimeZone: "UTC", Blocks: []event.Block{{ID: "lawn", Opens: "08:00", Closes: "16:20"}}}
	if rng.IntN(2) == 0 {
		e.Blocks = append(e.Blocks, event.Block{ID: "hall", Opens: "09:00", Closes: "12:00", Photographer: "second"})
	}
	for i := range 1000 {
		p := event.Person{ID: fmt.Sprint("p", i), Name: fmt.Sprint("Guest ", i)}
		if rng.IntN(100) == 0 {
			p.PresentUntil = fmt.Sprintf("%02d:30", 9+rng.IntN(6))
		}
		e.People = append(e.People, p)
	}
	for i := range photographs {
		g := event.Grouping{ID: fmt.Sprint("g", i), Priority: event.Priority(rng.IntN(3))}
		for _, k := range rng.Perm(len(e.People))[:1+rng.IntN(39)] {
			g.Members = append(g.Members, e.People[k].ID)
		}
		if i > 0 && rng.IntN(20) == 0 {
			g.After = []string{fmt.Sprint("g", rng.IntN(i))}
		}
		if rng.IntN(60) == 0 {
			g.Pin = event.PinLast
		}
		e.Groupings = append(e.Groupings, g)
	}
	return e, Today{
		Now: time.Date(2027, 5, 15, 8, 0, 17, 0, time.UTC), Done: map[string]bool{}, Later: map[string]bool{},
		Orders: map[string][]string{}, Frames: map[string]Calling{}, Current: map[string]Calling{},
	}
}

// Nothing is left out of a running day that its block has time for at its end, before what was put off or is last there:
// however much is left, and however little time there is to look.
func TestReplanFillsLongDays(t *testing.T) {
	for _, n := range []int{150, 200, 500} {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			if n > 150 {
				needs.Time(t)
			}
			goThrough(t, n)
		})
	}
}

func goThrough(t *testing.T, n int) {
	rng := rand.New(rand.NewPCG(uint64(n), 21))
	e, today := longDay(rng, n)
	over, cancel := context.WithCancel(t.Context())
	cancel()
	for step := range 6 {
		r, err := newRest(e, today)
		require.NoError(t, err)
		require.NoError(t, r.solve(over, Options{}))
		require.Nil(t, r.fault)
		assert.Empty(t, fitBehind(t, r), "mark %d: %d are left out", step, len(r.plan.LeftOut))
		today.Told = true
		for b, order := range r.plan.Orders() {
			id := r.Blocks[b].ID
			today.Orders[id] = nil
			for _, g := range order {
				today.Orders[id] = append(today.Orders[id], r.Photographs[g].ID)
			}
		}
		if g := fmt.Sprint("g", rng.IntN(n)); step%3 == 0 {
			today.Done[g], today.Frames["lawn"] = true, Calling{Grouping: g, At: today.Now}
			today.Slots = append(today.Slots, Timed{Grouping: g, Block: "lawn", Started: today.Now.Add(-8 * time.Minute), Finished: today.Now})
		} else {
			today.Later[g] = true
		}
		today.Now = today.Now.Add(10 * time.Minute)
	}
}

// fitBehind lists what a plan leaves out though it fits.
func fitBehind(t *testing.T, r *rest) (out []string) {
	p, err := day.New(r.Spec)
	require.NoError(t, err)
	for _, g := range r.plan.LeftOut {
		for _, b := range r.Spec.Groupings[g].Blocks {
			orders := r.plan.Orders()
			at := len(orders[b])
			for at > 0 && r.comesLast(orders[b][at-1]) && !r.comesLast(g) {
				at--
			}
			orders[b] = slices.Insert(orders[b], at, g)
			if _, fits := day.Fix(p, orders); fits {
				out = append(out, r.Photographs[g].ID)
			}
		}
	}
	return out
}

func (r *rest) comesLast(g solver.GroupingIndex) bool {
	return r.today.Later[r.Photographs[g].ID] || r.Spec.Groupings[g].Pin == solver.PinLast
}
