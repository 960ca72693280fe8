package solver

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestFewWhoWeighAgainstPlainTable drives what the search does where release comes first and few people
// weigh: idlers come last, and what is left after the last release is solved for alone.
func TestFewWhoWeighAgainstPlainTable(t *testing.T) {
	long(t)
	idle, alone := 0, 0
	cases := setting(t, "KINORDER_CASES", 80)
	for seed := range uint64(cases) {
		rng := rand.New(rand.NewPCG(seed, 14))
		n := 7 + rng.IntN(3)
		s := plainSpec(rng, n)
		switch seed % 3 {
		case 0:
			s = randomSpec(rng, n)
			s.Close = 0
			for j := range s.Groupings {
				s.Groupings[j].Windows = nil
			}
		case 1:
			s = plannedSpec(seed, 18, EarlyRelease)
			s.Groupings = s.Groupings[:n]
		}
		s.Emphasis = EarlyRelease
		for k, q := range rng.Perm(len(s.People)) {
			if k > rng.IntN(3) {
				s.People[q].ReleaseWeight = 0
			}
		}
		for j := range s.Groupings { // guests who wait for a photograph weigh too, in every other problem
			if seed%2 == 0 {
				s.Groupings[j].ReleaseWeight = 0
			}
		}
		p := mustProblem(t, s)
		r := newRun[[1]uint64](context.Background(), p, Options{Workers: 1}, 2)
		told := int64(0)
		r.o.OnImprove = func(g Progress) { told = max(told, g.Bound) }
		got := r.result()
		want, ok := plainTable(p)
		require.True(t, got.Proven, "seed %d", seed)
		require.Equal(t, ok, got.Status == Found, "seed %d", seed)
		if ok {
			require.Equal(t, want, got.Total, "seed %d", seed)
			require.LessOrEqual(t, told, want, "seed %d", seed)
			require.NoError(t, Verify(p, got.Order, got.Cost))
		}
		if waiting, _ := r.base.idlers(); waiting != ([1]uint64{}) {
			idle++
		}
		if len(r.rests) > 0 {
			alone++
		}
	}
	t.Logf("of %d: %d with idlers, %d with a rest solved alone", cases, idle, alone)
	assert.Greater(t, idle, cases/3, "problems with idlers")
	assert.Greater(t, alone, cases/8, "problems with a rest solved alone")
}

// A grouping in which nobody weighs may have to come early all the same: where changeovers are shorter
// with it between, and where another comes after it.
func TestNoIdlersWhereTheyHelp(t *testing.T) {
	spec := func(fresh Seconds) Spec {
		return Spec{
			Emphasis: EarlyRelease, Timing: Timing{Settle: 1, Fresh: fresh},
			People:    []Person{{ReleaseWeight: 1}, {ReleaseWeight: 1}, {}, {}},
			Groupings: []Grouping{{Members: []PersonIndex{0, 2}}, {Members: []PersonIndex{2, 3}}, {Members: []PersonIndex{1, 3}}},
		}
	}
	balanced := spec(0)
	balanced.Emphasis, balanced.StepWeight = Balanced, 1000
	after := spec(0)
	after.Groupings[2].After = []GroupingIndex{1}
	for name, c := range map[string]struct {
		spec Spec
		last bool
	}{
		"it only takes time": {spec(0), true}, "a bridge": {spec(100), false}, "another comes after it": {after, false},
		"step-ins count": {balanced, false},
	} {
		p := mustProblem(t, c.spec)
		idlers, _ := newModel[[1]uint64](p).idlers()
		assert.Equal(t, c.last, has(idlers, 1), name)
		want, _ := bruteForce(p)
		r := mustSolve(t, p, Options{})
		assert.Equal(t, want, r.Total, name)
		assert.Equal(t, c.last, r.Order[2] == 1, name)
	}
}
