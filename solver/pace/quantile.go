package pace

import (
	"errors"
	"fmt"
	"math"
)

// ErrInvalid is wrapped by every error of this package.
var ErrInvalid = errors.New("invalid pace request")

// NormalQuantile returns the p-quantile of the standard normal distribution, 0 < p < 1; it is -Inf
// and +Inf at the ends.
func NormalQuantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// Lognormal is a lognormal distribution: the logarithm is normal with mean Mu and deviation Sigma.
type Lognormal struct{ Mu, Sigma float64 }

// LognormalFrom returns the lognormal with a mean above 0 and a standard deviation of at least 0:
// σ² = ln(1 + sd²/mean²), μ = ln mean − σ²/2.
func LognormalFrom(mean, sd float64) Lognormal {
	v := math.Log1p(sd * sd / (mean * mean))
	return Lognormal{Mu: math.Log(mean) - v/2, Sigma: math.Sqrt(v)}
}

// Mean returns e^(μ + σ²/2).
func (l Lognormal) Mean() float64 { return math.Exp(l.Mu + l.Sigma*l.Sigma/2) }

// SD returns the standard deviation.
func (l Lognormal) SD() float64 { return l.Mean() * math.Sqrt(math.Expm1(l.Sigma*l.Sigma)) }

// Quantile returns e^(μ + σ·z) for the normal quantile z of p, 0 < p < 1.
func (l Lognormal) Quantile(p float64) float64 {
	if l.Sigma == 0 {
		return math.Exp(l.Mu)
	}
	return math.Exp(l.Mu + l.Sigma*NormalQuantile(p))
}

// ThreePoint is a planner's guess at how long something takes: at the least, most likely and at the
// most, in seconds.
type ThreePoint struct{ Low, Likely, High float64 }

// Check names what is wrong with a guess; its error wraps ErrInvalid.
func (t ThreePoint) Check() error {
	if !(t.Low >= 0 && t.Likely >= t.Low && t.High >= t.Likely && t.High > 0 && t.High <= maxSeconds) {
		return fmt.Errorf("%w: guess %g, %g, %g: want 0 <= low <= likely <= high, above 0 and at most %d s", ErrInvalid, t.Low, t.Likely, t.High, maxSeconds)
	}
	return nil
}

// Slot returns a slot with the mean (low + 4·likely + high)/6 and the standard deviation
// (high − low)/6 of PERT (Malcolm et al., Operations Research 7, 1959). The beta distribution with
// that mean has a slightly larger deviation; PERT's own is the one used.
func (t ThreePoint) Slot() Slot {
	return Slot{Mean: (t.Low + 4*t.Likely + t.High) / 6, SD: (t.High - t.Low) / 6}
}

// Triangular returns the p-quantile of the triangular distribution over the guess, which trusts the
// ends more than PERT does.
func (t ThreePoint) Triangular(p float64) float64 {
	width, rise := t.High-t.Low, t.Likely-t.Low
	if p*width <= rise {
		return t.Low + math.Sqrt(p*width*rise)
	}
	return t.High - math.Sqrt((1-p)*width*(t.High-t.Likely))
}
