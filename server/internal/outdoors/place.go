package outdoors

import (
	"math"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
)

// Spot is a point on the earth in degrees: north of the equator and east of Greenwich.
type Spot struct{ Latitude, Longitude float64 }

// SpotOf returns where a block is: what it says itself, else where the event is. It reports false
// when neither says it.
func SpotOf(e event.Event, b event.Block) (Spot, bool) {
	for _, at := range [][2]*float64{{b.Latitude, b.Longitude}, {e.Latitude, e.Longitude}} {
		if at[0] != nil && at[1] != nil {
			return Spot{*at[0], *at[1]}, true
		}
	}
	return Spot{}, false
}

// compassPoints are the sixteen points, clockwise from north.
var compassPoints = [16]string{
	"n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw",
}

// Bearing reads a direction: degrees clockwise from north, 0 to 360, or one of the sixteen compass
// points as letters or words ("NNE", "north-north-east"). It returns degrees from 0 to below 360, and
// false for anything else.
func Bearing(s string) (float64, bool) {
	word := strings.ToLower(strings.TrimSpace(s))
	number := strings.TrimSuffix(strings.TrimSpace(strings.TrimSuffix(word, "°")), " degrees")
	if strings.Trim(number, "0123456789.") == "" {
		if d, err := strconv.ParseFloat(number, 64); err == nil && d >= 0 && d <= 360 {
			return math.Mod(d, 360), true
		}
		return 0, false
	}
	letters := strings.NewReplacer("north", "n", "east", "e", "south", "s", "west", "w", "-", "", " ", "").Replace(word)
	for i, point := range compassPoints {
		if letters == point {
			return float64(i) * 22.5, true
		}
	}
	return 0, false
}
