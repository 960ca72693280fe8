package day

import (
	"encoding/binary"
	"slices"

	"kinorder.example/solver"
)

// Sizes up to which a day is enumerated.
const (
	enumerateChoices = 1 << 14 // combinations of a block, or none, for each grouping
	enumerateNodes   = 20000   // size of one exact search: where it proves nothing there is no enumerating
	enumerateWork    = 400000  // size of all exact searches together
	enumerateOrders  = 7       // groupings up to which every order is tried where blocks are coupled
)

// enumeration walks over every choice of blocks.
type enumeration struct {
	s      *searcher
	where  []BlockIndex
	tally  *tally // what is not left out so far
	nodes  int64  // of all exact searches so far
	gaveUp bool
	err    error
	memo   map[string]memo
}

// memo is a solved set of groupings in a block.
type memo struct {
	order  []solver.GroupingIndex
	fits   bool
	proven bool
}

// enumerate tries every choice of blocks of a small day whose blocks are not coupled and in which
// nobody waits. It returns true when it was exhaustive: the best plan is then proven.
func (s *searcher) enumerate() (bool, error) {
	choices, out := 1, 1
	if s.hasBest && s.bestIs.lost == (Lost{}) {
		out = 0 // whatever leaves something out is worse
	}
	for _, possible := range s.p.possible {
		choices *= max(1, len(possible)+out)
		if choices > enumerateChoices {
			return false, nil
		}
	}
	if s.coupled() || s.mayWait() {
		return s.enumerateOrders(), nil
	}
	e := &enumeration{s: s, where: make([]BlockIndex, len(s.p.spec.Groupings)), tally: fullTally(s.p), memo: map[string]memo{}}
	for g := range e.where {
		e.where[g] = nowhere
	}
	e.choose(0)
	if e.err != nil || e.gaveUp || s.ctx.Err() != nil {
		return false, e.err
	}
	if s.hasBest {
		s.proved()
	}
	return true, nil
}

// enumerateOrders tries every choice of blocks and every order of a tiny day. It returns true when
// it was exhaustive.
func (s *searcher) enumerateOrders() bool {
	n := len(s.p.spec.Groupings)
	if n > enumerateOrders {
		return false
	}
	o := s.empty()
	fixed := make([]bool, n)
	for _, list := range o {
		for _, g := range list {
			fixed[g] = true
		}
	}
	var place func(g int)
	place = func(g int) {
		if s.ctx.Err() != nil {
			return
		}
		if g == n {
			s.offer(o)
			return
		}
		place(g + 1) // left out, or in a prefix
		if fixed[g] {
			return
		}
		for _, b := range s.p.possible[g] {
			for at := len(s.p.spec.Blocks[b].Prefix); at <= len(o[b]); at++ {
				o[b] = slices.Insert(o[b], at, solver.GroupingIndex(g))
				place(g + 1)
				o[b] = slices.Delete(o[b], at, at+1)
			}
		}
	}
	place(0)
	if s.ctx.Err() != nil || !s.hasBest {
		return false
	}
	s.proved()
	s.report()
	return true
}

// proved says that no plan is better than the best one.
func (s *searcher) proved() {
	s.prove(s.taken(), s.bestIs.total)
	s.proven = true
}

func (e *enumeration) choose(g int) {
	if e.gaveUp || e.err != nil {
		return
	}
	if e.s.ctx.Err() != nil {
		e.gaveUp = true
		return
	}
	// Losses only grow from here: a choice already worse than the best cannot lead to a better one.
	if e.s.hasBest && e.s.bestIs.lost.Less(e.tally.lost) {
		return
	}
	if g == len(e.where) {
		e.leaf()
		return
	}
	for _, b := range e.s.p.possible[g] {
		e.where[g] = b
		if e.roomLeft(b) {
			e.choose(g + 1)
		}
	}
	e.where[g] = nowhere
	e.tally.set(solver.GroupingIndex(g), false)
	e.choose(g + 1)
	e.tally.set(solver.GroupingIndex(g), true)
}

// roomLeft says whether the least slots of what is chosen for a block still fit into it.
func (e *enumeration) roomLeft(b BlockIndex) bool {
	block := e.s.p.spec.Blocks[b]
	if block.Close == 0 {
		return true
	}
	room := block.Close - block.Open
	for g, at := range e.where {
		if at == b {
			room -= e.s.p.leastSlot[g]
		}
	}
	return room >= 0
}

// leaf solves every block of a complete choice.
func (e *enumeration) leaf() {
	next := make(orders, len(e.s.p.spec.Blocks))
	for b := range next {
		m := e.solve(BlockIndex(b))
		if e.gaveUp || e.err != nil || !m.fits {
			return
		}
		next[b] = m.order
	}
	if e.s.offer(next) {
		e.s.report()
	}
}

func (e *enumeration) solve(b BlockIndex) memo {
	var list []solver.GroupingIndex
	for g, at := range e.where {
		if at == b {
			list = append(list, solver.GroupingIndex(g))
		}
	}
	if len(list) == 0 {
		return memo{fits: true}
	}
	key := e.key(b)
	if m, ok := e.memo[key]; ok {
		return m
	}
	if e.nodes > enumerateWork {
		e.gaveUp = true
		return memo{}
	}
	bp, ok, err := e.s.blockProblem(b, list, e.where, false)
	if err != nil {
		e.err = err
		return memo{}
	}
	m := memo{}
	if ok {
		result, err := e.s.solve(bp.problem, e.s.exact(enumerateNodes))
		e.err = err
		e.nodes += result.Stats.Nodes
		e.gaveUp = e.gaveUp || !result.Proven && result.Status != solver.Infeasible
		m = memo{order: bp.order(result.Order), fits: result.Status == solver.Found, proven: result.Proven}
	}
	if !e.s.memory.note(int64(len(key) + 4*len(list) + noteBytes)) {
		e.gaveUp = true
		return memo{}
	}
	e.memo[key] = m
	return m
}

// key names a block, its set and, because release weights move to a person's last block, which
// people are seen later.
func (e *enumeration) key(b BlockIndex) string {
	people := e.s.blockPeople(b, e.where)
	key := make([]byte, 0, len(e.where)+len(people)+1)
	key = binary.AppendUvarint(key, uint64(b))
	for _, at := range e.where {
		if at == b {
			key = append(key, 1)
		} else {
			key = append(key, 0)
		}
	}
	for _, q := range people {
		if q.ReleaseWeight == 0 {
			key = append(key, 0)
		} else {
			key = append(key, 1)
		}
	}
	return string(key)
}
