package sun

import (
	"fmt"
	"math"
	"time"
)

// Light says what the light is at an instant.
type Light uint8

const (
	// Dark is after civil dusk or before civil dawn.
	Dark Light = iota
	// Twilight is civil twilight: light enough to see faces, falling by the minute.
	Twilight
	// LowSun is a sun up but below LowAltitude.
	LowSun
	// HighSun is a sun above it.
	HighSun
)

// Thresholds of light and glare in degrees: common practice, no source.
const (
	// LowAltitude is the height below which the sun shines into faces or lens.
	LowAltitude = 30
	// glareWithin is how far from the line of sight the sun dazzles.
	glareWithin = 40
)

// Light classifies a position of the sun.
func (s Position) Light() Light {
	switch {
	case s.Altitude < civilAltitude:
		return Dark
	case s.Altitude < riseAltitude:
		return Twilight
	case s.Altitude < LowAltitude:
		return LowSun
	default:
		return HighSun
	}
}

// Separation returns the angle in degrees, from 0 to 180, between the sun and a level line of sight
// towards an azimuth in degrees clockwise from north.
func (s Position) Separation(azimuth float64) float64 {
	c := math.Cos(rad(s.Altitude)) * math.Cos(rad(s.Azimuth-azimuth))
	return deg(math.Acos(min(1, max(-1, c))))
}

// Glare says who looks into the sun.
type Glare uint8

// Who looks into the sun.
const (
	NoGlare Glare = iota
	// IntoLens is a sun that shines into the lens: flare, dark faces.
	IntoLens
	// IntoEyes is a sun that the group looks into: narrowed eyes, hard shadows.
	IntoEyes
)

// Glare says who looks into the sun when the camera looks towards an azimuth and the group back
// towards the camera. A sun below the horizon dazzles nobody.
func (s Position) Glare(cameraAzimuth float64) Glare {
	switch {
	case s.Altitude < riseAltitude:
		return NoGlare
	case s.Separation(cameraAzimuth) < glareWithin:
		return IntoLens
	case s.Separation(cameraAzimuth+180) < glareWithin:
		return IntoEyes
	default:
		return NoGlare
	}
}

// Stretch is the light of a stretch of time.
type Stretch struct {
	Begin, End Position
	// Worst is the poorest light between begin and end, in the order Dark, Twilight, LowSun,
	// HighSun.
	Worst Light
	// Glare is the first glare met between begin and end; NoGlare when the camera's direction is
	// not known.
	Glare Glare
}

// Between returns the light from begin to end, looked at every five minutes and at both ends.
// cameraAzimuth is where the camera looks, in degrees clockwise from north; nil means unknown. The
// stretch is at most two days long. Its errors wrap ErrInvalid.
func Between(p Place, begin, end time.Time, cameraAzimuth *float64) (Stretch, error) {
	if err := p.check(); err != nil {
		return Stretch{}, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	if end.Before(begin) || end.Sub(begin) > 48*time.Hour {
		return Stretch{}, fmt.Errorf("%w: end: want at most 48 hours after begin, and not before it", ErrInvalid)
	}
	from, until := minutesSinceEpoch(begin), minutesSinceEpoch(end)
	s := Stretch{Begin: position(p, from), End: position(p, until), Worst: HighSun}
	see := func(at Position) {
		s.Worst = min(s.Worst, at.Light())
		if s.Glare == NoGlare && cameraAzimuth != nil {
			s.Glare = at.Glare(*cameraAzimuth)
		}
	}
	const step = 5
	for k := 0; from+float64(k)*step < until; k++ {
		see(position(p, from+float64(k)*step))
	}
	see(s.End)
	return s, nil
}
