package pace

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
)

// Parameters are those of the minutes model, all at least 0:
//
//	slot = Settle + PerStepIn·in + PerStepOut·out + Fresh·[nobody stays] + PerFrame·frames
//	     + Arrange·table(in) + Slow·slowest(in) + Gather·gathering(called)
type Parameters struct {
	// Settle, PerStepIn, PerStepOut, Fresh and PerFrame are in seconds.
	Settle, PerStepIn, PerStepOut, Fresh, PerFrame float64
	// Arrange multiplies the seconds of the table for placing newcomers, which keeps its shape;
	// Slow multiplies the extra seconds of the slowest person walking in, Gather those until people are there
	// who were called. 1 leaves them alone.
	Arrange, Slow, Gather float64
}

// parameters is how many there are.
const parameters = 8

func (p Parameters) list() [parameters]float64 {
	return [parameters]float64{p.Settle, p.PerStepIn, p.PerStepOut, p.Fresh, p.PerFrame, p.Arrange, p.Slow, p.Gather}
}

func fromList(v [parameters]float64) Parameters {
	return Parameters{v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7]}
}

// Observed is a slot that was timed on the day.
type Observed struct {
	// Event tells days apart; any number will do.
	Event int
	// In, Out and Frames are people walking in and out and frames shot, 0 to 20 000 each.
	In, Out, Frames int
	// Fresh says that nobody of the frame before stayed.
	Fresh bool
	// Arrange is what the table in force says for In newcomers, and Slow the extra of the
	// slowest person walking in and Gather the time until people are there, in seconds.
	Arrange, Slow, Gather float64
	// Seconds is what the slot took, above 0 and at most a day; leave out slots that were
	// interrupted.
	Seconds float64
}

func (o Observed) row() [parameters]float64 {
	fresh := 0.0
	if o.Fresh {
		fresh = 1
	}
	return [parameters]float64{1, float64(o.In), float64(o.Out), fresh, float64(o.Frames), o.Arrange, o.Slow, o.Gather}
}

// Seconds returns what the model says for an observed slot.
func (p Parameters) Seconds(o Observed) float64 {
	sum := 0.0
	for k, v := range o.row() {
		sum += v * p.list()[k]
	}
	return sum
}

// MinSlots is the least number of timed slots to fit to. It is common practice, no source: about
// three for each parameter, or one busy event.
const MinSlots = 20

// ErrTooFew is returned (wrapped) when there are fewer than MinSlots slots, or events too few to
// hold one out.
var ErrTooFew = errors.New("too few timed slots")

// Fitted is the pace of a studio.
type Fitted struct {
	Parameters
	// Deviation is the standard deviation left in each parameter; it is that of the prior where
	// the slots say nothing.
	Deviation Parameters
	// Informed says for each parameter, in the order of Parameters, that the slots and not the
	// prior speak: they left less than 80 % of the prior's deviation.
	Informed [parameters]bool
	// Spread is how far slots strayed from the fit and days from each other. Day is that of a usual studio
	// below three events.
	Spread Spread
	// Slots and Events are counted; Outliers are slots so far off that they had less than half
	// their say.
	Slots, Events, Outliers int
}

// Numbers of the fit. The Huber limit of 1.345 deviations keeps 95 % of the efficiency for normal
// errors (Huber 1964; from memory). A prior deviation of half the default is a judgement: no
// source.
const (
	huber       = 1.345
	priorShare  = 0.5
	leastPrior  = 1.0  // seconds
	leastSpread = 0.03 // nobody is steadier than this; it also keeps weights finite
)

