package solver

import (
	"math/rand/v2"
	"slices"
)

// reinsertion takes a few groupings out of an order and puts them back in the best way that leaves
// the others in their sequence: a dynamic program over (how many of the others are done, which of the
// few are back, which grouping came last). It is the neighbourhood of the large neighbourhood search,
// solved exactly. It is not for timed models.
type reinsertion[S set] struct {
	m *model[S]
	// few are taken out, rest is the sequence of the others.
	few, rest []int
	// best[(p·sets+s)·lasts+l] is the least cost with rest[:lo+p] and the few in s done; l = 0 means
	// that rest came last, l = k+1 that few[k] did. from holds the l before.
	best []int64
	from []uint8
	rate []rates
	sub  []S
}

// solve finds the best way to put the few back between positions lo and hi of rest (hi-lo+1 gaps).
// before is the state of rest[:lo]. It returns the new stretch, which takes the place of rest[lo:hi]
// and the few, and its cost up to and including the slot of rest[hi].
func (x *reinsertion[S]) solve(done S, rate rates, cost int64, lo, hi int, stop func() bool) ([]int, int64) {
	sets, lasts, span := 1<<len(x.few), len(x.few)+1, hi-lo+1
	x.best = growTo(x.best, span*sets*lasts)
	x.from = growTo(x.from, span*sets*lasts)
	x.rate = growTo(x.rate, sets)
	x.sub = growTo(x.sub, sets)
	for s := range sets {
		x.sub[s] = *new(S)
		for k, j := range x.few {
			if s>>k&1 != 0 {
				x.sub[s] = with(x.sub[s], j)
			}
		}
	}
	for i := range x.best {
		x.best[i] = never
	}
	x.best[0] = cost
	x.rate[0] = rate
	end, endAt := never, -1
	for p := range span {
		if stop() {
			return nil, never
		}
		for s := range sets {
			at := union(done, x.sub[s])
			x.putBack(p, s, lo, at)
			if lo+p >= len(x.rest) {
				if s == sets-1 {
					end, endAt = least(x.best[(p*sets+s)*lasts:][:lasts])
				}
				continue
			}
			j := x.rest[lo+p]
			if s == sets-1 && p == span-1 {
				end, endAt = x.close(p, s, lo, at, j)
			} else if p < span-1 {
				x.goOn(p, s, lo, at, j)
			}
		}
		if p < span-1 {
			done = with(done, x.rest[lo+p])
		}
	}
	if endAt < 0 {
		return nil, never
	}
	return x.unwind(span-1, sets-1, endAt, lo), end
}

// lastAt is the grouping that l stands for at rest position p.
func (x *reinsertion[S]) lastAt(l, p int) int {
	if l > 0 {
		return x.few[l-1]
	}
	if p == 0 {
		return -1
	}
	return x.rest[p-1]
}

// putBack goes from (p, s) to (p, s with one more).
func (x *reinsertion[S]) putBack(p, s, lo int, at S) {
	m := x.m
	sets, lasts := 1<<len(x.few), len(x.few)+1
	for k, j := range x.few {
		if s>>k&1 != 0 {
			continue
		}
		perSecond, next := m.take(at, x.rate[s], j)
		to := s | 1<<k
		x.rate[to] = next
		if !m.free && !m.allows(at, j) {
			continue
		}
		x.reach((p*sets+to)*lasts+k+1, p, s, lo, j, perSecond)
	}
}

// goOn goes from (p, s) to (p+1, s) by taking j, the next of the rest.
func (x *reinsertion[S]) goOn(p, s, lo int, at S, j int) {
	m := x.m
	sets, lasts := 1<<len(x.few), len(x.few)+1
	perSecond, next := m.take(at, x.rate[s], j)
	x.rate[s] = next
	if !m.free && !m.allows(at, j) {
		return
	}
	x.reach(((p+1)*sets+s)*lasts, p, s, lo, j, perSecond)
}

// reach looks at every last grouping at (p, s) for the cheapest way of taking j, and keeps it at q.
func (x *reinsertion[S]) reach(q, p, s, lo, j int, perSecond int64) {
	m := x.m
	sets, lasts := 1<<len(x.few), len(x.few)+1
	for l, c := range x.best[(p*sets+s)*lasts:][:lasts] {
		if c >= never {
			continue
		}
		e := m.at(x.lastAt(l, lo+p), j)
		if v := c + m.step[e] + m.slot[e]*perSecond; v < x.best[q] {
			x.best[q], x.from[q] = v, uint8(l)
		}
	}
}

// close adds the slot of j, the first grouping after the stretch.
func (x *reinsertion[S]) close(p, s, lo int, at S, j int) (int64, int) {
	m := x.m
	sets, lasts := 1<<len(x.few), len(x.few)+1
	perSecond, _ := m.take(at, x.rate[s], j)
	best, bestAt := never, -1
	for l, c := range x.best[(p*sets+s)*lasts:][:lasts] {
		if c >= never {
			continue
		}
		e := m.at(x.lastAt(l, lo+p), j)
		if v := c + m.step[e] + m.slot[e]*perSecond; v < best {
			best, bestAt = v, l
		}
	}
	return best, bestAt
}

