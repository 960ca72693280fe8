package day

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"slices"

	"kinorder.example/solver"
)

// blockProblem is one block of a candidate as package solver sees it.
type blockProblem struct {
	problem   *solver.Problem
	groupings []solver.GroupingIndex // by local index
	opening   solver.Seconds
	// offset is the weighted release time that passes before the block begins.
	offset int64
}

// order translates a local order back.
func (b blockProblem) order(local []solver.GroupingIndex) []solver.GroupingIndex {
	out := make([]solver.GroupingIndex, len(local))
	for k, g := range local {
		out[k] = b.groupings[g]
	}
	return out
}

// polish re-solves each block of the best plan with its choice of groupings fixed, and takes what is
// better. A limit of 0 nodes means none.
func (s *searcher) polish(nodes int64) error {
	for b := range s.best {
		if len(s.best[b]) < 2 || s.ctx.Err() != nil {
			continue
		}
		key := sha256.Sum256(fmt.Append(nil, b, nodes, s.best))
		if s.polished[key] || !s.memory.note(noteBytes) {
			continue
		}
		s.polished[key] = true
		s.d.decode(s.best)
		bp, ok, err := s.blockProblem(BlockIndex(b), s.best[b], s.d.block, true)
		if err != nil {
			return err
		}
		if !ok {
			continue
		}
		options := s.exact(nodes)
		options.Incumbent = bp.local(s.best[b])
		result, err := s.solve(bp.problem, options)
		if err != nil {
			return err
		}
		if result.Status != solver.Found {
			continue
		}
		next := s.best.clone()
		next[b] = bp.order(result.Order)
		if s.offer(next) {
			s.report()
		}
	}
	return nil
}

// local translates an order of the day into the block's indices.
func (b blockProblem) local(order []solver.GroupingIndex) []solver.GroupingIndex {
	out := make([]solver.GroupingIndex, 0, len(order))
	for _, g := range order {
		out = append(out, solver.GroupingIndex(slices.Index(b.groupings, g)))
	}
	return out
}

// blockProblem describes one block with the given groupings, where says in which block each grouping
// of the day is. With others, the rest of the candidate decoded last stands as it is: its people,
// photographers and groupings bound this block's windows. Without, the block is free and its
// optimum is a bound. It returns false when no order has them all: a window is empty, or they wait for
// each other.
func (s *searcher) blockProblem(b BlockIndex, groupings []solver.GroupingIndex, where []BlockIndex, others bool) (blockProblem, bool, error) {
	block := s.p.spec.Blocks[b]
	bp := blockProblem{groupings: slices.Clone(groupings), opening: block.Open}
	slices.Sort(bp.groupings)
	if others && s.d.shared {
		bp.opening = s.openingAmong(b)
	}
	spec := solver.Spec{
		Timing: s.p.spec.Timing, Emphasis: s.p.spec.Emphasis, StepWeight: s.p.spec.StepWeight,
		Opening: block.Opening, Frame: block.Frame, FrameGuests: block.FrameGuests, People: s.blockPeople(b, where),
	}
	origin := s.p.spec.Blocks[s.p.sequence[0]].Open
	for q, w := range spec.People {
		if s.memberOf(solver.PersonIndex(q), bp.groupings) && !w.Stays {
			bp.offset += w.ReleaseWeight * (bp.opening - origin)
		}
	}
	longest := s.longest(b, bp.groupings)
	if block.Close > 0 {
		spec.Close = block.Close - bp.opening
		if spec.Close <= 0 {
			return bp, false, nil
		}
	}
	for _, g := range bp.groupings {
		w := s.p.spec.Groupings[g].Grouping
		w.Windows = s.windows(b, g, bp.opening, longest, spec.Close, others)
		if w.Windows != nil && len(w.Windows) == 0 {
			return bp, false, nil
		}
		w.After = s.precedence(g, bp.groupings)
		bp.offset += w.ReleaseWeight * (bp.opening - origin)
		spec.Groupings = append(spec.Groupings, w)
	}
	if free := !slices.ContainsFunc(spec.Groupings, func(g solver.Grouping) bool { return g.Windows != nil }); free && longest <= spec.Close {
		spec.Close = 0 // never binds: the search need not carry the time
	}
	s.blockWishes(&spec, b, bp.groupings)
	problem, err := solver.NewProblem(spec)
	if errors.Is(err, solver.ErrCircle) {
		return bp, false, nil
	}
	if err != nil {
		return bp, false, fmt.Errorf("block %d: %w", b, err)
	}
	bp.problem = problem
	return bp, true, nil
}

// openingAmong is when the photographer of a block can begin it, given the blocks that open before.
func (s *searcher) openingAmong(b BlockIndex) solver.Seconds {
	open := s.p.spec.Blocks[b].Open
	mine := s.p.spec.Blocks[b].Photographer
	for _, other := range s.p.sequence {
		if other == b {
			break
		}
		if s.p.spec.Blocks[other].Photographer != mine {
			continue
		}
		for g, at := range s.d.block {
			if at == other {
				open = max(open, s.d.finish[g]+s.p.walk(other, b))
			}
		}
	}
	return open
}

// blockPeople keeps the release weight of a person only in the block in which the person is let go.
func (s *searcher) blockPeople(b BlockIndex, where []BlockIndex) []solver.Person {
	people := slices.Clone(s.p.spec.People)
	if len(s.p.spec.Blocks) == 1 {
		return people
	}
	for g, at := range where {
		if at == nowhere || at == b || !s.opensLater(at, b) {
			continue
		}
		for _, q := range s.p.spec.Groupings[g].Members {
			people[q].ReleaseWeight = 0
		}
	}
	return people
}

