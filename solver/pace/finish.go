package pace

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// Limits of a request.
const (
	maxSlots   = 2000
	maxSeconds = 7 * 24 * 3600
	maxDraws   = 1_000_000
)

// Slot is one slot of a block as the minutes model sees it, in seconds.
type Slot struct {
	// Mean is the time by the model, above 0 and at most a week.
	Mean float64
	// SD is the standard deviation of the slot's own factor; 0 means Spread.Own times the mean.
	SD float64
	// NotBefore is the earliest start from the beginning of the block: people not yet there, an
	// earlier time on the clock. 0 means none.
	NotBefore float64
}

// Spread says how far times stray from the model.
type Spread struct {
	// Own is the coefficient of variation (standard deviation over mean) of a slot, 0 to 2.
	Own float64
	// Day is that of the factor shared by all slots of a day, 0 to 2.
	Day float64
}

// What is thought of a studio before anything is measured.
const (
	between    = 0.35 // lognormal spread between photographers; see doc.go
	usualOwn   = 0.25 // a slot of four minutes takes three to five two times in three: common practice, no source
	usualDay   = 0.10 // the days of one studio run a tenth slow or fast: common practice, no source
	usualCount = 4    // as many days as usualDay counts for: a judgement, no source
)

// DefaultSpread is that of a studio of which nothing is known.
func DefaultSpread() Spread {
	return Spread{Own: usualOwn, Day: math.Sqrt(math.Expm1(between * between))}
}

// Known is the spread of a day to come with a studio whose pace was fitted to some days, at least 1. Their own
// spread, day, is drawn towards the usual one, because a few days that went alike do not show that all do. What
// is left open of the pace, between photographers on one side and by so many days on the other, is added to it.
func Known(day float64, days int) float64 {
	n := float64(days)
	own := (usualCount*usualDay*usualDay + (n-1)*day*day) / (usualCount + n - 1)
	return math.Sqrt(own + 1/(1/(between*between)+n/own))
}

// Question asks for times. Use DefaultQuestion and change what differs.
type Question struct {
	// Likely and Safe are the shares of days, above 0 and below 1, on which a time is kept.
	Likely, Safe float64
	// Draws is the number of simulated days, 100 to 1 000 000, and Seed what they follow from.
	Draws int
	Seed  uint64
}

// DefaultQuestion asks for the time kept on half the days and on 80 % of them.
func DefaultQuestion() Question { return Question{Likely: 0.5, Safe: 0.8, Draws: 20_000, Seed: 1} }

// Times are when a slot starts and finishes, in seconds from the beginning of the block.
type Times struct{ LikelyStart, SafeStart, LikelyFinish, SafeFinish float64 }

// closedVariation is the largest coefficient of variation of a slot at which the closed form is
// trusted: beyond it one long-tailed slot among steady ones puts it off by 2 % and more.
const closedVariation = 0.4

// Forecast returns likely and safe times for every slot of a block in its order. It uses the closed
// form where that is good to 1.5 % and simulates where a slot has a NotBefore or strays far from
// its mean. Its errors wrap ErrInvalid and name the field.
func Forecast(slots []Slot, s Spread, q Question) ([]Times, error) {
	if slices.ContainsFunc(slots, func(x Slot) bool { return x.NotBefore > 0 || x.sd(s) > closedVariation*x.Mean }) {
		return Simulate(slots, s, q)
	}
	return Closed(slots, s, q)
}

// Closed returns the times by the matched lognormal. It refuses slots with a NotBefore.
func Closed(slots []Slot, s Spread, q Question) ([]Times, error) {
	if err := check(slots, s, q); err != nil {
		return nil, err
	}
	for i, x := range slots {
		if x.NotBefore > 0 {
			return nil, fmt.Errorf("%w: slot %d: has an earliest start, which has no closed form", ErrInvalid, i+1)
		}
	}
	out := make([]Times, len(slots))
	var mean, variance float64
	var before Times
	for i, x := range slots {
		mean += x.Mean
		variance += math.Pow(x.sd(s), 2)
		l := sum(mean, variance, s.Day)
		out[i] = Times{
			LikelyStart: before.LikelyFinish, SafeStart: before.SafeFinish,
			LikelyFinish: l.Quantile(q.Likely), SafeFinish: l.Quantile(q.Safe),
		}
		before = out[i]
	}
	return out, nil
}

