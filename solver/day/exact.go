package day

import (
	"slices"

	"kinorder.example/solver"
)

// separateNodes bounds the first round of solving blocks on their own.
const separateNodes = 20000

// solveSeparately handles days in which every grouping has one block: each block is solved on its
// own. It sets the bound, and returns true when the day is then finished.
func (s *searcher) solveSeparately() (bool, error) {
	where := make([]BlockIndex, len(s.p.spec.Groupings))
	groups := make([][]solver.GroupingIndex, len(s.p.spec.Blocks))
	var everything []solver.GroupingIndex
	for g, possible := range s.p.possible {
		if len(possible) != 1 {
			return false, nil
		}
		where[g] = possible[0]
		groups[where[g]] = append(groups[where[g]], solver.GroupingIndex(g))
		everything = append(everything, solver.GroupingIndex(g))
	}
	sum := newSum(s.p)
	next := make(orders, len(groups))
	all := true
	for _, nodes := range []int64{separateNodes, 0} {
		sum = newSum(s.p)
		all = true
		for b, list := range groups {
			found, err := s.solveBlock(BlockIndex(b), list, where, nodes, next, &sum)
			if err != nil {
				return false, err
			}
			all = all && found
		}
		if !all {
			return false, nil
		}
		if s.offer(next) {
			s.report()
		}
		s.prove(everything, sum.total())
		if sum.proven || s.ctx.Err() != nil || s.exact(0).NodeLimit == s.exact(nodes).NodeLimit {
			break
		}
	}
	complete := s.hasBest && s.bestIs.lost == Lost{}
	s.proven = complete && s.bestIs.total == s.bound
	waited := complete && s.bestIs.total != sum.total() // package solver counts waiting otherwise
	return complete && (s.proven || !s.coupled() && !waited), nil
}

// solveBlock solves one block on its own into next and adds what was proven to the sum. It returns
// false when no order of all the groupings was found.
func (s *searcher) solveBlock(b BlockIndex, list []solver.GroupingIndex, where []BlockIndex, nodes int64, next orders, sum *sum) (bool, error) {
	if len(list) == 0 {
		next[b] = nil
		return true, nil
	}
	bp, ok, err := s.blockProblem(b, list, where, false)
	if err != nil || !ok {
		return false, err
	}
	options := s.exact(nodes)
	if s.hasBest && len(s.best[b]) == len(list) {
		options.Incumbent = bp.local(s.best[b])
	}
	if len(next[b]) == len(list) {
		options.Incumbent = bp.local(next[b])
	}
	if len(s.p.spec.Blocks) == 1 {
		options.OnImprove = func(p solver.Progress) {
			if len(p.Order) == 0 {
				return
			}
			s.prove(bp.groupings, bp.lift(s.p, p.Bound))
			next[b] = bp.order(p.Order)
			s.offer(next)
			s.report()
		}
	}
	result, err := s.solve(bp.problem, options)
	if err != nil || result.Status != solver.Found {
		return false, err
	}
	next[b] = bp.order(result.Order)
	sum.add(bp, result)
	return true, nil
}

// sum adds up the bounds of blocks in the scale of the day.
type sum struct {
	p      *Problem
	parts  int64
	proven bool
}

func newSum(p *Problem) sum { return sum{p: p, proven: true} }

func (s *sum) add(bp blockProblem, r solver.Result) {
	s.parts += bp.lift(s.p, r.Bound)
	s.proven = s.proven && r.Proven
}

func (s *sum) total() int64 { return s.parts }

// lift translates a bound on a block's total into the scale of the day and adds the release time
// that passes before the block begins. For the lexicographic emphases a bound splits into a leading
// part k and a rest r: every order has a leading part above k, or exactly k and a rest of at least
// r. Sums over blocks keep that meaning, because the day's multiplier exceeds any sum of rests.
func (bp blockProblem) lift(p *Problem, bound int64) int64 {
	switch p.spec.Emphasis {
	case solver.FewestSteps:
		unit := bp.problem.Total(solver.Cost{StepIns: 1})
		return bound/unit*p.scale.steps + bound%unit + bp.offset
	case solver.EarlyRelease:
		unit := bp.problem.Total(solver.Cost{Release: 1})
		return (bound/unit+bp.offset)*p.scale.release + bound%unit
	default:
		return bound + bp.offset
	}
}

// coupled says that blocks can get into each other's way: people or photographers needed in two
// blocks close in time, or wishes across blocks. Blocks that are not coupled can be solved alone.
func (s *searcher) coupled() bool {
	if slices.ContainsFunc(s.p.spec.Apart, s.bites) {
		return true
	}
	if len(s.p.spec.Blocks) == 1 {
		return false
	}
	if len(s.p.spec.Turns) > 0 {
		return true
	}
	users := make([]map[solver.PersonIndex]bool, len(s.p.spec.Blocks))
	for b := range users {
		users[b] = map[solver.PersonIndex]bool{}
	}
	for g, w := range s.p.spec.Groupings {
		if len(w.After) > 0 {
			return true
		}
		for _, b := range s.p.possible[g] {
			for _, q := range slices.Concat(w.Members, w.Near) {
				users[b][q] = true
			}
		}
	}
	for i, b := range s.p.sequence {
		for _, c := range s.p.sequence[i+1:] {
			x, y := s.p.spec.Blocks[b], s.p.spec.Blocks[c]
			if x.Close > 0 && x.Close+s.p.walk(b, c) <= y.Open {
				continue
			}
			if x.Photographer == y.Photographer {
				return true
			}
			for q := range users[b] {
				if users[c][q] {
					return true
				}
			}
		}
	}
	return false
}

// bites says that two groupings of people kept apart could come together at one place before the
// rule ends. Otherwise the rule holds by itself.
func (s *searcher) bites(rule KeptApart) bool {
	early := func(g solver.GroupingIndex, b BlockIndex) bool {
		return max(s.p.spec.Blocks[b].Open, s.p.notBefore[g][b]) < rule.Until
	}
	for _, a := range rule.A {
		for _, b := range rule.B {
			for _, x := range s.p.possible[a] {
				for _, y := range s.p.possible[b] {
					if s.p.spec.Blocks[x].Place == s.p.spec.Blocks[y].Place && early(a, x) && early(b, y) {
						return true
					}
				}
			}
		}
	}
	return false
}
