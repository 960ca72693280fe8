package outdoors

import (
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
