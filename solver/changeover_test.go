package solver

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// The matrices are what counting person by person gives, also with more people than a word has bits.
func TestChangeoversPersonByPerson(t *testing.T) {
	for seed := range uint64(20) {
		s := randomSpec(rand.New(rand.NewPCG(seed, 7)), 60)
		p := mustProblem(t, s)
		for i := -1; i < len(s.Groupings); i++ {
			frame, guests, opening := s.Frame, s.FrameGuests, s.Opening
			if i >= 0 {
				frame, guests, opening = s.Groupings[i].Members, s.Groupings[i].Guests, 0
			}
			for j, g := range s.Groupings {
				var e Entry
				for _, q := range g.Members {
					if slices.Contains(frame, q) {
						e.Stay = append(e.Stay, q)
					} else {
						e.In = append(e.In, q)
					}
				}
				for _, q := range frame {
					if !slices.Contains(g.Members, q) {
						e.Out = append(e.Out, q)
					}
				}
				slot := slotFromScratch(&s, GroupingIndex(j), e, guests) + opening
				require.Equal(t, slot, p.Slot(GroupingIndex(i), GroupingIndex(j)), "seed %d, %d after %d", seed, j, i)
				require.EqualValues(t, costOf(&s, []Entry{{Grouping: GroupingIndex(j), In: e.In}}).StepIns, p.StepIns(GroupingIndex(i), GroupingIndex(j)))
			}
		}
	}
}
