package fill

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is not parted begins a new page where it does not fit, and what is longer than a page goes on.
func TestPages(t *testing.T) {
	p := Pages{High: 100}
	for _, high := range []float64{60, 30, 20, 80} {
		p.Put(high, false)
	}
	assert.InDelta(t, 2, p.Count(), 0.001)
	p.Put(250, false)
	assert.InDelta(t, 4.5, p.Count(), 0.001)
	p.Put(60, true)
	assert.InDelta(t, 5.1, p.Count(), 0.001)
}

// A sheet is set as large as its last page has room for, however wrong its height is.
func TestLarger(t *testing.T) {
	for part, want := range map[float64]float64{0.3: 1.5, 0.6: 1.25, 0.85: 1.05, 0.97: 1, 2.5: 1.05, 2.9: 1} {
		assert.InDelta(t, want, Larger(func(f, lower float64) float64 { return part * f * f * lower }), 0.001, part)
	}
	parted := func(f, lower float64) float64 { return math.Floor(f*lower*2) / 2 } // a page more from one height on
	assert.InDelta(t, 1.4, Larger(parted), 0.001)
}
