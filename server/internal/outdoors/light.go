package outdoors

import (
	"fmt"
	"math"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver/sun"
)

// sideFrom is the angle between where the camera looks and the sun from which on the sun stands at the
// side.
const sideFrom = 45

// daylight is where a block is and when, for the sun.
type daylight struct {
	place      sun.Place
	zone       *time.Location
	facing     *float64 // degrees clockwise from north; nil when it is not known
	start, end time.Time
}

// daylight returns false where the sun is not looked at or cannot be told: indoors, without a clock
// time, a place on the map or a time zone. An event without a zone may keep its times in UTC or mean
// local ones; nobody knows, so nothing is said.
func (d day) daylight(b event.Block, start time.Time, length time.Duration) (daylight, bool) {
	spot, known := SpotOf(d.event, b)
	if !known || b.Indoors || start.IsZero() || d.zone == nil || start.Year() < 1901 || start.Year() > 2099 {
		return daylight{}, false
	}
	out := daylight{
		place: sun.Place{Latitude: spot.Latitude, Longitude: spot.Longitude}, zone: d.zone,
		start: start, end: start.Add(length),
	}
	if bearing, ok := Bearing(b.Facing); ok {
		out.facing = &bearing
	}
	return out, true
}

// day returns the day that the block belongs to: the one whose noon is nearest, so that a block after
// midnight has the dusk of the evening before it.
func (d daylight) day() sun.Day {
	local := d.start.In(d.zone)
	day := d.on(local)
	switch off := d.start.Sub(day.Noon); {
	case off > 12*time.Hour:
		return d.on(local.AddDate(0, 0, 1))
	case off < -12*time.Hour:
		return d.on(local.AddDate(0, 0, -1))
	}
	return day
}

func (d daylight) on(date time.Time) sun.Day {
	day, err := sun.Of(d.place, date.Year(), date.Month(), date.Day(), d.zone)
	if err != nil {
		panic(fmt.Sprintf("outdoors: a checked event has no sun: %v", err))
	}
	return day
}

// at says where the sun stands at a time.
func (d daylight) at(t time.Time) event.SunAt {
	p, err := sun.At(d.place, t)
	if err != nil {
		panic(fmt.Sprintf("outdoors: a checked event has no sun: %v", err))
	}
	out := event.SunAt{
		Altitude: int(math.Round(p.Altitude)), Azimuth: int(math.Round(p.Azimuth)) % 360, Height: sunHeights[p.Light()],
	}
	if d.facing == nil || out.Height > event.LowSun || p.Altitude >= event.Overhead {
		return out
	}
	switch off := math.Remainder(p.Azimuth-*d.facing, 360); {
	case math.Abs(off) < sideFrom:
		out.Side = event.SunAhead
	case math.Abs(off) > 180-sideFrom:
		out.Side = event.SunBehind
	case off > 0:
		out.Side = event.SunRight
	default:
		out.Side = event.SunLeft
	}
	return out
}

var (
	sunHeights = map[sun.Light]event.SunHeight{
		sun.HighSun: event.HighSun, sun.LowSun: event.LowSun, sun.Twilight: event.Twilight, sun.Dark: event.Dark,
	}
	sunDays = map[sun.State]event.SunDay{
		sun.Crosses: event.SunRises, sun.StaysAbove: event.SunStaysUp, sun.StaysBelow: event.SunStaysDown,
	}
	glares = map[sun.Glare]event.Glare{
		sun.NoGlare: event.NoGlare, sun.IntoLens: event.IntoLens, sun.IntoEyes: event.IntoEyes,
	}
)

// light is what the sheet says of the sun in a block.
func (d daylight) light() *event.BlockLight {
	day := d.day()
	minute := func(t time.Time) time.Time { // rounded as tables are; finer would claim too much
		if t.IsZero() {
			return t
		}
		return t.Round(time.Minute)
	}
	out := &event.BlockLight{
		Sunrise: minute(day.Sun.Begin), Sunset: minute(day.Sun.End), Dusk: minute(day.Civil.End),
		Sun: sunDays[day.Sun.State], Twilight: sunDays[day.Civil.State],
		Begin: d.at(d.start), End: d.at(d.end),
	}
	stretch, err := sun.Between(d.place, d.start, d.end, d.facing)
	if err == nil { // only blocks of more than two days have none
		out.Glare = glares[stretch.Glare]
	}
	return out
}

