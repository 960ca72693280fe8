package solver

import "math/rand/v2"

// layer holds the states of all sets of one size. The states of set k are first[k] … first[k+1]-1;
// in each, the set is done and last was taken last.
type layer[S set] struct {
	sets  []S
	rate  []rates
	place []place
	first []int32
	last  []uint16
	cost  []int64
	// now is when the last slot ended; only timed models keep it.
	now []Seconds
	// parent is the state of the layer before, -1 in the first.
	parent []int32
}

// trace is what stays of a layer to rebuild orders.
type trace struct {
	last   []uint16
	parent []int32
}

// exact searches layer by layer, first in narrow beams that raise the incumbent, then wider, until
// a pass drops nothing: then the best order is proven best. It returns whether it is.
func (r *run[S]) exact() bool {
	if e := newEnds(r.base); e != nil {
		return r.byEnds(e)
	}
	b := newBounder(r.m, r.best, r.stopped)
	w := newScratch(r.m.n)
	var none S
	r.raise(b.whole(0, none, -1, w))
	if r.m.n > large {
		r.floor()
		r.shorten(rand.New(rand.NewPCG(r.o.Seed, 3)), 100*r.m.n)
		r.search(rand.New(rand.NewPCG(r.o.Seed, 2)), 60*r.m.n)
	}
	for width := r.width; ; width *= 128 {
		ended, whole := r.pass(b, int(min(width, 1<<30)))
		if !ended {
			return false
		}
		if whole {
			r.raise(r.total)
			return true
		}
		if r.stopped() {
			return false
		}
		if b.ladder == nil && r.total < never && !b.memoryless {
			most, ok := r.fewest()
			if !ok {
				return false
			}
			r.buildLadder(b, most)
		}
	}
}

// pass runs through the layers keeping at most width states in each. ended says that it was not
// stopped; whole that no state was dropped except by proof.
func (r *run[S]) pass(b *bounder[S], width int) (ended, whole bool) {
	m := r.m
	cur := &layer[S]{
		sets: make([]S, 1), rate: []rates{{m.release0, m.idle0}}, first: []int32{0, 1},
		place: make([]place, 1), last: []uint16{0}, cost: []int64{0}, now: []Seconds{0}, parent: []int32{-1},
	}
	b.ladder = r.ladders[0]
	if b.ladder != nil {
		cur.place[0] = b.ladder.stand(cur.sets[0])
	}
	traces := make([]trace, 0, m.n)
	open := never
	held := int64(0)
	for k := range m.n {
		g := &growth[S]{r: r, b: b, cur: cur, start: k == 0}
		if !g.grow() {
			return false, false
		}
		room := int64(width)
		if per := m.stateBytes(); room > (r.o.MemoryLimit-held)/per/3 {
			room = max(1, (r.o.MemoryLimit-held)/per/3)
		}
		next, dropped := g.settle(int(room))
		open = min(open, dropped)
		if r.stopped() {
			return false, false
		}
		// A better order goes through a state that was dropped or through one of these.
		r.raise(min(open, g.least()))
		r.retune(b, k+1, next)
		traces = append(traces, trace{next.last, next.parent})
		held += int64(len(next.last)) * 6
		r.stats.States += int64(len(next.last))
		r.stats.PeakBytes = max(r.stats.PeakBytes, held+int64(len(cur.last)+len(next.last))*m.stateBytes())
		cur = next
	}
	bestAt := -1
	for i, c := range cur.cost {
		if c < r.total && (bestAt < 0 || c < cur.cost[bestAt]) {
			bestAt = i
		}
	}
	if bestAt >= 0 {
		r.offer(unwind(traces, int32(bestAt)), cur.cost[bestAt])
	}
	if r.improves(open) {
		r.raise(open)
		full := int64(width) >= 1<<30 || int64(width) > r.o.MemoryLimit/m.stateBytes()/3
		return !full, false
	}
	return true, true
}

// stateBytes is about what one state of a layer takes.
func (m *model[S]) stateBytes() int64 { return 96 + 8*int64((m.n+63)/64) }

func unwind(traces []trace, at int32) []int {
	order := make([]int, len(traces))
	for k := len(traces) - 1; k >= 0; k-- {
		order[k] = int(traces[k].last[at])
		at = traces[k].parent[at]
	}
	return order
}