// sum matches a lognormal to a sum of slots times the factor of the day. With a day factor D of median
// 1 and coefficient c, and a sum X, E[DX] = √(1 + c²)·E X and E[(DX)²] = (1 + c²)²·(Var X + (E X)²).
func sum(mean, variance, day float64) Lognormal {
	c := 1 + day*day
	second := c * c * (variance + mean*mean)
	mean *= math.Sqrt(c)
	return LognormalFrom(mean, math.Sqrt(max(0, second-mean*mean)))
}

// Simulate returns the times from simulated days. Same input, same output.
func Simulate(slots []Slot, s Spread, q Question) ([]Times, error) {
	if err := check(slots, s, q); err != nil {
		return nil, err
	}
	own := make([]Lognormal, len(slots))
	for i, x := range slots {
		own[i] = LognormalFrom(x.Mean, x.sd(s))
	}
	day := LognormalFrom(1, s.Day)
	finishes := make([][]float64, len(slots)) // of each slot, by draw
	for i := range finishes {
		finishes[i] = make([]float64, q.Draws)
	}
	r := rand.New(rand.NewPCG(q.Seed, 0))
	for d := range q.Draws {
		factor := math.Exp(day.Sigma * r.NormFloat64())
		now := 0.0
		for i, x := range slots {
			now = max(now, x.NotBefore)
			now += factor * math.Exp(own[i].Mu+own[i].Sigma*r.NormFloat64())
			finishes[i][d] = now
		}
	}
	out := make([]Times, len(slots))
	var before []float64
	for i, x := range slots { // it starts when the one before is over
		slices.Sort(finishes[i])
		out[i] = Times{
			LikelyStart: quantile(before, q.Likely, x.NotBefore), SafeStart: quantile(before, q.Safe, x.NotBefore),
			LikelyFinish: quantile(finishes[i], q.Likely, 0), SafeFinish: quantile(finishes[i], q.Safe, 0),
		}
		before = finishes[i]
	}
	return out, nil
}

// quantile interpolates in a sorted sample in which nothing is below the least; that is all there is of an empty one.
func quantile(sorted []float64, p, least float64) float64 {
	if len(sorted) == 0 {
		return least
	}
	at := p * float64(len(sorted)-1)
	k := int(at)
	low, high := max(sorted[k], least), max(sorted[min(k+1, len(sorted)-1)], least)
	return low + (at-float64(k))*(high-low)
}

func (x Slot) sd(s Spread) float64 {
	if x.SD > 0 {
		return x.SD
	}
	return s.Own * x.Mean
}

func check(slots []Slot, s Spread, q Question) error {
	var errs []error
	in := func(field string, v, low, high float64) {
		if !(v >= low && v <= high) {
			errs = append(errs, fmt.Errorf("%s: %g, want %g to %g", field, v, low, high))
		}
	}
	if len(slots) > maxSlots {
		errs = append(errs, fmt.Errorf("slots: %d, want at most %d", len(slots), maxSlots))
	}
	for i, x := range slots {
		at := fmt.Sprintf("slot %d ", i+1)
		in(at+"mean", x.Mean, 1e-3, maxSeconds)
		in(at+"deviation", x.SD, 0, maxSeconds)
		in(at+"earliest start", x.NotBefore, 0, maxSeconds)
	}
	in("spread of a slot", s.Own, 0, 2)
	in("spread of a day", s.Day, 0, 2)
	in("likely share", q.Likely, 0.001, 0.999)
	in("safe share", q.Safe, 0.001, 0.999)
	in("draws", float64(q.Draws), 100, maxDraws)
	if work := len(slots) * q.Draws; work > 20_000_000 {
		errs = append(errs, fmt.Errorf("draws: %d for %d slots are too many, want at most %d", q.Draws, len(slots), 20_000_000/len(slots)))
	}
	if len(errs) > 0 {
		return fmt.Errorf("%w: %w", ErrInvalid, errors.Join(errs...))
	}
	return nil
}
