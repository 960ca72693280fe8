package solver

import (
	"errors"
	"fmt"
)

// ErrOrder is wrapped by every error of Evaluate and Verify.
var ErrOrder = errors.New("order breaks the problem")

// Entry is one grouping of an evaluated order.
type Entry struct {
	Grouping GroupingIndex
	// Start and Finish bound the slot in seconds from the start of the problem, the changeover
	// and any waiting for people included. Start equals the Finish of the entry before.
	Start, Finish Seconds
	// Wait is the part of the slot spent waiting before the changeover can begin.
	Wait Seconds
	// In, Out and Stay are the people walking in, walking out and staying, by rising index.
	In, Out, Stay []PersonIndex
	// Released are the people whose last grouping this is.
	Released []PersonIndex
}

// Schedule is an order with its times and movements.
type Schedule struct {
	Entries []Entry
	Cost    Cost
}

// Evaluate times and costs an order from the description alone, sharing no code with the search.
// Each slot begins as early as its windows allow. A person is in the frame for the whole slots of
// their groupings, waiting included; idle time is the other slots between the first and the last.
// It returns an error that wraps ErrOrder when the order is not a permutation of the groupings or a
// slot fits no window.
func Evaluate(p *Problem, order []GroupingIndex) (Schedule, error) {
	s := &p.spec
	if err := checkPermutation(s, order); err != nil {
		return Schedule{}, err
	}
	var out Schedule
	now := Seconds(0)
	frame := s.Frame
	lastAt := lastPositions(s, order)
	for k, g := range order {
		e := move(s, frame, g)
		length := s.Opening + slotFromScratch(s, g, e, s.FrameGuests)
		if k > 0 {
			length = slotFromScratch(s, g, e, s.Groupings[order[k-1]].Guests)
		}
		start, ok := earliest(s, g, now, length)
		if !ok {
			return Schedule{}, fmt.Errorf("%w: grouping %d at %d s fits none of its windows", ErrOrder, g, now)
		}
		e.Start, e.Wait, e.Finish = now, start-now, start+length
		for _, q := range s.Groupings[g].Members {
			if lastAt[q] == k && !s.People[q].Stays {
				e.Released = append(e.Released, q)
			}
		}
		now = e.Finish
		frame = s.Groupings[g].Members
		out.Entries = append(out.Entries, e)
	}
	out.Cost = costOf(s, out.Entries)
	return out, nil
}

// Verify checks an order against every constraint of the problem and that it costs what is claimed.
// It shares no code with the search. Its errors wrap ErrOrder.
func Verify(p *Problem, order []GroupingIndex, claimed Cost) error {
	schedule, err := Evaluate(p, order)
	if err != nil {
		return err
	}
	if schedule.Cost != claimed {
		return fmt.Errorf("%w: costs %+v, not %+v", ErrOrder, schedule.Cost, claimed)
	}
	s := &p.spec
	at := make([]int, len(order))
	for k, g := range order {
		at[g] = k
	}
	for j, g := range s.Groupings {
		for _, i := range g.After {
			if at[i] > at[j] {
				return fmt.Errorf("%w: grouping %d comes before %d", ErrOrder, j, i)
			}
		}
	}
	if err := verifyPins(s, order); err != nil {
		return err
	}
	for k, g := range s.Prefix {
		if order[k] != g {
			return fmt.Errorf("%w: does not open with the prefix", ErrOrder)
		}
	}
	for i, set := range s.Together {
		if lo, hi := span(at, set); len(set) > 0 && hi-lo+1 != len(set) {
			return fmt.Errorf("%w: together[%d] is broken up", ErrOrder, i)
		}
	}
	for i, pair := range s.Separate {
		if len(pair[0]) == 0 || len(pair[1]) == 0 {
			continue
		}
		lo0, hi0 := span(at, pair[0])
		lo1, hi1 := span(at, pair[1])
		if hi0 > lo1 && hi1 > lo0 {
			return fmt.Errorf("%w: separate[%d] interleaves", ErrOrder, i)
		}
	}
	return nil
}

func verifyPins(s *Spec, order []GroupingIndex) error {
	seenOther := false
	for _, g := range order {
		if s.Groupings[g].Pin == PinFirst && seenOther {
			return fmt.Errorf("%w: grouping %d is pinned first", ErrOrder, g)
		}
		seenOther = seenOther || s.Groupings[g].Pin != PinFirst
	}
	seenLast := false
	for _, g := range order {
		if s.Groupings[g].Pin != PinLast && seenLast {
			return fmt.Errorf("%w: grouping %d follows one pinned last", ErrOrder, g)
		}
		seenLast = seenLast || s.Groupings[g].Pin == PinLast
	}
	return nil
}

