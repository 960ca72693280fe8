package lens

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

const (
	inch = 25.4
	foot = 12 * inch
)

// hyperfocal is f²/(N·c) + f, as the tables count it.
func hyperfocal(focal, aperture, circle float64) float64 {
	return focal*focal/(aperture*circle) + focal
}

// NAVY is the U.S. Navy course Photography (Basic), NAVEDTRA 14209; ARMY the U.S. Army
// correspondence course SS0507; WIKI the example of Wikipedia's Hyperfocal distance; HAWKINS is
// Hawkins and Avon, Photography (1979), as quoted on a mailing list of 9 April 2004; WRIGHT a
// mailing-list post of 31 January 1996.
func TestPublishedDepthOfField(t *testing.T) {
	near := func(f, n, c, s float64) float64 { a, _ := DepthOfField(f, n, c, s); return a }
	far := func(f, n, c, s float64) float64 { _, b := DepthOfField(f, n, c, s); return b }
	for _, c := range []struct {
		name              string
		got, want, within float64
	}{
		// The circle of the Navy's case is implied: 0.002 in.
		{"NAVY 6.1 in f/2.8 hyperfocal", (hyperfocal(6.1*inch, 2.8, 0.002*inch) - 6.1*inch) / foot, 554, 0.5},
		{"NAVY near of 10 ft", near(6.1*inch, 2.8, 0.002*inch, 10*foot) / foot, 9.8, 0.05},
		{"NAVY far of 10 ft", far(6.1*inch, 2.8, 0.002*inch, 10*foot) / foot, 10.2, 0.05},
		{"NAVY focus for 9.8 and 10.2 ft", FocusBetween(9.8, 10.2), 10, 0.05},
		{"ARMY 2 in f/8 hyperfocal", (hyperfocal(2*inch, 8, 0.002*inch) - 2*inch) / foot, 20.8, 0.05},
		{"ARMY near when focused there", near(2*inch, 8, 0.002*inch, 20.8333*foot+2*inch) / foot, 10.4, 0.1},
		{"WIKI 50 mm f/8 hyperfocal", hyperfocal(50, 8, 0.03), 10467, 0.5},
		{"WIKI the same less f", hyperfocal(50, 8, 0.03) - 50, 10417, 0.5},
		{"WIKI near at H", near(50, 8, 0.03, 10467), 5233, 1},
		// Printed as 3489 = H/3 by the short form; the exact formula gives 3494.4 (worked out).
		{"WIKI near at H/2", near(50, 8, 0.03, 10467.0/2), 3494.4, 0.5},
		{"WIKI near at H/2 as printed", near(50, 8, 0.03, 10467.0/2), 3489, 0.005 * 3489},
		{"HAWKINS 70 mm f/8", (hyperfocal(70, 8, 0.021) - 70) / 1000, 29.2, 0.05},
		{"HAWKINS 70 mm f/22", (hyperfocal(70, 22, 0.021) - 70) / 1000, 10.6, 0.05},
		{"HAWKINS near when focused there", near(70, 22, 0.021, 10606) / 1000, 5.3, 0.05},
		{"WRIGHT near of 30 ft", near(50, 2.8, 0.025, 30*foot) / inch, 23*12 + 10, 3},
		{"WRIGHT far of 30 ft", far(50, 2.8, 0.025, 30*foot) / inch, 40*12 + 5, 3},
	} {
		if math.Abs(c.got-c.want) > c.within {
			t.Errorf("%s: %g, want %g ± %g", c.name, c.got, c.want, c.within)
		}
	}
}

