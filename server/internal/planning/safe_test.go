package planning

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// tight is an event of one block into which likely times fit exactly, with a studio whose pace is known.
func tight(t *testing.T) event.Event {
	e := small()
	none, slot, day := 0, 25, 10
	e.Pace = event.Pace{OpeningSeconds: &none, SlotSpreadPercent: &slot, DaySpreadPercent: &day}
	for i := range e.Groupings {
		m := 10.0
		e.Groupings[i].Minutes = &m
	}
	s := plan(t, e, Options{})
	require.Empty(t, s.LeftOut)
	require.Equal(t, 30*time.Minute, s.Blocks[0].Length)
	return e
}

func TestSafeTimesAreNeverBeforeThePlan(t *testing.T) {
	e := tight(t)
	for _, confidence := range []int{50, 80, 99} {
		e.Confidence = confidence
		b := plan(t, e, Options{}).Blocks[0]
		assert.GreaterOrEqual(t, b.SafeLength, b.Length)
		for _, entry := range b.Entries {
			assert.GreaterOrEqual(t, entry.SafeOffset, entry.Offset)
			assert.Less(t, entry.SafeOffset, b.SafeLength)
		}
	}
}

// Three slots of ten minutes, each with a coefficient of variation of 1/4, and a factor of median 1 for the day with
// 1/10: with c = 1 + 0.1² the sum has the mean 1800·√c and c²·(3·(600/4)² + 1800²) as the mean of its square, and the
// lognormal of these has its 80 % quantile at 2064.0 s, worked out apart from package pace. With a studio of which
// nothing is known, 0.35 as the spread of the factor's logarithm, it is 2449.5 s.
func TestSafeFinishByHand(t *testing.T) {
	e := tight(t)
	b := plan(t, e, Options{}).Blocks[0]
	assert.InDelta(t, 2064.0, b.SafeLength.Seconds(), 2)
	assert.Zero(t, b.Entries[0].SafeOffset)
	e.Pace.DaySpreadPercent = nil
	assert.InDelta(t, 2449.5, plan(t, e, Options{}).Blocks[0].SafeLength.Seconds(), 2)
}

// With a fit of safe the safe finish is inside every block, as far down as the confidence asks.
func TestFitSafe(t *testing.T) {
	e := tight(t)
	e.Fit = event.Safe
	for _, confidence := range []int{60, 80, 95} {
		e.Confidence = confidence
		s := plan(t, e, Options{})
		assert.LessOrEqual(t, s.Blocks[0].SafeLength, 30*time.Minute, "%d %%", confidence)
		assert.Len(t, s.LeftOut, 1, "two of three fit at %d %%", confidence)
		assert.False(t, s.Totals.Proven, "nothing is proven of the day as it is")
		assert.Contains(t, s.LeftOut[0].Why.String(), "It would fit if the time slot ended", "%d %%", confidence)
	}
	e.Blocks[0].Closes = "15:40"
	e.Confidence = 0
	s := plan(t, e, Options{})
	assert.Empty(t, s.LeftOut)
	assert.True(t, s.Totals.Proven, "the plan is safe as it is, so what is proven of it holds")
}

// What a reason says would let a grouping in, does.
func TestFitSafeSaysWhatWouldDo(t *testing.T) {
	e := tight(t)
	e.Fit = event.Safe
	s := plan(t, e, Options{})
	require.Len(t, s.LeftOut, 1)
	assert.Equal(t, "No time left in Yard. Everybody in it is in another photo. It would fit if the time slot ended 5 minutes later.", s.LeftOut[0].Why.String())
	e.Blocks[0].Closes = "15:35"
	assert.Empty(t, plan(t, e, Options{}).LeftOut)
}

// A block whose photographer comes from another one may begin late.
func TestSafeStartOfTheNextBlock(t *testing.T) {
	e := tight(t)
	e.Blocks[0].Photographer = "V"
	e.Blocks = append(e.Blocks, event.Block{ID: "y", Place: "Hall", Opens: "15:31", Closes: "16:30", Photographer: "V"})
	e.Walks = []event.Walk{{From: "Yard", To: "Hall", Minutes: 1}}
	e.Groupings = append(e.Groupings, event.Grouping{ID: "bd", Members: []string{"b", "d"}, Blocks: []string{"y"}})
	for i := range 3 {
		e.Groupings[i].Blocks = []string{"x"}
	}
	s := plan(t, e, Options{})
	require.Empty(t, s.LeftOut)
	first, next := s.Blocks[0], s.Blocks[1]
	late := first.Start.Add(first.SafeLength + time.Minute).Sub(next.Start)
	assert.InDelta(t, late.Seconds(), next.Entries[0].SafeOffset.Seconds(), 60)
	assert.Greater(t, next.SafeLength, next.Length+3*time.Minute)
	e.Blocks[1].Photographer = "W"
	assert.Zero(t, plan(t, e, Options{}).Blocks[1].Entries[0].SafeOffset)
}

// A search that ends at once still keeps the safe finish inside.
func TestFitSafeWithoutTime(t *testing.T) {
	e := tight(t)
	e.Fit = event.Safe
	s, err := Plan(context.Background(), e, Options{Budget: time.Nanosecond})
	require.NoError(t, err)
	assert.LessOrEqual(t, s.Blocks[0].SafeLength, 30*time.Minute)
}