// span returns the first and last position of a set.
func span(at []int, set []GroupingIndex) (lo, hi int) {
	lo, hi = len(at), -1
	for _, g := range set {
		lo, hi = min(lo, at[g]), max(hi, at[g])
	}
	return lo, hi
}

func checkPermutation(s *Spec, order []GroupingIndex) error {
	if len(order) != len(s.Groupings) {
		return fmt.Errorf("%w: %d of %d groupings", ErrOrder, len(order), len(s.Groupings))
	}
	seen := make([]bool, len(order))
	for _, g := range order {
		if g < 0 || int(g) >= len(order) || seen[g] {
			return fmt.Errorf("%w: grouping %d is unknown or stands twice", ErrOrder, g)
		}
		seen[g] = true
	}
	return nil
}

// move splits the change from a frame to a grouping into who walks in, out and stays.
func move(s *Spec, frame []PersonIndex, g GroupingIndex) Entry {
	e := Entry{Grouping: g}
	left := frame // both are sorted
	for _, q := range s.Groupings[g].Members {
		for len(left) > 0 && left[0] < q {
			e.Out, left = append(e.Out, left[0]), left[1:]
		}
		if len(left) > 0 && left[0] == q {
			e.Stay, left = append(e.Stay, q), left[1:]
		} else {
			e.In = append(e.In, q)
		}
	}
	e.Out = append(e.Out, left...)
	return e
}

// slotFromScratch is the formula of Timing, written a second time on purpose. Some guests of the grouping before
// walk out as well.
func slotFromScratch(s *Spec, g GroupingIndex, e Entry, leaving int) Seconds {
	w := s.Groupings[g]
	if w.Fixed > 0 {
		return w.Fixed
	}
	in := len(e.In) + w.Guests
	length := s.Timing.Settle + w.Shoot
	length += s.Timing.PerStepIn * Seconds(in)
	length += s.Timing.PerStepOut * Seconds(len(e.Out)+leaving)
	if n := len(s.Timing.Arrange); n > 0 {
		length += s.Timing.Arrange[min(in, n-1)]
	}
	if len(e.Stay) == 0 {
		length += s.Timing.Fresh
	}
	slowest, called := Seconds(0), w.Guests
	for _, q := range e.In {
		slowest = max(slowest, s.People[q].Slow)
		if !s.People[q].Led {
			called++
		}
	}
	if n := len(s.Timing.Gather); n > 0 {
		length += s.Timing.Gather[min(called, n-1)]
	}
	return length + slowest
}

// earliest returns the first start at or after now for which the slot lies inside a window and
// ends by the close.
func earliest(s *Spec, g GroupingIndex, now, length Seconds) (Seconds, bool) {
	windows := s.Groupings[g].Windows
	if len(windows) == 0 {
		return now, s.Close == 0 || now+length <= s.Close
	}
	for _, w := range windows {
		start := max(now, w.Open)
		if start+length <= w.Close {
			return start, s.Close == 0 || start+length <= s.Close
		}
	}
	return 0, false
}

// lastPositions returns for each person the position of their last grouping, or -1.
func lastPositions(s *Spec, order []GroupingIndex) []int {
	last := make([]int, len(s.People))
	for q := range last {
		last[q] = -1
	}
	for k, g := range order {
		for _, q := range s.Groupings[g].Members {
			last[q] = k
		}
	}
	return last
}

// costOf sums step-ins, release and idle person by person.
func costOf(s *Spec, entries []Entry) Cost {
	var c Cost
	end := Seconds(0)
	inFrame := make([]Seconds, len(s.People))
	first := make([]Seconds, len(s.People))
	release := make([]Seconds, len(s.People))
	for q := range first {
		first[q] = -1
	}
	for _, e := range entries {
		for _, q := range e.In {
			c.StepIns += 1 + int64(s.People[q].Extra)
		}
		end = e.Finish
		c.Release += s.Groupings[e.Grouping].ReleaseWeight * e.Finish
		for _, q := range s.Groupings[e.Grouping].Members {
			if first[q] < 0 {
				first[q] = e.Start
			}
			inFrame[q] += e.Finish - e.Start
			release[q] = e.Finish
		}
	}
	for q, w := range s.People {
		from, until := first[q], release[q]
		if w.Started {
			from = 0
		}
		if w.Stays {
			until = end
		} else {
			c.Release += w.ReleaseWeight * release[q]
		}
		if from >= 0 && until > from {
			c.Idle += w.IdleWeight * (until - from - inFrame[q])
		}
	}
	return c
}
