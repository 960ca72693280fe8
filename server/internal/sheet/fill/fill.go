// Package fill says how large a list may be set in print on one page, and a sheet without a page more: they are read by
// somebody who stands in the sun.
package fill

import (
	"math"
	"slices"
)

// larger are the factors by which a sheet may be set larger. Heights that are reckoned are wrong by some of these: as
// entries are not parted, a little less can take a page more.
var (
	larger = []float64{1.5, 1.4, 1.3, 1.25, 1.2, 1.15, 1.1, 1.05}
	wrong  = []float64{0.98, 1, 1.02, 1.04, 1.06}
)

// Larger is the largest of the factors at which a sheet takes no page more than as it is, else 1. pages says how many it
// takes, the last in part, at a factor on paper that is so much lower than it is.
func Larger(pages func(factor, lower float64) float64) float64 {
	for _, f := range larger {
		if !slices.ContainsFunc(wrong, func(by float64) bool { return pages(f, by) > math.Ceil(pages(1, by)) }) {
			return f
		}
	}
	return 1
}

// Pages are pages of one height that are filled from above.
type Pages struct {
	High, At float64 // of a page, and how far the last is full
	full     float64
}

// Put puts something below the last: on a new page where it does not fit, unless it may be parted.
func (p *Pages) Put(high float64, parted bool) {
	if p.At+high > p.High && p.At > 0 && !parted {
		p.full, p.At = p.full+1, 0
	}
	for p.At += high; p.At > p.High; p.At -= p.High {
		p.full++
	}
}

// Count is how many pages there are, the last in part.
func (p *Pages) Count() float64 { return p.full + p.At/p.High }
