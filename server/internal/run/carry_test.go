package run_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

// beginAnew begins a run of a list that was changed, with a sheet that is changed too.
func beginAnew(t *testing.T, s *store.Store, ref run.Ref, e event.Event, change func(*event.CallSheet)) run.Ref {
	t.Helper()
	kept, err := s.ReplaceEvent(t.Context(), ref.Event, 1, e)
	require.NoError(t, err)
	sheet, err := planning.Plan(t.Context(), e, planning.Options{Work: 30})
	require.NoError(t, err)
	change(&sheet)
	c, err := s.CreateSheet(t.Context(), store.Request{}, ref.Event, kept.Version, sheet)
	require.NoError(t, err)
	anew, err := s.CreateRun(t.Context(), store.Request{}, ref.Event, c.ID)
	require.NoError(t, err)
	return anew.Ref
}

// A run that begins anew keeps what was marked, as far as its list knows it, with who marked it and when.
func TestCarry(t *testing.T) {
	s, ref := begin(t)
	d := open(t, s, func() time.Time { return began })
	taken := run.Mark{ID: storetest.NewID(), Kind: run.Taken, At: began, Grouping: "ab"}
	gone := run.Mark{ID: storetest.NewID(), Kind: run.Taken, At: began.Add(time.Second), Grouping: "c"}
	_, err := d.Mark(t.Context(), ref, "first", time.Time{}, []run.Mark{taken, gone})
	require.NoError(t, err)
	e := list()
	e.Groupings = e.Groupings[:2]
	anew := beginAnew(t, s, ref, e, func(*event.CallSheet) {})
	for range 2 {
		require.NoError(t, d.Carry(t.Context(), ref, anew, run.Ref{}))
	}
	u, err := d.View(t.Context(), anew)
	require.NoError(t, err)
	require.Len(t, u.Marks, 1)
	assert.Equal(t, "first", u.Marks[0].By)
	assert.Equal(t, run.Done, u.State.Groupings["ab"].Status)
}

// Who was called stays next when the list changes, and the plan says what is new in it.
func TestCarryKeepsWhoIsCalled(t *testing.T) {
	s, ref := begin(t)
	d := open(t, s, func() time.Time { return began })
	first := watch(t, d, ref, 0, planned)
	order := first[len(first)-1].Plan.Sheet.Blocks[0].Entries
	_, err := d.Mark(t.Context(), ref, "first", time.Time{}, []run.Mark{{ID: storetest.NewID(), Kind: run.Taken, At: began, Grouping: order[0].Grouping}})
	require.NoError(t, err)
	before := watch(t, d, ref, first[len(first)-1].Sequence, planned)
	next := before[len(before)-1].Plan.Sheet.Blocks[0].Entries[0].Grouping
	e := list()
	e.Groupings = append([]event.Grouping{{ID: "anew", Title: "Anew", Members: []string{e.People[0].ID}, Priority: event.Must}}, e.Groupings...)
	anew := beginAnew(t, s, ref, e, func(s *event.CallSheet) {
		entries := s.Blocks[0].Entries
		entries[0], entries[1] = entries[1], entries[0]
	})
	require.NoError(t, d.Carry(t.Context(), ref, anew, run.Ref{}))
	after := watch(t, d, anew, 0, func(u run.Update) bool { return u.Plan != nil && u.Covers > 0 && u.Covers == u.LastMark })
	plan := after[len(after)-1].Plan
	assert.Equal(t, next, plan.Sheet.Blocks[0].Entries[0].Grouping)
	require.NotEmpty(t, plan.Changes)
	assert.Equal(t, "New in the order: “Anew”.", plan.Changes[0].String())
}