// sunlight warns of blocks that end in the dark or have the sun in the lens or in people's eyes. All
// of it is common practice, no source.
func (a *adviser) sunlight(blocks []event.SheetBlock) {
	for _, s := range blocks {
		if s.Light == nil {
			continue
		}
		b, known := a.blocks[s.Block]
		if !known {
			continue
		}
		a.darkness(s, b)
		a.glare(s, b)
	}
}

func (a *adviser) darkness(s event.SheetBlock, b event.Block) {
	l, clock := s.Light, func(t time.Time) wording.Arg { return wording.Clock(t.In(a.zone)) }
	name, ids := b.Subject(), blockIDs(b)
	dark := func(m wording.Message) {
		a.add(event.Warning, event.CodeEndsInDark, ids, m,
			wording.Say("outdoors.beginEarlierMoveItUnderLamps"))
	}
	end, safe := s.Start.Add(s.Length), s.Start.Add(max(s.Length, s.SafeLength))
	switch {
	case l.Twilight == event.SunStaysDown:
		dark(wording.Say("outdoors.inTheDark", name))
	case l.Begin.Height == event.Dark && s.Start.Before(l.Sunrise):
		dark(wording.Say("outdoors.beginsBeforeDawnAt", name, clock(s.Start), clock(l.Sunrise)))
	case l.Begin.Height == event.Dark:
		dark(wording.Say("outdoors.beginsInTheDarkAt", name, clock(s.Start)))
	case l.End.Height == event.Dark:
		dark(wording.Say("outdoors.endsInTheDarkAt", name, clock(end), clock(l.Dusk)))
	case !l.Dusk.IsZero() && end.Before(l.Dusk) && safe.After(l.Dusk):
		dark(wording.Say("outdoors.mayEndInTheDark", name, clock(safe), clock(l.Dusk)))
	case l.Sun == event.SunStaysDown:
		a.add(event.Info, event.CodeEndsInTwilight, ids, wording.Say("outdoors.hasTwilightOnly", name))
	case l.End.Height == event.Twilight && end.After(l.Sunset):
		a.add(event.Info, event.CodeEndsInTwilight, ids, wording.Say("outdoors.overAfterSunset", name, clock(l.Sunset)))
	}
}

// glare says what to do when somebody looks into the sun.
func (a *adviser) glare(s event.SheetBlock, b event.Block) {
	low := s.Light.Begin // the sun that dazzles: the lower of the two ends that are above the horizon
	if s.Light.End.Height <= event.LowSun && s.Light.End.Altitude < low.Altitude || low.Height > event.LowSun {
		low = s.Light.End
	}
	from, high := wording.Compass(low.Azimuth), max(0, low.Altitude)
	shade := wording.Say("outdoors.openShadeFirst", from) // light from the side puts shadows of neighbours on faces
	switch s.Light.Glare {
	case event.IntoLens:
		a.add(event.Warning, event.CodeSunInLens, blockIDs(b),
			wording.Say("outdoors.hasTheSunInTheLens", b.Subject(), from, high),
			shade, wording.Say("sheet.cautionSun"))
	case event.IntoEyes:
		a.add(event.Warning, event.CodeSunInEyes, blockIDs(b),
			wording.Say("outdoors.hasPeopleLookIntoTheSun", b.Subject(), from, high),
			shade, wording.Say("outdoors.eldersAndChildrenDoNotWait"))
	default:
		if high := max(s.Light.Begin.Altitude, s.Light.End.Altitude); high >= event.HighFrom {
			a.add(event.Info, event.CodeSunIsHigh, blockIDs(b), wording.Say("outdoors.sunIsHigh", b.Subject(), high))
		}
	}
}
