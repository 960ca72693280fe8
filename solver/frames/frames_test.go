package frames

import (
	"errors"
	"math"
	"testing"
)

// The tables below were worked out from the formula of Svenson and Barnes (CSIRO, Velocity, June
// 2006; read through reports of it) with 10 blinks a minute, 250 ms a blink, and 8 ms (good light)
// or 1/8 s (dim light) of exposure. No entry lies closer than 0.002 to a whole number before it is
// rounded up, so whole numbers must agree exactly.
var table = []struct {
	n              int
	good, mean     float64
	good95, good99 int
	dim            float64
	dim95, dim99   int
}{
	{1, 0.9570, 1.04, 1, 2, 0.9375, 2, 2},
	{2, 0.9158, 1.09, 2, 2, 0.8789, 2, 3},
	{3, 0.8765, 1.14, 2, 3, 0.8240, 2, 3},
	{4, 0.8388, 1.19, 2, 3, 0.7725, 3, 4},
	{5, 0.8027, 1.25, 2, 3, 0.7242, 3, 4},
	{6, 0.7682, 1.30, 3, 4, 0.6789, 3, 5},
	{7, 0.7352, 1.36, 3, 4, 0.6365, 3, 5},
	{8, 0.7036, 1.42, 3, 4, 0.5967, 4, 6},
	{9, 0.6733, 1.49, 3, 5, 0.5594, 4, 6},
	{10, 0.6443, 1.55, 3, 5, 0.5245, 5, 7},
	{11, 0.6166, 1.62, 4, 5, 0.4917, 5, 7},
	{12, 0.5901, 1.69, 4, 6, 0.4610, 5, 8},
	{13, 0.5647, 1.77, 4, 6, 0.4321, 6, 9},
	{14, 0.5405, 1.85, 4, 6, 0.4051, 6, 9},
	{15, 0.5172, 1.93, 5, 7, 0.3798, 7, 10},
	{16, 0.4950, 2.02, 5, 7, 0.3561, 7, 11},
	{17, 0.4737, 2.11, 5, 8, 0.3338, 8, 12},
	{18, 0.4533, 2.21, 5, 8, 0.3130, 8, 13},
	{19, 0.4338, 2.31, 6, 9, 0.2934, 9, 14},
	{20, 0.4152, 2.41, 6, 9, 0.2751, 10, 15},
	{21, 0.3973, 2.52, 6, 10, 0.2579, 11, 16},
	{22, 0.3802, 2.63, 7, 10, 0.2418, 11, 17},
	{23, 0.3639, 2.75, 7, 11, 0.2266, 12, 18},
	{24, 0.3482, 2.87, 7, 11, 0.2125, 13, 20},
	{25, 0.3333, 3.00, 8, 12, 0.1992, 14, 21},
	{26, 0.3189, 3.14, 8, 12, 0.1867, 15, 23},
	{27, 0.3052, 3.28, 9, 13, 0.1751, 16, 24},
	{28, 0.2921, 3.42, 9, 14, 0.1641, 17, 26},
	{29, 0.2795, 3.58, 10, 15, 0.1539, 18, 28},
	{30, 0.2675, 3.74, 10, 15, 0.1443, 20, 30},
	{31, 0.2560, 3.91, 11, 16, 0.1352, 21, 32},
	{32, 0.2450, 4.08, 11, 17, 0.1268, 23, 34},
	{33, 0.2345, 4.26, 12, 18, 0.1189, 24, 37},
	{34, 0.2244, 4.46, 12, 19, 0.1114, 26, 39},
	{35, 0.2147, 4.66, 13, 20, 0.1045, 28, 42},
	{36, 0.2055, 4.87, 14, 21, 0.0979, 30, 45},
	{37, 0.1967, 5.08, 14, 22, 0.0918, 32, 48},
	{38, 0.1882, 5.31, 15, 23, 0.0861, 34, 52},
	{39, 0.1801, 5.55, 16, 24, 0.0807, 36, 55},
	{40, 0.1724, 5.80, 16, 25, 0.0757, 39, 59},
	{41, 0.1650, 6.06, 17, 26, 0.0709, 41, 63},
	{42, 0.1579, 6.33, 18, 27, 0.0665, 44, 67},
	{43, 0.1511, 6.62, 19, 29, 0.0623, 47, 72},
	{44, 0.1446, 6.92, 20, 30, 0.0584, 50, 77},
	{45, 0.1384, 7.23, 21, 31, 0.0548, 54, 82},
	{46, 0.1324, 7.55, 22, 33, 0.0514, 57, 88},
	{47, 0.1267, 7.89, 23, 34, 0.0482, 61, 94},
	{48, 0.1213, 8.25, 24, 36, 0.0451, 65, 100},
	{49, 0.1161, 8.62, 25, 38, 0.0423, 70, 107},
	{50, 0.1111, 9.00, 26, 40, 0.0397, 74, 114},
	{51, 0.1063, 9.41, 27, 41, 0.0372, 80, 122},
	{52, 0.1017, 9.83, 28, 43, 0.0349, 85, 130},
	{53, 0.0973, 10.27, 30, 45, 0.0327, 91, 139},
	{54, 0.0932, 10.73, 31, 48, 0.0307, 97, 148},
	{55, 0.0892, 11.22, 33, 50, 0.0287, 103, 158},
	{56, 0.0853, 11.72, 34, 52, 0.0269, 110, 169},
	{57, 0.0817, 12.25, 36, 55, 0.0253, 118, 181},
	{58, 0.0781, 12.80, 37, 57, 0.0237, 126, 193},
	{59, 0.0748, 13.37, 39, 60, 0.0222, 134, 206},
	{60, 0.0716, 13.97, 41, 63, 0.0208, 143, 219},
}

