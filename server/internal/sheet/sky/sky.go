// Package sky says in one line what the sun does in a time slot of a sheet, and how a photograph is framed.
package sky

import (
	"math"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// Words puts both into the words of a language. At says when something is on the clock of the event.
type Words struct {
	*wording.Catalogue
	At func(time.Time) string
}

// Light says in one line what the sun does in a block: where it stands, when it sets, and from when on
// it is dark. Empty when the sheet does not know.
func (c Words) Light(s *event.SheetBlock) string {
	l := s.Light
	if l == nil {
		return ""
	}
	first, last := c.sun(l.Begin, l.Begin), c.sun(l.End, l.End)
	sun := first
	switch {
	case sameSun(l.Begin, l.End):
		sun = c.sun(l.Begin, l.End)
	case first != last:
		sun = c.Say("sheet.sunChange", first, last)
	}
	if max(l.Begin.Altitude, l.End.Altitude) >= event.HighFrom {
		sun += " · " + c.Say("sheet.highSunDo")
	}
	return sun + " · " + c.Facts(c.sunTimes(s)...)
}

// sunTimes lists the times of the sun that matter to a block.
func (c Words) sunTimes(s *event.SheetBlock) []string {
	l := s.Light
	var out []string
	switch {
	case l.Sun == event.SunStaysUp:
		return []string{c.Say("sheet.sunUp")}
	case l.Sun == event.SunStaysDown:
		out = append(out, c.Say("sheet.sunDown"))
	default:
		if !l.Sunrise.IsZero() && s.Start.Before(l.Sunrise) {
			out = append(out, c.Say("sheet.sunrise", c.At(l.Sunrise)))
		}
		if !l.Sunset.IsZero() {
			out = append(out, c.Say("sheet.sunset", c.At(l.Sunset)))
		}
	}
	switch {
	case l.Twilight == event.SunStaysUp:
		out = append(out, c.Say("sheet.neverDark"))
	case l.Twilight == event.SunStaysDown:
		out = append(out, c.Say("sheet.neverLight"))
	case !l.Dusk.IsZero():
		out = append(out, c.Say("sheet.dusk", c.At(l.Dusk)))
	}
	return out
}

// sameSun says that one description holds from begin to end.
func sameSun(begin, end event.SunAt) bool {
	return begin.Height == end.Height && begin.Side == end.Side && wording.CompassPoint(begin.Azimuth) == wording.CompassPoint(end.Azimuth)
}

// sun says where the sun stands, as its height goes from one to the other.
func (c Words) sun(from, to event.SunAt) string {
	switch from.Height {
	case event.Twilight:
		return c.Say("sheet.twilight")
	case event.Dark:
		return c.Say("sheet.dark")
	}
	// Just above the horizon the middle of the sun may be below it.
	low, high := max(0, from.Altitude), max(0, to.Altitude)
	height := c.Say("sheet.degrees", c.Number(low))
	if low != high {
		height = c.Say("sheet.degreesTo", c.Number(low), c.Number(high))
	}
	out := c.Say("sheet.highSun", height)
	if from.Height == event.LowSun {
		out = c.Say("sheet.lowSun", height)
	}
	if from.Altitude < event.Overhead {
		out = c.Say("sheet.sunFrom", out, c.Render(wording.Compass(from.Azimuth)))
	}
	if side, ok := sunSides[from.Side]; ok {
		out = c.Facts(out, c.Say(side))
	}
	return out
}

var sunSides = map[event.SunSide]wording.Key{
	event.SunAhead: "sheet.sunAhead", event.SunBehind: "sheet.sunBehind", event.SunLeft: "sheet.sunLeft", event.SunRight: "sheet.sunRight",
}

// Lens says in one line how a photograph is framed. Empty without a kit.
func (c Words) Lens(l *event.EntryLens) string {
	if l == nil {
		return ""
	}
	parts := []string{c.Say("sheet.lensSetup", c.Tenths(dialled(l.FocalMM)), c.Tenths(halfMetres(l.DistanceCM)), c.Tenths(l.Aperture), c.Number(int(math.Round(l.AngleAcross))))}
	if l.Upright {
		parts = append(parts, c.Say("sheet.upright"))
	}
	if l.Rows > 1 {
		parts = append(parts, c.Say("sheet.rows", l.Rows))
	}
	switch {
	case l.FocusRow == 0:
		parts = append(parts, c.Say("sheet.focusAt", c.Tenths(halfMetres(l.FocusCM))))
	case l.Rows > 1:
		parts = append(parts, c.Say("sheet.focusRow", c.Number(l.FocusRow)))
	}
	switch { // where halves of metres say enough, it is in those
	case l.FarCM == 0 || l.FarCM > 3000:
		parts = append(parts, c.Say("sheet.sharpOn", c.Tenths(halfMetres(l.NearCM+24))))
	case l.FarCM-l.NearCM >= 200:
		parts = append(parts, c.Say("sheet.sharp", c.Tenths(halfMetres(l.NearCM+24)), c.Tenths(halfMetres(l.FarCM-24))))
	default:
		parts = append(parts, c.Say("sheet.sharp", c.Tenths(float64(l.NearCM)/100), c.Tenths(float64(l.FarCM)/100)))
	}
	for _, w := range []struct {
		warning event.LensWarning
		text    wording.Key
	}{{event.SpaceTooSmall, "sheet.tooSmall"}, {event.NotAllSharp, "sheet.notSharp"}, {event.EdgesStretched, "sheet.stretched"}} {
		if slices.Contains(l.Warnings, w.warning) {
			parts = append(parts, c.Say(w.text))
		}
	}
	return c.Facts(parts...)
}

// dialled is the focal length that is set for one that was reckoned: the next that zooms have a mark for, on the wide side,
// so that nobody is cut off.
func dialled(mm float64) float64 {
	marks := []float64{14, 16, 20, 24, 28, 35, 50, 70, 85, 100, 135, 200, 300}
	for i := len(marks) - 1; i >= 0; i-- {
		if marks[i] <= mm {
			return marks[i]
		}
	}
	return mm
}

// halfMetres are metres to the nearest half: nobody measures them out.
func halfMetres(cm int) float64 { return math.Round(float64(cm)/50) / 2 }

// Glare says that the camera looks into the sun in some block.
func Glare(s *event.CallSheet) bool {
	return slices.ContainsFunc(s.Blocks, func(b event.SheetBlock) bool {
		return b.Light != nil && (b.Light.Glare == event.IntoLens)
	})
}
