package solver

// candidate is a state that is being made.
type candidate struct {
	group  int32
	parent int32
	last   uint16
	cost   int64
	now    Seconds
	bound  int64
}

// growth makes one layer out of the one before it.
type growth[S set] struct {
	r     *run[S]
	b     *bounder[S]
	cur   *layer[S]
	start bool

	table index[S]
	rate  []rates
	place []place
	// excess and tree are the bounds of each set; treed says for which sets tree is known.
	excess []int64
	tree   []setBound
	treed  []bool
	cands  []candidate
	// limit is what all of this may take, base what it takes without candidates and sets; room counts it.
	limit, base int64
	room        claim
	// dropped is the least bound of what there was no room for.
	dropped int64
}

// batch is how many sets are expanded at most between two merges, piece how many a goroutine takes at
// once.
const (
	batch = 4096
	piece = 64
)

// made is a candidate before its set has a number.
type made[S set] struct {
	set   S
	rate  rates
	place place
	candidate
}

// grow expands every state of the layer. It returns false when the search is stopped, or there is too
// little room to expand even a single state.
func (g *growth[S]) grow(traces []trace) bool {
	states := int32(len(g.cur.last))
	for set, at := 0, int32(0); at < states; {
		if g.r.stopped() {
			return false
		}
		upto, last, most := g.batch(set, at)
		if !g.makeRoom(most) {
			return false
		}
		pieces := make([][]made[S], (upto-set+piece-1)/piece)
		g.r.parallel(len(pieces), func(k int, w *scratch) {
			for s := set + k*piece; s < min(set+(k+1)*piece, upto); s++ {
				from, to := max(at, g.cur.first[s]), min(last, g.cur.first[s+1])
				pieces[k] = g.expand(s, int(from), int(to), pieces[k], w)
			}
		})
		known, begin, made := len(g.rate), len(g.cands), 0
		for _, p := range pieces {
			made += len(p)
			for _, c := range p {
				id, fresh := g.table.add(c.set)
				if fresh {
					g.rate = append(g.rate, c.rate)
					g.place = append(g.place, c.place)
				}
				c.group = id
				g.cands = append(g.cands, c.candidate)
			}
		}
		if !g.room.raise(g.held() + int64(made)*madeBytes[S]()) {
			panic("solver: a layer takes more room than there is")
		}
		g.addExcess(known, begin)
		g.addTrees(begin)
		g.restAlone(begin, traces)
		if g.r.ctx.Err() != nil {
			return false
		}
		g.r.stats.Nodes += int64(last - at)
		if at, set = last, upto; last < g.cur.first[upto] {
			set = upto - 1
		}
	}
	return true
}

// addExcess completes the ladder bounds of the candidates from begin on, whose sets are new from
// known on, and drops those that cannot beat the incumbent.
func (g *growth[S]) addExcess(known, begin int) {
	l := g.b.ladder
	if l == nil {
		return
	}
	g.excess = append(g.excess, make([]int64, len(g.rate)-known)...)
	g.r.parallel((len(g.rate)-known+piece-1)/piece, func(k int, w *scratch) {
		for id := known + k*piece; id < min(known+(k+1)*piece, len(g.rate)); id++ {
			g.excess[id] = l.excess(g.table.keys[id])
		}
	})
	kept := g.cands[:begin]
	for _, c := range g.cands[begin:] {
		if c.bound = max(c.bound, c.bound+g.excess[c.group]); g.r.improves(c.bound) {
			kept = append(kept, c)
		}
	}
	g.cands = kept
}

