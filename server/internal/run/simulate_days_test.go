package run

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"kinorder.example/server/internal/event"
)

// anyDay changes an event: who takes what when, who is there, what comes after what.
func anyDay(rng *rand.Rand, e event.Event) event.Event {
	e.Blocks, e.People, e.Groupings = slices.Clone(e.Blocks), slices.Clone(e.People), slices.Clone(e.Groupings)
	clock := func(minute int) string { return fmt.Sprintf("%02d:%02d", 15+minute/60, minute%60) }
	switch rng.IntN(3) {
	case 0: // one after the other, by one photographer
		e.Blocks[1].Photographer, e.Blocks[1].Opens, e.Blocks[1].Closes = e.Blocks[0].Photographer, clock(50), clock(60+rng.IntN(15))
	case 1:
		e.Blocks[1].Opens, e.Blocks[1].Closes = clock(rng.IntN(20)), clock(25+rng.IntN(40))
	}
	e.Blocks[0].Closes = clock(25 + rng.IntN(40))
	for range rng.IntN(3) {
		e.People[2+rng.IntN(len(e.People)-2)].PresentFrom = clock(rng.IntN(20))
		e.People[2+rng.IntN(len(e.People)-2)].PresentUntil = clock(30 + rng.IntN(40))
	}
	for i := range e.Groupings {
		g := &e.Groupings[i]
		switch rng.IntN(12) {
		case 0:
			g.Priority = event.Priority(rng.IntN(3))
		case 1:
			g.Blocks = nil
		case 2:
			if before := e.Groupings[rng.IntN(i+1)]; before.ID != g.ID && slices.Equal(before.Blocks, g.Blocks) {
				g.After = []string{before.ID}
			}
		}
	}
	return e
}

// wild is the seed from which on days have firm closings, people who come though the list calls them absent, and paces far from
// what was planned.
const wild = 1000

func wilder(rng *rand.Rand, e event.Event) (event.Event, float64) {
	for i := range e.Blocks {
		e.Blocks[i].Closing = event.Closing(rng.IntN(2))
		e.People[2+rng.IntN(len(e.People)-2)].Absent = true
	}
	return e, []float64{0, 0, 0.15, 0.3, 3, 6}[rng.IntN(6)]
}
