package pace

import (
	"errors"
	"math"
	"testing"
)

func within(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s: %.9g, want %.9g to %g", what, got, want, relative)
	}
}

// The expected values were worked out from the textbook identities (those of the lognormal also
// stand in the appendix of a Rockwell Arena manual) and carry as many digits as are printed here.
func TestClosedForms(t *testing.T) {
	for p, z := range map[float64]float64{0.75: 0.674490, 0.80: 0.841621, 0.90: 1.281552, 0.95: 1.644854, 0.975: 1.959964, 0.99: 2.326348} {
		within(t, "normal quantile", NormalQuantile(p), z, 1e-6)
	}
	for _, c := range []struct {
		mean, sd, mu, sigma float64
		quantiles           map[float64]float64
	}{
		{240, 60, 5.450327, 0.246221, map[float64]float64{0.10: 169.827, 0.50: 232.834, 0.80: 286.446, 0.90: 319.217, 0.95: 349.088}},
		{180, 45, 5.162645, 0.246221, map[float64]float64{0.50: 174.626, 0.80: 214.835, 0.90: 239.413}},
		{300, 90, 5.660694, 0.293560, map[float64]float64{0.50: 287.348, 0.80: 367.881, 0.90: 418.596}},
	} {
		l := LognormalFrom(c.mean, c.sd)
		within(t, "mu", l.Mu, c.mu, 1e-6)
		within(t, "sigma", l.Sigma, c.sigma, 3e-6) // six digits are printed
		within(t, "mean", mean(l), c.mean, 1e-9)
		within(t, "deviation", mean(l)*math.Sqrt(math.Expm1(l.Sigma*l.Sigma)), c.sd, 1e-9)
		for p, want := range c.quantiles {
			within(t, "lognormal quantile", l.Quantile(p), want, 3e-6)
		}
	}
	// Median 120 and P90 180: sigma = ln 1.5 / 1.281552, mean 126.159.
	l := Lognormal{Mu: math.Log(120), Sigma: math.Log(1.5) / NormalQuantile(0.9)}
	within(t, "sigma", l.Sigma, 0.316386, 3e-6)
	within(t, "mean", mean(l), 126.159, 4e-6)
}

// mean is e^(μ + σ²/2).
func mean(l Lognormal) float64 { return math.Exp(l.Mu + l.Sigma*l.Sigma/2) }

func ten() []Slot {
	out := make([]Slot, 10)
	for i := range out {
		out[i] = Slot{Mean: 240, SD: 60}
	}
	return out
}

// Ten independent slots of mean 240 and deviation 60: P80 2556.88 and P90 2647.22 by the matched
// lognormal; a simulation of 400 000 days gave P50 2393, P80 2557.5, P90 2648.
func TestTenSlots(t *testing.T) {
	for _, c := range []struct{ p, closed, simulated float64 }{
		{0.50, 0, 2393}, {0.80, 2556.88, 2557.5}, {0.90, 2647.22, 2648},
	} {
		q := Question{Likely: 0.5, Safe: c.p, Draws: 40_000, Seed: 7}
		closed, err := Closed(ten(), Spread{}, q)
		if err != nil {
			t.Fatal(err)
		}
		if c.closed > 0 {
			within(t, "closed", closed[9].SafeFinish, c.closed, 3e-6)
		}
		simulated, err := Simulate(ten(), Spread{}, q)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "simulated", simulated[9].SafeFinish, c.simulated, 0.005)
	}
}

// The closed form is good to 1.5 % for every slot of unequal blocks with a shared day, at the
// quantiles a sheet may ask for.
func TestClosedAgreesWithSimulation(t *testing.T) {
	blocks := map[string][]Slot{
		"ten alike": ten(),
		"one":       {{Mean: 180}},
		"mixed":     {{Mean: 400}, {Mean: 90}, {Mean: 90}, {Mean: 240, SD: 90}, {Mean: 60}, {Mean: 600, SD: 60}},
		"guessed":   {{Mean: 240, SD: 80}, {Mean: 150}, {Mean: 90, SD: 10}},
	}
	for name, slots := range blocks {
		for _, spread := range []Spread{{}, DefaultSpread(), {Own: 0.4, Day: 0.2}} {
			for _, safe := range []float64{0.8, 0.9} {
				q := Question{Likely: 0.5, Safe: safe, Draws: 30_000, Seed: 11}
				a, err := Closed(slots, spread, q)
				if err != nil {
					t.Fatal(err)
				}
				b, err := Simulate(slots, spread, q)
				if err != nil {
					t.Fatal(err)
				}
				for i := range slots {
					within(t, name+" likely", a[i].LikelyFinish, b[i].LikelyFinish, 0.015)
					within(t, name+" safe", a[i].SafeFinish, b[i].SafeFinish, 0.015)
					if i > 0 {
						within(t, name+" start", a[i].SafeStart, b[i].SafeStart, 0.015)
					}
				}
			}
		}
	}
}

