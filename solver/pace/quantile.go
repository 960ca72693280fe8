package pace

import (
	"errors"
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

// Quantile returns e^(μ + σ·z) for the normal quantile z of p, 0 < p < 1.
func (l Lognormal) Quantile(p float64) float64 {
	if l.Sigma == 0 {
		return math.Exp(l.Mu)
	}
	return math.Exp(l.Mu + l.Sigma*NormalQuantile(p))
}
