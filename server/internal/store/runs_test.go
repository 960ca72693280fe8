package store_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

func sheetsAndRuns(t *testing.T, open opener) {
	ctx := t.Context()
	s := open(t, ticking())
	e, err := s.CreateEvent(ctx, once, "party", storetest.Party())
	require.NoError(t, err)
	c := event.CallSheet{Blocks: []event.SheetBlock{{Block: "b", Start: storetest.Noon, Length: time.Hour, Entries: []event.SheetEntry{{Grouping: "all", StepIn: []string{"ines"}}}}}}
	made, err := s.CreateSheet(ctx, once, "party", e.Version, c)
	require.NoError(t, err)
	assert.Equal(t, c, made.Sheet)
	_, err = s.CreateSheet(ctx, once, "party", 9, c)
	require.ErrorIs(t, err, store.ErrNotFound, "of a version that there is not")
	list, next, err := s.Sheets(ctx, "party", store.Page{Size: 10})
	require.NoError(t, err)
	assert.Empty(t, next)
	require.Len(t, list, 1)
	assert.Equal(t, made.ID, list[0].ID)

	_, err = s.CreateRun(ctx, once, "party", "none")
	require.ErrorIs(t, err, store.ErrNotFound)
	r, err := s.CreateRun(ctx, once, "party", made.ID)
	require.NoError(t, err)
	assert.Equal(t, run.Run{Ref: run.Ref{Event: "party", Run: r.Ref.Run}, Number: r.Number, Sheet: made.ID, Version: 1, Created: r.Created}, r)
	runs, _, err := s.Runs(ctx, "party", store.Page{Size: 10})
	require.NoError(t, err)
	assert.Equal(t, []run.Run{r}, runs)
	request := store.Request{ID: "sent again"}
	for range store.MaxRuns - 1 {
		_, err = s.CreateRun(ctx, request, "party", made.ID)
		require.NoError(t, err)
		request = once
	}
	_, err = s.CreateRun(ctx, once, "party", made.ID)
	require.ErrorIs(t, err, store.ErrManyRuns)
	_, err = s.CreateRun(ctx, store.Request{ID: "sent again"}, "party", made.ID)
	require.NoError(t, err, "it is there")

	require.NoError(t, s.DeleteSheet(ctx, "party", made.ID))
	require.ErrorIs(t, s.DeleteSheet(ctx, "party", made.ID), store.ErrNotFound)
	_, err = s.Run(ctx, r.Ref)
	require.NoError(t, err, "a run goes on without its sheet")
	require.NoError(t, s.DeleteRun(ctx, r.Ref))
	_, err = s.Changes(ctx, r.Ref, 0)
	require.ErrorIs(t, err, store.ErrNotFound)
}

// The last one made is the newest and comes last in lists, even if the clock was put back in between.
func clockPutBack(t *testing.T, open opener) {
	ctx := t.Context()
	now := storetest.Noon
	s := open(t, store.Options{Now: func() time.Time { now = now.Add(-time.Hour); return now }})
	_, err := s.CreateEvent(ctx, once, "party", storetest.Party())
	require.NoError(t, err)
	_, err = s.NewestSheet(ctx, "party")
	require.ErrorIs(t, err, store.ErrNotFound)
	_, err = s.NewestRun(ctx, "party")
	require.ErrorIs(t, err, store.ErrNotFound)
	var sheets, runs []string
	for range 5 {
		c, err := s.CreateSheet(ctx, once, "party", 1, event.CallSheet{})
		require.NoError(t, err)
		newest, err := s.NewestSheet(ctx, "party")
		require.NoError(t, err)
		assert.Equal(t, c.ID, newest.ID)
		assert.Equal(t, c.Created, newest.Created)
		r, err := s.CreateRun(ctx, once, "party", c.ID)
		require.NoError(t, err)
		last, err := s.NewestRun(ctx, "party")
		require.NoError(t, err)
		assert.Equal(t, r, last)
		sheets, runs = append(sheets, c.ID), append(runs, r.Ref.Run)
	}
	var listedSheets, listedRuns []string
	for p, more := (store.Page{Size: 2}), true; more; more = p.Token != "" {
		list, next, err := s.Sheets(ctx, "party", p)
		require.NoError(t, err)
		for _, c := range list {
			listedSheets = append(listedSheets, c.ID)
		}
		p.Token = next
	}
	for p, more := (store.Page{Size: 2}), true; more; more = p.Token != "" {
		list, next, err := s.Runs(ctx, "party", p)
		require.NoError(t, err)
		for _, r := range list {
			listedRuns = append(listedRuns, r.Ref.Run)
		}
		p.Token = next
	}
	assert.Equal(t, sheets, listedSheets)
	assert.Equal(t, runs, listedRuns)
	// The newest is deleted: its number is not given again.
	require.NoError(t, s.DeleteRun(ctx, run.Ref{Event: "party", Run: runs[4]}))
	last, err := s.NewestRun(ctx, "party")
	require.NoError(t, err)
	assert.Equal(t, runs[3], last.Ref.Run)
	r, err := s.CreateRun(ctx, once, "party", sheets[0])
	require.NoError(t, err)
	assert.Greater(t, r.Number, last.Number+1)
}

