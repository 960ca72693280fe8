package solver

import "math/rand/v2"

// tour is an order under local search with everything known at each position, so that a change of
// a stretch costs only that stretch: sets, rates and costs after the stretch stay as they are.
type tour[S set] struct {
	m     *model[S]
	order []int
	// The state before position k, for k = 0 … n.
	done []S
	rate []rates
	cost []int64
	now  []Seconds
	// try holds a changed stretch.
	try []int
}

func newTour[S set](m *model[S], order []int) (*tour[S], bool) {
	t := &tour[S]{
		m: m, order: append([]int(nil), order...),
		done: make([]S, m.n+1), rate: make([]rates, m.n+1),
		cost: make([]int64, m.n+1), now: make([]Seconds, m.n+1),
	}
	t.rate[0] = rates{m.release0, m.idle0}
	return t, t.refresh(0)
}

func (t *tour[S]) total() int64 { return t.cost[t.m.n] }

func (t *tour[S]) last(k int) int {
	if k == 0 {
		return -1
	}
	return t.order[k-1]
}

// refresh recomputes positions from k on. It returns false when the order breaks a constraint.
func (t *tour[S]) refresh(k int) bool {
	m := t.m
	for ; k < m.n; k++ {
		j := t.order[k]
		if has(t.done[k], j) || !m.allows(t.done[k], j) {
			return false
		}
		end, ok := m.place(t.last(k), j, t.now[k])
		if !ok {
			return false
		}
		perSecond, next := m.take(t.done[k], t.rate[k], j)
		t.done[k+1], t.rate[k+1], t.now[k+1] = with(t.done[k], j), next, end
		t.cost[k+1] = t.cost[k] + m.step[m.at(t.last(k), j)] + (end-t.now[k])*perSecond
	}
	return true
}

// gain returns how much cheaper the order gets when positions [a, b) hold t.try instead, or a
// number <= 0 when it does not or breaks a constraint.
func (t *tour[S]) gain(a, b int) int64 {
	m := t.m
	done, r, now, last := t.done[a], t.rate[a], t.now[a], t.last(a)
	cost := t.cost[a]
	limit := t.total()
	if !m.timed {
		limit = t.cost[b]
		if b < m.n {
			limit = t.cost[b+1]
		}
	}
	step := func(j int) bool {
		if !m.free && !m.allows(done, j) {
			return false
		}
		length := m.slot[m.at(last, j)]
		if m.timed {
			end, ok := m.place(last, j, now)
			if !ok {
				return false
			}
			length, now = end-now, end
		}
		perSecond, next := m.take(done, r, j)
		cost += m.step[m.at(last, j)] + length*perSecond
		done, r, last = with(done, j), next, j
		return cost < limit
	}
	for _, j := range t.try {
		if !step(j) {
			return 0
		}
	}
	if !m.timed {
		if b < m.n && !step(t.order[b]) {
			return 0
		}
		return limit - cost
	}
	for _, j := range t.order[b:] {
		if !step(j) {
			return 0
		}
	}
	return limit - cost
}

// apply puts t.try at positions [a, b).
func (t *tour[S]) apply(a, b int) {
	copy(t.order[a:b], t.try)
	if !t.refresh(a) {
		panic("solver: local search broke a constraint")
	}
}

// descend improves the order by moving stretches of up to longest groupings, reversed or not, and
// by reversing stretches, all within reach positions, until no such move gains. It returns early
// when stop says so.
func (t *tour[S]) descend(longest, reach int, stop func() bool) {
	for improved := true; improved; {
		improved = false
		for a := 0; a < t.m.n; a++ {
			if stop() {
				return
			}
			for t.bestMoveAt(a, longest, reach) {
				improved = true
			}
		}
	}
}

// bestMoveAt applies the best move of a stretch that starts at position a.
func (t *tour[S]) bestMoveAt(a, longest, reach int) bool {
	n := t.m.n
	best, from, to := int64(0), 0, 0
	var kept []int
	consider := func(x, y int) {
		if g := t.gain(x, y); g > best {
			best, from, to = g, x, y
			kept = append(kept[:0], t.try...)
		}
	}
	for l := 1; l <= longest && a+l <= n; l++ {
		for b := a + l + 1; b <= n && b <= a+l+reach; b++ {
			// The stretch [a, a+l) goes behind [a+l, b), or the other way round: both are this swap.
			t.try = append(append(t.try[:0], t.order[a+l:b]...), t.order[a:a+l]...)
			consider(a, b)
			if l > 1 {
				t.try = append(t.try[:0], t.order[a+l:b]...)
				for k := a + l - 1; k >= a; k-- {
					t.try = append(t.try, t.order[k])
				}
				consider(a, b)
			}
		}
		for b := a - 1; b >= 0 && b >= a-reach; b-- {
			t.try = append(append(t.try[:0], t.order[a:a+l]...), t.order[b:a]...)
			consider(b, a+l)
		}
	}
	for b := a + 2; b <= n && b <= a+reach; b++ {
		t.try = t.try[:0]
		for k := b - 1; k >= a; k-- {
			t.try = append(t.try, t.order[k])
		}
		consider(a, b)
	}
	if best <= 0 {
		return false
	}
	t.try = append(t.try[:0], kept...)
	t.apply(from, to)
	return true
}

