package sheet

import (
	"math"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// light says in one line what the sun does in a block: where it stands, when it sets, and from when on
// it is dark. Empty when the sheet does not know.
func (b *builder) light(s *event.SheetBlock) string {
	l := s.Light
	if l == nil {
		return ""
	}
	c := b.cat
	first, last := b.sun(l.Begin, l.Begin), b.sun(l.End, l.End)
	sun := first
	switch {
	case b.sameSun(l.Begin, l.End):
		sun = b.sun(l.Begin, l.End)
	case first != last:
		sun = c.Say(wording.KeySunChange, first, last)
	}
	return sun + " · " + c.Facts(b.sunTimes(s)...)
}

// sunTimes lists the times of the sun that matter to a block.
func (b *builder) sunTimes(s *event.SheetBlock) []string {
	c, l := b.cat, s.Light
	clock := func(t time.Time) string { return c.Clock(b.local(t)) }
	var out []string
	switch {
	case l.Sun == event.SunStaysUp:
		return []string{c.Say(wording.KeySunUp)}
	case l.Sun == event.SunStaysDown:
		out = append(out, c.Say(wording.KeySunDown))
	default:
		if !l.Sunrise.IsZero() && s.Start.Before(l.Sunrise) {
			out = append(out, c.Say(wording.KeySunrise, clock(l.Sunrise)))
		}
		if !l.Sunset.IsZero() {
			out = append(out, c.Say(wording.KeySunset, clock(l.Sunset)))
		}
	}
	switch {
	case l.Twilight == event.SunStaysUp:
		out = append(out, c.Say(wording.KeyNeverDark))
	case l.Twilight == event.SunStaysDown:
		out = append(out, c.Say(wording.KeyNeverLight))
	case !l.Dusk.IsZero():
		out = append(out, c.Say(wording.KeyDusk, clock(l.Dusk)))
	}
	return out
}

// sameSun says that one description holds from begin to end.
func (b *builder) sameSun(begin, end event.SunAt) bool {
	return begin.Height == end.Height && begin.Side == end.Side && wording.CompassPoint(begin.Azimuth) == wording.CompassPoint(end.Azimuth)
}

// sun says where the sun stands, as its height goes from one to the other.
func (b *builder) sun(from, to event.SunAt) string {
	c := b.cat
	switch from.Height {
	case event.Twilight:
		return c.Say(wording.KeyTwilight)
	case event.Dark:
		return c.Say(wording.KeyDark)
	}
	// Just above the horizon the middle of the sun may be below it.
	low, high := max(0, from.Altitude), max(0, to.Altitude)
	height := c.Say(wording.KeyDegrees, c.Number(low))
	if low != high {
		height = c.Say(wording.KeyDegreesTo, c.Number(low), c.Number(high))
	}
	out := c.Say(wording.KeyHighSun, height)
	if from.Height == event.LowSun {
		out = c.Say(wording.KeyLowSun, height)
	}
	if from.Altitude < event.Overhead {
		out = c.Say(wording.KeySunFrom, out, c.Render(wording.Compass(from.Azimuth)))
	}
	if side, ok := sunSides[from.Side]; ok {
		out = c.Facts(out, c.Say(side))
	}
	return out
}

var sunSides = map[event.SunSide]wording.Key{
	event.SunAhead: wording.KeySunAhead, event.SunBehind: wording.KeySunBehind, event.SunLeft: wording.KeySunLeft, event.SunRight: wording.KeySunRight,
}

// lens says in one line how a photograph is framed. Empty without a kit.
func (b *builder) lens(l *event.EntryLens) string {
	if l == nil {
		return ""
	}
	c := b.cat
	parts := []string{c.Say(wording.KeyLensSetup, c.Tenths(l.FocalMM), c.Tenths(float64(l.DistanceCM)/100), c.Tenths(l.Aperture), c.Number(int(math.Round(l.AngleAcross))))}
	if l.Upright {
		parts = append(parts, c.Say(wording.KeyUpright))
	}
	if l.Rows > 1 {
		parts = append(parts, c.Say(wording.KeyRows, l.Rows))
	}
	switch {
	case l.FocusRow == 0:
		parts = append(parts, c.Say(wording.KeyFocusAt, c.Tenths(float64(l.FocusCM)/100)))
	case l.Rows > 1:
		parts = append(parts, c.Say(wording.KeyFocusRow, c.Number(l.FocusRow)))
	}
	if l.FarCM > 0 {
		parts = append(parts, c.Say(wording.KeySharp, c.Tenths(float64(l.NearCM)/100), c.Tenths(float64(l.FarCM)/100)))
	} else {
		parts = append(parts, c.Say(wording.KeySharpOn, c.Tenths(float64(l.NearCM)/100)))
	}
	for _, w := range []struct {
		warning event.LensWarning
		text    wording.Key
	}{{event.SpaceTooSmall, wording.KeyTooSmall}, {event.NotAllSharp, wording.KeyNotSharp}, {event.EdgesStretched, wording.KeyStretched}} {
		if slices.Contains(l.Warnings, w.warning) {
			parts = append(parts, c.Say(w.text))
		}
	}
	return c.Facts(parts...)
}

// intoSun says that the camera looks into the sun in some block.
func intoSun(s *event.CallSheet) bool {
	return slices.ContainsFunc(s.Blocks, func(b event.SheetBlock) bool {
		return b.Light != nil && (b.Light.Glare == event.IntoLens)
	})
}