// Worked out from the exact formula, in millimetres.
func TestReferenceCases(t *testing.T) {
	for _, c := range []struct{ f, n, circle, s, hyper, near, far float64 }{
		{35, 8, 0.030, 4000, 5139.2, 2251.2, 17922.5},
		{50, 8, 0.030, 5000, 10466.7, 3389.4, 9527.4},
		{50, 5.6, 0.030, 5000, 14931.0, 3752.0, 7492.2},
		{50, 4, 0.030, 5000, 20883.3, 4040.1, 6558.2},
		{50, 8, 0.029, 5000, 10825.9, 3426.2, 9248.3},
		{85, 8, 0.030, 8000, 30189.2, 6334.5, 10853.6},
		{85, 5.6, 0.030, 8000, 43091.0, 6756.5, 9804.5},
		{24, 8, 0.030, 3000, 2424.0, 1339.3, math.Inf(1)},
		{35, 8, 0.020, 6000, 7691.25, 3372.5, 27161.9},
		{35, 5.6, 0.019, 6000, 11548.2, 3952.3, 12450.8},
	} {
		near, far := DepthOfField(c.f, c.n, c.circle, c.s)
		hyper := hyperfocal(c.f, c.n, c.circle)
		if math.Abs(hyper-c.hyper) > 0.1 || math.Abs(near-c.near) > 0.1 || !(math.Abs(far-c.far) <= 0.1 || far == c.far) {
			t.Errorf("%+v: hyperfocal %g, near %g, far %g", c, hyper, near, far)
		}
	}
	// Conventions for the circle of confusion: diagonal/1500 gives 0.0288 mm and 0.0189 mm.
	if c := (Sensor{Width: 36, Height: 24}).CircleOfConfusion(); math.Abs(c-0.0288) > 0.00005 {
		t.Errorf("circle of 36 × 24: %g", c)
	}
	if c := (Sensor{Width: 23.6, Height: 15.7}).CircleOfConfusion(); math.Abs(c-0.0189) > 0.00005 {
		t.Errorf("circle of 23.6 × 15.7: %g", c)
	}
}

func TestDepthOfFieldIdentities(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		f, n, c := 14+186*r.Float64(), 1+31*r.Float64(), 0.01+0.03*r.Float64()
		s := f + 300 + 20000*r.Float64()
		near, far := DepthOfField(f, n, c, s)
		if math.IsInf(far, 1) {
			continue
		}
		if rel := math.Abs((1/near+1/far)*s/2 - 1); rel > 1e-9 {
			t.Fatalf("2/s = 1/near + 1/far is off by %g", rel)
		}
		if got := FocusBetween(near, far); math.Abs(got/s-1) > 1e-9 {
			t.Fatalf("focus between the limits %g, want %g", got, s)
		}
		if got := NeedAperture(f, c, near, far); math.Abs(got/n-1) > 1e-6 {
			t.Fatalf("aperture needed %g, want %g", got, n)
		}
	}
}

// W. Claff, "Angle of View Values for Common Focal Lengths", 22 November 2006 (photonstophotos.net);
// the last sensor is worked out, since the table's second column is 23.4 × 15.6 mm.
func TestPublishedAngles(t *testing.T) {
	for _, row := range []struct {
		f                        float64
		full, crop, withoutTable [3]float64
	}{
		{14, [3]float64{104.3, 81.2, 114.2}, [3]float64{79.8, 58.2, 90.3}, [3]float64{80.3, 58.6, 90.7}},
		{18, [3]float64{90.0, 67.4, 100.5}, [3]float64{66.0, 46.9, 76.0}, [3]float64{66.5, 47.1, 76.4}},
		{20, [3]float64{84.0, 61.9, 94.5}, [3]float64{60.7, 42.6, 70.2}, [3]float64{61.1, 42.9, 70.6}},
		{24, [3]float64{73.7, 53.1, 84.1}, [3]float64{52.0, 36.0, 60.7}, [3]float64{52.4, 36.2, 61.1}},
		{28, [3]float64{65.5, 46.4, 75.4}, [3]float64{45.4, 31.1, 53.3}, [3]float64{45.7, 31.3, 53.7}},
		{35, [3]float64{54.4, 37.8, 63.4}, [3]float64{37.0, 25.1, 43.8}, [3]float64{37.3, 25.3, 44.1}},
		{50, [3]float64{39.6, 27.0, 46.8}, [3]float64{26.3, 17.7, 31.4}, [3]float64{26.6, 17.8, 31.7}},
		{70, [3]float64{28.8, 19.5, 34.3}, [3]float64{19.0, 12.7, 22.7}, [3]float64{19.1, 12.8, 22.9}},
		{85, [3]float64{23.9, 16.1, 28.6}, [3]float64{15.7, 10.5, 18.8}, [3]float64{15.8, 10.6, 18.9}},
		{100, [3]float64{20.4, 13.7, 24.4}, [3]float64{13.3, 8.9, 16.0}, [3]float64{13.5, 9.0, 16.1}},
		{105, [3]float64{19.5, 13.0, 23.3}, [3]float64{12.7, 8.5, 15.3}, [3]float64{12.8, 8.6, 15.4}},
		{135, [3]float64{15.2, 10.2, 18.2}, [3]float64{9.9, 6.6, 11.9}, [3]float64{10.0, 6.7, 12.0}},
	} {
		for _, c := range []struct {
			w, h float64
			want [3]float64
		}{{36, 24, row.full}, {23.4, 15.6, row.crop}, {23.6, 15.7, row.withoutTable}} {
			for i, side := range []float64{c.w, c.h, math.Hypot(c.w, c.h)} {
				if got := AngleOfView(side, row.f); math.Abs(got-c.want[i]) > 0.06 {
					t.Errorf("%g mm across %.1f mm: %.2f°, want %.1f°", row.f, side, got, c.want[i])
				}
			}
		}
	}
	// Field of 36 mm at 5 m, worked out.
	for f, want := range map[float64]float64{24: 7464, 35: 5107, 50: 3564, 85: 2082} {
		if got := Field(36, f, 5000); math.Abs(got-want) > 0.5 {
			t.Errorf("field of %g mm at 5 m: %g, want %g", f, got, want)
		}
		if back := FramingDistance(36, f, Field(36, f, 5000)); math.Abs(back-5000) > 1e-6 {
			t.Errorf("framing distance of %g mm: %g, want 5000", f, back)
		}
	}
}