// Fit fits the parameters to timed slots. It minimises, over parameters of at least 0,
//
//	Σ w·((seconds − model)/(spread·model))² + Σ ((parameter − prior)/(deviation of the prior))²
//
// by NNLS: errors are relative to the model's own time, every parameter is drawn towards its prior
// as strongly as half its size is a standard deviation, and w is Huber's weight, so that one wild
// slot pulls no harder than a late one. Weights, spread and model are repeated until they stand
// still. Errors wrap ErrInvalid or ErrTooFew, or are that of ctx when it ends first.
func Fit(ctx context.Context, slots []Observed, prior Parameters) (Fitted, error) {
	if err := checkFit(slots, prior); err != nil {
		return Fitted{}, err
	}
	if len(slots) < MinSlots {
		return Fitted{}, fmt.Errorf("%w: %d, want at least %d", ErrTooFew, len(slots), MinSlots)
	}
	f := fit{slots: slots, prior: prior.list(), spread: DefaultSpread().Own, weights: make([]float64, len(slots))}
	f.now = f.prior
	for i := range f.weights {
		f.weights[i] = 1
	}
	for range 60 {
		if ctx.Err() != nil {
			return Fitted{}, ctx.Err()
		}
		before := f.now
		if err := f.solve(); err != nil {
			return Fitted{}, err
		}
		f.reweigh()
		if f.still(before) {
			break
		}
	}
	return f.result()
}

type fit struct {
	slots   []Observed
	prior   [parameters]float64
	now     [parameters]float64
	spread  float64
	weights []float64
}

func (f *fit) priorDeviation(k int) float64 {
	least := leastPrior
	if k >= parameters-3 {
		least = priorShare // factors
	}
	return max(least, priorShare*f.prior[k])
}

// deviation is the standard deviation of a slot around the model.
func (f *fit) deviation(o Observed) float64 {
	return f.spread * max(1, fromList(f.now).Seconds(o))
}

// solve takes one weighted step: rows of slots, then one row per parameter for the prior.
func (f *fit) solve() error {
	rows := make([][]float64, 0, len(f.slots)+parameters)
	right := make([]float64, 0, len(f.slots)+parameters)
	for i, o := range f.slots {
		weight := math.Sqrt(f.weights[i]) / f.deviation(o)
		row := o.row()
		for k := range row {
			row[k] *= weight
		}
		rows, right = append(rows, row[:]), append(right, o.Seconds*weight)
	}
	for k := range parameters {
		row := make([]float64, parameters)
		row[k] = 1 / f.priorDeviation(k)
		rows, right = append(rows, row), append(right, f.prior[k]*row[k])
	}
	x, err := NNLS(rows, right)
	if err != nil {
		return err
	}
	copy(f.now[:], x)
	return nil
}

// reweigh sets the spread from the middle of the errors and Huber's weights from the spread.
func (f *fit) reweigh() {
	f.spread = max(leastSpread, robustDeviation(f.relative()))
	for i, r := range f.relative() {
		f.weights[i] = min(1, huber/max(huber, math.Abs(r)/f.spread))
	}
}

// relative returns the errors as shares of the model's time.
func (f *fit) relative() []float64 {
	out := make([]float64, len(f.slots))
	for i, o := range f.slots {
		model := max(1, fromList(f.now).Seconds(o))
		out[i] = (o.Seconds - model) / model
	}
	return out
}

// robustDeviation is 1.4826 times the median of the sizes: the standard deviation of normal errors,
// blind to outliers.
func robustDeviation(v []float64) float64 {
	sizes := make([]float64, len(v))
	for i, x := range v {
		sizes[i] = math.Abs(x)
	}
	slices.Sort(sizes)
	return 1.4826 * quantile(sizes, 0.5, 0)
}

func (f *fit) still(before [parameters]float64) bool {
	for k := range before {
		if math.Abs(f.now[k]-before[k]) > 1e-7*(1+before[k]) {
			return false
		}
	}
	return true
}

