package solver

import (
	"math"
	"slices"
)

// climber improves the shares and multipliers of a ladder by subgradient steps. Its arithmetic is in
// floating point and only proposes numbers: whatever they are, the table made of them is a bound.
type climber[S set] struct {
	l      *ladder[S]
	levels int
	// left are the sets of groupings left that the rungs are made for; no set that the ladder is read for
	// weighs more than atMost.
	left   []S
	atMost int64
	mu     []float64
	// share[k][x] is the fraction of class k's weight on its x-th grouping.
	share [][]float64
	// One and two are the least costs from (rung, last), and the least with another first visit.
	one, two     []int64
	first, other []int16
	// missed is by how much each grouping is visited less than once by the walk, ends when it ends on average.
	missed, ends []float64
	// price is the multiplier on step-ins when their number is given.
	price float64
	// over is by how much the walk exceeds it.
	over float64
	// room counts what the tables of walk take.
	room claim
}

func newClimber[S set](l *ladder[S], levels int) *climber[S] {
	n := l.m.n
	c := &climber[S]{l: l, levels: levels, left: []S{l.m.all}, mu: make([]float64, n), missed: make([]float64, n), ends: make([]float64, n)}
	c.atMost, c.price = l.m.release0<<l.fine, float64(l.price)
	for k := range l.share {
		f := make([]float64, len(l.share[k]))
		whole := float64(l.m.classes[k].release << l.fine)
		for x, v := range l.share[k] {
			if whole > 0 {
				f[x] = float64(v) / whole
			}
		}
		c.share = append(c.share, f)
	}
	return c
}

// settle writes the shares and multipliers to the ladder.
func (c *climber[S]) settle(mu []float64, share [][]float64) {
	l := c.l
	c.settleMu(mu)
	for k, f := range share {
		whole := l.m.classes[k].release << l.fine
		left := whole
		for x, v := range f {
			s := min(left, max(0, int64(v*float64(whole))))
			l.share[k][x] = s
			left -= s
		}
	}
	l.setRungs(c.levels, c.left, c.atMost)
}

func (c *climber[S]) settleMu(mu []float64) {
	for j, v := range mu {
		c.l.mu[j] = c.whole(v)
	}
}

// whole rounds a proposed multiplier, and holds it to what cannot overflow when it is paid on every
// rung.
func (c *climber[S]) whole(v float64) int64 {
	most := c.mostWhole()
	if !(v < most) { // or no number
		v = most
	}
	return int64(math.Round(max(v, -most)))
}

func (c *climber[S]) mostWhole() float64 {
	return float64(blocked / 8 / int64(4*c.levels+c.l.m.n+1))
}

// walkCells is how many rungs and groupings there can be in the tables of walk, walkBytes what they take.
func (c *climber[S]) walkCells() int { return (c.levels + c.l.m.n + 1) * (c.l.m.n + 1) }

func (c *climber[S]) walkBytes() int64 {
	n := int64(c.l.m.n)
	return 20 * (int64(c.levels) + n + 1) * (n + 1)
}

// walk finds the cheapest walk that never goes straight back to where it came from, and how often
// and when on average it visits each grouping. It returns the bound on the rest from the start that
// the walk proves: it is computed in integers from what the ladder holds.
func (c *climber[S]) walk(stop func() bool) int64 {
	l, m := c.l, c.l.m
	n, w, top := m.n, m.n+1, l.top()
	if c.one == nil {
		cells := c.walkCells()
		c.one, c.two = make([]int64, cells), make([]int64, cells)
		c.first, c.other = make([]int16, cells), make([]int16, cells)
	}
	for i := range w {
		c.one[i], c.two[i], c.first[i], c.other[i] = blocked, blocked, -2, -2
		if l.ends[i] {
			c.one[i], c.two[i] = 0, 0
		}
	}
	gain, again, then := make([]int64, n), make([]int64, n), make([]int, n)
	for r := 1; r <= top; r++ {
		if r%pollRungs == 0 && stop() {
			return 0
		}
		rate := l.rate[r]
		for j := range n {
			gain[j], again[j], then[j] = blocked, blocked, -2
			if l.rung[j] <= r {
				q := (r-l.rung[j])*w + j + 1
				gain[j], again[j], then[j] = c.one[q]-l.mu[j], c.two[q]-l.mu[j], int(c.first[q])
			}
		}
		for i := -1; i < n; i++ {
			if i < 0 && r < top {
				continue
			}
			best, next := int64(blocked), int64(blocked)
			bestAt, nextAt := -2, -2
			steps, slots := l.step[(i+1)*n:(i+2)*n], l.slot[(i+1)*n:(i+2)*n]
			for j, s := range slots {
				if s < 0 {
					continue
				}
				v := gain[j]
				if then[j] == i && i >= 0 {
					v = again[j]
				}
				v += steps[j] + s*rate
				if v < next {
					if v < best {
						next, nextAt = best, bestAt
						best, bestAt = v, j
					} else {
						next, nextAt = v, j
					}
				}
			}
			q := r*w + i + 1
			c.one[q], c.two[q], c.first[q], c.other[q] = best, next, int16(bestAt), int16(nextAt)
		}
	}
	c.trace()
	return c.one[top*w] + l.stand(*new(S)).give
}

