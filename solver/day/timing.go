package day

import (
	"fmt"
	"slices"

	"kinorder.example/solver"
)

// This file is doc.go, Timing, written a second time, as plainly as it goes: the verifier and the tests
// hold the search against it.

// stay is a stretch of time that somebody spends in a block.
type stay struct {
	start, finish solver.Seconds
	block         int
}

// timing grows block by block and slot by slot.
type timing struct {
	*verifier
	plan Plan
	// slots are those timed so far, stays where people are in them.
	slots map[solver.GroupingIndex]Slot
	stays map[solver.PersonIndex][]stay
}

// times checks that every slot is where the orders of the plan put it.
func (v *verifier) times(plan Plan) error {
	given := make([][]solver.GroupingIndex, len(plan.Blocks))
	for b, slots := range plan.Blocks {
		for _, s := range slots {
			given[b] = append(given[b], s.Grouping)
		}
	}
	want, err := v.timed(given)
	if err != nil {
		return err
	}
	for b, slots := range plan.Blocks {
		for k, s := range slots {
			if s != want.Blocks[b][k] {
				return fmt.Errorf("block %d, entry %d is %+v, not %+v", b, k, want.Blocks[b][k], s)
			}
		}
	}
	return nil
}

// timed gives orders, one for each block, their times.
func (v *verifier) timed(given [][]solver.GroupingIndex) (Plan, error) {
	t := timing{
		verifier: v, plan: Plan{Blocks: make([][]Slot, len(given))},
		slots: map[solver.GroupingIndex]Slot{}, stays: map[solver.PersonIndex][]stay{},
	}
	for _, b := range v.opening() {
		for _, g := range given[b] {
			if err := t.add(b, g); err != nil {
				return Plan{}, err
			}
		}
	}
	return t.plan, nil
}

// opening lists the blocks in the order in which they open.
func (v *verifier) opening() []int {
	var out []int
	for b := range v.spec.Blocks {
		out = append(out, b)
	}
	slices.SortStableFunc(out, func(a, b int) int { return int(v.spec.Blocks[a].Open - v.spec.Blocks[b].Open) })
	return out
}

// add times one more slot of a block.
func (t *timing) add(b int, g solver.GroupingIndex) error {
	block, before := t.spec.Blocks[b], t.plan.Blocks[b]
	begin := t.arrival(b)
	length := block.Opening + t.length(block.Frame, block.FrameGuests, g)
	if n := len(before); n > 0 {
		begin = before[n-1].Finish
		last := t.spec.Groupings[before[n-1].Grouping]
		length = t.length(last.Members, last.Guests, g)
	}
	for _, start := range t.candidates(b, g, begin) {
		if !t.free(b, g, start, start+length) {
			continue
		}
		if block.Close > 0 && start+length > block.Close {
			return fmt.Errorf("block %d: grouping %d ends at %d, after the close", b, g, start+length)
		}
		s := Slot{Grouping: g, Begin: begin, Start: start, Finish: start + length}
		t.slots[g] = s
		t.plan.Blocks[b] = append(before, s)
		for _, q := range t.needed(g) {
			if n := len(t.stays[q]); n > 0 && t.stays[q][n-1].block == b && t.stays[q][n-1].finish == s.Start {
				t.stays[q][n-1].finish = s.Finish
			} else {
				t.stays[q] = append(t.stays[q], stay{s.Start, s.Finish, b})
			}
		}
		return nil
	}
	return fmt.Errorf("block %d: grouping %d has no time after %d", b, g, begin)
}

// arrival is when a block can begin: at its opening, but not before its photographer has come from the
// blocks timed so far.
func (t *timing) arrival(b int) solver.Seconds {
	begin := t.spec.Blocks[b].Open
	for c, slots := range t.plan.Blocks {
		if c != b && len(slots) > 0 && t.spec.Blocks[c].Photographer == t.spec.Blocks[b].Photographer {
			begin = max(begin, slots[len(slots)-1].Finish+t.walk(c, b))
		}
	}
	return begin
}

