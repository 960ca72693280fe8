package pace

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

var (
	usual = Parameters{Settle: 20, PerStepIn: 4, PerStepOut: 2, Fresh: 15, PerFrame: 3, Arrange: 1, Slow: 1, Gather: 1}
	slow  = Parameters{Settle: 35, PerStepIn: 6, PerStepOut: 2, Fresh: 20, PerFrame: 5, Arrange: 1.5, Slow: 1.2, Gather: 1.3}
	brisk = Parameters{Settle: 8, PerStepIn: 6, PerStepOut: 1, Fresh: 24, PerFrame: 5, Arrange: 0.7, Slow: 1.5, Gather: 0.6}
)

// days invents the slots of some events at a pace.
func days(r *rand.Rand, p Parameters, events, slots int, s Spread) []Observed {
	var out []Observed
	for e := range events {
		day := LognormalFrom(1, max(1e-9, s.Day))
		factor := math.Exp(day.Mu + day.Sigma*r.NormFloat64())
		for range slots {
			in := r.IntN(12)
			o := Observed{Event: e, In: in, Out: r.IntN(10), Frames: 2 + in/2 + r.IntN(6), Fresh: r.IntN(4) == 0, Arrange: 3 * float64(in+r.IntN(5))}
			if r.IntN(3) == 0 {
				o.Slow = float64(10 * (1 + r.IntN(4)))
			}
			o.Gather = 200 * (1 - math.Pow(0.7, float64(r.IntN(in+1))))
			own := LognormalFrom(1, max(1e-9, s.Own))
			o.Seconds = p.Seconds(o) * factor * math.Exp(own.Mu+own.Sigma*r.NormFloat64())
			out = append(out, o)
		}
	}
	return out
}

// looked is a context that ends when it has been looked at so often.
type looked struct {
	context.Context
	left int
}

func (l *looked) Err() error {
	if l.left--; l.left < 0 {
		return context.Canceled
	}
	return nil
}

// The fit ends with its caller, wherever it is.
func TestFitEndsWithItsCaller(t *testing.T) {
	slots := days(rand.New(rand.NewPCG(21, 9)), brisk, 6, 25, Spread{Own: 0.2})
	all := &looked{t.Context(), math.MaxInt}
	if _, err := HoldOut(all, slots, usual, nil); err != nil {
		t.Fatal(err)
	}
	looks := math.MaxInt - all.left
	if looks < 6*2 {
		t.Errorf("%d looks for six fits of several steps", looks)
	}
	for n := 0; n < looks; n += 5 {
		ctx := &looked{t.Context(), n}
		if _, err := HoldOut(ctx, slots, usual, nil); !errors.Is(err, context.Canceled) {
			t.Fatalf("after %d looks: %v", n, err)
		}
		if ctx.left < -2 {
			t.Fatalf("it went on for %d looks", -ctx.left)
		}
	}
}

func TestFitFindsThePace(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 1))
	// Without noise, three hundred slots leave the prior no say.
	got, err := Fit(t.Context(), days(r, brisk, 3, 100, Spread{}), usual)
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range brisk.list() {
		if have := got.list()[k]; math.Abs(have-want) > 0.03*want+0.1 {
			t.Errorf("parameter %d: %g, want %g", k, have, want)
		}
		if !got.Informed[k] {
			t.Errorf("parameter %d is not informed", k)
		}
	}
	// With noise the truth lies within the deviations stated; the prior draws towards itself by up to
	// one of them, on purpose.
	off, count := 0.0, 0
	for range 30 {
		got, err := Fit(t.Context(), days(r, brisk, 8, 40, Spread{Own: 0.2}), usual)
		if err != nil {
			t.Fatal(err)
		}
		for k, want := range brisk.list() {
			z := (got.list()[k] - want) / got.Deviation.list()[k]
			if math.Abs(z) > 5 {
				t.Errorf("parameter %d: %g ± %g, want %g", k, got.list()[k], got.Deviation.list()[k], want)
			}
			off, count = off+z*z, count+1
		}
	}
	if rms := math.Sqrt(off / float64(count)); rms > 1.6 || rms < 0.5 {
		t.Errorf("errors are %g of the stated deviation, want about 1", rms)
	}
}

func TestFitResistsOutliers(t *testing.T) {
	r := rand.New(rand.NewPCG(22, 1))
	slots := days(r, brisk, 4, 60, Spread{Own: 0.1})
	clean, err := Fit(t.Context(), slots, usual)
	if err != nil {
		t.Fatal(err)
	}
	for i := range slots {
		if i%20 == 7 { // somebody forgot to mark: half an hour
			slots[i].Seconds += 1800
		}
	}
	dirty, err := Fit(t.Context(), slots, usual)
	if err != nil {
		t.Fatal(err)
	}
	if dirty.Outliers < 12 || dirty.Outliers > 30 {
		t.Errorf("%d outliers, want about the 12 that were put in", dirty.Outliers)
	}
	var a, b float64
	for _, o := range days(r, brisk, 1, 200, Spread{}) {
		a += math.Abs(clean.Seconds(o) - o.Seconds)
		b += math.Abs(dirty.Seconds(o) - o.Seconds)
	}
	if b > a+200*6 {
		t.Errorf("average error %g s with outliers, %g s without", b/200, a/200)
	}
}

