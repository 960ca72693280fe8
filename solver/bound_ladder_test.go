package solver

import "testing"

// Where each comes after all before it, the ladder takes no list of them for every two: that is a second with five hundred.
func TestLadderOfAChain(t *testing.T) {
	s := Spec{People: []Person{{ReleaseWeight: 1}}, StepWeight: 1}
	var order []int
	var before []GroupingIndex
	for g := range 100 {
		s.Groupings = append(s.Groupings, Grouping{Members: []PersonIndex{0}, Shoot: 10, After: before[:g:g]})
		order, before = append(order, g), append(before, GroupingIndex(g))
	}
	m := newModel[[2]uint64](mustProblem(t, s))
	if most := testing.AllocsPerRun(1, func() { newLadder(m, order) }); most > 3000 {
		t.Errorf("%.0f allocations", most)
	}
}
