package check

import (
	"fmt"
	"math"
	"strconv"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/outdoors"
	"kinorder.example/server/internal/wording"
)

// Limits of a kit.
const (
	maxLenses = 20
	// farthestZone is how many hours the clocks of a zone may be off the sun: three at most where
	// people live (western China); more is a slip of sign or zone.
	farthestZone = 3.5
)

// decimal checks the number of a field against its range. Not-a-number fails every comparison.
func (c *checker) decimal(field string, v, least, most float64, subjects ...string) {
	if !(v >= least && v <= most) {
		a := NotInRange(field, v, least, most)
		c.add(a.Severity, a.Code, field, subjects, a.Message)
	}
}

// NotInRange is the fault of a field whose number is outside its range.
func NotInRange(field string, v, least, most float64) event.Advice {
	return event.Tell(event.Error, event.CodeOutOfRange, field, nil,
		wording.Say("outdoors.mustBeFromTo", field, figure(v), figure(least), figure(most)))
}

// figure writes a number, without an exponent where that takes few digits.
func figure(v float64) string {
	if math.Abs(v) < 1e9 {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

// spot checks a latitude and a longitude. It reports whether both are there.
func (c *checker) spot(at string, latitude, longitude *float64, subjects ...string) bool {
	if at != "" {
		at += "."
	}
	if latitude != nil {
		c.decimal(at+"latitude", *latitude, -90, 90, subjects...)
	}
	if longitude != nil {
		c.decimal(at+"longitude", *longitude, -180, 180, subjects...)
	}
	switch {
	case latitude != nil && longitude == nil:
		c.fault(event.CodeMissing, at+"longitude", subjects, "outdoors.latitudeAndNoLongitude")
	case latitude == nil && longitude != nil:
		c.fault(event.CodeMissing, at+"latitude", subjects, "outdoors.longitudeAndNoLatitude")
	}
	return latitude != nil && longitude != nil
}

// checkOutdoors checks what the sheet says of the sun by: places on the map and the camera's
// direction.
func (c *checker) checkOutdoors() {
	located := c.spot("", c.e.Latitude, c.e.Longitude)
	for i, b := range c.e.Blocks {
		at := fmt.Sprintf("blocks[%d]", i)
		located = c.spot(at, b.Latitude, b.Longitude, b.ID) || located
		if b.StandBackCM != 0 {
			c.number(at+".standBackCm", "outdoors.distanceInCentimetresThatTheCamera", b.StandBackCM, 50, 100_000, b.ID)
		}
		if b.Facing == "" {
			continue
		}
		if _, ok := outdoors.Bearing(b.Facing); !ok {
			c.fault(event.CodeUnknownValue, at+".facing", []string{b.ID},
				"outdoors.cameraCannotFace", event.Quoted(b.Facing))
			continue
		}
		_, known := outdoors.SpotOf(*c.e, b)
		switch {
		case b.Indoors:
			c.warn(event.CodeNoEffect, at+".facing", []string{b.ID}, "outdoors.whereTheCameraFacesSaysNothing")
		case !known && c.errors == 0:
			c.warn(event.CodeNoEffect, at+".facing", []string{b.ID},
				"outdoors.whereTheCameraFacesSaysNothingWithout")
		}
	}
	if located && c.errors == 0 {
		c.zoneOfSun()
	}
}

// zoneOfSun warns where the times of the sun would be wrong or cannot be told.
func (c *checker) zoneOfSun() {
	if c.e.TimeZone == "" {
		c.warn(event.CodeNoZoneForSun, "timeZone", nil,
			"outdoors.eventIsOnTheMapAnd")
		return
	}
	if c.clock == nil || c.clock.Date.IsZero() {
		return
	}
	_, offset := c.clock.Date.In(c.clock.Location()).Zone()
	off := func(longitude *float64) bool {
		return longitude != nil && math.Abs(math.Remainder(float64(offset)/3600-*longitude/15, 24)) > farthestZone
	}
	const text = "outdoors.atLongitudeTheClocksOfAre"
	if off(c.e.Longitude) {
		c.warn(event.CodePlaceAgainstZone, "longitude", nil, text, figure(*c.e.Longitude), event.Quoted(c.e.TimeZone))
	}
	for i, b := range c.e.Blocks {
		if off(b.Longitude) {
			c.warn(event.CodePlaceAgainstZone, fmt.Sprintf("blocks[%d].longitude", i), []string{b.ID}, text, figure(*b.Longitude), event.Quoted(c.e.TimeZone))
		}
	}
}

func (c *checker) checkKit() {
	k := c.e.Kit
	if !k.Given() {
		return
	}
	c.decimal("kit.sensorWidthMm", k.SensorWidthMM, 1, 200)
	c.decimal("kit.sensorHeightMm", k.SensorHeightMM, 1, 200)
	if k.GroupAperture != 0 {
		c.decimal("kit.groupAperture", k.GroupAperture, 0.7, 45)
	}
	if len(k.Lenses) == 0 {
		c.fault(event.CodeMissing, "kit.lenses", nil, "outdoors.kitHasNoLens")
	}
	for i, l := range k.Lenses {
		at := fmt.Sprintf("kit.lenses[%d]", i)
		c.text(at+".title", "outdoors.titleOfTheLens", l.Title)
		c.decimal(at+".focalMm", l.FocalMM, 1, 2000)
		if l.FocalToMM != 0 && l.FocalMM >= 1 {
			c.decimal(at+".focalToMm", l.FocalToMM, l.FocalMM, 2000)
		}
		c.decimal(at+".widest", l.Widest, 0.7, 45)
		if l.WidestLong != 0 {
			c.decimal(at+".widestLong", l.WidestLong, 0.7, 45)
		}
		c.setting(at+".closestCm", &l.ClosestCM, 10_000)
	}
}