func TestFramesForOneToSixtyPeople(t *testing.T) {
	if len(table) != 60 {
		t.Fatalf("table has %d rows, want 60", len(table))
	}
	for _, row := range table {
		good, dim := GoodLight(), DimLight()
		near(t, "P good", row.n, good.ClearChance(row.n), row.good, 0.00005)
		near(t, "P dim", row.n, dim.ClearChance(row.n), row.dim, 0.00005)
		near(t, "mean", row.n, good.MeanFrames(row.n), row.mean, 0.005)
		// P is also checked against its formula, multiplied out, to 1e-9.
		want := 1.0
		for range row.n {
			want *= 1 - 10.0/60*0.258
		}
		near(t, "P multiplied out", row.n, good.ClearChance(row.n), want, 1e-9)
		for _, c := range []struct {
			m          Model
			confidence float64
			want       int
		}{
			{good, 0.95, row.good95}, {good, 0.99, row.good99},
			{dim, 0.95, row.dim95}, {dim, 0.99, row.dim99},
		} {
			if got := need(t, c.m, row.n, c.confidence); got != c.want {
				t.Errorf("n %d, confidence %g, %+v: %d frames, want %d", row.n, c.confidence, c.m, got, c.want)
			}
		}
	}
}

func TestFramesFollowTheBlinkRate(t *testing.T) {
	people := []int{5, 10, 15, 20, 30, 50}
	// 4.5, 17 and 26 blinks a minute are the means when reading, at rest and in conversation
	// (Bentivoglio et al., Movement Disorders 12(6):1028-1034, 1997).
	for _, row := range []struct {
		rate       float64
		at95, at99 [6]int
	}{
		{4.5, [6]int{2, 2, 3, 3, 4, 7}, [6]int{2, 3, 4, 5, 6, 10}},
		{10, [6]int{2, 3, 5, 6, 10, 26}, [6]int{3, 5, 7, 9, 15, 40}},
		{17, [6]int{3, 5, 8, 13, 28, 132}, [6]int{4, 8, 12, 19, 43, 203}},
		{26, [6]int{4, 9, 17, 31, 104, 1124}, [6]int{6, 13, 25, 47, 160, 1727}},
	} {
		m := GoodLight()
		m.BlinksPerMinute = row.rate
		for i, n := range people {
			if a, b := need(t, m, n, 0.95), need(t, m, n, 0.99); a != row.at95[i] || b != row.at99[i] {
				t.Errorf("%g a minute, %d people: %d/%d, want %d/%d", row.rate, n, a, b, row.at95[i], row.at99[i])
			}
		}
	}
}

// Claims printed about the article in 2006 and 2007.
func TestPublishedClaims(t *testing.T) {
	// dphotojournal.com: 30 people in bad light need about 30 photos for 99 %.
	if got := need(t, DimLight(), 30, 0.99); got != 30 {
		t.Errorf("30 people, dim light, 99 %%: %d frames, want 30", got)
	}
	// CSIRO news release, 5 October 2006: 15 people in good light need 5 photos.
	if got := need(t, GoodLight(), 15, 0.95); got != 5 {
		t.Errorf("15 people, good light: %d frames, want 5", got)
	}
	near(t, "5 frames of", 15, GoodLight().Confidence(15, 5), 0.974, 0.0005)
	// Live Science, 18 December 2006: eyes are closed 4 to 5 % of the time.
	for _, exposure := range []float64{0, 0.008} {
		m := Model{BlinksPerMinute: 10, BlinkSeconds: 0.25, ExposureSeconds: exposure}
		if shut := 1 - m.ClearChance(1); shut < 0.04 || shut > 0.05 {
			t.Errorf("exposure %g: eyes closed %g of the time, want 4 to 5 %%", exposure, shut)
		}
	}
	// The same: a third of the people in good light and half in dim light give better than 95 %
	// below 20 people. Worked out, that fails for 2, 3 and 6 people, and for 1, 2 and 4.
	for n := 1; n < 20; n++ {
		third, half := (n+2)/3, (n+1)/2
		if got, want := GoodLight().Confidence(n, third) >= 0.95, n != 2 && n != 3 && n != 6; got != want {
			t.Errorf("%d people, good light, %d frames: above 95 %% is %v, want %v", n, third, got, want)
		}
		if got, want := DimLight().Confidence(n, half) >= 0.95, n != 1 && n != 2 && n != 4; got != want {
			t.Errorf("%d people, dim light, %d frames: above 95 %% is %v, want %v", n, half, got, want)
		}
	}
	// "Practically hopeless" for 50, "nearly impossible" for 100 (dphotojournal.com, Live Science).
	near(t, "P", 50, GoodLight().ClearChance(50), 0.1111, 0.00005)
	near(t, "P", 100, GoodLight().ClearChance(100), 0.0123, 0.00005)
	near(t, "mean", 100, GoodLight().MeanFrames(100), 81, 0.5)
	if a, b := need(t, GoodLight(), 100, 0.95), need(t, GoodLight(), 100, 0.99); a != 242 || b != 371 {
		t.Errorf("100 people: %d and %d frames, want 242 and 371", a, b)
	}
	// Other exposures of the 30-person case, worked out: they show that only 1/8 s gives 30.
	for exposure, want := range map[float64]int{1.0 / 10: 26, 1.0 / 15: 22, 1.0 / 6: 38} {
		m := DimLight()
		m.ExposureSeconds = exposure
		if got := need(t, m, 30, 0.99); got != want {
			t.Errorf("exposure %g: %d frames, want %d", exposure, got, want)
		}
	}
}

