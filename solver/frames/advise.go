package frames

import (
	"errors"
	"fmt"
)

// Wish says what a grouping wants from its frames. Use DefaultWish and change what differs.
type Wish struct {
	// Confidence is the wanted chance of one clear frame, above 0 and below 1.
	Confidence float64
	// BothOrientations asks for the picture upright as well as across, as key groupings need for
	// albums and frames on a wall.
	BothOrientations bool
	// Floor is the least number of frames in each orientation, 1 to 100.
	Floor int
	// Ceiling is the largest number of frames of one orientation worth asking of people who hold
	// still, Floor to 1000.
	Ceiling int
}

// DefaultWish returns the defaults. The confidence of 95 % is the one the published rule of thumb
// claims. The ceiling is 25: for about 50 people in good light the authors call a blink-free frame
// practically hopeless, and 50 people are where the model asks for 26 frames. The floor of 2 is
// common practice, no source: one frame to keep and one in case.
func DefaultWish() Wish { return Wish{Confidence: 0.95, Floor: 2, Ceiling: 25} }

// Reason says why an advice is what it is.
type Reason uint8

const (
	// Confident means that the frames reach the wished confidence.
	Confident Reason = iota
	// AtFloor means that the floor asks for more than blinks do.
	AtFloor
	// AtCeiling means that no sensible number of frames reaches the wished confidence: shoot the
	// ceiling and put eyes together from two frames, or split the grouping.
	AtCeiling
)

// Advice is the number of frames to shoot.
type Advice struct {
	// Main is the number of frames in the first orientation.
	Main int
	// Other is the number in the second, 0 when only one is wanted: what the average takes, or
	// the floor. Its picture is an extra, so it does not have to reach the wished confidence.
	Other int
	// Needed is the number that would reach the wished confidence, whatever the ceiling.
	Needed int
	// Reached is the chance that one of the Main frames is clear.
	Reached float64
	Reason  Reason
}

// Frames returns the frames of both orientations together.
func (a Advice) Frames() int { return a.Main + a.Other }

// Advise returns how many frames to shoot of n people. Its errors wrap ErrInvalid.
func (m Model) Advise(n int, w Wish) (Advice, error) {
	needed, err := m.ForConfidence(n, w.Confidence)
	var errs []error
	if w.Floor < 1 || w.Floor > 100 {
		errs = append(errs, fmt.Errorf("floor: %d, want 1 to 100", w.Floor))
	}
	if w.Ceiling < w.Floor || w.Ceiling > 1000 {
		errs = append(errs, fmt.Errorf("ceiling: %d, want the floor (%d) to 1000", w.Ceiling, w.Floor))
	}
	if len(errs) > 0 {
		err = errors.Join(err, fmt.Errorf("%w: %w", ErrInvalid, errors.Join(errs...)))
	}
	if err != nil {
		return Advice{}, err
	}
	a := Advice{Main: needed, Needed: needed}
	switch {
	case needed > w.Ceiling:
		a.Main, a.Reason = w.Ceiling, AtCeiling
	case needed < w.Floor:
		a.Main, a.Reason = w.Floor, AtFloor
	}
	if w.BothOrientations {
		a.Other = w.Floor
		if mean := m.MeanFrames(n); mean > float64(w.Floor) {
			a.Other = w.Ceiling
			if mean < float64(w.Ceiling) {
				a.Other = int(mean)
				if float64(a.Other) < mean {
					a.Other++
				}
			}
		}
	}
	a.Reached = m.Confidence(n, a.Main)
	return a, nil
}
