package run

import (
	"fmt"

	"kinorder.example/server/internal/event"
)

// The most that a run holds. One link may use half of it, so that a leaked link cannot fill the run for everybody
// else.
const (
	// MaxMarks is how many marks there are.
	MaxMarks = 20_000
	// maxWeight is how many bytes they have together.
	maxWeight = 4 << 20
	// maxNamed is how many people added groupings and leaves to do without name together: they come back
	// in every state and plan.
	maxNamed = 20_000
)

// FullError says that a run, or one link to it, has as many marks as it may have. Nothing was kept.
type FullError struct {
	// Link says that it is the link.
	Link bool
}

// Error says what to do.
func (e *FullError) Error() string {
	if e.Link {
		return fmt.Sprintf("this link has made half of the marks that a run may have (%d marks, %d MiB of text, %d people named): use another link, or begin a new run",
			MaxMarks/2, maxWeight>>21, maxNamed/2)
	}
	return fmt.Sprintf("the run has as many marks as it may have (%d marks, %d MiB of text, %d people named): begin a new run", MaxMarks, maxWeight>>20, maxNamed)
}

// amount is what marks take of the room there is.
type amount struct{ marks, weight, named int }

func (a *amount) add(e event.Event, m Mark) {
	a.marks++
	a.weight += weigh([]Mark{m})
	a.named += len(m.People) + len(m.Groupings)
	if m.Grouped != nil {
		e.Groupings = []event.Grouping{*m.Grouped}
		taken, _ := event.Expand(e)
		for _, p := range taken {
			a.named += len(p.Members)
		}
	}
}

// beyond says whether it is more than a part of what a run may hold.
func (a *amount) beyond(part int) bool {
	return a.marks > MaxMarks/part || a.weight > maxWeight/part || a.named > maxNamed/part
}

// room refuses the marks of one link that a run has no room for. Marks that are there already need none.
func room(e event.Event, there, come []Mark) error {
	var all, own amount
	more := false
	known := make(map[string]bool, len(there))
	for _, m := range there {
		known[m.ID] = true
		all.add(e, m)
		if m.By == come[0].By {
			own.add(e, m)
		}
	}
	for _, m := range come {
		if !known[m.ID] {
			known[m.ID], more = true, true
			all.add(e, m)
			own.add(e, m)
		}
	}
	switch {
	case !more:
		return nil
	case all.beyond(1):
		return &FullError{}
	case own.beyond(2):
		return &FullError{Link: true}
	}
	return nil
}
