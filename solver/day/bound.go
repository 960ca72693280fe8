package day

import (
	"slices"

	"kinorder.example/solver"
)

// floorNodes bounds the search for the fewest step-ins of one order over the whole day.
const floorNodes = 20000

// closeBound sets the bound of a plan found by the neighbourhood search; see doc.go, Bounds.
func (s *searcher) closeBound() {
	if !s.hasBest {
		return
	}
	if flat := s.flatBound(); flat > s.bound || s.bestIs.lost != (losses{}) {
		s.bound = flat
	}
	s.proven = s.bound == s.bestIs.total && s.lossesAreLeast()
}

// flatBound is the flat bound over the groupings that the best plan takes.
func (s *searcher) flatBound() int64 {
	s.d.decode(s.best)
	var taken []solver.GroupingIndex
	for g, at := range s.d.block {
		if at != nowhere {
			taken = append(taken, solver.GroupingIndex(g))
		}
	}
	cost := solver.Cost{StepIns: s.fewestSteps(taken)}
	for q, release := range s.earliestReleases(taken) {
		if !s.p.spec.People[q].Stays {
			cost.Release += s.p.spec.People[q].ReleaseWeight * release
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
	spec := solver.Spec{Emphasis: solver.FewestSteps, People: make([]solver.Person, len(s.p.spec.People))}
	for _, g := range taken {
		spec.Groupings = append(spec.Groupings, solver.Grouping{Members: s.p.spec.Groupings[g].Members})
	}
	problem, err := solver.NewProblem(spec)
	if err != nil {
		return 0
	}
	result, err := solver.Solve(s.ctx, problem, solver.Options{Workers: s.o.Workers, Seed: s.o.Seed, NodeLimit: floorNodes})
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
		w := &s.p.spec.Groupings[g]
		earliest := solver.Seconds(solver.MaxSeconds)
		for _, b := range w.Blocks {
			open := s.p.spec.Blocks[b].Open
			if len(w.Windows) > 0 {
				open = max(open, w.Windows[0].Open)
			}
			earliest = min(earliest, open)
		}
		for _, q := range w.Members {
			sum[q] += s.p.leastSlot[g]
			release[q] = max(release[q], earliest-origin+s.p.leastSlot[g], sum[q])
		}
	}
	return release
}

// lossesAreLeast says whether the losses of the best plan equal their lower bound; see doc.go.
func (s *searcher) lossesAreLeast() bool {
	if s.bestIs.lost == (losses{}) {
		return true
	}
	room, open := s.wholeRoom()
	var least losses
	for tier := range least {
		var slots []solver.Seconds
		for g, w := range s.p.spec.Groupings {
			if w.Tier != tier {
				continue
			}
			if !s.fitsAlone(solver.GroupingIndex(g)) {
				least[tier]++
				continue
			}
			slots = append(slots, s.p.leastSlot[g])
		}
		slices.Sort(slots)
		kept := 0
		for _, slot := range slots {
			if !open && slot > room {
				break
			}
			room -= slot
			kept++
		}
		least[tier] += len(slots) - kept
		if s.bestIs.lost[tier] != least[tier] {
			return false
		}
	}
	return true
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

// fitsAlone says whether some block could take the grouping if it took nothing else.
func (s *searcher) fitsAlone(g solver.GroupingIndex) bool {
	w := &s.p.spec.Groupings[g]
	for _, b := range w.Blocks {
		block := s.p.spec.Blocks[b]
		windows := w.Windows
		if len(windows) == 0 {
			windows = []solver.Window{{Open: 0, Close: solver.MaxSeconds}}
		}
		for _, window := range windows {
			end := max(window.Open, block.Open) + s.p.leastSlot[g]
			if end <= window.Close && (block.Close == 0 || end <= block.Close) {
				return true
			}
		}
	}
	return false
}