func (f *fit) result() (Fitted, error) {
	out := Fitted{Parameters: fromList(f.now), Slots: len(f.slots)}
	var deviation [parameters]float64
	inverse := f.inverse()
	for k := range parameters {
		deviation[k] = math.Sqrt(inverse[k][k])
		out.Informed[k] = deviation[k] < 0.8*f.priorDeviation(k)
	}
	out.Deviation = fromList(deviation)
	for _, w := range f.weights {
		if w < 0.5 {
			out.Outliers++
		}
	}
	out.Spread, out.Events = f.spreads()
	return out, nil
}

// inverse inverts the weighted normal matrix with the prior, which makes it positive definite, by
// Gauss and Jordan.
func (f *fit) inverse() [parameters][parameters]float64 {
	var a, b [parameters][parameters]float64
	for k := range parameters {
		a[k][k] = math.Pow(f.priorDeviation(k), -2)
		b[k][k] = 1
	}
	for i, o := range f.slots {
		w := f.weights[i] / math.Pow(f.deviation(o), 2)
		row := o.row()
		for k := range parameters {
			for l := range parameters {
				a[k][l] += w * row[k] * row[l]
			}
		}
	}
	for k := range parameters {
		pivot := a[k][k]
		for l := range parameters {
			a[k][l] /= pivot
			b[k][l] /= pivot
		}
		for m := range parameters {
			if factor := a[m][k]; m != k {
				for l := range parameters {
					a[m][l] -= factor * a[k][l]
					b[m][l] -= factor * b[k][l]
				}
			}
		}
	}
	return b
}

// spreads splits the errors into what a day shares and what is a slot's own: one-way random effects,
// with medians in place of means so that outliers do not count. The variance of a median of n normal
// values is about π/2 · variance / n.
func (f *fit) spreads() (Spread, int) {
	byEvent := map[int][]float64{}
	for i, r := range f.relative() {
		event := f.slots[i].Event
		byEvent[event] = append(byEvent[event], r)
	}
	var own, days []float64
	var share float64
	for _, e := range slices.Sorted(maps.Keys(byEvent)) {
		errs := byEvent[e]
		slices.Sort(errs)
		day := quantile(errs, 0.5, math.Inf(-1))
		days = append(days, day)
		for _, r := range errs {
			own = append(own, (r-day)/(1+day))
		}
		share += math.Pi / 2 / float64(len(errs)) / float64(len(byEvent))
	}
	s := Spread{Own: max(leastSpread, robustDeviation(own)), Day: usualDay}
	if len(days) >= 3 {
		slices.Sort(days)
		middle := quantile(days, 0.5, math.Inf(-1))
		var between float64
		for _, d := range days {
			between += (d - middle) * (d - middle) / float64(len(days)-1)
		}
		s.Day = math.Sqrt(max(0, between-s.Own*s.Own*share))
	}
	return s, len(days)
}

func checkFit(slots []Observed, prior Parameters) error {
	var errs []error
	in := func(field string, v, low, high float64) {
		if !(v >= low && v <= high) {
			errs = append(errs, fmt.Errorf("%s: %g, want %g to %g", field, v, low, high))
		}
	}
	for k, v := range prior.list() {
		in(fmt.Sprintf("prior of parameter %d", k+1), v, 0, 86400)
	}
	if len(slots) > 100_000 {
		errs = append(errs, fmt.Errorf("timed slots: %d, want at most 100000", len(slots)))
	}
	for i, o := range slots {
		at := fmt.Sprintf("timed slot %d ", i+1)
		in(at+"step-ins", float64(o.In), 0, 20000)
		in(at+"step-outs", float64(o.Out), 0, 20000)
		in(at+"frames", float64(o.Frames), 0, 20000)
		in(at+"arranging", o.Arrange, 0, 86400)
		in(at+"slow extra", o.Slow, 0, 86400)
		in(at+"gathering", o.Gather, 0, 86400)
		in(at+"seconds", o.Seconds, 0.1, 86400)
	}
	if len(errs) > 0 {
		return fmt.Errorf("%w: %w", ErrInvalid, errors.Join(errs...))
	}
	return nil
}