// trace follows the cheapest walk and notes what it missed and mean ends.
func (c *climber[S]) trace() {
	l, m := c.l, c.l.m
	clear(c.ends)
	visits := make([]float64, m.n)
	now, r, i, from := 0.0, l.top(), -1, -2
	steps := int64(0)
	for r > 0 {
		q := r*(m.n+1) + i + 1
		j := int(c.first[q])
		if j == from {
			j = int(c.other[q])
		}
		if j < 0 {
			break
		}
		now += float64(l.slot[m.at(i, j)])
		steps += int64(m.p.stepIns[m.at(i, j)])
		visits[j]++
		c.ends[j] += now
		r, from, i = r-l.rung[j], i, j
	}
	for j, v := range visits {
		c.missed[j] = 1 - v
		if v > 0 {
			c.ends[j] /= v
		} else {
			c.ends[j] = now
		}
	}
	c.over = float64(steps-l.most) / float64(max(1, l.most))
}

// climb makes up to rounds steps towards a bound of target, and leaves the best shares and
// multipliers in the ladder. It returns the best bound on a whole order's cost that the walks proved.
func (c *climber[S]) climb(rounds int, target float64, stop func() bool) int64 {
	most := int64(0)
	c.ascend(ascent{stride: climbStride, shrink: climbShrink, patience: climbPatience, follow: climbFollow, rounds: rounds, target: target}, stop, func() float64 {
		proved := c.walk(stop)
		most = max(most, proved)
		return float64(proved)
	})
	c.one, c.two, c.first, c.other = nil, nil, nil, nil
	return most
}

// ascent says how subgradient steps are taken.
type ascent struct {
	stride   float64 // the first step, as a share of what is missing
	shrink   float64 // what is left of the stride after more rounds than patience without a better bound
	patience int
	follow   float64 // how fast mean ends follow those of the walk
	rounds   int
	target   float64 // there is nothing to gain beyond this bound
}

// ascend takes steps from bound to bound, and leaves the best shares, multipliers and price in the ladder. look
// returns the bound of those that are settled, and notes in missed, ends and over where to go.
func (c *climber[S]) ascend(a ascent, stop func() bool, look func() float64) {
	best, bestMu, bestShare, bestPrice := math.Inf(-1), slices.Clone(c.mu), cloneShares(c.share), c.price
	back := func() {
		copy(c.mu, bestMu)
		c.share = cloneShares(bestShare)
		c.setPrice(bestPrice)
		c.settle(c.mu, c.share)
	}
	slope, mean := make([]float64, c.l.m.n), []float64(nil)
	c.settle(c.mu, c.share)
	for round, stale := 0, 0; round < a.rounds && !stop(); round++ {
		c.settleMu(c.mu)
		bound := look()
		if stop() {
			break
		}
		if bound > best {
			best, stale, bestPrice = bound, 0, c.price
			bestMu, bestShare = slices.Clone(c.mu), cloneShares(c.share)
		} else if stale++; stale > a.patience {
			a.stride, stale = a.stride*a.shrink, 0
			back()
		}
		if best >= a.target || a.stride < leastStride {
			break
		}
		if mean == nil {
			mean = slices.Clone(c.ends)
		}
		norm := 0.0
		for j, missed := range c.missed {
			slope[j] = slopeShare*missed + (1-slopeShare)*slope[j]
			norm += slope[j] * slope[j]
			mean[j] += a.follow * (c.ends[j] - mean[j])
		}
		by := strideShare * a.stride * max(a.target-bound, a.target*leastDistance) / max(norm, 1e-9)
		for j := range slope {
			c.mu[j] += by * slope[j]
		}
		c.reprice(a.stride)
		if round%leanEvery == leanEvery-1 {
			c.lean(mean, leanShare*a.stride)
			c.settle(c.mu, c.share)
		}
	}
	back()
}

// reprice moves the price of a step-in, where it is a multiplier, so that the walk has the right
// number of them.
func (c *climber[S]) reprice(stride float64) {
	if c.l.most > 0 {
		c.setPrice(c.price * math.Exp(stride*max(-mostRepriced, min(mostRepriced, c.over))))
	}
}

func (c *climber[S]) setPrice(price float64) {
	c.price = price
	if c.l.most > 0 {
		steps := slices.Max(c.l.m.p.stepIns)
		c.l.setPrice(int64(min(price, c.mostWhole()/float64(steps+1))))
	}
}

// lean moves shares towards the groupings that end later.
func (c *climber[S]) lean(mean []float64, by float64) {
	longest := 1.0
	for _, v := range mean {
		longest = max(longest, v)
	}
	for k, f := range c.share {
		if len(f) < 2 || c.l.m.classes[k].release == 0 {
			continue
		}
		average := 0.0
		for x, j := range c.l.in[k] {
			average += f[x] * mean[j]
		}
		sum := 0.0
		for x, j := range c.l.in[k] {
			f[x] = max(0, f[x]+by*(mean[j]-average)/longest)
			sum += f[x]
		}
		for x := range f {
			f[x] /= sum
		}
	}
}

func cloneShares(s [][]float64) [][]float64 {
	out := make([][]float64, len(s))
	for k := range s {
		out[k] = append([]float64(nil), s[k]...)
	}
	return out
}

// note makes the groupings between two visits of one remember it, as long as there is room for a table
// of high rungs. It says whether anything changed.
func (l *ladder[S]) note(order []int, most, high int) bool {
	changed := false
	width := l.entries()
	seen := make([]int, l.m.n)
	for k, j := range order {
		if back := seen[j] - 1; back >= 0 {
			for _, i := range order[back+1 : k] {
				near := &l.near[i+1]
				more := 1 << len(*near)
				if len(*near) < most && !slices.Contains(*near, j) && l.reserve(width+more, high) {
					*near = append(*near, j)
					width += more
					changed = true
				}
			}
		}
		seen[j] = k + 1
	}
	return changed
}
