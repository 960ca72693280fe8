package check

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

// outside is an event whose sheet says what the sun does.
func outside() event.Event {
	e := small()
	e.Latitude, e.Longitude = ptr(38.7), ptr(-9.4)
	e.Blocks[0].Facing = "NE"
	return e
}

func TestCheckOutdoors(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*event.Event)
		want   []string
	}{
		"sound":             {func(*event.Event) {}, []string{}},
		"block of its own":  {func(e *event.Event) { e.Blocks[0].Latitude, e.Blocks[0].Longitude = ptr(38.8), ptr(-9.2) }, []string{}},
		"half a place":      {func(e *event.Event) { e.Longitude = nil }, []string{"error MISSING longitude"}},
		"half of a block's": {func(e *event.Event) { e.Blocks[0].Longitude = ptr(1.0) }, []string{"error MISSING blocks[0].latitude"}},
		"off the earth":     {func(e *event.Event) { e.Latitude, e.Blocks[0].Facing = ptr(91.0), "" }, []string{"error OUT_OF_RANGE latitude"}},
		"not a number":      {func(e *event.Event) { e.Longitude = ptr(math.NaN()) }, []string{"error OUT_OF_RANGE longitude"}},
		"no direction":      {func(e *event.Event) { e.Blocks[0].Facing = "the sea" }, []string{"error UNKNOWN_VALUE blocks[0].facing"}},
		"nowhere":           {func(e *event.Event) { e.Latitude, e.Longitude = nil, nil }, []string{"warning NO_EFFECT blocks[0].facing"}},
		"under a roof":      {func(e *event.Event) { e.Blocks[0].Indoors = true }, []string{"warning NO_EFFECT blocks[0].facing"}},
		"no zone":           {func(e *event.Event) { e.TimeZone = "" }, []string{"warning NO_ZONE_FOR_SUN timeZone"}},
		"wrong sign":        {func(e *event.Event) { e.TimeZone, e.Longitude = "America/Denver", ptr(105.2) }, []string{"warning PLACE_AGAINST_ZONE longitude"}},
		"wrong in a block":  {func(e *event.Event) { e.Blocks[0].Latitude, e.Blocks[0].Longitude = ptr(38.8), ptr(92.0) }, []string{"warning PLACE_AGAINST_ZONE blocks[0].longitude"}},
		// Clocks farthest from the sun: western China, the Line Islands across the date line, Spain.
		"Kashgar":    {func(e *event.Event) { e.TimeZone, e.Longitude = "Asia/Shanghai", ptr(76.0) }, []string{}},
		"Kiritimati": {func(e *event.Event) { e.TimeZone, e.Longitude = "Pacific/Kiritimati", ptr(-157.4) }, []string{}},
		"Vigo":       {func(e *event.Event) { e.TimeZone, e.Longitude = "Europe/Madrid", ptr(-8.7) }, []string{}},
		"too near":   {func(e *event.Event) { e.Blocks[0].StandBackCM = 20 }, []string{"error OUT_OF_RANGE blocks[0].standBackCm"}},
		"spread":     {func(e *event.Event) { e.Pace.SlotSpreadPercent = ptr(201) }, []string{"error OUT_OF_RANGE pace.slotSpreadPercent"}},
	} {
		e := outside()
		c.change(&e)
		assert.Equal(t, c.want, found(Event(e)), name)
	}
}

func TestCheckKit(t *testing.T) {
	kit := event.Kit{SensorWidthMM: 36, SensorHeightMM: 24, Lenses: []event.Lens{{FocalMM: 24, FocalToMM: 70, Widest: 2.8}, {Title: "Long one", FocalMM: 85, Widest: 1.8}}}
	for name, c := range map[string]struct {
		change func(*event.Kit)
		want   []string
	}{
		"sound":     {func(*event.Kit) {}, []string{}},
		"none":      {func(k *event.Kit) { *k = event.Kit{} }, []string{}},
		"no lens":   {func(k *event.Kit) { k.Lenses = nil }, []string{"error MISSING kit.lenses"}},
		"no sensor": {func(k *event.Kit) { k.SensorHeightMM = 0 }, []string{"error OUT_OF_RANGE kit.sensorHeightMm"}},
		"no focal":  {func(k *event.Kit) { k.Lenses[0].FocalMM = math.NaN() }, []string{"error OUT_OF_RANGE kit.lenses[0].focalMm"}},
		"backward":  {func(k *event.Kit) { k.Lenses[0].FocalToMM = 20 }, []string{"error OUT_OF_RANGE kit.lenses[0].focalToMm"}},
		"aperture":  {func(k *event.Kit) { k.Lenses[1].Widest = 0 }, []string{"error OUT_OF_RANGE kit.lenses[1].widest"}},
		"groups":    {func(k *event.Kit) { k.GroupAperture = 90 }, []string{"error OUT_OF_RANGE kit.groupAperture"}},
		"too many":  {func(k *event.Kit) { k.Lenses = make([]event.Lens, 21) }, []string{"error TOO_MANY kit.lenses"}},
	} {
		e := small()
		e.Kit = event.Kit{SensorWidthMM: kit.SensorWidthMM, SensorHeightMM: kit.SensorHeightMM, Lenses: append([]event.Lens(nil), kit.Lenses...)}
		c.change(&e.Kit)
		assert.Equal(t, c.want, found(Event(e)), name)
	}
}