// opensLater orders blocks as they are decoded.
func (s *searcher) opensLater(a, b BlockIndex) bool {
	return slices.Index(s.p.sequence, a) > slices.Index(s.p.sequence, b)
}

func (s *searcher) memberOf(q solver.PersonIndex, groupings []solver.GroupingIndex) bool {
	return slices.ContainsFunc(groupings, func(g solver.GroupingIndex) bool {
		return slices.Contains(s.p.spec.Groupings[g].Members, q)
	})
}

// longest is a time by which any order of the groupings has ended that never waits.
func (s *searcher) longest(b BlockIndex, groupings []solver.GroupingIndex) solver.Seconds {
	var sum solver.Seconds
	for _, j := range groupings {
		worst := s.p.slot(b, -1, j)
		for _, i := range groupings {
			worst = max(worst, s.p.slot(b, i, j))
		}
		sum += worst
	}
	return sum
}

// windows returns when a grouping can be taken, relative to the opening of the block. Nil means at
// any time, an empty list never.
func (s *searcher) windows(b BlockIndex, g solver.GroupingIndex, opening, longest, closes solver.Seconds, others bool) []solver.Window {
	w := &s.p.spec.Groupings[g]
	bound := len(w.Windows) > 0
	list := slices.Clone(w.Windows)
	if !bound {
		list = []solver.Window{{Open: 0, Close: solver.MaxSeconds}}
	}
	cut := func(from, until solver.Seconds) {
		bound = true
		list = without(list, from, until)
	}
	if from := s.p.notBefore[g][b]; from > 0 {
		cut(-1, from)
	}
	if others && s.d.shared {
		for _, q := range slices.Concat(w.Members, w.Near) {
			for _, t := range s.d.busy[q] {
				if t.block != b {
					cut(t.start-s.p.walk(b, t.block), t.finish+s.p.walk(t.block, b))
				}
			}
		}
		for _, i := range w.After {
			if at := s.d.block[i]; at != nowhere && at != b {
				cut(-1, s.d.finish[i])
			}
		}
		for h := range s.p.spec.Groupings {
			if at := s.d.block[h]; at != nowhere && at != b && slices.Contains(s.p.spec.Groupings[h].After, g) {
				cut(s.d.start[h], solver.MaxSeconds+1)
			}
		}
	}
	if others {
		for _, rule := range s.p.spec.Apart {
			if (slices.Contains(rule.A, g) || slices.Contains(rule.B, g)) && s.d.block[g] == b && s.d.start[g] >= rule.Until {
				cut(-1, rule.Until)
			}
		}
	}
	if !bound {
		return nil
	}
	out := []solver.Window{}
	for _, x := range list {
		x.Open, x.Close = max(0, x.Open-opening), x.Close-opening
		if x.Close > x.Open {
			x.Close = min(x.Close, solver.MaxSeconds)
			out = append(out, x)
		}
	}
	end := longest
	if closes > 0 {
		end = closes
	}
	if len(out) == 1 && out[0].Open == 0 && out[0].Close >= end && !s.mayWait() && !s.d.shared {
		return nil
	}
	return out
}

// mayWait says that the times of some grouping can make a slot wait inside a block.
func (s *searcher) mayWait() bool {
	for g, possible := range s.p.possible {
		windows := s.p.spec.Groupings[g].Windows
		for _, b := range possible {
			ready := s.p.notBefore[g][b]
			if len(windows) > 0 {
				ready = max(ready, windows[0].Open)
			}
			if len(windows) > 1 || ready > s.p.spec.Blocks[b].Open {
				return true
			}
		}
	}
	return false
}

// without cuts the open stretch (from, until) out of a list of windows.
func without(list []solver.Window, from, until solver.Seconds) []solver.Window {
	var out []solver.Window
	for _, w := range list {
		if until <= w.Open || from >= w.Close {
			out = append(out, w)
			continue
		}
		if from > w.Open {
			out = append(out, solver.Window{Open: w.Open, Close: from})
		}
		if until < w.Close {
			out = append(out, solver.Window{Open: until, Close: w.Close})
		}
	}
	return out
}

// precedence translates what a grouping comes after inside one block, ranks included.
func (s *searcher) precedence(g solver.GroupingIndex, groupings []solver.GroupingIndex) (before []solver.GroupingIndex) {
	for k, h := range groupings {
		if s.p.wishes.comesAfter(g, h) {
			before = append(before, solver.GroupingIndex(k))
		}
	}
	return before
}

// localSet translates the part of a set that is in the block, each once.
func localSet(set, groupings []solver.GroupingIndex) []solver.GroupingIndex {
	var out []solver.GroupingIndex
	for _, g := range set {
		if at := slices.Index(groupings, g); at >= 0 && !slices.Contains(out, solver.GroupingIndex(at)) {
			out = append(out, solver.GroupingIndex(at))
		}
	}
	return out
}

func (s *searcher) blockWishes(spec *solver.Spec, b BlockIndex, groupings []solver.GroupingIndex) {
	spec.Prefix = localSet(s.p.spec.Blocks[b].Prefix, groupings)
	for _, set := range s.p.spec.Together {
		if local := localSet(set, groupings); len(local) > 1 {
			spec.Together = append(spec.Together, local)
		}
	}
	for _, pair := range s.p.spec.Turns {
		x, y := localSet(pair[0], groupings), localSet(pair[1], groupings)
		if len(x) > 0 && len(y) > 0 {
			spec.Separate = append(spec.Separate, [2][]solver.GroupingIndex{x, y})
		}
	}
}