// candidates lists, in order, begin and the times after it at which something ends that can hold a slot
// up. Between two of them nothing turns from forbidden to allowed, so the least start is one of them.
func (t *timing) candidates(b int, g solver.GroupingIndex, begin solver.Seconds) []solver.Seconds {
	out := []solver.Seconds{begin}
	add := func(at solver.Seconds) {
		if at > begin {
			out = append(out, at)
		}
	}
	w := t.spec.Groupings[g]
	for _, x := range w.Windows {
		add(x.Open)
	}
	if len(w.From) > 0 {
		add(w.From[b])
	}
	for _, i := range w.After {
		add(t.slots[i].Finish)
	}
	for _, rule := range t.spec.Apart {
		add(rule.Until)
	}
	for _, q := range t.needed(g) {
		for _, s := range t.stays[q] {
			add(s.finish + t.walk(s.block, b))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// free says that nothing timed so far forbids a slot from start to finish.
func (t *timing) free(b int, g solver.GroupingIndex, start, finish solver.Seconds) bool {
	w := t.spec.Groupings[g]
	inside := func(x solver.Window) bool { return x.Open <= start && finish <= x.Close }
	if finish > solver.MaxSeconds {
		return false
	}
	if len(w.Windows) > 0 && !slices.ContainsFunc(w.Windows, inside) || len(w.From) > 0 && start < w.From[b] {
		return false
	}
	for _, i := range w.After {
		if earlier, timed := t.slots[i]; timed && earlier.Finish > start {
			return false
		}
	}
	for _, rule := range t.spec.Apart {
		if start < rule.Until && slices.Contains(rule.A, g) && slices.Contains(rule.B, g) {
			return false
		}
	}
	for _, q := range t.needed(g) {
		for _, s := range t.stays[q] {
			if s.block != b && s.finish+t.walk(s.block, b) > start && finish+t.walk(b, s.block) > s.start {
				return false
			}
		}
	}
	return true
}

// needed are the people whom a slot needs at its place, each at least once.
func (v *verifier) needed(g solver.GroupingIndex) []solver.PersonIndex {
	return slices.Concat(v.spec.Groupings[g].Members, v.spec.Groupings[g].Near)
}

// walk is the time from the place of one block to that of another.
func (v *verifier) walk(from, to int) solver.Seconds {
	if v.spec.Walk == nil {
		return 0
	}
	return v.spec.Walk[v.spec.Blocks[from].Place][v.spec.Blocks[to].Place]
}

// marked says of each person whether they are among some, who are in no particular order.
func (v *verifier) marked(people []solver.PersonIndex) []bool {
	among := make([]bool, len(v.spec.People))
	for _, q := range people {
		among[q] = true
	}
	return among
}

// length is the formula of solver.Timing, written once more on purpose. Some guests stand in the frame besides.
func (v *verifier) length(frame []solver.PersonIndex, guests int, g solver.GroupingIndex) solver.Seconds {
	w, t := v.spec.Groupings[g], v.spec.Timing
	if w.Fixed > 0 {
		return w.Fixed
	}
	standing := v.marked(frame)
	in, called, stay, slowest := w.Guests, w.Guests, 0, solver.Seconds(0)
	for _, q := range w.Members {
		if standing[q] {
			stay++
		} else {
			in++
			if !v.spec.People[q].Led {
				called++
			}
			slowest = max(slowest, v.spec.People[q].Slow)
		}
	}
	length := t.Settle + w.Shoot + slowest + t.PerStepIn*int64(in) + t.PerStepOut*int64(len(frame)-stay+guests)
	if len(t.Arrange) > 0 {
		length += t.Arrange[min(in, len(t.Arrange)-1)]
	}
	if len(t.Gather) > 0 {
		length += t.Gather[min(called, len(t.Gather)-1)]
	}
	if stay == 0 {
		length += t.Fresh
	}
	return length
}