func (x *reinsertion[S]) unwind(p, s, l, lo int) []int {
	sets, lasts := 1<<len(x.few), len(x.few)+1
	var out []int
	for p > 0 || s > 0 {
		before := int(x.from[(p*sets+s)*lasts+l])
		if l > 0 {
			out = append(out, x.few[l-1])
			s &^= 1 << (l - 1)
		} else {
			p--
			out = append(out, x.rest[lo+p])
		}
		l = before
	}
	slices.Reverse(out)
	return out
}

func least(row []int64) (int64, int) {
	best, at := never, -1
	for l, c := range row {
		if c < best {
			best, at = c, l
		}
	}
	return best, at
}

func growTo[T any](v []T, n int) []T {
	if cap(v) < n {
		return make([]T, n)
	}
	return v[:n]
}

// searchBytes is what search takes.
func (m *model[S]) searchBytes() int64 {
	n := int64(m.n)
	return 8*n*n + 9*max((n+1)<<mostAkin*(mostAkin+1), 1<<mostStretch*(mostStretch+1)) + int64(16+8*len(m.all))<<mostStretch
}

// search takes groupings out and puts them back, rounds times: people's neighbours in turn with
// stretches of the order. It keeps what is no worse.
func (r *run[S]) search(rng *rand.Rand, rounds int) {
	m := r.base
	if m.timed || m.n < 4 || r.total >= never {
		return
	}
	room := claim{of: r.tables}
	defer room.drop()
	if !room.raise(m.searchBytes()) {
		return
	}
	t, ok := newTour(m, r.best)
	if !ok {
		return
	}
	x := &reinsertion[S]{m: m}
	kin := m.kinship()
	for round := range rounds {
		if r.stopped() {
			return
		}
		if round%2 == 0 {
			r.reinsert(t, x, kin.near(rng, m.n, min(mostAkin, m.n-1)), t.m.n)
		} else {
			length := min(mostStretch, m.n)
			a := rng.IntN(m.n - length + 1)
			r.reinsert(t, x, slices.Clone(t.order[a:a+length]), 0)
		}
		if t.total() < r.total {
			r.offer(t.order, t.total())
		}
	}
}

// reinsert puts the few back into the tour within reach gaps of where they were.
func (r *run[S]) reinsert(t *tour[S], x *reinsertion[S], few []int, reach int) {
	x.few = few
	x.rest = x.rest[:0]
	lo, hi := -1, 0
	for _, j := range t.order {
		if slices.Contains(few, j) {
			if lo < 0 {
				lo = len(x.rest)
			}
			hi = len(x.rest)
			continue
		}
		x.rest = append(x.rest, j)
	}
	lo, hi = max(0, lo-reach), min(len(x.rest), hi+reach)
	stretch, cost := x.solve(t.done[lo], t.rate[lo], t.cost[lo], lo, hi, r.stopped)
	if stretch == nil {
		return
	}
	end := lo + len(stretch)
	old := t.cost[end]
	if end < t.m.n {
		old = t.cost[end+1]
	}
	if cost <= old {
		copy(t.order[lo:end], stretch)
		if !t.refresh(lo) {
			panic("solver: a reinsertion broke a constraint")
		}
	}
}

// kinship says how many people two groupings share, weighed against their sizes.
type kinship struct {
	n     int
	share []float64
}

func (m *model[S]) kinship() *kinship {
	k := &kinship{n: m.n, share: make([]float64, m.n*m.n)}
	for i := range m.n {
		members := float64(len(m.p.spec.Groupings[i].Members))
		for j := range m.n {
			theirs := float64(len(m.p.spec.Groupings[j].Members))
			both := float64(m.p.Shared(GroupingIndex(i), GroupingIndex(j)))
			k.share[i*m.n+j] = both / (1 + members + theirs - both)
		}
	}
	return k
}

// near picks a grouping at random and those akin to it, with some chance in the choice.
func (k *kinship) near(rng *rand.Rand, n, count int) []int {
	g := rng.IntN(n)
	type scored struct {
		j     int
		score float64
	}
	list := make([]scored, 0, n)
	for j := range n {
		if j != g {
			list = append(list, scored{j, k.share[g*n+j] * (akinLeast + rng.Float64())})
		}
	}
	slices.SortFunc(list, func(a, b scored) int {
		switch {
		case a.score > b.score:
			return -1
		case a.score < b.score:
			return 1
		}
		return a.j - b.j
	})
	out := []int{g}
	for _, s := range list[:count-1] {
		out = append(out, s.j)
	}
	return out
}
