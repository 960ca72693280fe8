package solver

import "slices"

// The bytes of what takes room in a growth: a candidate, with its part of the next layer; a set, with its
// part of it and the table that it is found by; and a successor that is in neither yet. Each with the
// copy that growing makes.
const candidateBytes = 40*9/4 + 16 + 22

func setBytes[S set]() int64 {
	size := int64(8 * len(*new(S)))
	return (size+57)*9/4 + 40 + size + 36
}

func madeBytes[S set]() int64 { return (int64(8*len(*new(S))) + 72) * 9 / 4 }

// successorBytes is what a successor can take at most, all in all.
func successorBytes[S set]() int64 { return candidateBytes + setBytes[S]() + madeBytes[S]() }

// newGrowth begins a layer in the room that is left.
func (r *run[S]) newGrowth(b *bounder[S], cur *layer[S], start bool) *growth[S] {
	g := &growth[S]{r: r, b: b, cur: cur, start: start, dropped: never, limit: r.tables.left(), room: claim{of: r.tables}}
	expected := min(int64(len(cur.sets)), g.limit/8/successorBytes[S]())
	g.base = 256 + 32*expected
	g.table.reset(int(expected))
	return g
}

// held is what the growth holds.
func (g *growth[S]) held() int64 {
	return g.base + int64(len(g.cands))*candidateBytes + int64(len(g.rate))*setBytes[S]()
}

// batch says which states to expand next: those from at on, the first of them of the given set. upto is
// the set after those, last the state after them, most how many successors can come of them.
func (g *growth[S]) batch(set int, at int32) (upto int, last int32, most int64) {
	m := g.r.m
	each := int64(m.n - size(g.cur.sets[set])) // successors of a state
	fits := g.limit / 4 / successorBytes[S]()
	for upto, last = set, at; upto < min(set+batch, len(g.cur.sets)); upto++ {
		more := each
		if m.timed { // Otherwise one for each set and each grouping taken next is left.
			more *= int64(g.cur.first[upto+1] - last)
		}
		if upto > set && most+more > fits {
			break
		}
		most, last = most+more, g.cur.first[upto+1]
	}
	if states := max(1, fits/each); m.timed && upto == set+1 && int64(last-at) > states {
		last = at + int32(states)
		most = states * each
	}
	return upto, last, most
}

// makeRoom makes room for a number of successors, dropping candidates if it has to. It returns false
// when even that is not enough.
func (g *growth[S]) makeRoom(successors int64) bool {
	more := successors * successorBytes[S]()
	if g.held()+more > g.limit {
		g.shrink(int(max(0, g.limit/2-g.base) / (candidateBytes + setBytes[S]())))
	}
	return g.held()+more <= g.limit
}

// shrink keeps the width candidates of least bound, and their sets.
func (g *growth[S]) shrink(width int) {
	if g.b.memoryless {
		g.onePerSet()
	}
	if len(g.cands) > width {
		g.dropped = min(g.dropped, g.narrow(width))
	}
	number := make([]int32, len(g.rate))
	for i := range g.cands {
		number[g.cands[i].group] = 1
	}
	kept := int32(0)
	for id, used := range number {
		if used == 0 {
			continue
		}
		number[id] = kept
		g.table.keys[kept], g.rate[kept], g.place[kept] = g.table.keys[id], g.rate[id], g.place[id]
		if g.excess != nil {
			g.excess[kept] = g.excess[id]
		}
		if g.treed != nil {
			g.treed[kept], g.tree[kept] = g.treed[id], g.tree[id]
		}
		kept++
	}
	g.table.cut(int(kept))
	g.rate, g.place = g.rate[:kept], g.place[:kept]
	g.excess, g.tree, g.treed = g.excess[:min(int(kept), len(g.excess))], g.tree[:min(int(kept), len(g.tree))], g.treed[:min(int(kept), len(g.treed))]
	for i := range g.cands {
		g.cands[i].group = number[g.cands[i].group]
	}
}

// settle turns the candidates into a layer of at most width states, the ones of least bound. It
// returns the least bound that was dropped, or never.
func (g *growth[S]) settle(width int) (*layer[S], int64) {
	if g.b.memoryless {
		g.onePerSet()
	}
	dropped := g.dropped
	if len(g.cands) > width {
		dropped = min(dropped, g.narrow(width))
	}
	next := &layer[S]{}
	count, sets := make([]int32, len(g.rate)), 0
	for _, c := range g.cands {
		if count[c.group]++; count[c.group] == 1 {
			sets++
		}
	}
	next.sets, next.rate = make([]S, 0, sets), make([]rates, 0, sets)
	next.place, next.first = make([]place, 0, sets), make([]int32, 1, sets+1)
	// Sets without a state left get no place; count[group] becomes where the next state goes.
	at := int32(0)
	for id := range g.rate {
		k := count[id]
		count[id] = at
		at += k
		if k > 0 {
			next.sets = append(next.sets, g.table.keys[id])
			next.rate = append(next.rate, g.rate[id])
			next.place = append(next.place, g.place[id])
			next.first = append(next.first, at)
		}
	}
	n := len(g.cands)
	next.last, next.cost = make([]uint16, n), make([]int64, n)
	next.parent = make([]int32, n)
	if g.r.m.timed {
		next.now = make([]Seconds, n)
	}
	for _, c := range g.cands {
		i := count[c.group]
		count[c.group]++
		next.last[i], next.cost[i], next.parent[i] = c.last, c.cost, c.parent
		if next.now != nil {
			next.now[i] = c.now
		}
	}
	return next, dropped
}

// least is the least bound of the candidates.
func (g *growth[S]) least() int64 {
	least := never
	for i := range g.cands {
		least = min(least, g.cands[i].bound)
	}
	return least
}

// onePerSet keeps the cheapest candidate of each set, the first among equals: without memory the
// others have nothing to offer.
func (g *growth[S]) onePerSet() {
	best := make([]int32, len(g.rate))
	for i, c := range g.cands {
		if b := best[c.group]; b == 0 || c.cost < g.cands[b-1].cost {
			best[c.group] = int32(i + 1)
		}
	}
	kept := g.cands[:0]
	for i, c := range g.cands {
		if best[c.group] == int32(i+1) {
			kept = append(kept, c)
		}
	}
	g.cands = kept
}

// narrow keeps the width candidates of least bound, earlier ones first among equals, and returns the
// least bound of the others.
func (g *growth[S]) narrow(width int) int64 {
	bounds := make([]int64, len(g.cands))
	for i, c := range g.cands {
		bounds[i] = c.bound
	}
	limit, atLimit := cut(bounds, width)
	kept := g.cands[:0]
	for _, c := range g.cands {
		switch {
		case c.bound < limit:
			kept = append(kept, c)
		case c.bound == limit && atLimit > 0:
			atLimit--
			kept = append(kept, c)
		}
	}
	g.cands = kept
	return limit
}

// cut says which bounds are the width least of more: those below limit and the first atLimit of those
// equal to it. The least of the others is limit.
func cut(bounds []int64, width int) (limit int64, atLimit int) {
	rising := slices.Clone(bounds)
	slices.Sort(rising)
	limit, atLimit = rising[width], width
	for k := 0; k < width && rising[k] < limit; k++ {
		atLimit = width - k - 1
	}
	return limit, atLimit
}