// addTrees raises the bounds of the candidates from begin on by spanning trees and drops those that
// cannot beat the incumbent.
func (g *growth[S]) addTrees(begin int) {
	if g.b.ladder != nil && !g.b.trees {
		return
	}
	more := len(g.rate) - len(g.treed)
	g.treed = append(g.treed, make([]bool, more)...)
	g.tree = append(g.tree, make([]setBound, more)...)
	var due []int32
	for _, c := range g.cands[begin:] {
		if !g.treed[c.group] {
			g.treed[c.group] = true
			due = append(due, c.group)
		}
	}
	g.r.parallel((len(due)+piece-1)/piece, func(k int, w *scratch) {
		for _, id := range due[k*piece : min((k+1)*piece, len(due))] {
			g.tree[id] = g.b.ofSet(g.table.keys[id], w)
		}
	})
	w := newScratch(g.r.m.n)
	kept := g.cands[:begin]
	for _, c := range g.cands[begin:] {
		w.left = members(minus(g.r.m.all, g.table.keys[c.group]), w.left[:0])
		c.bound = max(c.bound, c.cost+g.b.ofState(g.tree[c.group], int(c.last), w))
		if g.r.improves(c.bound) {
			kept = append(kept, c)
		}
	}
	g.cands = kept
}

// expand makes the successors of the states of set s. All states of a successor (set ∪ {j}, last j)
// come from here, so the best is known at once. Of a set with very many, it takes those from … upto-1.
func (g *growth[S]) expand(s, from, upto int, out []made[S], w *scratch) []made[S] {
	m, cur, l := g.r.m, g.cur, g.b.ladder
	done := cur.sets[s]
	w.try = w.try[:0]
	for j := range m.n {
		if !has(done, j) && m.allows(done, j) {
			w.try = append(w.try, j)
		}
	}
	for _, j := range w.try {
		perSecond, next := m.take(done, cur.rate[s], j)
		c := made[S]{set: with(done, j), rate: next}
		c.last = uint16(j)
		rest := int64(0)
		if l != nil {
			owed := int64(0)
			c.place, owed = l.past(cur.place[s], done, j)
			if rest = l.read(int(c.place.rung), j, c.set); rest >= blocked/2 {
				continue
			}
			rest += c.place.give - owed
		}
		begin := len(out)
		for k := from; k < upto; k++ {
			last := int(cur.last[k])
			if g.start {
				last = -1
			}
			c.parent = int32(k)
			at := m.at(last, j)
			if m.barred != nil && m.barred[at] {
				continue
			}
			length := m.slot[at]
			if m.timed {
				end, ok := m.place(last, j, cur.now[k])
				if !ok {
					continue
				}
				c.now, length = end, end-cur.now[k]
			}
			c.cost = cur.cost[k] + m.step[at] + length*perSecond
			if c.bound = c.cost; l != nil {
				c.bound = l.bound(c.cost, rest)
			}
			if !g.r.improves(c.bound) {
				continue
			}
			out = m.enter(out, begin, c)
		}
	}
	return out
}

// enter adds a state to those of the same set and last grouping, out[begin:], unless one of them
// dominates it, and removes those that it dominates.
func (m *model[S]) enter(out []made[S], begin int, c made[S]) []made[S] {
	kept := begin
	for _, d := range out[begin:] {
		if m.dominates(&d, &c) {
			return out
		}
		if !m.dominates(&c, &d) {
			out[kept] = d
			kept++
		}
	}
	return append(out[:kept], c)
}

// dominates says that every completion of b is at least as cheap after a, which has the same set
// and last grouping. Without time in the state the completions cost the same. With it, a must not
// be later, so that each later slot can end no later after a than after b. When no slot ever waits,
// the slots themselves are then equal, and so are their costs. When slots wait, write d(k) >= 0 for
// how much earlier slot k ends after a; d only shrinks when each grouping has one window, and
//
//	cost after a - cost after b = Σ rate(k)·(d(k-1) - d(k)),
//
// which is at most (largest rate)·d(0). Release rates fall along an order, so for them it holds
// with the rate at the state (Abel summation) even where d can grow; an idle rate can rise, so with
// idle weights and several windows only equal times are compared.
func (m *model[S]) dominates(a, b *made[S]) bool {
	if !m.timed {
		return a.cost <= b.cost
	}
	if a.now > b.now {
		return false
	}
	if a.now == b.now || !m.waits {
		return a.cost <= b.cost
	}
	idle := int64(0)
	for k := range m.classes {
		c := &m.classes[k]
		if c.idle > 0 && (c.stays || !within(c.in, a.set)) {
			idle += c.idle
		}
	}
	if idle > 0 && m.gaps {
		return false
	}
	return a.cost+(a.rate.release+idle)*(b.now-a.now) <= b.cost
}
