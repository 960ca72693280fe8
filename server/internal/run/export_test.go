package run

import (
	"testing"
	"time"

	"kinorder.example/server/internal/planning"
)

// InMemory is how many things a desk holds in memory of runs.
func (d *Desk) InMemory() int {
	d.mu.Lock()
	defer d.mu.Unlock()
	return len(d.occasions) + len(d.feeds)
}

// Planned is a plan of a day that is played: what it was made by, and which marks were new.
type Planned struct {
	About       Occasion
	Made, Fresh []Mark
	Now         time.Time
	Plan        Plan
}

// Played plays a day and tells of each of its plans.
func Played(t testing.TB, seed uint64, effort planning.Options, told func(Planned)) {
	play(t, seed, castle(t), effort, told)
}
