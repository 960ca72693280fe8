package solver

import (
	"math/rand/v2"
	"testing"
)

// ahead is the beginning of an order as a state of the search, and the least total of an order that
// begins with it.
type ahead struct {
	state made[[1]uint64]
	best  int64
}

// TestDominatedStatesLeadToNothingBetter holds the rule by which states are dropped against every way to
// go on: whatever can be reached from a state that another one dominates, the other reaches as cheaply.
func TestDominatedStatesLeadToNothingBetter(t *testing.T) {
	long(t)
	dominated, late := 0, 0
	for seed := range uint64(6000) {
		rng := rand.New(rand.NewPCG(seed, 22))
		some, earlier := holdDominance(t, waitingSpec(rng, 3+rng.IntN(3)))
		dominated, late = dominated+some, late+earlier
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	if dominated < 10_000 || late < 1_000 {
		t.Errorf("%d states are dominated, %d by earlier ones: the test is too weak", dominated, late)
	}
}

// holdDominance compares all states of a small list. It counts those that are dominated, and those of
// them that are later.
func holdDominance(t *testing.T, s Spec) (dominated, late int) {
	m := newModel[[1]uint64](mustProblem(t, s))
	if m.blocked {
		return 0, 0
	}
	type end struct {
		set  [1]uint64
		last int
	}
	states := map[end][]ahead{}
	var visit func(s made[[1]uint64], last int) int64
	visit = func(s made[[1]uint64], last int) int64 {
		best := never
		if s.set == m.all {
			best = s.cost
		}
		for j := range m.n {
			if has(s.set, j) || !m.allows(s.set, j) {
				continue
			}
			finish, ok := m.place(last, j, s.now)
			if !ok {
				continue
			}
			perSecond, next := m.take(s.set, m.ratesAt(s.set), j)
			n := made[[1]uint64]{set: with(s.set, j), rate: next}
			n.cost, n.now = s.cost+m.step[m.at(last, j)]+(finish-s.now)*perSecond, finish
			best = min(best, visit(n, j))
		}
		at := end{s.set, last}
		states[at] = append(states[at], ahead{s, best})
		return best
	}
	visit(made[[1]uint64]{rate: m.ratesAt([1]uint64{})}, -1)
	for at, list := range states {
		for _, a := range list {
			for _, b := range list {
				if !m.dominates(&a.state, &b.state) {
					continue
				}
				if a.best > b.best {
					t.Errorf("after %b, last %d: %+v leads to %d, %+v, which it dominates, to %d",
						at.set, at.last, a.state.candidate, a.best, b.state.candidate, b.best)
				}
				dominated++
				if a.state.now < b.state.now {
					late++
				}
			}
		}
	}
	return dominated, late
}

// TestTheLaterStateCanBeBetter: whoever is done with the first three sooner and more cheaply just gets
// grouping 3 into its first window, and its person idles long until grouping 4 is over.
func TestTheLaterStateCanBeBetter(t *testing.T) {
	s := Spec{
		People: []Person{{}, {}, {IdleWeight: 50}},
		Groupings: []Grouping{
			{Members: []PersonIndex{0}, Shoot: 10},
			{Members: []PersonIndex{0, 1}, Shoot: 10},
			{Members: []PersonIndex{1}, Shoot: 10, After: []GroupingIndex{0, 1}},
			{Members: []PersonIndex{2}, Fixed: 10, After: []GroupingIndex{2}, Windows: []Window{{0, 42}, {150, 160}}},
			{Members: []PersonIndex{1}, Fixed: 10, After: []GroupingIndex{3}, Windows: []Window{{200, 210}}},
			{Members: []PersonIndex{2}, Fixed: 10, After: []GroupingIndex{4}},
		},
		Timing: Timing{PerStepIn: 1}, StepWeight: 1000,
	}
	holdDominance(t, s)
	p := mustProblem(t, s)
	r := mustSolve(t, p, Options{})
	// Six people step in, one more than could, and fifty seconds of idling are less than 168.
	if want, _ := bruteForce(p); r.Total != want || want != 6*1000+50*50 {
		t.Errorf("total %d of order %v, by brute force %d", r.Total, r.Order, want)
	}
}

// waitingSpec is a random list in which slots have to wait and run out of time.
func waitingSpec(rng *rand.Rand, n int) Spec {
	s := randomSpec(rng, n)
	s.Close = rng.Int64N(2) * int64(n) * 70
	kind := rng.IntN(3)
	for q := range s.People {
		switch w := &s.People[q]; kind {
		case 0:
			w.IdleWeight = 0
		case 1:
			w.ReleaseWeight, w.IdleWeight = rng.Int64N(2), rng.Int64N(20)
		}
	}
	for j := range s.Groupings {
		s.Groupings[j].Windows = nil
		if rng.IntN(2) == 0 {
			open := max(0, rng.Int64N(150)-50)
			s.Groupings[j].Windows = []Window{{open, open + 20 + rng.Int64N(150)}}
			if rng.IntN(2) == 0 {
				open = s.Groupings[j].Windows[0].Close + 1 + rng.Int64N(60)
				s.Groupings[j].Windows = append(s.Groupings[j].Windows, Window{open, open + 60 + rng.Int64N(200)})
			}
		}
	}
	return s
}

// Portraits are twins when those on them weigh the same.
func TestTwinsWeighTheSame(t *testing.T) {
	for second, want := range map[int64]int{3: 1, 4: 0} {
		s := Spec{
			Emphasis: EarlyRelease, People: []Person{{ReleaseWeight: 3}, {ReleaseWeight: second}},
			Groupings: []Grouping{{Members: []PersonIndex{0}, Shoot: 9}, {Members: []PersonIndex{1}, Shoot: 9}},
		}
		if got := newModel[[1]uint64](mustProblem(t, s)).twins(); len(got) != want {
			t.Errorf("a weight of 3 and one of %d: twins are %v", second, got)
		}
	}
}
