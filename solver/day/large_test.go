package day

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/solver"
)

// crowded is a day of two blocks in which everybody is in each of n groupings, all too many for a search of every place.
func crowded(t *testing.T, n int, closes solver.Seconds) *searcher {
	spec := Spec{People: make([]solver.Person, 40), StepWeight: 1, Blocks: []Block{{Close: closes}, {Open: closes, Close: 2 * closes, Photographer: 1}}}
	var all []solver.PersonIndex
	for q := range spec.People {
		all = append(all, solver.PersonIndex(q))
	}
	for range n {
		g := Grouping{Blocks: []BlockIndex{0, 1}}
		g.Members, g.Shoot = all, 10
		spec.Groupings = append(spec.Groupings, g)
	}
	p, err := New(spec)
	require.NoError(t, err)
	s := newSearcher(t.Context(), p, Options{})
	require.True(t, s.large)
	return s
}

// Who goes from one photograph straight into the next is busy once, so that a look at the day doesn't grow with its square.
func TestBusyIsOneStretch(t *testing.T) {
	s := crowded(t, 100, 500)
	o := s.insertAll(s.empty(), s.byTier(everyGrouping(100)))
	require.Equal(t, []int{50, 50}, []int{len(o[0]), len(o[1])})
	_, ok := s.d.decode(o)
	require.True(t, ok)
	for _, busy := range s.d.busy {
		assert.Equal(t, []busyTime{{0, 500, 0}, {500, 1000, 1}}, busy)
	}
}

// What fits together is looked at together: half of a day that is too full costs a few looks for each that fits.
func TestFirstPlanOfALargeDay(t *testing.T) {
	for closes, want := range map[solver.Seconds]int{0: 300, 505: 50, 1000: 100, 20: 2} {
		s := crowded(t, 300, closes)
		o := s.insertAll(s.empty(), s.byTier(everyGrouping(300)))
		assert.Len(t, o[0], want, "%d s", closes)
	}
}

// What the hand has ordered whole and has no time leaves nothing to append, and no plan.
func TestLargeDayOrderedWholeWithoutTime(t *testing.T) {
	s := crowded(t, 300, 500)
	spec := s.p.spec
	spec.Blocks[0].Prefix = everyGrouping(300)
	p, err := New(spec)
	require.NoError(t, err)
	r, err := Solve(t.Context(), p, Options{})
	require.NoError(t, err)
	assert.NotEqual(t, Found, r.Status)
}

// What is pinned to the end, comes after others or belongs together keeps nothing out of a large day, however urgent it is.
func TestLargeDayWithWishes(t *testing.T) {
	s := crowded(t, 150, 2000)
	spec := s.p.spec
	for g := range spec.Groupings {
		spec.Groupings[g].Tier, spec.Groupings[g].Blocks = 1, []BlockIndex{0}
	}
	spec.Groupings[3].Pin, spec.Groupings[3].Tier = solver.PinLast, 0
	spec.Groupings[9].Pin = solver.PinFirst
	spec.Groupings[4].After, spec.Groupings[4].Tier = []solver.GroupingIndex{100}, 0
	spec.Together = [][]solver.GroupingIndex{{5, 70, 120}}
	spec.Ranks = [][2]solver.GroupingIndex{{80, 20}, {140, 80}}
	p, err := New(spec)
	require.NoError(t, err)
	s = newSearcher(t.Context(), p, Options{})
	require.True(t, s.large)
	o := s.insertAll(s.empty(), s.byTier(everyGrouping(150)))
	assert.Len(t, o[0], 150)
	_, ok := s.d.decode(o)
	assert.True(t, ok)
}

// A photograph can open one block only.
func TestOnePrefix(t *testing.T) {
	_, err := New(simple(3, 2, func(s *Spec) { s.Blocks[0].Prefix, s.Blocks[1].Prefix = everyGrouping(2), everyGrouping(1) }))
	require.ErrorIs(t, err, ErrInvalid)
	assert.ErrorContains(t, err, "blocks[1].prefix: grouping 0")
}

func everyGrouping(n int) (out []solver.GroupingIndex) {
	for g := range n {
		out = append(out, solver.GroupingIndex(g))
	}
	return out
}
