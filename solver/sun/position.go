// Package sun says when the sun rises and sets, when civil twilight begins and ends, and where the
// sun stands, for a place and a local date. It knows no weather, hills or houses: the horizon is
// flat and at sea level, the refraction average.
//
// The formulas are those of the solar calculator of the U.S. National Oceanic and Atmospheric
// Administration (NOAA), after J. Meeus, Astronomical Algorithms. They are good to about a minute
// up to 62° of latitude and to about a minute and a half at 78°, between the years 1900 and 2100.
package sun

import (
	"errors"
	"fmt"
	"math"
	"time"
)

// ErrInvalid is wrapped by every error of this package.
var ErrInvalid = errors.New("invalid sun request")

// Place is a point on the earth in degrees.
type Place struct {
	// Latitude is north of the equator, from -90 to 90.
	Latitude float64
	// Longitude is east of Greenwich, from -180 to 180.
	Longitude float64
}

func (p Place) check() error {
	var errs []error
	if !(p.Latitude >= -90 && p.Latitude <= 90) {
		errs = append(errs, fmt.Errorf("latitude: %g, want -90 to 90 degrees", p.Latitude))
	}
	if !(p.Longitude >= -180 && p.Longitude <= 180) {
		errs = append(errs, fmt.Errorf("longitude: %g, want -180 to 180 degrees", p.Longitude))
	}
	return errors.Join(errs...)
}

// Position is where the sun stands in the sky, in degrees.
type Position struct {
	// Altitude is the height of the sun's centre above the horizon, from -90 to 90, without
	// refraction (which lifts it by up to half a degree near the horizon).
	Altitude float64
	// Azimuth is the direction clockwise from north, from 0 to below 360.
	Azimuth float64
}

// At returns the position of the sun at an instant. Its errors wrap ErrInvalid.
func At(p Place, at time.Time) (Position, error) {
	if err := p.check(); err != nil {
		return Position{}, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	return position(p, minutesSinceEpoch(at)), nil
}

// epoch is noon UTC of 1 January 2000 (Julian date 2451545.0), from which time is counted.
var epoch = time.Date(2000, 1, 1, 12, 0, 0, 0, time.UTC)

// minutesSinceEpoch counts in whole and fractional minutes without the 292 years that a
// time.Duration can hold.
func minutesSinceEpoch(t time.Time) float64 {
	return float64(t.Unix()-epoch.Unix())/60 + float64(t.Nanosecond())/60e9
}

func instant(minutes float64) time.Time {
	ms := int64(math.Round(minutes * 60e3))
	return time.UnixMilli(epoch.UnixMilli() + ms).UTC()
}

// ephemeris holds what the position needs from the date alone.
type ephemeris struct {
	declination    float64 // radians
	equationOfTime float64 // minutes
}

func ephemerisAt(minutes float64) ephemeris {
	century := minutes / (24 * 60) / 36525
	meanLongitude := rad(280.46646 + century*(36000.76983+century*0.0003032))
	meanAnomaly := rad(357.52911 + century*(35999.05029-century*0.0001537))
	eccentricity := 0.016708634 - century*(0.000042037+century*0.0000001267)
	center := math.Sin(meanAnomaly)*(1.914602-century*(0.004817+century*0.000014)) +
		math.Sin(2*meanAnomaly)*(0.019993-century*0.000101) + math.Sin(3*meanAnomaly)*0.000289
	node := rad(125.04 - 1934.136*century)
	longitude := meanLongitude + rad(center-0.00569-0.00478*math.Sin(node))
	obliquity := rad(23+(26+(21.448-century*(46.815+century*(0.00059-century*0.001813)))/60)/60) +
		rad(0.00256*math.Cos(node))
	y := math.Pow(math.Tan(obliquity/2), 2)
	e := eccentricity
	equation := y*math.Sin(2*meanLongitude) - 2*e*math.Sin(meanAnomaly) +
		4*e*y*math.Sin(meanAnomaly)*math.Cos(2*meanLongitude) -
		y*y/2*math.Sin(4*meanLongitude) - 1.25*e*e*math.Sin(2*meanAnomaly)
	return ephemeris{
		declination:    math.Asin(math.Sin(obliquity) * math.Sin(longitude)),
		equationOfTime: 4 * deg(equation),
	}
}

// hourAngle returns the sun's distance from the meridian of the place in radians, west positive,
// from -π to below π.
func (e ephemeris) hourAngle(p Place, minutes float64) float64 {
	// The count begins at noon, where the mean sun of Greenwich stands on its meridian.
	degrees := (minutes+e.equationOfTime)/4 + p.Longitude
	return rad(math.Mod(math.Mod(degrees+180, 360)+360, 360) - 180)
}

func position(p Place, minutes float64) Position {
	e := ephemerisAt(minutes)
	h, phi, delta := e.hourAngle(p, minutes), rad(p.Latitude), e.declination
	sine := math.Sin(phi)*math.Sin(delta) + math.Cos(phi)*math.Cos(delta)*math.Cos(h)
	azimuth := math.Atan2(math.Sin(h), math.Cos(h)*math.Sin(phi)-math.Tan(delta)*math.Cos(phi))
	return Position{
		Altitude: deg(math.Asin(min(1, max(-1, sine)))),
		Azimuth:  math.Mod(deg(azimuth)+180+360, 360),
	}
}

func rad(degrees float64) float64 { return degrees * math.Pi / 180 }
func deg(radians float64) float64 { return radians * 180 / math.Pi }