func TestDiffraction(t *testing.T) {
	// 2.44 · 0.00055 mm · 22 = 0.0295 mm: f/22 is the last useful stop at 0.030 mm, f/11 at 0.020.
	if n := DiffractionAperture(0.030); n < 22 || n > 23 {
		t.Errorf("limit at 0.030 mm: f/%g", n)
	}
	if n := DiffractionAperture(0.020); n < 14 || n > 16 {
		t.Errorf("limit at 0.020 mm: f/%g", n)
	}
}

var fullFrame = Sensor{Width: 36, Height: 24, Circle: 0.030}

func TestChoose(t *testing.T) {
	zoom := Optic{Shortest: 24, Longest: 70, Widest: 2.8}
	long := Optic{Shortest: 70, Longest: 200, Widest: 2.8, Closest: 1200}
	fifty := Optic{Shortest: 50, Longest: 50, Widest: 1.8}
	for _, c := range []struct {
		name     string
		kit      Kit
		group    Group
		space    Space
		optic    int
		upright  bool
		warnings []Warning
	}{
		{"a couple outdoors", Kit{fullFrame, []Optic{zoom, long}}, Group{1100, 1900, 300, 0.1}, Space{20000, true, 0}, 1, true, nil},
		{"six people, one lens", Kit{fullFrame, []Optic{fifty}}, Group{3200, 1900, 600, 0.1}, Space{9000, true, 4}, 0, false, nil},
		{"forty people on the lawn", Kit{fullFrame, []Optic{zoom, long}}, Group{7500, 2400, 2400, 0.08}, Space{25000, true, 5.6}, 0, false, nil},
		{"forty people in a hall", Kit{fullFrame, []Optic{zoom}}, Group{7500, 2400, 2400, 0.08}, Space{4500, true, 0}, 0, false, []Warning{SpaceTooSmall, EdgesStretched}},
		{"ten people close to a wide lens", Kit{fullFrame, []Optic{zoom}}, Group{3600, 2000, 900, 0.05}, Space{3000, true, 0}, 0, false, []Warning{EdgesStretched}},
		{"a child with a long lens indoors", Kit{fullFrame, []Optic{{Shortest: 35, Longest: 35, Widest: 1.4, Closest: 4000}}}, Group{500, 1000, 200, 0.1}, Space{6000, false, 0}, 0, false, []Warning{SmallInFrame}},
	} {
		got, err := Choose(c.kit, c.group, c.space)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if got.Optic != c.optic || got.Upright != c.upright || !equal(got.Warnings, c.warnings) {
			t.Errorf("%s: %+v; want lens %d, upright %v, %v", c.name, got, c.optic, c.upright, c.warnings)
		}
		verify(t, c.name, c.kit, c.group, c.space, got)
	}
}

func TestNotAllSharp(t *testing.T) {
	// Twelve rows on a stair, close to a long lens.
	got, err := Choose(Kit{fullFrame, []Optic{{Shortest: 200, Longest: 200, Widest: 2.8}}}, Group{1500, 1000, 9000, 0}, Space{9000, false, 0})
	if err != nil {
		t.Fatal(err)
	}
	if !equal(got.Warnings, []Warning{NotAllSharp}) || got.Aperture != 22 {
		t.Errorf("%+v, want f/22 and a warning", got)
	}
}

