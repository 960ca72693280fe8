package day

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/solver"
)

// What a choice loses, worked out by hand: Ann is in all, Bo in the first two, which are almost the same, Cy and three
// guests in the third, and the fourth has a worth of its own. Bo is worth two; the like ones bring half a unit beside
// their people, and the last two something together.
func TestLossesByHand(t *testing.T) {
	p, err := New(Spec{
		People: make([]solver.Person, 4), Blocks: []Block{{}}, Worths: []int64{2520, 5040, 2520, 2520},
		Groupings: []Grouping{
			{Grouping: solver.Grouping{Members: []solver.PersonIndex{0, 1}, Shoot: 1}, Like: 1, Bonus: 1260, Blocks: []BlockIndex{0}},
			{Grouping: solver.Grouping{Members: []solver.PersonIndex{0, 1}, Shoot: 1}, Like: 1, Bonus: 1260, Blocks: []BlockIndex{0}},
			{Grouping: solver.Grouping{Members: []solver.PersonIndex{0, 2}, Guests: 3, Shoot: 1}, Tier: 1, Series: 1, Gain: 30, Blocks: []BlockIndex{0}},
			{Grouping: solver.Grouping{Members: []solver.PersonIndex{0, 3}, Shoot: 1}, Tier: 1, Worth: 77, Bonus: 9, Series: 1, Gain: 10, Blocks: []BlockIndex{0}},
		},
	})
	require.NoError(t, err)
	const one, least = 2520, 25
	for _, c := range []struct {
		left []solver.GroupingIndex
		lost Lost
	}{
		{nil, Lost{}},
		{[]solver.GroupingIndex{0}, Lost{0, 0, least, 0, least}},
		// Ann's second time becomes her first.
		{[]solver.GroupingIndex{0, 1}, Lost{0, 3 * one, 3*one + one/2 + 2*least, 2 * one, 2*one + one/2 + one/2 + 2*least}},
		{[]solver.GroupingIndex{2}, Lost{0, 0, 0, 4 * one, one/2 + one + 3*one + least + 40}},
		{[]solver.GroupingIndex{3}, Lost{0, 0, 0, one, 77 + 40}},
		{[]solver.GroupingIndex{2, 3}, Lost{0, 0, 0, 5 * one, one/2 + one + 3*one + least + 77 + 40}},
	} {
		tally := fullTally(p)
		for _, g := range c.left {
			tally.set(g, false)
		}
		assert.Equal(t, c.lost, tally.lost, "without %v", c.left)
	}
}

// However groupings come and go, the tally says of a choice what the verifier does.
func TestTallyAgainstVerifier(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	for range 100 {
		p, err := New(randomSpec(rng, 2+rng.IntN(9), 1))
		require.NoError(t, err)
		tally := newTally(p)
		for range 40 {
			g := solver.GroupingIndex(rng.IntN(len(p.spec.Groupings)))
			tally.set(g, rng.IntN(2) == 0)
			plan := Plan{Blocks: make([][]Slot, 1)}
			for h, in := range tally.taken {
				if in {
					plan.Blocks[0] = append(plan.Blocks[0], Slot{Grouping: solver.GroupingIndex(h)})
				}
			}
			require.Equal(t, newVerifier(p).losses(plan), tally.lost)
		}
	}
}

// Of two photographs for which there is one place, the plan takes the dearer. That the other makes a cheaper plan is only seen
// with the blocks in each other's way: the cheapest orders of each alone do not go together.
func TestAnotherChoiceMayBeBetterThanBlocksAloneShow(t *testing.T) {
	const both, busy, plain, wide, trio = 0, 1, 2, 3, 4 // photographs
	photo := func(block BlockIndex, people ...solver.PersonIndex) Grouping {
		return Grouping{Grouping: solver.Grouping{Members: people, Shoot: 10}, Worth: WorthOfOne, Blocks: []BlockIndex{block}}
	}
	p, err := New(Spec{
		People: make([]solver.Person, 6),
		Groupings: []Grouping{
			both: photo(0, 0), busy: photo(1, 0), plain: photo(1, 1, 2), wide: photo(0, 3, 4, 5), trio: photo(2, 3, 4, 5),
		},
		Blocks: []Block{
			{Close: 10},
			{Photographer: 1, Close: 20, Frame: []solver.PersonIndex{0}},
			{Photographer: 2, Open: 100},
		},
		StepWeight: 1,
	})
	require.NoError(t, err)
	dear, cheap := orders{{wide}, {busy, plain}, {trio}}, orders{{both}, {plain, busy}, {trio}}
	s, better := newSearcher(t.Context(), p, Options{}), newSearcher(t.Context(), p, Options{})
	require.True(t, s.offer(dear))
	require.True(t, better.offer(cheap))
	require.Equal(t, s.bestIs.lost, better.bestIs.lost)
	require.Less(t, better.bestIs.total, s.bestIs.total)
	assert.False(t, s.noneBetter())
}
