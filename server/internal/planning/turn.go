package planning

import (
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// beginBlocks moves every block to now and puts into its frame who stands there. A block is over when somebody
// has closed it, and not before: until then its planned end holds nothing back.
func (r *rest) beginBlocks() {
	r.current, r.next = make([]solver.GroupingIndex, len(r.Blocks)), make([]solver.GroupingIndex, len(r.Blocks))
	r.ready = make([]solver.GroupingIndex, len(r.Blocks))
	r.inTurn()
	over := r.past()
	for b := range r.Spec.Blocks {
		block, id := &r.Spec.Blocks[b], r.Blocks[b].ID
		block.Open = min(max(block.Open, r.photographerAt(b, over), r.GoesOver(r.today, b)), solver.MaxSeconds)
		block.Close = min(block.Open+horizon, solver.MaxSeconds)
		r.current[b], r.next[b] = -1, -1
		r.over[id] = r.today.Closed[id]
		frame, ok := r.today.Frames[id]
		if g := r.index(frame.Grouping); ok && g >= 0 && r.today.Now.Sub(frame.At) < Standing {
			block.Frame, block.FrameGuests = r.frameOf(g), r.Spec.Groupings[g].Guests
		}
		if calling, ok := r.today.Current[id]; ok && r.call(b, calling) {
			r.over[id] = false
		}
	}
}

// inTurn opens the blocks that are due one after the other where they share a photographer: first where they
// are at work, then where they ought to be by now, then what they have left behind.
func (r *rest) inTurn() {
	var due []int
	for b := range r.Spec.Blocks {
		if r.Spec.Blocks[b].Open <= r.now {
			due = append(due, b)
		}
	}
	work := r.lastWork()
	rank := func(b int) int {
		_, calls := r.today.Current[r.Blocks[b].ID]
		closes := r.PlannedEnd(b)
		onTime := closes.IsZero() || r.today.Now.Before(closes)
		at, worked := work[r.Spec.Blocks[b].Photographer]
		switch here := worked && at.block == b; {
		case calls:
			return 0
		case here && (onTime || !r.hadToEnd(b) && r.today.Now.Sub(at.finished) < Standing):
			return 1
		case onTime:
			return 2
		}
		return 3
	}
	slices.SortStableFunc(due, func(a, b int) int {
		if c := rank(a) - rank(b); c != 0 || rank(a) < 3 {
			return c
		}
		return int(r.Spec.Blocks[b].Open - r.Spec.Blocks[a].Open)
	})
	turn := map[int]solver.Seconds{}
	for _, b := range due {
		who := r.Spec.Blocks[b].Photographer
		r.Spec.Blocks[b].Open = r.now + turn[who]
		turn[who]++
	}
}

// hadToEnd says that a firm closing is long past: what can be taken elsewhere now goes there, and whoever takes
// photographs goes on where they ought to be.
func (r *rest) hadToEnd(b int) bool {
	closes := r.PlannedEnd(b)
	return r.Blocks[b].Closing == event.FirmClosing && !closes.IsZero() && r.today.Now.Sub(closes) >= Standing
}

// moveOn takes the blocks that had to end from what can be taken in another before long.
func (r *rest) moveOn(blocks []day.BlockIndex) []day.BlockIndex {
	over := func(b day.BlockIndex) bool { return r.hadToEnd(int(b)) }
	if !slices.ContainsFunc(blocks, func(b day.BlockIndex) bool {
		return !over(b) && r.Spec.Blocks[b].Open <= r.now+solver.Seconds(Standing/time.Second)
	}) {
		return blocks
	}
	return slices.DeleteFunc(blocks, over)
}

// worked is where and when a photographer has taken or called somebody last.
type worked struct {
	block    int
	finished time.Time
}

func (r *rest) lastWork() map[int]worked {
	out := map[int]worked{}
	for b := range r.Spec.Blocks {
		who := r.Spec.Blocks[b].Photographer
		if frame, ok := r.today.Frames[r.Blocks[b].ID]; ok && frame.At.After(out[who].finished) {
			out[who] = worked{b, frame.At}
		}
	}
	return out
}

// closing is when a block has to end, 0 when that is past or unknown, and not before what is being taken is over. A
// soft block may run over.
func (r *rest) closing(b int) solver.Seconds {
	closes := r.PlannedEnd(b)
	at := solver.Seconds(closes.Sub(r.Clock.Origin)/time.Second) + r.Give[b]
	open := r.Spec.Blocks[b].Open
	if closes.IsZero() || at <= open {
		return 0
	}
	if g := r.current[b]; g >= 0 {
		at = max(at, open+r.Spec.Groupings[g].Fixed)
	}
	return at
}

// call has what is being taken open its block, for the time that it still needs. Its people are called from
// where they were before: who has to walk in stays to be read until it is taken. It reports whether there is
// such a grouping.
func (r *rest) call(b int, calling Calling) bool {
	g := r.index(calling.Grouping)
	if g < 0 || r.today.Done[calling.Grouping] {
		return false
	}
	w := &r.Spec.Groupings[g]
	before, guests := r.frameBefore(r.Blocks[b].ID, calling.At)
	left := r.Takes(before, guests, g) - solver.Seconds(r.today.Now.Sub(calling.At)/time.Second)
	w.Fixed = max(left, solver.Seconds(leastLeft/time.Second))
	w.Blocks, w.Windows, w.After, w.Pin = []day.BlockIndex{day.BlockIndex(b)}, nil, nil, solver.PinNone
	r.Spec.Blocks[b].FrameGuests = guests
	r.Spec.Blocks[b].Frame = slices.DeleteFunc(slices.Clone(before), func(q solver.PersonIndex) bool {
		_, away := r.today.Away[r.Event.People[q].ID]
		return away
	})
	r.current[b] = g
	return true
}
