package pace

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func norm(c [][]float64, d, x []float64) float64 {
	var s float64
	for i, row := range c {
		r := d[i]
		for j, v := range row {
			r -= v * x[j]
		}
		s += r * r
	}
	return math.Sqrt(s)
}

func TestKnownNNLS(t *testing.T) {
	minutes := [][]float64{{1, 2, 3}, {1, 5, 0}, {1, 8, 2}, {1, 12, 6}, {1, 20, 4}, {1, 3, 1}}
	for _, c := range []struct {
		name   string
		c      [][]float64
		d      []float64
		x      []float64
		norm   float64
		within float64
	}{
		// The example of the MathWorks documentation of lsqnonneg, with its four printed digits.
		{"published", [][]float64{{0.0372, 0.2869}, {0.6861, 0.7071}, {0.6233, 0.6245}, {0.6344, 0.6170}}, []float64{0.8587, 0.1781, 0.0747, 0.8405}, []float64{0, 0.6929}, 0.9118, 1e-4},
		// Worked out by hand: the unconstrained answer is (3, -1).
		{"by hand", [][]float64{{1, 0}, {1, 1}, {1, 2}}, []float64{3, 2, 1}, []float64{2, 0}, math.Sqrt2, 1e-9},
		{"exact", minutes, []float64{44, 35, 56, 92, 104, 35}, []float64{20, 3, 6}, 0, 1e-9},
		{"already positive", minutes, []float64{30, 50, 70, 120, 100, 25}, []float64{17.944208, 3.328656, 7.556373}, 35.367638, 1e-6},
	} {
		x, err := NNLS(c.c, c.d)
		if err != nil {
			t.Fatal(err)
		}
		for j := range x {
			if math.Abs(x[j]-c.x[j]) > c.within*max(1, c.x[j]) {
				t.Errorf("%s: x = %v, want %v", c.name, x, c.x)
			}
		}
		if got := norm(c.c, c.d, x); math.Abs(got-c.norm) > c.within*max(1, c.norm) {
			t.Errorf("%s: residual %g, want %g", c.name, got, c.norm)
		}
	}
	published := [][]float64{{0.0372, 0.2869}, {0.6861, 0.7071}, {0.6233, 0.6245}, {0.6344, 0.6170}}
	w := gradient(published, []float64{0.8587, 0.1781, 0.0747, 0.8405}, []float64{0, 0.6929344})
	if math.Abs(w[0]+0.150612) > 1e-6 || math.Abs(w[1]) > 1e-6 {
		t.Errorf("gradient %v, want (-0.150612, 0)", w)
	}
	free, ok := leastSquares(published, []float64{0.8587, 0.1781, 0.0747, 0.8405}, []bool{true, true})
	if !ok || math.Abs(free[0]+2.5627) > 1e-4 || math.Abs(free[1]-3.1108) > 1e-4 {
		t.Errorf("unconstrained %v, want (-2.5627, 3.1108)", free)
	}
}

// The conditions of Kuhn and Tucker: x >= 0, the way down is <= 0 everywhere and 0 where x > 0.
func TestNNLSIsOptimal(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for round := range 1500 {
		m, n := 1+r.IntN(12), 1+r.IntN(7)
		c, d := make([][]float64, m), make([]float64, m)
		for i := range c {
			c[i] = make([]float64, n)
			d[i] = r.NormFloat64() * 10
			for j := range c[i] {
				c[i][j] = r.NormFloat64()
				if round%3 == 0 { // small whole numbers make ties and dependent columns
					c[i][j] = float64(r.IntN(3) - 1)
				}
			}
		}
		x, err := NNLS(c, d)
		if err != nil {
			t.Fatal(err)
		}
		w := gradient(c, d, x)
		for j := range x {
			if x[j] < 0 || w[j] > 1e-7 || (x[j] > 0 && math.Abs(w[j]) > 1e-7) {
				t.Fatalf("round %d: x = %v, way down %v", round, x, w)
			}
		}
		all := make([]bool, n)
		for j := range all {
			all[j] = true
		}
		if free, ok := leastSquares(c, d, all); ok && norm(c, d, x) < norm(c, d, free)-1e-9 {
			t.Fatalf("round %d: better than without the limits", round)
		}
	}
}

func TestBadSystemsAreNamed(t *testing.T) {
	for name, c := range map[string]struct {
		c [][]float64
		d []float64
	}{
		"empty":  {nil, nil},
		"ragged": {[][]float64{{1, 2}, {1}}, []float64{1, 2}},
		"counts": {[][]float64{{1}}, []float64{1, 2}},
		"nan":    {[][]float64{{math.NaN()}}, []float64{1}},
	} {
		if _, err := NNLS(c.c, c.d); !errors.Is(err, ErrInvalid) {
			t.Errorf("%s: %v, want ErrInvalid", name, err)
		}
	}
}
