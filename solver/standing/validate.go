package standing

import (
	"errors"
	"fmt"
)

func within(field string, v, low, high int) error {
	if v >= low && v <= high {
		return nil
	}
	return fmt.Errorf("%s: %d, want %d to %d", field, v, low, high)
}

func (s Spec) validate() error {
	errs := []error{within("people", len(s.People), 1, MaxPeople)}
	for i, q := range s.People {
		at := fmt.Sprintf("people[%d].", i)
		if q.HeightCM != 0 {
			errs = append(errs, within(at+"height", q.HeightCM, 40, 230))
		}
		errs = append(errs,
			within(at+"age", int(q.Age), 0, int(Infant)),
			within(at+"side", int(q.Side), 0, int(Right)),
			within(at+"importance", q.Importance, 0, 10))
	}
	for i, t := range s.Ties {
		at := fmt.Sprintf("ties[%d].", i)
		errs = append(errs, within(at+"bond", int(t.Bond), 0, int(Circle)), s.checkMembers(at+"members", t.Members))
	}
	for i, pair := range s.Apart {
		errs = append(errs, s.checkMembers(fmt.Sprintf("apart[%d]", i), pair[:]))
	}
	for i, a := range s.Arms {
		at := fmt.Sprintf("arms[%d]", i)
		errs = append(errs, s.checkMembers(at, []int{a.Infant, a.Holder}), within(at+".rank", a.Rank, 0, MaxArms))
	}
	errs = append(errs, within("arms", len(s.Arms), 0, MaxPeople*MaxPeople), within("ties", len(s.Ties), 0, 2000), within("apart", len(s.Apart), 0, MaxPeople*MaxPeople))
	if len(s.Before) > 0 && len(s.Before) != len(s.People) {
		errs = append(errs, fmt.Errorf("before: %d spots, want one for each of %d people, or none", len(s.Before), len(s.People)))
	}
	for i, spot := range s.Before {
		at := fmt.Sprintf("before[%d].", i)
		errs = append(errs, within(at+"posture", int(spot.Posture), 0, int(Held)), within(at+"x", spot.XCM, -20000, 20000), within(at+"back", spot.BackCM, -20000, 20000))
	}
	errs = append(errs, s.Space.validate())
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	return nil
}

func (s Spec) checkMembers(field string, members []int) error {
	var errs []error
	if len(members) < 2 {
		errs = append(errs, fmt.Errorf("%s: %d people, want at least 2", field, len(members)))
	}
	seen := map[int]bool{}
	for _, q := range members {
		if q < 0 || q >= len(s.People) {
			errs = append(errs, fmt.Errorf("%s: person %d is unknown, want 0 to %d", field, q, len(s.People)-1))
		}
		if seen[q] {
			errs = append(errs, fmt.Errorf("%s: person %d is named twice", field, q))
		}
		seen[q] = true
	}
	return errors.Join(errs...)
}

func (s Space) validate() error {
	var errs []error
	optional := func(field string, v, low, high int) {
		if v != 0 {
			errs = append(errs, within(field, v, low, high))
		}
	}
	optional("space.width", s.WidthCM, 100, 10000)
	optional("space.depth", s.DepthCM, 100, 10000)
	optional("space.camera height", s.CameraHeightCM, 30, 600)
	optional("space.camera distance", s.CameraDistanceCM, 100, 10000)
	errs = append(errs, within("space.chairs", s.Chairs, 0, MaxPeople), within("space.steps", s.Steps, 0, 2))
	if s.Steps > 0 {
		errs = append(errs, within("space.step height", s.StepCM, 5, 60))
	}
	return errors.Join(errs...)
}
