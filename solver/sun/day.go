package sun

import (
	"errors"
	"fmt"
	"time"
)

// Depths of the sun's centre at the events, in degrees of altitude: 50 minutes of arc below the
// horizon for rise and set (the NOAA calculator rounds to 0.833), 6 degrees for civil twilight.
const (
	riseAltitude  = -0.833
	civilAltitude = -6
)

// State says whether the sun crosses an altitude on a date.
type State uint8

// The states of a date.
const (
	Crosses State = iota
	StaysAbove
	StaysBelow
)

// Span is the stretch between a rising and a setting.
type Span struct {
	State State
	// Begin and End are in the zone of the date, to the second. They are zero unless State is
	// Crosses. End can lie after midnight, on the next date, and Begin on the date before.
	Begin, End time.Time
}

// Day holds the light of one local date. It is the day around the solar noon of that date, so the
// sunset is always that of the evening a guest would name, even where it comes after midnight.
type Day struct {
	Noon time.Time // when the sun stands highest
	// Sun is up from sunrise to sunset.
	Sun Span
	// Civil lasts from civil dawn to civil dusk, after which outdoor work needs lamps.
	Civil Span
}

// Of returns the light at a place on a local date in a time zone. Its errors wrap ErrInvalid and
// name the field: a place out of range, a date that does not exist, a year outside 1900 to 2100, a
// nil zone.
func Of(p Place, year int, month time.Month, day int, zone *time.Location) (Day, error) {
	errs := []error{p.check()}
	if zone == nil {
		errs = append(errs, errors.New("time zone: missing"))
		zone = time.UTC
	}
	if year < 1900 || year > 2100 {
		errs = append(errs, fmt.Errorf("date: year %d, want 1900 to 2100", year))
	}
	if d := time.Date(year, month, day, 0, 0, 0, 0, time.UTC); d.Day() != day || d.Month() != month {
		errs = append(errs, fmt.Errorf("date: %04d-%02d-%02d does not exist", year, month, day))
	}
	if err := errors.Join(errs...); err != nil {
		return Day{}, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	middle := time.Date(year, month, day, 12, 0, 0, 0, zone)
	noon := solarNoonNear(p, minutesSinceEpoch(middle))
	return Day{
		Noon:  instant(noon).In(zone).Round(time.Second),
		Sun:   span(p, noon, riseAltitude, zone),
		Civil: span(p, noon, civilAltitude, zone),
	}, nil
}

// solarNoonNear returns the solar noon closest to a clock noon. Zones run at most half a day off
// the sun, so it is the noon of that date.
func solarNoonNear(p Place, minutes float64) float64 {
	at := minutes
	for range 4 { // from the second step on, only the drift of the equation of time is left
		at -= deg(ephemerisAt(at).hourAngle(p, at)) * 4
	}
	return at
}

// span finds the crossings of an altitude on both sides of a solar noon. The altitude falls from
// noon to midnight, but for the drift of the declination (under 0.01 degrees an hour), which
// matters only within minutes of the first and last day of polar light.
func span(p Place, noon, altitude float64, zone *time.Location) Span {
	if position(p, noon).Altitude < altitude {
		return Span{State: StaysBelow}
	}
	begin, rises := crossing(p, noon, -1, altitude)
	end, sets := crossing(p, noon, 1, altitude)
	if !rises || !sets {
		return Span{State: StaysAbove}
	}
	return Span{Begin: instant(begin).In(zone).Round(time.Second), End: instant(end).In(zone).Round(time.Second)}
}

// crossing bisects between a noon and the midnight before (-1) or after it (1), to below 1/100
// second.
func crossing(p Place, noon, direction, altitude float64) (float64, bool) {
	above, below := noon, noon+direction*12*60
	if position(p, below).Altitude >= altitude {
		return 0, false
	}
	for range 24 {
		half := (above + below) / 2
		if position(p, half).Altitude >= altitude {
			above = half
		} else {
			below = half
		}
	}
	return (above + below) / 2, true
}
