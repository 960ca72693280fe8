package standing

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Where somebody has to sit, their other half sits beside them, and the couple stays together behind.
func TestCouplesAreNotSplitBySeats(t *testing.T) {
	plan := arrange(t, Spec{
		People: []Person{
			{Importance: 10, Side: Left}, {Importance: 10, Side: Right}, {Importance: 4, Side: Right}, {Importance: 4, Side: Right, Wheelchair: true},
			{Importance: 4, Side: Left}, {Importance: 4, Side: Left},
		},
		Ties:  []Tie{{Couple, []int{0, 1}}, {Couple, []int{2, 3}}},
		Apart: [][2]int{{4, 5}},
		Space: Space{Chairs: 6},
	}, Options{})
	require.Equal(t, OnChair, plan.Places[2].Posture)
	require.Equal(t, [2]int{1, 1}, [2]int{plan.Places[0].Row, plan.Places[1].Row})
	require.Equal(t, 50, abs(plan.Places[0].XCM-plan.Places[1].XCM))
	require.Negative(t, plan.Places[4].XCM*plan.Places[5].XCM, "on either side of the couple")
	require.NotContains(t, plan.Warnings, WheelchairAlone)

	// A wheelchair at the end beside somebody who sits is not left alone, so a pair is not parted for it.
	plan = arrange(t, Spec{
		People: []Person{{Importance: 10}, {Importance: 10}, {Age: Elder, Wheelchair: true, Importance: 3}, {Age: Elder, Importance: 3}, {Age: Elder, Importance: 3}},
		Ties:   []Tie{{Couple, []int{0, 1}}, {Couple, []int{3, 4}}},
		Space:  Space{Chairs: 6},
	}, Options{})
	require.Equal(t, 1, abs(plan.Places[3].Order-plan.Places[4].Order))
	require.NotContains(t, plan.Warnings, WheelchairAlone)
	require.Equal(t, plan.Places[0].Row, plan.Places[1].Row)
}

// Friends are farther from the middle than relatives, and an elder is inside a row of children.
func TestWhoIsAtTheEnds(t *testing.T) {
	spec := Spec{People: []Person{{}, {}, {Kin: true}, {Kin: true}, {Importance: 10}}}
	plan := arrange(t, spec, Options{})
	require.Greater(t, min(abs(plan.Places[0].XCM), abs(plan.Places[1].XCM)), max(abs(plan.Places[2].XCM), abs(plan.Places[3].XCM)))

	child := Person{Age: Child, HeightCM: 120}
	plan = arrange(t, Spec{People: []Person{{Age: Elder, Seat: true}, child, child, {Importance: 10, Seat: true}}, Space: Space{Chairs: 4}}, Options{})
	require.True(t, plan.Places[0].Order > 0 && plan.Places[0].Order < len(plan.Rows[0].People)-1, "%v", plan.Rows)
}
