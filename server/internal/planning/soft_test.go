package planning_test

import (
	"fmt"
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

// A studio's own spread makes its safe times: one that never strays is always safe.
func TestSafeTimesByTheStudiosSpread(t *testing.T) {
	percent := func(n int) *int { return &n }
	e := lined(3, "a b c", "a d e", "b d f")
	e.Blocks = []event.Block{{ID: "b", Opens: "12:00"}}
	safe := map[string]time.Duration{}
	for name, p := range map[string]event.Pace{
		"usual": {}, "steady": {SlotSpreadPercent: percent(0), DaySpreadPercent: percent(0)}, "wild": {SlotSpreadPercent: percent(80), DaySpreadPercent: percent(40)},
	} {
		e.Pace = p
		s := planned(t, e, planning.Options{})
		assert.Equal(t, 12*time.Minute, s.Blocks[0].Length, "three to greet")
		safe[name] = s.Blocks[0].SafeLength
	}
	assert.InDelta(t, 720, safe["steady"].Seconds(), 1)
	assert.Greater(t, safe["usual"], safe["steady"])
	assert.Greater(t, safe["wild"], safe["usual"])
}

// With everything at its most a photograph is planned all the same.
func TestTheSlowestPaceIsPlanned(t *testing.T) {
	most, step, frame := event.MaxPaceSeconds, event.MaxStepSeconds, event.MaxFrameSeconds
	e := event.Event{
		Groupings: []event.Grouping{{ID: "all", Frames: 500, Guests: event.MaxPeople}},
		Pace: event.Pace{
			SettleSeconds: &most, PerStepInSeconds: &step, PerStepOutSeconds: &step, FreshSeconds: &most, PerFrameSeconds: &frame,
			ElderSeconds: &most, ChildSeconds: &most, InfantSeconds: &most, WheelchairSeconds: &most, OpeningSeconds: &most, FetchSeconds: &most,
			Arrange: []event.ArrangePoint{{Seconds: most}},
		},
		Blocks: []event.Block{{ID: "b"}},
	}
	for i := range event.MaxPeople {
		p := event.Person{ID: fmt.Sprint("p", i), Name: "Guest", AgeBand: event.Elder}
		e.People, e.Groupings[0].Members = append(e.People, p), append(e.Groupings[0].Members, p.ID)
	}
	s := planned(t, e, planning.Options{Work: 1})
	require.Len(t, s.Blocks, 1)
	assert.Len(t, s.Blocks[0].Entries, 1)
}
