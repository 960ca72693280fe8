package event

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestBearing(t *testing.T) {
	for s, want := range map[string]float64{
		"N": 0, "nne": 22.5, "North-North-East": 22.5, "south west": 225, "SSW": 202.5, " w ": 270, "northwest": 315,
		"0": 0, "360": 0, "90": 90, "225°": 225, "12.5": 12.5, "45 degrees": 45,
	} {
		got, ok := Bearing(s)
		assert.True(t, ok, s)
		assert.InDelta(t, want, got, 0, s)
	}
	for _, s := range []string{"", "up", "361", "-5", "NEN", "1e2", "NaN", ".", "..", "°", "north by west", "९०"} {
		_, ok := Bearing(s)
		assert.False(t, ok, s)
	}
}

func FuzzBearing(f *testing.F) {
	f.Add("NNE")
	f.Add("225°")
	f.Fuzz(func(t *testing.T, s string) {
		if d, ok := Bearing(s); ok && !(d >= 0 && d < 360) {
			t.Errorf("%q is %g", s, d)
		}
	})
}

// outside is an event whose sheet says what the sun does.
func outside() Event {
	e := small()
	e.Latitude, e.Longitude = ptr(38.7), ptr(-9.4)
	e.Blocks[0].Facing = "NE"
	return e
}

func TestCheckOutdoors(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Event)
		want   []string
	}{
		"sound":             {func(*Event) {}, []string{}},
		"block of its own":  {func(e *Event) { e.Blocks[0].Latitude, e.Blocks[0].Longitude = ptr(38.8), ptr(-9.2) }, []string{}},
		"half a place":      {func(e *Event) { e.Longitude = nil }, []string{"error MISSING longitude"}},
		"half of a block's": {func(e *Event) { e.Blocks[0].Longitude = ptr(1.0) }, []string{"error MISSING blocks[0].latitude"}},
		"off the earth":     {func(e *Event) { e.Latitude, e.Blocks[0].Facing = ptr(91.0), "" }, []string{"error OUT_OF_RANGE latitude"}},
		"not a number":      {func(e *Event) { e.Longitude = ptr(math.NaN()) }, []string{"error OUT_OF_RANGE longitude"}},
		"no direction":      {func(e *Event) { e.Blocks[0].Facing = "the sea" }, []string{"error UNKNOWN_VALUE blocks[0].facing"}},
		"nowhere":           {func(e *Event) { e.Latitude, e.Longitude = nil, nil }, []string{"warning NO_EFFECT blocks[0].facing"}},
		"under a roof":      {func(e *Event) { e.Blocks[0].Indoors = true }, []string{"warning NO_EFFECT blocks[0].facing"}},
		"no zone":           {func(e *Event) { e.TimeZone = "" }, []string{"warning NO_ZONE_FOR_SUN timeZone"}},
		"wrong sign":        {func(e *Event) { e.TimeZone, e.Longitude = "America/Denver", ptr(105.2) }, []string{"warning PLACE_AGAINST_ZONE longitude"}},
		"wrong in a block":  {func(e *Event) { e.Blocks[0].Latitude, e.Blocks[0].Longitude = ptr(38.8), ptr(92.0) }, []string{"warning PLACE_AGAINST_ZONE blocks[0].longitude"}},
		// Clocks farthest from the sun: western China, the Line Islands across the date line, Spain.
		"Kashgar":    {func(e *Event) { e.TimeZone, e.Longitude = "Asia/Shanghai", ptr(76.0) }, []string{}},
		"Kiritimati": {func(e *Event) { e.TimeZone, e.Longitude = "Pacific/Kiritimati", ptr(-157.4) }, []string{}},
		"Vigo":       {func(e *Event) { e.TimeZone, e.Longitude = "Europe/Madrid", ptr(-8.7) }, []string{}},
		"too near":   {func(e *Event) { e.Blocks[0].StandBackCM = 20 }, []string{"error OUT_OF_RANGE blocks[0].standBackCm"}},
		"spread":     {func(e *Event) { e.Pace.SlotSpreadPercent = ptr(201) }, []string{"error OUT_OF_RANGE pace.slotSpreadPercent"}},
	} {
		e := outside()
		c.change(&e)
		assert.Equal(t, c.want, found(Check(e)), name)
	}
}

func TestCheckKit(t *testing.T) {
	kit := Kit{SensorWidthMM: 36, SensorHeightMM: 24, Lenses: []Lens{{FocalMM: 24, FocalToMM: 70, Widest: 2.8}, {Title: "Long one", FocalMM: 85, Widest: 1.8}}}
	for name, c := range map[string]struct {
		change func(*Kit)
		want   []string
	}{
		"sound":     {func(*Kit) {}, []string{}},
		"none":      {func(k *Kit) { *k = Kit{} }, []string{}},
		"no lens":   {func(k *Kit) { k.Lenses = nil }, []string{"error MISSING kit.lenses"}},
		"no sensor": {func(k *Kit) { k.SensorHeightMM = 0 }, []string{"error OUT_OF_RANGE kit.sensorHeightMm"}},
		"no focal":  {func(k *Kit) { k.Lenses[0].FocalMM = math.NaN() }, []string{"error OUT_OF_RANGE kit.lenses[0].focalMm"}},
		"backward":  {func(k *Kit) { k.Lenses[0].FocalToMM = 20 }, []string{"error OUT_OF_RANGE kit.lenses[0].focalToMm"}},
		"aperture":  {func(k *Kit) { k.Lenses[1].Widest = 0 }, []string{"error OUT_OF_RANGE kit.lenses[1].widest"}},
		"groups":    {func(k *Kit) { k.GroupAperture = 90 }, []string{"error OUT_OF_RANGE kit.groupAperture"}},
		"too many":  {func(k *Kit) { k.Lenses = make([]Lens, 21) }, []string{"error TOO_MANY kit.lenses"}},
	} {
		e := small()
		e.Kit = Kit{SensorWidthMM: kit.SensorWidthMM, SensorHeightMM: kit.SensorHeightMM, Lenses: append([]Lens(nil), kit.Lenses...)}
		c.change(&e.Kit)
		assert.Equal(t, c.want, found(Check(e)), name)
	}
}
