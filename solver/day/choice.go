package day

import (
	"slices"

	"kinorder.example/solver"
)

// How far other choices of groupings are looked at before one is called best.
const (
	choiceSteps = 1 << 17 // groupings taken or left out
	choiceTries = 200     // choices that have to be held against the best one by their cost
)

// choice walks over the choices of groupings that lose no more than the best plan, and could have room.
type choice struct {
	s     *searcher
	tally *tally // what is not left out so far
	best  []bool // what the best plan takes
	order []solver.GroupingIndex
	room  solver.Seconds // of all blocks, without what is taken so far
	open  bool           // some block need not end
	steps int
	tries int
	work  int64 // states of exact searches
	other bool  // some choice may be better
}

// noneBetter says that no other choice of groupings makes a better plan than the best one; see doc.go, Losses.
func (s *searcher) noneBetter() bool {
	if s.bestIs.lost == (Lost{}) || s.ctx.Err() != nil {
		return s.bestIs.lost == (Lost{})
	}
	c := &choice{s: s, tally: fullTally(s.p), best: make([]bool, len(s.p.spec.Groupings))}
	for _, g := range s.taken() {
		c.best[g] = true
	}
	c.room, c.open = s.wholeRoom()
	for g := range s.p.spec.Groupings {
		if at := solver.GroupingIndex(g); len(s.p.possible[g]) == 0 {
			c.tally.set(at, false)
		} else {
			c.order = append(c.order, at)
		}
	}
	// What loses most comes first: a branch that leaves it out ends soon.
	full := c.tally.lost
	loses := make([]Lost, len(s.p.spec.Groupings))
	for _, g := range c.order {
		c.tally.set(g, false)
		loses[g] = c.tally.lost
		c.tally.set(g, true)
	}
	slices.SortStableFunc(c.order, func(a, b solver.GroupingIndex) int {
		switch {
		case loses[b].Less(loses[a]):
			return -1
		case loses[a].Less(loses[b]):
			return 1
		}
		return 0
	})
	c.tally.lost = full
	c.walk(0)
	return !c.other
}

// walk decides on one grouping after the other.
func (c *choice) walk(at int) {
	if c.steps++; c.steps > choiceSteps || c.steps%1024 == 0 && c.s.ctx.Err() != nil {
		c.other = true
	}
	if c.other || c.s.bestIs.lost.Less(c.tally.lost) || !c.open && c.room < 0 {
		return
	}
	if at == len(c.order) {
		c.other = c.mayBeBetter() || c.other
		return
	}
	g := c.order[at]
	c.room -= c.s.p.leastSlot[g]
	c.walk(at + 1)
	c.room += c.s.p.leastSlot[g]
	c.tally.set(g, false)
	c.walk(at + 1)
	c.tally.set(g, true)
}

// mayBeBetter says that a choice may make a better plan than the best one.
func (c *choice) mayBeBetter() bool {
	if slices.Equal(c.tally.taken, c.best) {
		return false
	}
	if c.tries++; c.tries > choiceTries || c.s.ctx.Err() != nil {
		return true
	}
	var taken []solver.GroupingIndex
	where := make([]BlockIndex, len(c.best))
	alone := true // each has a single block
	for g, in := range c.tally.taken {
		where[g] = nowhere
		if in {
			taken, where[g] = append(taken, solver.GroupingIndex(g)), c.s.p.possible[g][0]
			alone = alone && len(c.s.p.possible[g]) == 1
		}
	}
	as := c.tally.lost == c.s.bestIs.lost
	if as && c.s.flatBound(taken) >= c.s.bestIs.total {
		return false
	}
	if !alone || c.work > enumerateWork {
		return true
	}
	bound, fits := c.leastOf(taken, where)
	return fits && !(as && bound >= c.s.bestIs.total)
}

// leastOf is the block sum of a choice; false when one of its blocks has no room for what it takes. If it finds a better
// plan on the way, that is the best one from now on.
func (c *choice) leastOf(taken []solver.GroupingIndex, where []BlockIndex) (bound int64, fits bool) {
	sum, next := newSum(c.s.p), make(orders, len(c.s.p.spec.Blocks))
	for b := range c.s.p.spec.Blocks {
		var list []solver.GroupingIndex
		for _, g := range taken {
			if where[g] == BlockIndex(b) {
				list = append(list, g)
			}
		}
		if len(list) == 0 {
			continue
		}
		bp, ok, err := c.s.blockProblem(BlockIndex(b), list, where, false)
		if err != nil || !ok {
			return 0, err != nil
		}
		r, err := c.s.solve(bp.problem, c.s.exact(enumerateNodes))
		c.work += r.Stats.Nodes
		if err == nil && r.Status == solver.Infeasible {
			return 0, false
		}
		if err != nil || r.Status != solver.Found {
			return 0, true
		}
		sum.add(bp, r)
		next[b] = bp.order(r.Order)
	}
	if c.s.offer(next) {
		c.s.report()
		c.other = true
	}
	return sum.total(), true
}
