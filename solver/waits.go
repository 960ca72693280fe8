package solver

import "math/bits"

// Talent scheduling and its like have slots that are the same whatever came before and step-ins that
// cost nothing. Then the rest of an order costs the same after every state of one set, so each set
// needs only its cheapest state, and:
//
//   - Groupings with the same people can be taken in one run: move the later of two next to the
//     earlier or the earlier next to the later; nobody new idles, and of the people idle between
//     them either those who idle during the one or those who idle during the other gain. (Merging
//     scenes of equal cast: Cheng, Diamond and Lin, 1993.)
//   - A grouping left whose people are exactly those called and not released can be taken at once:
//     nobody idles during it, nobody new is called, and taking it out from later delays no one.
//     (Garcia de la Banda, Stuckey and Chu, 2011.)

// memoryless says that nothing depends on the grouping before.
func (m *model[S]) memoryless() bool {
	if m.timed || m.n == 0 {
		return false
	}
	for at := m.n; at < len(m.slot); at++ {
		if m.slot[at] != m.slot[at%m.n] && at/m.n != at%m.n+1 || m.step[at] != 0 {
			return false
		}
	}
	for _, v := range m.step[:m.n] {
		if v != 0 {
			return false
		}
	}
	return true
}

// idleOnly says that, in a memoryless model without wishes, only idle time costs anything.
func (m *model[S]) idleOnly() bool {
	if !m.free || !m.memoryless() {
		return false
	}
	for i := range m.classes {
		if m.classes[i].release > 0 || m.classes[i].started || m.classes[i].stays {
			return false
		}
	}
	return true
}

// runEqual makes runs of groupings with the same classes; it may only be used when idleOnly.
func (m *model[S]) runEqual() {
	taken := make([]bool, m.n)
	for g := range m.n {
		if taken[g] {
			continue
		}
		run := with(*new(S), g)
		for h := g + 1; h < m.n; h++ {
			if equalLists(m.of[g], m.of[h]) {
				taken[h] = true
				run = with(run, h)
			}
		}
		if size(run) > 1 {
			list := members(run, nil)
			for k, j := range list {
				m.run[j] = run
				if k > 0 {
					m.before[j] = with(m.before[j], list[k-1])
				}
			}
			m.runs = append(m.runs, run)
		}
	}
	m.free = len(m.runs) == 0
	m.closePrecedence()
}

func equalLists(a, b []int32) bool {
	if len(a) != len(b) {
		return false
	}
	for k := range a {
		if a[k] != b[k] {
			return false
		}
	}
	return true
}

// worthTaking appends the groupings that need be tried next after a set; it may only be used when
// idleOnly, where every class is called or left to be called by what is done. casts are the classes of
// each grouping as bits, which needs at most 64 classes.
//
// Besides what can be taken at once, a grouping s need not come next when some t is left with
// a(s) ⊊ a(t) ⊆ a(s) ∪ o, a being the people and o those called and not released (Garcia de la Banda,
// Stuckey and Chu, 2011). For take an order s X t … of what is left that is best and begins with as
// many people as any best one does. Let F be the weight of those in o released during X and N the
// weight of those called during X who are still there at t. Moving t to the front costs at most
// length(t)·(F - N): s and t call the same people, so X costs no more. If F <= N this makes a best
// order that begins with more people. Moving s behind t costs at most length(s)·(N - F), so if F > N
// and s takes any time the order was not the best.
func (m *model[S]) worthTaking(done S, casts []uint64, to []int) []int {
	called := uint64(0)
	for i := range m.classes {
		if c := &m.classes[i]; meets(c.in, done) && !within(c.in, done) {
			called |= 1 << uint(i)
		}
	}
	begin := len(to)
	for j := range m.n {
		if has(done, j) || !m.allows(done, j) {
			continue
		}
		if casts[j] == called {
			return append(to[:begin], j)
		}
		to = append(to, j)
	}
	left := to[begin:]
	kept := to[:begin]
	for _, s := range left {
		worth := true
		for _, t := range left {
			if a, b := casts[s], casts[t]; a != b && a&^b == 0 && b&^(a|called) == 0 && m.slot[s] > 0 {
				worth = false
				break
			}
		}
		if worth {
			kept = append(kept, s)
		}
	}
	return kept
}

// casts returns the classes of each grouping as bits, or nil when there are too many classes.
func (m *model[S]) casts() []uint64 {
	if len(m.classes) > 64 {
		return nil
	}
	out := make([]uint64, m.n)
	for j := range out {
		for _, k := range m.of[j] {
			out[j] |= 1 << uint(k)
		}
	}
	return out
}

// idleToCome bounds the idle cost still to come after a set, for those called and not released: of
// two of them one is released first, and the other idles through the groupings left that hold the
// first and not the other. A grouping's seconds are shared among those in it, so that the seconds
// that one person idles are not counted for several others.
func (m *model[S]) idleToCome(done S, w *scratch) int64 {
	w.open = w.open[:0]
	for i := range m.classes {
		c := &m.classes[i]
		if c.idle > 0 && !c.stays && !within(c.in, done) && (c.started || meets(c.in, done)) {
			w.open = append(w.open, i)
		}
	}
	if len(w.open) < 2 {
		return 0
	}
	var left S = minus(m.all, done)
	for k := range len(left) {
		for x := left[k]; x != 0; x &= x - 1 {
			j := k<<6 + bits.TrailingZeros64(x)
			sharers := int64(0)
			for _, i := range w.open {
				if has(m.classes[i].in, j) {
					sharers++
				}
			}
			w.weight[j] = 0
			if sharers > 0 {
				w.weight[j] = m.slot[j] << idleFine / sharers
			}
		}
	}
	return pairs(m, left, w) >> idleFine
}

// pairs adds up, over pairs of open classes, the less of what one idles while the other is there.
func pairs[S set](m *model[S], left S, w *scratch) int64 {
	n := len(w.open)
	if len(w.only) < n*n {
		w.only = make([]int64, n*n)
	}
	clear(w.only[:n*n])
	in, out := w.near[:0], w.from[:0] // Borrowed: the spanning tree is not under way.
	for k := range len(left) {
		for x := left[k]; x != 0; x &= x - 1 {
			j := k<<6 + bits.TrailingZeros64(x)
			share := w.weight[j]
			if share == 0 {
				continue
			}
			in, out = in[:0], out[:0]
			for a, i := range w.open {
				if has(m.classes[i].in, j) {
					in = append(in, int64(a))
				} else {
					out = append(out, int32(a))
				}
			}
			for _, a := range in {
				row := w.only[int(a)*n : (int(a)+1)*n]
				for _, b := range out {
					row[b] += share
				}
			}
		}
	}
	total := int64(0)
	for a, i := range w.open {
		for b := a + 1; b < n; b++ {
			// only[b·n+a] are the seconds with b and without a: what a idles when b is released first.
			total += min(m.classes[i].idle*w.only[b*n+a], m.classes[w.open[b]].idle*w.only[a*n+b])
		}
	}
	return total
}

// idleFine are the binary digits of shared seconds.
const idleFine = 4
