package pace

import (
	"fmt"
	"math"
)

// NNLS returns the x >= 0 that minimises |C·x − d| by the active-set method of C. L. Lawson and
// R. J. Hanson, Solving Least Squares Problems (1974), chapter 23. The rows of C have one length, at
// least 1, and there are as many as entries of d. Where several x are best (dependent columns) it
// returns one of them. Its errors wrap ErrInvalid.
func NNLS(c [][]float64, d []float64) ([]float64, error) {
	if err := checkSystem(c, d); err != nil {
		return nil, err
	}
	n := len(c[0])
	x := make([]float64, n)
	free := make([]bool, n) // the set P of the book: columns allowed above 0
	for range 30 * n {      // the book's method ends by itself; rounding could make it cycle
		pick := steepest(c, d, x, free)
		if pick < 0 {
			return x, nil
		}
		free[pick] = true
		for {
			z, ok := leastSquares(c, d, free)
			if !ok || z[pick] <= 0 && x[pick] == 0 {
				// The column depends on the others, or rounding made its gain up.
				free[pick] = false
				return x, nil
			}
			if feasible(z, free) {
				x = z
				break
			}
			stepTowards(x, z, free)
		}
	}
	return x, nil
}

// gradient returns Cᵀ(d − C·x), the way down.
func gradient(c [][]float64, d, x []float64) []float64 {
	w := make([]float64, len(x))
	for i, row := range c {
		r := d[i]
		for j, v := range row {
			r -= v * x[j]
		}
		for j, v := range row {
			w[j] += v * r
		}
	}
	return w
}

// steepest returns the column at 0 that gains most from growing, or -1 when none gains beyond
// rounding.
func steepest(c [][]float64, d, x []float64, free []bool) int {
	w := gradient(c, d, x)
	best, most := -1, 0.0
	for j := range x {
		var norm, scale float64
		for i := range c {
			norm += c[i][j] * c[i][j]
			scale += d[i] * d[i]
		}
		if limit := 1e-12 * math.Sqrt(norm*scale); !free[j] && w[j] > limit && w[j]/math.Sqrt(norm) > most {
			best, most = j, w[j]/math.Sqrt(norm)
		}
	}
	return best
}

func feasible(z []float64, free []bool) bool {
	for j, v := range z {
		if free[j] && v <= 0 {
			return false
		}
	}
	return true
}

// stepTowards moves x to z until the first free column reaches 0, and takes those at 0 out.
func stepTowards(x, z []float64, free []bool) {
	alpha, hit := 1.0, -1
	for j := range x {
		if free[j] && z[j] <= 0 {
			if a := x[j] / (x[j] - z[j]); a <= alpha {
				alpha, hit = a, j
			}
		}
	}
	for j := range x {
		if !free[j] {
			continue
		}
		x[j] += alpha * (z[j] - x[j])
		if j == hit || x[j] <= 0 {
			x[j], free[j] = 0, false
		}
	}
}

// leastSquares solves for the free columns by Householder reflections and leaves the others 0. It
// reports false when the free columns depend on each other.
func leastSquares(c [][]float64, d []float64, free []bool) ([]float64, bool) {
	var columns []int
	for j, f := range free {
		if f {
			columns = append(columns, j)
		}
	}
	m, n := len(c), len(columns)
	if n > m {
		return nil, false
	}
	a := make([][]float64, m)
	for i := range a {
		a[i] = make([]float64, n+1)
		for k, j := range columns {
			a[i][k] = c[i][j]
		}
		a[i][n] = d[i]
	}
	for k := range n {
		if !reflect(a, k) {
			return nil, false
		}
	}
	x := make([]float64, len(free))
	for k := n - 1; k >= 0; k-- {
		v := a[k][n]
		for l := k + 1; l < n; l++ {
			v -= a[k][l] * x[columns[l]]
		}
		x[columns[k]] = v / a[k][k]
	}
	return x, true
}

// reflect zeroes column k below the diagonal. It reports false when nothing of the column is left
// beside the columns before it.
func reflect(a [][]float64, k int) bool {
	var below, whole float64
	for i := range a {
		whole += a[i][k] * a[i][k]
		if i >= k {
			below += a[i][k] * a[i][k]
		}
	}
	norm := math.Sqrt(below)
	if norm <= 1e-12*math.Sqrt(whole) {
		return false
	}
	if a[k][k] > 0 {
		norm = -norm
	}
	// v = column − norm·e; the reflection is I − v·vᵀ/(norm·(norm − a[k][k])).
	head := a[k][k] - norm
	for l := k + 1; l < len(a[k]); l++ {
		dot := head * a[k][l]
		for i := k + 1; i < len(a); i++ {
			dot += a[i][k] * a[i][l]
		}
		f := dot / (norm * head)
		a[k][l] += f * head
		for i := k + 1; i < len(a); i++ {
			a[i][l] += f * a[i][k]
		}
	}
	a[k][k] = norm
	return true
}

func checkSystem(c [][]float64, d []float64) error {
	if len(c) == 0 || len(c[0]) == 0 || len(c) != len(d) {
		return fmt.Errorf("%w: %d rows for %d results, want as many, at least 1", ErrInvalid, len(c), len(d))
	}
	for i, row := range c {
		if len(row) != len(c[0]) {
			return fmt.Errorf("%w: row %d has %d columns, the first %d", ErrInvalid, i, len(row), len(c[0]))
		}
		for _, v := range append([]float64{d[i]}, row...) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return fmt.Errorf("%w: row %d holds %g", ErrInvalid, i, v)
			}
		}
	}
	return nil
}
