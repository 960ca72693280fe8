// Package frames says how many frames of a grouping to shoot so that one of them is free of
// blinks, and when no sensible number will do. It counts blinks only: turned heads, wind and
// children are not in the model.
//
// The model is the one of N. Svenson and P. Barnes (CSIRO), "Blink-free photos, guaranteed",
// Velocity, June 2006: somebody who blinks x times a second, with closed eyes and exposure lasting t
// seconds together, spoils a frame with the chance x·t; a frame of n people is clear with the
// chance P = (1 − x·t)ⁿ. The article prints 1/P, which is the average number of frames up to the
// first clear one, not the number to be sure of one; that is ⌈ln(1 − c) / ln(1 − P)⌉ for the
// confidence c. Frames of a burst share one blink and count as one: leave half a second between.
package frames

import (
	"errors"
	"fmt"
	"math"
)

// MaxPeople is the largest number of people in one frame.
const MaxPeople = 20000

// ErrInvalid is wrapped by every error of this package.
var ErrInvalid = errors.New("invalid frames request")

// Model holds the three numbers of the blink model.
type Model struct {
	// BlinksPerMinute is the blink rate of one person, above 0 and at most 120. Published means
	// run from 4.5 when reading over 17 at rest to 26 in conversation (Bentivoglio et al.,
	// Movement Disorders 12(6), 1997).
	BlinksPerMinute float64
	// BlinkSeconds is how long the eyes are closed in one blink, above 0 and at most 2.
	BlinkSeconds float64
	// ExposureSeconds is how long the shutter is open, from 0 to 2.
	ExposureSeconds float64
}

// The published parameters (Live Science, 18 December 2006, on the article above). The exposure of
// dim light was not printed: 1/8 s is inferred, as the one common shutter time that gives the
// printed 30 frames for 30 people at 99 %.
const (
	posedBlinksPerMinute = 10
	blinkSeconds         = 0.250
	goodLightExposure    = 0.008
	dimLightExposure     = 0.125
)

// GoodLight returns the published model for good indoor light or better.
func GoodLight() Model {
	return Model{BlinksPerMinute: posedBlinksPerMinute, BlinkSeconds: blinkSeconds, ExposureSeconds: goodLightExposure}
}

// DimLight returns the published model with an exposure of 1/8 s.
func DimLight() Model {
	return Model{BlinksPerMinute: posedBlinksPerMinute, BlinkSeconds: blinkSeconds, ExposureSeconds: dimLightExposure}
}

// check names every field that is out of range.
func (m Model) check() error {
	var errs []error
	if !(m.BlinksPerMinute > 0 && m.BlinksPerMinute <= 120) {
		errs = append(errs, fmt.Errorf("blinks per minute: %g, want above 0 and at most 120", m.BlinksPerMinute))
	}
	if !(m.BlinkSeconds > 0 && m.BlinkSeconds <= 2) {
		errs = append(errs, fmt.Errorf("blink seconds: %g, want above 0 and at most 2", m.BlinkSeconds))
	}
	if !(m.ExposureSeconds >= 0 && m.ExposureSeconds <= 2) {
		errs = append(errs, fmt.Errorf("exposure seconds: %g, want 0 to 2", m.ExposureSeconds))
	}
	if len(errs) == 0 && m.spoil() >= 1 {
		errs = append(errs, fmt.Errorf("blinks per minute: %g blinks of %g s leave no open eyes", m.BlinksPerMinute, m.BlinkSeconds))
	}
	return errors.Join(errs...)
}

// spoil returns x·t, the chance that one person spoils a frame.
func (m Model) spoil() float64 {
	return m.BlinksPerMinute / 60 * (m.BlinkSeconds + m.ExposureSeconds)
}

// ClearChance returns P = (1 − x·t)ⁿ, the chance from 0 to 1 that nobody of n people blinks in one
// frame. It is 1 for n <= 0.
func (m Model) ClearChance(n int) float64 {
	return math.Pow(1-m.spoil(), float64(max(n, 0)))
}

// MeanFrames returns 1/P, the average number of frames up to and including the first clear one; the
// article prints it as the number of photos. It is +Inf once P is too small for a float64.
func (m Model) MeanFrames(n int) float64 { return 1 / m.ClearChance(n) }

// Confidence returns the chance that at least one of k frames of n people is clear.
func (m Model) Confidence(n, k int) float64 {
	return -math.Expm1(float64(max(k, 0)) * math.Log1p(-m.ClearChance(n)))
}

// ForConfidence returns the smallest number of frames of n people, at least 1, of which one is clear
// with the confidence c, 0 < c < 1. It returns math.MaxInt when the number does not fit an int, and
// an error that wraps ErrInvalid for a model, n or c out of range.
func (m Model) ForConfidence(n int, c float64) (int, error) {
	errs := []error{m.check()}
	if n < 0 || n > MaxPeople {
		errs = append(errs, fmt.Errorf("people: %d, want 0 to %d", n, MaxPeople))
	}
	if !(c > 0 && c < 1) {
		errs = append(errs, fmt.Errorf("confidence: %g, want above 0 and below 1", c))
	}
	if err := errors.Join(errs...); err != nil {
		return 0, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	p := m.ClearChance(n)
	if p >= 1 {
		return 1, nil
	}
	k := math.Ceil(math.Log1p(-c) / math.Log1p(-p))
	if !(k < math.MaxInt) {
		return math.MaxInt, nil
	}
	return max(1, int(k)), nil
}
