package planning_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

func findAdvice(s event.CallSheet, code string) *event.Advice {
	for i := range s.Advice {
		if s.Advice[i].Code == code {
			return &s.Advice[i]
		}
	}
	return nil
}

// A soft block runs over by what it may before anything is left out, and says what it takes to end on time. A firm
// one never does.
func TestCaseSoftClosing(t *testing.T) {
	soft := readCase(t, "soft-closing")
	s := planned(t, soft, planning.Options{})
	assert.Empty(t, s.LeftOut)
	assert.Equal(t, 2*time.Minute, s.Blocks[0].Overrun)
	runs := findAdvice(s, event.CodeRunsOver)
	require.NotNil(t, runs)
	assert.Contains(t, runs.Text(), "Family formals runs about 2 minutes over its end at 15:50. To end on time leave out: ")
	require.Len(t, runs.Subjects, 2, "the block, and one photograph of two minutes or three")

	firm := soft
	firm.Blocks = []event.Block{soft.Blocks[0]}
	firm.Blocks[0].Closing = event.FirmClosing
	f := planned(t, firm, planning.Options{})
	require.Len(t, f.LeftOut, 1)
	assert.Equal(t, runs.Subjects[1], f.LeftOut[0].Grouping, "what was said to be left out is what ends on time")
	assert.Zero(t, f.Blocks[0].Overrun)
	assert.Nil(t, findAdvice(f, event.CodeRunsOver))

	for minutes, left := range map[int]int{0: 1, 1: 1, 2: 0} {
		e := soft
		e.Blocks = []event.Block{soft.Blocks[0]}
		e.Blocks[0].Overrun = &minutes
		assert.Len(t, planned(t, e, planning.Options{}).LeftOut, left, "%d minutes", minutes)
	}
	safe := soft
	safe.Fit = event.Safe
	assert.LessOrEqual(t, planned(t, safe, planning.Options{}).Blocks[0].SafeLength, 25*time.Minute, "a safe finish is inside the block")
}

// A block runs over only for a photograph that would have no place otherwise.
func TestNothingRunsOverForComfort(t *testing.T) {
	e := readCase(t, "soft-closing")
	e.Blocks[0].Closes = "15:52"
	s := planned(t, e, planning.Options{})
	assert.Empty(t, s.LeftOut)
	assert.Zero(t, s.Blocks[0].Overrun)
}

// All the time there is, given with the request, is firm.
func TestAvailableIsFirm(t *testing.T) {
	s := planned(t, readCase(t, "soft-closing"), planning.Options{Available: 24 * time.Minute})
	assert.NotEmpty(t, s.LeftOut)
	assert.LessOrEqual(t, s.Blocks[0].Length, 24*time.Minute)
}
