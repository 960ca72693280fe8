package solver

import (
	"errors"
	"fmt"
	"slices"
)

// ErrCircle is wrapped by the error of NewProblem when groupings that come after each other leave none to
// be the first.
var ErrCircle = errors.New("a circle of groupings that wait for each other")

// validate checks ranges and references, and that the precedence wishes have no cycle. It stops at
// the first fault: its caller is a program, and the planner's own list is checked before.
func (s *Spec) validate() error {
	if len(s.Groupings) > MaxGroupings {
		return fmt.Errorf("groupings: %d given, at most %d", len(s.Groupings), MaxGroupings)
	}
	if len(s.People) > MaxPeople {
		return fmt.Errorf("people: %d given, at most %d", len(s.People), MaxPeople)
	}
	if s.Emphasis > EarlyRelease {
		return fmt.Errorf("emphasis: unknown value %d", s.Emphasis)
	}
	if err := s.validatePeople(); err != nil {
		return err
	}
	if err := s.validateTiming(); err != nil {
		return err
	}
	for i := range s.Groupings {
		if err := s.validateGrouping(i); err != nil {
			return err
		}
	}
	if err := inPeople(s.FrameGuests); err != nil {
		return fmt.Errorf("frame guests: %w", err)
	}
	if err := s.distinctPeople("frame", s.Frame); err != nil {
		return err
	}
	if err := s.validateSets(); err != nil {
		return err
	}
	return s.validateAcyclic()
}

func (s *Spec) validatePeople() error {
	for i, q := range s.People {
		if q.Extra < -1 || q.Extra > MaxExtra {
			return fmt.Errorf("people[%d].extra: %d is outside -1 to %d", i, q.Extra, MaxExtra)
		}
		if q.ReleaseWeight < 0 || q.ReleaseWeight > MaxWeight || q.IdleWeight < 0 || q.IdleWeight > MaxWeight {
			return fmt.Errorf("people[%d]: a weight is outside 0 to %d", i, MaxWeight)
		}
		if err := inSeconds(q.Slow); err != nil {
			return fmt.Errorf("people[%d].slow: %w", i, err)
		}
	}
	if s.StepWeight < 0 || s.StepWeight > 1e9 {
		return errors.New("step weight: outside 0 to 1e9")
	}
	return nil
}

func (s *Spec) validateTiming() error {
	t := s.Timing
	for _, v := range slices.Concat([]Seconds{t.Settle, t.PerStepIn, t.PerStepOut, t.Fresh}, t.Arrange, t.Gather) {
		if err := inSeconds(v); err != nil {
			return fmt.Errorf("timing: %w", err)
		}
	}
	if err := inSeconds(s.Close); err != nil {
		return fmt.Errorf("close: %w", err)
	}
	if err := inSeconds(s.Opening); err != nil {
		return fmt.Errorf("opening: %w", err)
	}
	return nil
}

func inPeople(n int) error {
	if n < 0 || n > MaxPeople {
		return fmt.Errorf("%d is outside 0 to %d", n, MaxPeople)
	}
	return nil
}

func inSeconds(v Seconds) error {
	if v < 0 || v > MaxSeconds {
		return fmt.Errorf("%d seconds is outside 0 to %d", v, int64(MaxSeconds))
	}
	return nil
}

func (s *Spec) validateGrouping(i int) error {
	g := s.Groupings[i]
	if err := s.distinctPeople(fmt.Sprintf("groupings[%d].members", i), g.Members); err != nil {
		return err
	}
	if err := s.distinctGroupings(fmt.Sprintf("groupings[%d].after", i), g.After); err != nil {
		return err
	}
	if g.Pin > PinLast {
		return fmt.Errorf("groupings[%d].pin: unknown value %d", i, g.Pin)
	}
	if g.ReleaseWeight < 0 || g.ReleaseWeight > MaxWeight {
		return fmt.Errorf("groupings[%d].release weight: %d is outside 0 to %d", i, g.ReleaseWeight, MaxWeight)
	}
	if err := inPeople(g.Guests); err != nil {
		return fmt.Errorf("groupings[%d].guests: %w", i, err)
	}
	for _, v := range []Seconds{g.Shoot, g.Fixed} {
		if err := inSeconds(v); err != nil {
			return fmt.Errorf("groupings[%d]: %w", i, err)
		}
	}
	for k, w := range g.Windows {
		if w.Open < 0 || w.Close < w.Open || w.Close > MaxSeconds {
			return fmt.Errorf("groupings[%d].windows[%d]: [%d, %d] is not a stretch of time", i, k, w.Open, w.Close)
		}
		if k > 0 && w.Open <= g.Windows[k-1].Close {
			return fmt.Errorf("groupings[%d].windows[%d]: starts before the one before it ends", i, k)
		}
	}
	return nil
}

func (s *Spec) distinctPeople(path string, list []PersonIndex) error {
	return distinct(path, "person", list, len(s.People))
}

func (s *Spec) distinctGroupings(path string, list []GroupingIndex) error {
	return distinct(path, "grouping", list, len(s.Groupings))
}

func distinct[I PersonIndex | GroupingIndex](path, what string, list []I, n int) error {
	seen := make(map[I]bool, len(list))
	for _, i := range list {
		if i < 0 || int(i) >= n {
			return fmt.Errorf("%s: no %s %d", path, what, i)
		}
		if seen[i] {
			return fmt.Errorf("%s: %s %d stands twice", path, what, i)
		}
		seen[i] = true
	}
	return nil
}

func (s *Spec) validateSets() error {
	if err := s.distinctGroupings("prefix", s.Prefix); err != nil {
		return err
	}
	var all []GroupingIndex
	for _, set := range s.Together {
		all = append(all, set...)
	}
	if err := s.distinctGroupings("together", all); err != nil {
		return err
	}
	for i, pair := range s.Separate {
		both := append(append([]GroupingIndex{}, pair[0]...), pair[1]...)
		if err := s.distinctGroupings(fmt.Sprintf("separate[%d]", i), both); err != nil {
			return err
		}
	}
	return nil
}

// validateAcyclic refuses a circle of After wishes. Pins and the prefix are left to the search:
// together with After they may be infeasible, which is a result and not a malformed problem.
func (s *Spec) validateAcyclic() error {
	const (
		untouched = iota
		open
		done
	)
	state := make([]uint8, len(s.Groupings))
	var visit func(g GroupingIndex) error
	visit = func(g GroupingIndex) error {
		switch state[g] {
		case open:
			return fmt.Errorf("groupings[%d].after: %w", g, ErrCircle)
		case done:
			return nil
		}
		state[g] = open
		for _, before := range s.Groupings[g].After {
			if err := visit(before); err != nil {
				return err
			}
		}
		state[g] = done
		return nil
	}
	for g := range s.Groupings {
		if err := visit(GroupingIndex(g)); err != nil {
			return err
		}
	}
	return nil
}
