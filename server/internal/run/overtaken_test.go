package run_test

import (
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store/storetest"
)

// The ceremony goes on for longer than planned and nobody has a hand free to say so: the forecast must
// not promise the old finish.
func TestTimeOvertakesAPlan(t *testing.T) {
	s, ref := begin(t)
	var late atomic.Int64
	d := run.NewDesk(run.DeskOptions{Store: s, Replan: planning.Replan, Gate: gate.New(2, 0), Poll: 10 * time.Millisecond,
		Now: func() time.Time { return began.Add(time.Duration(late.Load())) }})
	t.Cleanup(d.Stop)
	first := watch(t, d, ref, 0, planned)
	plan := first[len(first)-1].Plan
	require.Len(t, plan.Forecasts, 1)

	late.Store(int64(12 * time.Minute))
	again := watch(t, d, ref, first[len(first)-1].Sequence, planned)
	later := again[len(again)-1].Plan
	require.Len(t, later.Forecasts, 1)
	assert.Equal(t, 12*time.Minute, later.Forecasts[0].Finish.Sub(plan.Forecasts[0].Finish))
	assert.Equal(t, plan.Next, later.Next, "who stands by stays next")
	for _, u := range again {
		assert.Empty(t, u.Marks)
	}

	// Nothing is planned anew as long as the plan can hold.
	late.Add(int64(90 * time.Second))
	seen, err := d.View(t.Context(), ref)
	require.NoError(t, err)
	assert.Equal(t, later.Made, seen.Plan.Made)
}

// Once somebody had to leave, the run is planned without them, with nobody marking anything.
func TestWhoHadToLeaveIsNotCalled(t *testing.T) {
	s, ref := begin(t)
	var late atomic.Int64
	d := run.NewDesk(run.DeskOptions{Store: s, Replan: planning.Replan, Gate: gate.New(2, 0), Poll: 10 * time.Millisecond,
		Now: func() time.Time { return began.Add(time.Duration(late.Load())) }})
	t.Cleanup(d.Stop)
	person := list().People[0].ID
	_, err := d.Mark(t.Context(), ref, "l", time.Time{}, []run.Mark{{ID: storetest.NewID(), Kind: run.Leaving, Person: person, At: began, Until: began.Add(40 * time.Second)}})
	require.NoError(t, err)
	first := watch(t, d, ref, 0, func(u run.Update) bool { return u.Plan != nil && u.Covers == u.LastMark })
	late.Store(int64(41 * time.Second))
	again := watch(t, d, ref, first[len(first)-1].Sequence, planned)
	for _, b := range again[len(again)-1].Plan.Sheet.Blocks {
		for _, x := range b.Entries {
			assert.NotContains(t, x.StepIn, person)
		}
	}
}