func marks(t *testing.T, open opener) {
	ctx := t.Context()
	s := open(t, ticking())
	ref := storetest.Begin(t, s)
	late := storetest.Noon.Add(90 * time.Millisecond)
	list := []run.Mark{
		storetest.Note("one"),
		{ID: storetest.NewID(), Kind: run.Added, At: late, DeviceAt: late, Received: late, By: "studio", Grouped: &event.Grouping{ID: "x", Members: []string{"ines"}}},
		{ID: storetest.NewID(), Kind: run.Late, At: late, DeviceAt: late, Received: late, Person: "ines", Until: storetest.Noon.Add(time.Hour)},
	}
	sequence, err := s.AddMarks(ctx, ref, list[:2])
	require.NoError(t, err)
	assert.Equal(t, int64(2), sequence)
	changed := list[0]
	changed.Note = "another"
	sequence, err = s.AddMarks(ctx, ref, []run.Mark{list[1], changed, list[2], list[2]})
	require.NoError(t, err)
	assert.Equal(t, int64(3), sequence, "those sent again are left as they are")
	sequence, err = s.AddMarks(ctx, ref, []run.Mark{list[1], list[0]})
	require.NoError(t, err)
	assert.Equal(t, int64(2), sequence, "a plan that heeds them may be there already")

	for i := range list {
		list[i].Sequence = int64(i + 1)
	}
	c, err := s.Changes(ctx, ref, 0)
	require.NoError(t, err)
	assert.Equal(t, list, c.Marks)
	assert.Equal(t, int64(3), c.LastMark)
	assert.Equal(t, int64(3), c.Run.Sequence)
	c, err = s.Changes(ctx, ref, 2)
	require.NoError(t, err)
	assert.Equal(t, list[2:], c.Marks)

	bad := storetest.Note("two")
	bad.Kind = run.NoKind
	_, err = s.AddMarks(ctx, ref, []run.Mark{storetest.Note("three"), bad})
	require.Error(t, err)
	require.NoError(t, s.Close())
	s = open(t, ticking())
	c, err = s.Changes(ctx, ref, 3)
	require.NoError(t, err)
	assert.Empty(t, c.Marks, "all or none")
	assert.Equal(t, int64(3), c.Run.Sequence)
}

func plans(t *testing.T, open opener) {
	ctx := t.Context()
	s := open(t, ticking())
	ref := storetest.Begin(t, s)
	p := run.Plan{Made: storetest.Noon, Next: map[string]string{"b": "all"}}
	kept, err := s.SavePlan(ctx, ref, 0, 0, p)
	require.NoError(t, err)
	assert.True(t, kept)
	kept, err = s.SavePlan(ctx, ref, 0, 0, p)
	require.NoError(t, err)
	assert.False(t, kept, "another server was first")
	_, err = s.AddMarks(ctx, ref, []run.Mark{storetest.Note("one")})
	require.NoError(t, err)
	c, err := s.Changes(ctx, ref, 1)
	require.NoError(t, err)
	assert.Nil(t, c.Plan, "nothing new")
	assert.Equal(t, int64(0), c.Covers)
	kept, err = s.SavePlan(ctx, ref, 2, 0, p)
	require.NoError(t, err)
	assert.True(t, kept)
	c, err = s.Changes(ctx, ref, 2)
	require.NoError(t, err)
	assert.Equal(t, &p, c.Plan)
	assert.Equal(t, int64(2), c.Covers)
	assert.Equal(t, int64(3), c.Run.Sequence)
	kept, err = s.SavePlan(ctx, ref, 1, 0, p)
	require.NoError(t, err)
	assert.False(t, kept, "an older plan does not replace a newer one")

	later := run.Plan{Made: storetest.Noon.Add(time.Hour)}
	kept, err = s.SavePlan(ctx, ref, 2, 1, later)
	require.NoError(t, err)
	assert.False(t, kept, "it would take the place of a plan that is gone")
	kept, err = s.SavePlan(ctx, ref, 2, c.Planned, later)
	require.NoError(t, err)
	assert.True(t, kept, "a plan of the same marks, made later")
	c, err = s.Changes(ctx, ref, 3)
	require.NoError(t, err)
	assert.Equal(t, &later, c.Plan)
}
