package day

import (
	"slices"

	"kinorder.example/solver"
)

// Sizes of the searches for a bound.
const (
	floorNodes  = 20000 // the fewest step-ins of one order over the whole day
	chosenNodes = 20000 // each block of the chosen groupings, the first time; twice as many each time after that
)

// closeBound sets the bound of a plan found by the neighbourhood search; see doc.go, Bounds. Once ctx
// has ended it keeps the bound it has, if that is one of the same groupings.
func (s *searcher) closeBound() {
	taken := s.taken()
	s.prove(taken, s.flatBound(taken))
	if s.ctx.Err() == nil {
		if sum, ok := s.chosenSum(); ok && slices.Equal(taken, s.taken()) {
			s.prove(taken, sum)
		}
	}
	s.bound = min(s.bound, s.bestIs.total)
	best := s.bestIs
	s.proven = s.bound == s.bestIs.total && s.noneBetter()
	if s.bestIs != best {
		s.closeBound() // of the better plan that was found
	}
}

// taken lists the groupings of the best plan.
func (s *searcher) taken() []solver.GroupingIndex {
	taken := slices.Concat(s.best...)
	slices.Sort(taken)
	return taken
}

// chosenSum is the block sum over the groupings that the best plan takes; it holds only if each of
// them has a single block.
func (s *searcher) chosenSum() (int64, bool) {
	where := make([]BlockIndex, len(s.p.spec.Groupings))
	for g := range where {
		where[g] = nowhere
	}
	for _, order := range s.best {
		for _, g := range order {
			if len(s.p.possible[g]) != 1 {
				return 0, false
			}
			where[g] = s.p.possible[g][0]
		}
	}
	sum := newSum(s.p)
	for b, order := range s.best {
		if len(order) == 0 {
			continue
		}
		bp, ok, err := s.blockProblem(BlockIndex(b), order, where, false)
		if err != nil || !ok {
			return 0, false
		}
		options := s.exact(chosenNodes << s.rounds)
		options.Incumbent = bp.local(order)
		r, err := s.solve(bp.problem, options)
		if err != nil || r.Status != solver.Found {
			return 0, false
		}
		next := s.best.clone()
		next[b] = bp.order(r.Order)
		if s.offer(next) {
			s.report()
		}
		sum.add(bp, r)
	}
	return sum.total(), true
}

// flatBound is the flat bound over the groupings taken.
func (s *searcher) flatBound(taken []solver.GroupingIndex) int64 {
	cost := solver.Cost{StepIns: s.fewestSteps(taken)}
	for q, release := range s.earliestReleases(taken) {
		if !s.p.spec.People[q].Stays {
			cost.Release += s.p.spec.People[q].ReleaseWeight * release
		}
	}
	origin := s.p.spec.Blocks[s.p.sequence[0]].Open
	for _, g := range taken {
		if end, possible := s.p.earliestEnd(g); possible {
			cost.Release += s.p.spec.Groupings[g].ReleaseWeight * (end - origin)
		}
	}
	return s.p.Total(cost)
}

// fewestSteps is a lower bound on the step-ins of one order over the groupings.
func (s *searcher) fewestSteps(taken []solver.GroupingIndex) int64 {
	for _, b := range s.p.spec.Blocks {
		if len(b.Frame) > 0 {
			return 0 // somebody may stand there already
		}
	}
	if s.ctx.Err() != nil { // everybody steps in once
		var people []solver.PersonIndex
		for _, g := range taken {
			people = append(people, s.p.spec.Groupings[g].Members...)
		}
		slices.Sort(people)
		steps := int64(0)
		for _, q := range slices.Compact(people) {
			steps += 1 + int64(s.p.spec.People[q].Extra)
		}
		return steps
	}
	spec := solver.Spec{Emphasis: solver.FewestSteps, People: make([]solver.Person, len(s.p.spec.People))}
	for q := range spec.People {
		spec.People[q].Extra = s.p.spec.People[q].Extra
	}
	for _, g := range taken {
		spec.Groupings = append(spec.Groupings, solver.Grouping{Members: s.p.spec.Groupings[g].Members})
	}
	problem, err := solver.NewProblem(spec)
	if err != nil {
		return 0
	}
	result, err := s.solve(problem, s.exact(floorNodes))
	if err != nil || result.Status != solver.Found {
		return 0
	}
	return problem.StepInsOf(result.Bound)
}

// earliestReleases bounds when each person can be let go.
func (s *searcher) earliestReleases(taken []solver.GroupingIndex) []solver.Seconds {
	origin := s.p.spec.Blocks[s.p.sequence[0]].Open
	release := make([]solver.Seconds, len(s.p.spec.People))
	sum := make([]solver.Seconds, len(s.p.spec.People))
	for _, g := range taken {
		end, _ := s.p.earliestEnd(g)
		for _, q := range s.p.spec.Groupings[g].Members {
			sum[q] += s.p.leastSlot[g]
			release[q] = max(release[q], end-origin, sum[q])
		}
	}
	return release
}

// wholeRoom adds up the lengths of all blocks; open says that one of them is open-ended.
func (s *searcher) wholeRoom() (room solver.Seconds, open bool) {
	for _, b := range s.p.spec.Blocks {
		if b.Close == 0 {
			return 0, true
		}
		room += b.Close - b.Open
	}
	return room, false
}

// slot returns the seconds of grouping j after i in block b; i = -1 means the block's frame.
func (p *Problem) slot(b BlockIndex, i, j solver.GroupingIndex) solver.Seconds {
	if i < 0 {
		return p.first[b].Slots[j]
	}
	return p.flat.Slot(i, j)
}

func (p *Problem) stepIns(b BlockIndex, i, j solver.GroupingIndex) int {
	if i < 0 {
		return int(p.first[b].StepIns[j])
	}
	return p.flat.StepIns(i, j)
}

// walk returns the seconds from the place of block a to that of block b.
func (p *Problem) walk(a, b BlockIndex) solver.Seconds {
	if p.spec.Walk == nil {
		return 0
	}
	return p.spec.Walk[p.spec.Blocks[a].Place][p.spec.Blocks[b].Place]
}