func TestFitKeepsThePriorWhereNothingIsKnown(t *testing.T) {
	r := rand.New(rand.NewPCG(23, 1))
	slots := days(r, brisk, 3, 20, Spread{Own: 0.1})
	for i := range slots { // nobody slow, nothing fresh
		slots[i].Slow, slots[i].Fresh = 0, false
		slots[i].Seconds = brisk.Seconds(slots[i])
	}
	got, err := Fit(t.Context(), slots, usual)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got.Slow-1) > 1e-9 || math.Abs(got.Fresh-15) > 1e-9 || got.Informed[3] || got.Informed[6] {
		t.Errorf("%+v, want fresh and slow left at their prior", got)
	}
	if math.Abs(got.Deviation.Slow-0.5) > 1e-9 || math.Abs(got.Deviation.Fresh-7.5) > 1e-9 {
		t.Errorf("deviations %+v, want those of the prior", got.Deviation)
	}
	// Slots that took exactly what the prior says leave it where it is.
	for i := range slots {
		slots[i].Seconds = usual.Seconds(slots[i])
	}
	if got, err = Fit(t.Context(), slots, usual); err != nil {
		t.Fatal(err)
	}
	for k, want := range usual.list() {
		if math.Abs(got.list()[k]-want) > 1e-6 {
			t.Errorf("parameter %d moved to %g", k, got.list()[k])
		}
	}
}

func TestFitSplitsTheSpread(t *testing.T) {
	r := rand.New(rand.NewPCG(24, 1))
	got, err := Fit(t.Context(), days(r, brisk, 60, 30, Spread{Own: 0.2, Day: 0.15}), usual)
	if err != nil {
		t.Fatal(err)
	}
	if got.Events != 60 || got.Slots != 1800 || math.Abs(got.Spread.Own-0.2) > 0.03 || math.Abs(got.Spread.Day-0.15) > 0.04 {
		t.Errorf("%+v, want spreads of about 0.2 and 0.15", got)
	}
}

func TestFitDoesNotDependOnTheOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(25, 1))
	slots := days(r, brisk, 4, 10, Spread{Own: 0.2, Day: 0.1})
	a, err := Fit(t.Context(), slots, usual)
	if err != nil {
		t.Fatal(err)
	}
	r.Shuffle(len(slots), func(i, j int) { slots[i], slots[j] = slots[j], slots[i] })
	b, err := Fit(t.Context(), slots, usual)
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range a.list() {
		if math.Abs(b.list()[k]-want) > 1e-4*(1+want) {
			t.Errorf("parameter %d: %g and %g", k, want, b.list()[k])
		}
	}
}

func TestHoldOut(t *testing.T) {
	r := rand.New(rand.NewPCG(26, 1))
	v, err := HoldOut(t.Context(), days(r, slow, 6, 25, Spread{Own: 0.2, Day: 0.05}), usual, nil)
	if err != nil {
		t.Fatal(err)
	}
	if v.Events != 6 || v.After.Slot > 0.9*v.Before.Slot || v.After.Event > 0.6*v.Before.Event {
		t.Errorf("another pace: %+v, want clearly smaller errors after", v)
	}
	// A studio that works at the usual pace is not made worse by much.
	v, err = HoldOut(t.Context(), days(r, usual, 6, 25, Spread{Own: 0.2, Day: 0.05}), usual, nil)
	if err != nil {
		t.Fatal(err)
	}
	if v.After.Slot > 1.05*v.Before.Slot {
		t.Errorf("the usual pace: %+v, want about the same errors", v)
	}
}

func TestTooFewAndBadSlotsAreNamed(t *testing.T) {
	r := rand.New(rand.NewPCG(27, 1))
	if _, err := Fit(t.Context(), days(r, brisk, 1, MinSlots-1, Spread{}), usual); !errors.Is(err, ErrTooFew) {
		t.Errorf("few: %v, want ErrTooFew", err)
	}
	if _, err := HoldOut(t.Context(), days(r, brisk, 1, 60, Spread{}), usual, nil); !errors.Is(err, ErrTooFew) {
		t.Errorf("one event: %v, want ErrTooFew", err)
	}
	if _, err := HoldOut(t.Context(), days(r, brisk, 2, 10, Spread{}), usual, nil); !errors.Is(err, ErrTooFew) {
		t.Errorf("small events: %v, want ErrTooFew", err)
	}
	bad := days(r, brisk, 1, 30, Spread{})
	bad[3].Seconds = math.NaN()
	if _, err := Fit(t.Context(), bad, usual); !errors.Is(err, ErrInvalid) {
		t.Errorf("not a number: %v, want ErrInvalid", err)
	}
	if _, err := HoldOut(t.Context(), bad, usual, nil); !errors.Is(err, ErrInvalid) {
		t.Errorf("not a number held out: %v, want ErrInvalid", err)
	}
	if _, err := Fit(t.Context(), days(r, brisk, 1, 30, Spread{}), Parameters{Settle: -1}); !errors.Is(err, ErrInvalid) {
		t.Errorf("prior: %v, want ErrInvalid", err)
	}
}

// With many events they are held out in groups, and none is judged by a fit that has seen it.
func TestHoldOutInGroups(t *testing.T) {
	r := rand.New(rand.NewPCG(28, 1))
	slots := days(r, slow, 45, 6, Spread{Own: 0.1, Day: 0.05})
	v, err := HoldOut(t.Context(), slots, usual, nil)
	if err != nil {
		t.Fatal(err)
	}
	if v.Events != 45 || v.After.Event > 0.6*v.Before.Event {
		t.Errorf("%+v, want 45 events and clearly smaller errors after", v)
	}
	// An event that is unlike all others is off by as much as if it had been held out alone.
	for i := range slots {
		if slots[i].Event == 7 {
			slots[i].Seconds *= 3
		}
	}
	w, err := HoldOut(t.Context(), slots, usual, nil)
	if err != nil {
		t.Fatal(err)
	}
	if w.After.Event < v.After.Event {
		t.Errorf("%+v after %+v, want the odd event to count", w, v)
	}
}
