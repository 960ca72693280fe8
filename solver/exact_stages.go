package solver

// floor raises the bound by the walks of a ladder.
func (r *run[S]) floor() {
	if r.total >= never || r.m.p.spec.Emphasis == FewestSteps {
		return
	}
	c := r.newClimber(floorRungs)
	if c == nil {
		return
	}
	for range floorClimbs {
		r.raise(c.climb(floorRounds, float64(r.total), r.stopped))
	}
	c.room.drop()
	c.l.room.drop()
}

// fewest solves for step-ins alone when they come first, and returns how few there are; 0 for other
// emphases. ok says that the solve was not stopped.
func (r *run[S]) fewest() (most int64, ok bool) {
	if r.m.p.spec.Emphasis != FewestSteps || len(r.m.classes) == 0 {
		return 0, true
	}
	p := *r.m.p
	p.scale = scale{steps: 1}
	o := r.o
	o.OnImprove, o.Incumbent = nil, toIndexes(r.best)
	if r.o.NodeLimit > 0 {
		o.NodeLimit = r.o.NodeLimit - r.stats.Nodes
		if o.NodeLimit <= 0 {
			return 0, false
		}
	}
	res := r.within(&p, o)
	if res.Status == Found {
		order := toInts(res.Order)
		if total, fits := r.base.costOf(order); fits {
			r.offer(order, total)
		}
	}
	r.raise(r.m.scale.steps * res.Bound)
	return res.Total, res.Proven
}

// within solves another problem in the room that is left.
func (r *run[S]) within(p *Problem, o Options) Result {
	inner := newRun[S](r.ctx, p, o, r.width)
	inner.bounds, inner.tables = r.bounds, r.tables
	bounds, tables := r.bounds.held, r.tables.held
	res := inner.result()
	r.bounds.held, r.tables.held = bounds, tables
	r.stats.add(res.Stats)
	return res
}

// add adds the work of a part of the solve.
func (s *Stats) add(t Stats) {
	s.Nodes += t.Nodes
	s.States += t.States
}

// largeCosts is the cost from which on there is no ladder: sums of multipliers could overflow.
const largeCosts = 1 << 48

// newClimber makes a ladder and its climber, with about the given number of rungs or as many as there is
// room for. It returns nil when there is room for hardly any.
func (r *run[S]) newClimber(levels int) *climber[S] {
	room := claim{of: r.bounds}
	if r.m.most >= largeCosts || !room.raise(r.m.ladderBytes()) {
		return nil
	}
	l := newLadder(r.m, r.best)
	l.room, l.fixed = room, room.bytes
	c := newClimber(l, levels)
	c.room.of = r.bounds
	for ; c.levels >= fewLevels; c.levels /= 2 {
		if c.room.raise(c.walkBytes()) {
			return c
		}
	}
	l.room.drop()
	return nil
}

// buildLadder makes the ladder of a bounder, if there is room for one, and raises the bound by it.
func (r *run[S]) buildLadder(b *bounder[S], most int64) {
	var ends []bool
	if most > 0 && b.tree != nil {
		r.m.barred, ends = b.tree.dear(most)
	}
	n := r.m.n
	c := r.newClimber(rungsEach * n)
	if c == nil {
		return
	}
	l := c.l
	for i, late := range ends {
		l.ends[i] = l.ends[i] && !late
	}
	target := float64(r.total)
	if most > 0 {
		l.most = most
		target -= float64(most * r.m.scale.steps)
		c.setPrice(target / float64(firstPriceLevels*most))
		c.price = float64(l.price)
	}
	if found := c.climb(int(climbRounds*float64(n)), target, r.stopped); most == 0 {
		r.raise(found)
	}
	c.room.drop()
	if !c.tune([]sampled[S]{{last: -1}}, max(leastTuneRounds, n-tuneRoundsLess), mostRemembered, r.total, r.stopped) || r.stopped() {
		l.room.drop()
		return
	}
	b.ladder = l
	r.ladders[0] = l
	w := newScratch(r.m.n)
	var none S
	tree := b.ofState(b.ofSet(none, w), -1, w)
	b.trees = most > 0 || float64(tree) > treesWorthAbove*float64(l.whole(none, -1))
	r.raise(b.whole(0, none, -1, w))
}