func TestASharedDayDoesNotEvenOut(t *testing.T) {
	slots := make([]Slot, 100)
	for i := range slots {
		slots[i] = Slot{Mean: 120}
	}
	got, err := Forecast(slots, Spread{Own: 0.25, Day: 0.10}, DefaultQuestion())
	if err != nil {
		t.Fatal(err)
	}
	// However many slots, the day alone leaves its own 80 % quantile, e^(0.8416·0.09975 − …).
	if late := got[99].SafeFinish / 12000; late < 1.075 {
		t.Errorf("safe finish is %g of the mean, want the day's own spread kept", late)
	}
}

func TestWaiting(t *testing.T) {
	slots := []Slot{{Mean: 120}, {Mean: 120, NotBefore: 3600}, {Mean: 120}}
	got, err := Forecast(slots, DefaultSpread(), DefaultQuestion())
	if err != nil {
		t.Fatal(err)
	}
	if got[1].LikelyStart != 3600 || got[1].SafeStart != 3600 || got[0].SafeFinish > 200 {
		t.Errorf("%+v, want a wait until 3600", got)
	}
	// After the wait the slots are a block of their own.
	alone, err := Closed([]Slot{{Mean: 120}, {Mean: 120}}, DefaultSpread(), DefaultQuestion())
	if err != nil {
		t.Fatal(err)
	}
	within(t, "finish after the wait", got[2].SafeFinish-3600, alone[1].SafeFinish, 0.02)
	again, err := Forecast(slots, DefaultSpread(), DefaultQuestion())
	if err != nil {
		t.Fatal(err)
	}
	for i := range got {
		if got[i] != again[i] {
			t.Error("the same seed gave other times")
		}
	}
	// So does a slot that strays too far for the closed form.
	wild := []Slot{{Mean: 120, SD: 120}}
	a, err := Forecast(wild, DefaultSpread(), DefaultQuestion())
	if err != nil {
		t.Fatal(err)
	}
	b, err := Simulate(wild, DefaultSpread(), DefaultQuestion())
	if err != nil {
		t.Fatal(err)
	}
	if a[0] != b[0] {
		t.Errorf("wild slot: %+v, want the simulation %+v", a, b)
	}
	if _, err := Closed(slots, DefaultSpread(), DefaultQuestion()); !errors.Is(err, ErrInvalid) {
		t.Errorf("closed form of a wait: %v, want ErrInvalid", err)
	}
}

func TestBadForecastsAreNamed(t *testing.T) {
	for name, c := range map[string]struct {
		slots []Slot
		s     Spread
		q     Question
	}{
		"mean":   {[]Slot{{}}, DefaultSpread(), DefaultQuestion()},
		"nan":    {[]Slot{{Mean: math.NaN()}}, DefaultSpread(), DefaultQuestion()},
		"spread": {[]Slot{{Mean: 1}}, Spread{Own: -1}, DefaultQuestion()},
		"share":  {[]Slot{{Mean: 1}}, DefaultSpread(), Question{Likely: 0.5, Safe: 1, Draws: 1000}},
		"draws":  {[]Slot{{Mean: 1, NotBefore: 1}}, DefaultSpread(), Question{Likely: 0.5, Safe: 0.8}},
		"slots":  {make([]Slot, maxSlots+1), DefaultSpread(), DefaultQuestion()},
	} {
		if _, err := Forecast(c.slots, c.s, c.q); !errors.Is(err, ErrInvalid) {
			t.Errorf("%s: %v, want ErrInvalid", name, err)
		}
	}
	if got, err := Forecast(nil, DefaultSpread(), DefaultQuestion()); err != nil || len(got) != 0 {
		t.Errorf("no slots: %v, %v", got, err)
	}
}