// greedy builds an order by taking, each time, the allowed grouping of least cost by the given
// rule. It returns false when it walks into a dead end or is stopped.
func (m *model[S]) greedy(pick func(done S, r rates, last, j int) float64, stop func() bool) ([]int, bool) {
	var done S
	r := rates{m.release0, m.idle0}
	order := make([]int, 0, m.n)
	now, last := Seconds(0), -1
	for len(order) < m.n {
		if stop() {
			return nil, false
		}
		best, bestAt := -1, 0.0
		for j := range m.n {
			if has(done, j) || !m.allows(done, j) {
				continue
			}
			if _, ok := m.place(last, j, now); !ok {
				continue
			}
			if v := pick(done, r, last, j); best < 0 || v < bestAt {
				best, bestAt = j, v
			}
		}
		if best < 0 {
			return nil, false
		}
		end, _ := m.place(last, best, now)
		_, r = m.take(done, r, best)
		done, now, last = with(done, best), end, best
		order = append(order, best)
	}
	return order, true
}

// construct offers the requested order, the order of the input and greedy ones, each improved by
// local search.
func (r *run[S]) construct() {
	m := r.base
	var starts [][]int
	if given := toInts(r.o.Incumbent); isPermutation(given, m.n) {
		starts = append(starts, given)
	}
	asListed := make([]int, m.n)
	for j := range asListed {
		asListed[j] = j
	}
	starts = append(starts, asListed)
	for _, order := range starts {
		if cost, ok := m.costOf(order); ok {
			r.offer(order, cost)
		}
	}
	nearest := func(done S, q rates, last, j int) float64 {
		return float64(m.step[m.at(last, j)]) + float64(m.slot[m.at(last, j)])*float64(q.release)
	}
	rate := func(done S, q rates, last, j int) float64 {
		perSecond, next := m.take(done, q, j)
		// Cost of the slot for the others against what it sets free (Smith's ratio, one step ahead).
		cost := float64(m.step[m.at(last, j)]) + float64(m.slot[m.at(last, j)])*float64(perSecond)
		return cost / (1 + float64(q.release-next.release))
	}
	for _, pick := range []func(S, rates, int, int) float64{nearest, rate} {
		if order, ok := m.greedy(pick, r.stopped); ok {
			starts = append(starts, order)
			if cost, ok := m.costOf(order); ok {
				r.offer(order, cost)
			}
		}
	}
	reach := max(leastReach, min(m.n, reachWork/max(1, m.n)))
	for _, order := range starts {
		t, ok := newTour(m, order)
		if !ok {
			continue
		}
		t.descend(longestMoved, reach, r.stopped)
		r.offer(t.order, t.total())
	}
	if m.n > large {
		return
	}
	r.kick(rand.New(rand.NewPCG(r.o.Seed, 0)), reach, kicks)
	r.search(rand.New(rand.NewPCG(r.o.Seed, 1)), reinsertions*m.n)
}

// kick perturbs the best order by swapping two stretches and descends again, a number of times.
func (r *run[S]) kick(rng *rand.Rand, reach, times int) {
	m := r.base
	if m.n < 4 || r.total == never {
		return
	}
	for range times {
		if r.stopped() {
			return
		}
		t, ok := newTour(m, r.best)
		if !ok {
			return
		}
		a := rng.IntN(m.n - 2)
		b := a + 1 + rng.IntN(m.n-a-2)
		c := b + 1 + rng.IntN(m.n-b)
		moved := append(append([]int(nil), t.order[b:c]...), t.order[a:b]...)
		copy(t.order[a:c], moved)
		if !t.refresh(a) {
			continue
		}
		t.descend(longestMoved, reach, r.stopped)
		r.offer(t.order, t.total())
	}
}
