package solver

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// everyNode visits every beginning of an order of a small list, the whole orders first, with the least
// total of the orders that begin with it; never when there is none.
func everyNode(m *model[[1]uint64], visit func(cost int64, done [1]uint64, last int, best int64)) {
	var walk func(cost int64, done [1]uint64, last int, now Seconds) int64
	walk = func(cost int64, done [1]uint64, last int, now Seconds) int64 {
		best := never
		if done == m.all {
			best = cost
		}
		for j := range m.n {
			if has(done, j) || !m.allows(done, j) {
				continue
			}
			end, ok := m.place(last, j, now)
			if !ok {
				continue
			}
			perSecond, _ := m.take(done, m.ratesAt(done), j)
			best = min(best, walk(cost+m.step[m.at(last, j)]+(end-now)*perSecond, with(done, j), j, end))
		}
		visit(cost, done, last, best)
		return best
	}
	walk(0, [1]uint64{}, -1, 0)
}

// TestBoundsWithoutLadderAtEveryNode holds the bounds that the first pass uses, before there is a ladder,
// and those of lists without memory.
func TestBoundsWithoutLadderAtEveryNode(t *testing.T) {
	long(t)
	memoryless := 0
	for seed := range uint64(400) {
		rng := rand.New(rand.NewPCG(seed, 23))
		s := randomSpec(rng, 2+rng.IntN(5))
		if seed%2 == 0 {
			forget(rng, &s)
		}
		m := newModel[[1]uint64](mustProblem(t, s))
		if m.blocked {
			continue
		}
		if m.memoryless() {
			memoryless++
		}
		b, w := newBounder(m, newTree(m.p), rng.Perm(m.n), func() bool { return false }), newScratch(m.n)
		everyNode(m, func(cost int64, done [1]uint64, last int, best int64) {
			if got := b.whole(cost, done, last, w); got > best {
				t.Fatalf("seed %d: bound %d at %b after %d, best there %d", seed, got, done, last, best)
			}
		})
	}
	if memoryless < 150 {
		t.Errorf("only %d lists have no memory", memoryless)
	}
}

// forget makes slots the same whatever came before and step-ins free.
func forget(rng *rand.Rand, s *Spec) {
	s.Emphasis, s.StepWeight, s.Close, s.Opening = Balanced, 0, 0, 0
	for q := range s.People {
		s.People[q].IdleWeight = rng.Int64N(6)
	}
	for j := range s.Groupings {
		s.Groupings[j].Fixed, s.Groupings[j].Windows = 1+rng.Int64N(40), nil
	}
}

// A grouping that takes no time and in which nobody weighs must not unsettle the order of the others in
// Smith's rule: nobody is bound to be released after the first.
func TestBoundsWithNoTimeAndNoWeight(t *testing.T) {
	s := Spec{
		People: []Person{{}, {}, {ReleaseWeight: 1}},
		Groupings: []Grouping{
			{Members: []PersonIndex{0}, Shoot: 100}, {Members: []PersonIndex{1}}, {Members: []PersonIndex{2}, Shoot: 10},
		},
	}
	m := newModel[[1]uint64](mustProblem(t, s))
	b := newBounder(m, nil, nil, nil)
	assert.Equal(t, 10*m.unit, b.ofSet([1]uint64{}, newScratch(m.n)).time)
}

// ratesAt computes the rates of a set from scratch.
func (m *model[S]) ratesAt(done S) rates {
	var r rates
	for i := range m.classes {
		c := &m.classes[i]
		if !c.stays && within(c.in, done) {
			continue
		}
		r.release += c.release
		if c.started || meets(c.in, done) {
			r.idle += c.idle
		}
	}
	return r
}
