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
	b := r.newBounder()
	w := newScratch(r.m.n)
	var none S
	r.raise(b.whole(0, none, -1, w))
	if r.m.n > large {
		r.floor()
		r.shorten(rand.New(rand.NewPCG(r.o.Seed, 3)), largeKicks*r.m.n)
		r.search(rand.New(rand.NewPCG(r.o.Seed, 2)), largeReinsertions*r.m.n)
	}
	for width, built := r.width, false; ; width *= wider {
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
		if !built && r.total < never && !b.memoryless {
			built = true
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
	before := r.tables.held
	defer func() { r.tables.held = before }()
	if !r.tables.take(cur.bytes() + 40*int64(m.n)) {
		return false, false
	}
	b.ladder = r.ladders[0]
	if b.ladder != nil {
		cur.place[0] = b.ladder.stand(cur.sets[0])
	}
	traces := make([]trace, 0, m.n)
	open, full := never, width >= 1<<30
	for k := range m.n {
		g := r.newGrowth(b, cur, k == 0)
		if !g.grow(traces) {
			return false, false
		}
		full = full || g.dropped < never
		next, dropped := g.settle(width)
		open = min(open, dropped)
		if r.stopped() {
			return false, false
		}
		// A better order goes through a state that was dropped or through one of these.
		r.raise(min(open, g.least()))
		g.room.drop()
		r.tables.give(cur.bytes())
		if !r.tables.take(next.bytes() + 6*int64(len(next.last))) {
			return false, false
		}
		r.retune(b, k+1, next)
		traces = append(traces, trace{next.last, next.parent})
		r.stats.States += int64(len(next.last))
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
		return !full, false
	}
	return true, true
}

// bytes is what a layer takes.
func (y *layer[S]) bytes() int64 {
	return int64(cap(y.sets))*int64(8*len(*new(S))+36) + 22*int64(cap(y.cost))
}

func unwind(traces []trace, at int32) []int {
	order := make([]int, len(traces))
	for k := len(traces) - 1; k >= 0; k-- {
		order[k] = int(traces[k].last[at])
		at = traces[k].parent[at]
	}
	return order
}
