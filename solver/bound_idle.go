package solver

import "math/bits"

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

// idleToCome bounds the idle cost still to come after a set, for those called and not released: of
// two of them one is released first, and the other idles through the groupings left that hold the
// first and not the other. If there are more than mostOpen of them, the rest are not counted. A grouping's
// seconds are shared among those in it, so that nobody's idle seconds are counted for several others.
func (m *model[S]) idleToCome(done S, w *scratch) int64 {
	w.open = w.open[:0]
	if m.most >= largeCosts {
		return 0
	}
	for i := range m.classes {
		c := &m.classes[i]
		if len(w.open) == mostOpen {
			break
		}
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

// mostOpen bounds the pairs that are looked at.
const mostOpen = 256

// idleFine are the binary digits of shared seconds.
const idleFine = 4
