package run

import (
	"context"
	"slices"
	"sync"
)

// history is a run as it was read last, so that only what is new has to be read.
type history struct {
	mu sync.Mutex
	c  Changes // since the beginning
}

// history returns all changes of a run. Its slices must not be written to.
func (d *Desk) history(ctx context.Context, ref Ref) (Changes, error) {
	d.mu.Lock()
	h := d.histories[ref]
	if h == nil {
		if len(d.histories) >= keptInMemory {
			clear(d.histories)
		}
		h = &history{}
		d.histories[ref] = h
	}
	d.mu.Unlock()
	h.mu.Lock()
	defer h.mu.Unlock()
	c, err := d.o.Store.Changes(ctx, ref, h.c.Run.Sequence)
	if err == nil && c.Run.Sequence < h.c.Run.Sequence {
		// The data were put back to an earlier time.
		h.c = Changes{}
		c, err = d.o.Store.Changes(ctx, ref, 0)
	}
	if err != nil {
		return Changes{}, err
	}
	if c.Plan == nil {
		c.Plan = h.c.Plan
	}
	c.Marks = append(h.c.Marks, c.Marks...)
	h.c = c
	// Whoever gets it cannot write behind its end, where the next marks go.
	c.Marks = slices.Clip(c.Marks)
	return c, nil
}

// added is the part of the state that says which groupings were added.
func added(marks []Mark) State {
	relevant := slices.DeleteFunc(slices.Clone(marks), func(m Mark) bool { return m.Kind != Added && m.Kind != Undone })
	return Fold(relevant)
}