// verify checks a choice from the formulas alone.
func verify(t *testing.T, name string, k Kit, g Group, s Space, c Choice) {
	t.Helper()
	o := k.Optics[c.Optic]
	if c.Focal < o.Shortest || c.Focal > o.Longest || c.Distance > s.Distance || c.Distance < o.Closest {
		t.Errorf("%s: %+v is outside the kit or the space", name, c)
	}
	across, up := k.Sensor.Width, k.Sensor.Height
	if c.Upright {
		across, up = up, across
	}
	room := 1 + 2*g.Margin
	fits := across*(c.Distance-c.Focal)/c.Focal >= g.Width*room-1e-6 && up*(c.Distance-c.Focal)/c.Focal >= g.Height*room-1e-6
	if fits == contains(c.Warnings, SpaceTooSmall) {
		t.Errorf("%s: fits %v, but %+v", name, fits, c)
	}
	near, far := DepthOfField(c.Focal, c.Aperture, k.Sensor.CircleOfConfusion(), c.Focus)
	sharp := near <= c.Distance && far >= c.Distance+g.Depth
	if !sharp && !contains(c.Warnings, NotAllSharp) {
		t.Errorf("%s: sharp from %g to %g, rows from %g to %g", name, near, far, c.Distance, c.Distance+g.Depth)
	}
	if c.Near != near || c.Far != far || c.Aperture < o.Widest-1e-9 || c.Aperture < s.Slowest {
		t.Errorf("%s: %+v", name, c)
	}
	if !contains(stops[:], c.Aperture) {
		t.Errorf("%s: f/%g is not a standard stop", name, c.Aperture)
	}
}

func TestChooseOnRandomSpaces(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 3000 {
		k := Kit{Sensor: fullFrame}
		for range 1 + r.IntN(3) {
			short := 16 + 100*r.Float64()
			k.Optics = append(k.Optics, Optic{Shortest: short, Longest: short * (1 + 2*r.Float64()), Widest: stops[r.IntN(6)]})
		}
		g := Group{500 + 9000*r.Float64(), 500 + 2500*r.Float64(), 3000 * r.Float64(), 0.2 * r.Float64()}
		s := Space{1500 + 20000*r.Float64(), r.IntN(2) == 0, 0}
		c, err := Choose(k, g, s)
		if err != nil {
			t.Fatal(err)
		}
		verify(t, "random", k, g, s, c)
		// More space never makes it impossible.
		s.Distance *= 1.5
		wider, err := Choose(k, g, s)
		if err != nil {
			t.Fatal(err)
		}
		if contains(wider.Warnings, SpaceTooSmall) && !contains(c.Warnings, SpaceTooSmall) {
			t.Fatalf("more space is too small: %+v, %+v", c, wider)
		}
	}
}

func TestBadRequestsAreNamed(t *testing.T) {
	good := Kit{fullFrame, []Optic{{Shortest: 24, Longest: 70, Widest: 2.8}}}
	for name, f := range map[string]func() error{
		"no lens": func() error {
			_, err := Choose(Kit{Sensor: fullFrame}, Group{1, 1, 0, 0}, Space{Distance: 1000})
			return err
		},
		"sensor": func() error {
			_, err := Choose(Kit{Optics: good.Optics}, Group{1, 1, 0, 0}, Space{Distance: 1000})
			return err
		},
		"group": func() error { _, err := Choose(good, Group{math.NaN(), 1, 0, 0}, Space{Distance: 1000}); return err },
		"space": func() error { _, err := Choose(good, Group{1, 1, 0, 0}, Space{}); return err },
		"backward": func() error {
			_, err := Choose(Kit{fullFrame, []Optic{{Shortest: 70, Longest: 24, Widest: 2.8}}}, Group{1, 1, 0, 0}, Space{Distance: 1000})
			return err
		},
	} {
		if err := f(); !errors.Is(err, ErrInvalid) {
			t.Errorf("%s: %v, want ErrInvalid", name, err)
		}
	}
}

func contains[T comparable](list []T, v T) bool {
	for _, x := range list {
		if x == v {
			return true
		}
	}
	return false
}

func equal(a, b []Warning) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
