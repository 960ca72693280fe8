package solver

import "math/bits"

// endsScratch is the working memory of one goroutine.
type endsScratch struct {
	casts, runs []uint64
	// least and reach are by sets of people: the least cost of releasing them first, and their scenes.
	least []int64
	reach []uint64
}

// mostWaiting is how many people are considered together, as a table of all their subsets is made.
const mostWaiting = 8

// bound bounds what is still to be paid in a state by three sums that count different seconds of
// different people: those called at one end, while scenes with any of them are taken (two sums), and
// those called at either end, during the other scenes.
func (e *ends) bound(s endsState, w *endsScratch) int64 {
	front, back := s.front&^s.back, s.back&^s.front
	total := e.waiting(front, s.left, w) + e.waiting(back, s.left, w)
	if front == 0 || back == 0 {
		return total
	}
	others := uint64(0)
	for x := s.left; x != 0; x &= x - 1 {
		if j := bits.TrailingZeros64(x); e.casts[j]&(front|back) == 0 {
			others |= 1 << j
		}
	}
	if others != 0 {
		total += e.duration(others) * e.present(front, back, s.left)
	}
	return total
}

// waiting bounds the idle cost of people called at one end. In the order in which they are released,
// each waits at least for all scenes of those released until then. So the least cost of releasing the
// people of a set A first, f(A), is the least over the last of them, q, of
//
//	f(A without q) + idle(q)·(seconds of scenes with anybody of A and without q).
//
// More than mostWaiting are taken in parts, each for itself.
func (e *ends) waiting(people, left uint64, w *endsScratch) int64 {
	total := int64(0)
	for parts := (bits.OnesCount64(people) + mostWaiting - 1) / mostWaiting; parts > 0; parts-- {
		part := uint64(0)
		for range (bits.OnesCount64(people) + parts - 1) / parts {
			part |= people & -people
			people &= people - 1
		}
		total += e.releases(part, left, w)
	}
	return total
}

func (e *ends) releases(people, left uint64, w *endsScratch) int64 {
	var who [mostWaiting]int
	n, own := 0, int64(0)
	for x := people; x != 0; x &= x - 1 {
		who[n] = bits.TrailingZeros64(x)
		own += e.idle[who[n]] * e.duration(e.in[who[n]]&left)
		n++
	}
	if n < 2 {
		return 0
	}
	w.least, w.reach = growTo(w.least, 1<<mostWaiting), growTo(w.reach, 1<<mostWaiting)
	w.least[0], w.reach[0] = 0, 0
	for a := 1; a < 1<<n; a++ {
		w.reach[a] = w.reach[a&(a-1)] | e.in[who[bits.TrailingZeros(uint(a))]]&left
		until, best := e.duration(w.reach[a]), never
		for x := a; x != 0; x &= x - 1 {
			i := bits.TrailingZeros(uint(x))
			best = min(best, w.least[a&^(1<<i)]+e.idle[who[i]]*until)
		}
		w.least[a] = best
	}
	return w.least[1<<n-1] - own
}

// present bounds the weight of those of front and back who are there at any one time. When the people
// of A, a part of front, are released, everybody of back who shares a scene left with one of them has
// been called.
func (e *ends) present(front, back, left uint64) int64 {
	if bits.OnesCount64(front) > bits.OnesCount64(back) {
		front, back = back, front
	}
	var shares [mostWaiting]uint64
	var idle [mostWaiting]int64
	n := 0
	for x := front; x != 0 && n < mostWaiting; x &= x - 1 {
		p := bits.TrailingZeros64(x)
		for y := back; y != 0; y &= y - 1 {
			if q := bits.TrailingZeros64(y); e.in[p]&e.in[q]&left != 0 {
				shares[n] |= 1 << q
			}
		}
		idle[n] = e.idle[p]
		n++
	}
	best := never
	for released := range 1 << n {
		weight, called := int64(0), uint64(0)
		for i := range n {
			if released>>i&1 != 0 {
				called |= shares[i]
			} else {
				weight += idle[i]
			}
		}
		best = min(best, weight+e.weigh(called))
	}
	return best
}