func TestForConfidenceIsTheSmallestNumber(t *testing.T) {
	for n := range 120 {
		for _, c := range []float64{0.5, 0.8, 0.95, 0.999} {
			k := need(t, DimLight(), n, c)
			if got := DimLight().Confidence(n, k); got < c-1e-12 {
				t.Errorf("%d people: %d frames reach %g, not %g", n, k, got, c)
			}
			if k > 1 && DimLight().Confidence(n, k-1) >= c {
				t.Errorf("%d people: %d frames already reach %g", n, k-1, c)
			}
		}
	}
	if got := need(t, DimLight(), MaxPeople, 0.95); got != math.MaxInt {
		t.Errorf("%d people: %d frames, want the largest int", MaxPeople, got)
	}
}

func TestAdvise(t *testing.T) {
	both := DefaultWish()
	both.BothOrientations = true
	for _, c := range []struct {
		name        string
		n           int
		wish        Wish
		main, other int
		reason      Reason
	}{
		{"a couple needs no more than the floor", 1, DefaultWish(), 2, 0, AtFloor},
		{"ten people", 10, DefaultWish(), 3, 0, Confident},
		{"ten people both ways", 10, both, 3, 2, Confident},
		{"forty people both ways", 40, both, 16, 6, Confident},
		{"49 people are the last below the ceiling", 49, DefaultWish(), 25, 0, Confident},
		{"50 people are practically hopeless", 50, DefaultWish(), 25, 0, AtCeiling},
		{"a hundred both ways", 100, both, 25, 25, AtCeiling},
	} {
		a, err := GoodLight().Advise(c.n, c.wish)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if a.Main != c.main || a.Other != c.other || a.Reason != c.reason || a.Frames() != c.main+c.other {
			t.Errorf("%s: %+v, want %d and %d, %v", c.name, a, c.main, c.other, c.reason)
		}
		if (a.Reached >= c.wish.Confidence) == (a.Reason == AtCeiling) {
			t.Errorf("%s: reached %g with reason %v", c.name, a.Reached, a.Reason)
		}
	}
}

func TestBadRequestsAreNamed(t *testing.T) {
	for name, f := range map[string]func() error{
		"rate": func() error { _, err := Model{BlinkSeconds: 0.2}.ForConfidence(3, 0.9); return err },
		"not number": func() error {
			_, err := Model{BlinksPerMinute: math.NaN(), BlinkSeconds: 1}.ForConfidence(3, 0.9)
			return err
		},
		"no eyes":    func() error { _, err := Model{BlinksPerMinute: 60, BlinkSeconds: 1}.ForConfidence(3, 0.9); return err },
		"people":     func() error { _, err := GoodLight().ForConfidence(-1, 0.9); return err },
		"confidence": func() error { _, err := GoodLight().ForConfidence(3, 1); return err },
		"ceiling":    func() error { _, err := GoodLight().Advise(3, Wish{Confidence: 0.9, Floor: 5, Ceiling: 4}); return err },
		"floor":      func() error { _, err := GoodLight().Advise(3, Wish{Confidence: 0.9, Ceiling: 4}); return err },
	} {
		if err := f(); !errors.Is(err, ErrInvalid) {
			t.Errorf("%s: %v, want ErrInvalid", name, err)
		}
	}
}

func need(t *testing.T, m Model, n int, confidence float64) int {
	t.Helper()
	k, err := m.ForConfidence(n, confidence)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func near(t *testing.T, what string, n int, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within {
		t.Errorf("%s %d: %g, want %g ± %g", what, n, got, want, within)
	}
}
