package run_test

import (
	"bytes"
	"context"
	"log/slog"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
	"kinorder.example/solver"
)

var began = time.Date(2027, 5, 15, 15, 0, 0, 0, time.UTC)

func list() event.Event {
	return event.Event{
		Title: "Small", Date: "2027-05-15",
		People: []event.Person{{ID: "ann", Name: "Ann"}, {ID: "bo", Name: "Bo", PrivateNote: "LAPWING"}, {ID: "cy", Name: "Cy"}},
		Groupings: []event.Grouping{
			{ID: "all", Members: []string{"ann", "bo", "cy"}}, {ID: "ab", Members: []string{"ann", "bo"}, PrivateNote: "LAPWING"}, {ID: "c", Members: []string{"cy"}},
		},
		Blocks: []event.Block{{ID: "garden", Opens: "15:00", Closes: "16:00"}},
	}
}

// begin opens a store with a run of the list.
func begin(t *testing.T) (*store.Store, run.Ref) {
	t.Helper()
	s, err := store.OpenSQLite(t.Context(), t.TempDir(), store.Options{Now: func() time.Time { return began }})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	e, err := s.CreateEvent(t.Context(), store.Request{}, "", list())
	require.NoError(t, err)
	sheet, err := planning.Plan(t.Context(), list(), planning.Options{Work: 30})
	require.NoError(t, err)
	c, err := s.CreateSheet(t.Context(), store.Request{}, e.ID, 1, sheet)
	require.NoError(t, err)
	r, err := s.CreateRun(t.Context(), store.Request{}, e.ID, c.ID)
	require.NoError(t, err)
	return s, r.Ref
}

func open(t *testing.T, s run.Store, now func() time.Time) *run.Desk {
	d := run.NewDesk(run.DeskOptions{Store: s, Replan: planning.Replan, Gate: gate.New(2, 0), Now: now})
	t.Cleanup(d.Stop)
	return d
}

func always(context.Context) error { return nil }

// watch watches from a sequence until enough says so and returns what came.
func watch(t *testing.T, d *run.Desk, ref run.Ref, after int64, enough func(run.Update) bool) []run.Update {
	t.Helper()
	var out []run.Update
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	err := d.Watch(ctx, ref, after, always, func(u *run.Update) error {
		out = append(out, *u)
		if enough(*u) {
			cancel()
		}
		return nil
	})
	require.ErrorIs(t, err, context.Canceled)
	return out
}

func planned(u run.Update) bool { return u.Plan != nil }

func TestWatchBringsThePlanAndResumesWithoutAGap(t *testing.T) {
	s, ref := begin(t)
	d := open(t, s, func() time.Time { return began })
	first := watch(t, d, ref, 0, planned)
	resume := first[len(first)-1].Sequence

	mark := run.Mark{ID: storetest.NewID(), Kind: run.Started, At: began, Grouping: "all"}
	sequence, err := d.Mark(t.Context(), ref, "studio", time.Time{}, []run.Mark{mark})
	require.NoError(t, err)
	assert.Equal(t, resume+1, sequence)
	seen := 0
	for _, u := range watch(t, d, ref, resume, planned) {
		seen += len(u.Marks)
		assert.Equal(t, run.Current, u.State.Groupings["all"].Status)
		assert.Equal(t, "garden", u.State.Groupings["all"].Block, "the sheet says where")
		if u.Plan != nil {
			assert.Equal(t, "all", u.Plan.Sheet.Blocks[0].Entries[0].Grouping)
		}
	}
	assert.Equal(t, 1, seen)

	err = d.Watch(t.Context(), ref, 1000, always, func(*run.Update) error { return nil })
	require.ErrorIs(t, err, run.ErrAhead)
}

// An id of a mark means what it meant first: what would be dropped is refused, and a clock put right is no other mark.
func TestMarkRefusesAnIDThatMeantSomethingElse(t *testing.T) {
	s, ref := begin(t)
	d := open(t, s, func() time.Time { return began })
	note := run.Mark{ID: storetest.NewID(), Kind: run.Noted, At: began, Note: "one"}
	taken := run.Mark{ID: storetest.NewID(), Kind: run.Taken, At: began, Grouping: "all"}
	send := func(marks ...run.Mark) error {
		_, err := d.Mark(t.Context(), ref, "l", time.Time{}, marks)
		return err
	}
	require.NoError(t, send(note, taken))
	later, other := taken, note
	later.At, other.Note = began.Add(-time.Minute), "two"
	require.NoError(t, send(note, later), "the same at a better time")
	twice := run.Mark{ID: storetest.NewID(), Kind: run.Started, At: began, Grouping: "ab"}
	again := twice
	again.Grouping = "c"
	var refused *run.InvalidError
	require.ErrorAs(t, send(twice, other), &refused)
	assert.Equal(t, "marks[1].id", refused.Faults[0].Field)
	require.ErrorAs(t, send(twice, again), &refused)
	assert.Equal(t, "marks[1].id", refused.Faults[0].Field)
	u, err := d.View(t.Context(), ref)
	require.NoError(t, err)
	assert.Len(t, u.Marks, 2)
}

// A desk that dies between a mark and its plan leaves the plan to another that has a viewer.
func TestAnotherDeskPlansWhatOneLeft(t *testing.T) {
	s, ref := begin(t)
	dead := run.NewDesk(run.DeskOptions{Store: s, Replan: planning.Replan, Gate: gate.New(2, 0), Now: func() time.Time { return began }})
	dead.Stop()
	_, err := dead.Mark(t.Context(), ref, "l", time.Time{}, []run.Mark{{ID: storetest.NewID(), Kind: run.Started, At: began, Grouping: "ab"}})
	require.NoError(t, err)
	d := open(t, s, func() time.Time { return began })
	got := watch(t, d, ref, 1, planned)
	assert.Equal(t, "ab", got[len(got)-1].Plan.Sheet.Blocks[0].Entries[0].Grouping)
}

func TestMarkSetsTheClockOfTheDeviceRight(t *testing.T) {
	s, ref := begin(t)
	d := open(t, s, func() time.Time { return began })
	fast := began.Add(20 * time.Minute) // the device is that much ahead
	_, err := d.Mark(t.Context(), ref, "l", fast, []run.Mark{{ID: storetest.NewID(), Kind: run.Started, At: fast.Add(-time.Minute), Grouping: "all"}})
	require.NoError(t, err)
	u, err := d.View(t.Context(), ref)
	require.NoError(t, err)
	assert.Equal(t, began.Add(-time.Minute), u.Marks[0].At)
	assert.Equal(t, fast.Add(-time.Minute), u.Marks[0].DeviceAt)
	assert.Equal(t, began, u.Marks[0].Received)
	assert.Equal(t, "l", u.Marks[0].By)

	near := began.Add(-time.Second)
	_, err = d.Mark(t.Context(), ref, "l", near, []run.Mark{{ID: storetest.NewID(), Kind: run.Taken, At: near, Grouping: "all"}})
	require.NoError(t, err)
	u, err = d.View(t.Context(), ref)
	require.NoError(t, err)
	assert.Equal(t, near, u.Marks[1].At, "the way through the network is no difference")
}

// A mark from a clock that is ahead or was put back is the last one all the same, and can be taken back.
func TestTheLastMarkReceivedIsUndoable(t *testing.T) {
	s, ref := begin(t)
	d := open(t, s, func() time.Time { return began })
	for _, at := range []time.Duration{2 * time.Hour, 0, -time.Hour} {
		m := run.Mark{ID: storetest.NewID(), Kind: run.Noted, Note: "n", At: began.Add(at)}
		_, err := d.Mark(t.Context(), ref, "l", time.Time{}, []run.Mark{m})
		require.NoError(t, err)
		u, err := d.View(t.Context(), ref)
		require.NoError(t, err)
		assert.Equal(t, m.ID, run.Fold(u.Marks).Undoable, at)
		got := u.Marks[len(u.Marks)-1]
		assert.Equal(t, began.Add(min(at, 0)), got.At)
		assert.Equal(t, began.Add(at), got.DeviceAt)
	}
}

// A clock that was hours ahead and was put right before there was a signal leaves no marks in the future.
func TestMarksAreNotAhead(t *testing.T) {
	s, ref := begin(t)
	d := open(t, s, func() time.Time { return began })
	first := run.Mark{ID: storetest.NewID(), Kind: run.Taken, At: began.Add(3 * time.Hour), Grouping: "ab"}
	second := run.Mark{ID: storetest.NewID(), Kind: run.Taken, At: began.Add(3*time.Hour + time.Minute), Grouping: "c"}
	_, err := d.Mark(t.Context(), ref, "l", began, []run.Mark{first, second})
	require.NoError(t, err)
	c, err := s.Changes(t.Context(), ref, 0)
	require.NoError(t, err)
	assert.Equal(t, began.Add(-time.Minute), c.Marks[0].At)
	assert.Equal(t, began, c.Marks[1].At)
	assert.Equal(t, second.At, c.Marks[1].DeviceAt)
}

func TestMarkRefuses(t *testing.T) {
	s, ref := begin(t)
	d := open(t, s, func() time.Time { return began })
	_, err := d.Mark(t.Context(), ref, "l", time.Time{}, []run.Mark{{ID: "1", Kind: run.Taken, At: began, Grouping: "LAPWING"}})
	var invalid *run.InvalidError
	require.ErrorAs(t, err, &invalid)
	assert.Len(t, invalid.Faults, 2)
	assert.NotContains(t, err.Error(), "LAPWING")
	_, err = d.Mark(t.Context(), run.Ref{Event: "none", Run: "none"}, "l", time.Time{}, nil)
	require.ErrorIs(t, err, store.ErrNotFound)
}

// A note is kept and changes no order: neither is the plan made anew, nor is it told again.
func TestANoteDoesNotReplan(t *testing.T) {
	s, ref := begin(t)
	var mu sync.Mutex
	plans := 0
	d := run.NewDesk(run.DeskOptions{Store: s, Gate: gate.New(2, 0), Now: func() time.Time { return began }, Replan: func(ctx context.Context, e event.Event, today planning.Today, o planning.Options) (planning.Outlook, error) {
		mu.Lock()
		plans++
		mu.Unlock()
		return planning.Replan(ctx, e, today, o)
	}})
	defer d.Stop()
	got := watch(t, d, ref, 0, planned)
	sequence, err := d.Mark(t.Context(), ref, "l", time.Time{}, []run.Mark{{ID: storetest.NewID(), Kind: run.Noted, At: began, Note: "LAPWING"}})
	require.NoError(t, err)
	after := watch(t, d, ref, got[len(got)-1].Sequence, func(u run.Update) bool { return u.Covers == sequence })
	assert.Len(t, after, 1)
	assert.Nil(t, after[0].Plan)
	u := run.ForReader(run.Update{Plan: &planning.Outlook{Owed: []planning.Owed{{Grouping: "a", Priority: event.Must}}}})
	assert.Equal(t, []planning.Owed{{Grouping: "a"}}, u.Plan.Owed, "how much it is wanted isn't told")
	u = run.ForReader(after[0])
	assert.Empty(t, u.Marks)
	assert.Empty(t, u.State.Notes)
	mu.Lock()
	defer mu.Unlock()
	assert.Equal(t, 1, plans)
}

// A replan takes a place at the gate as every search does, and only when there is something to plan.
func TestReplansTakeAPlace(t *testing.T) {
	s, ref := begin(t)
	door := gate.New(1, 0)
	var left atomic.Bool
	d := run.NewDesk(run.DeskOptions{Store: s, Gate: door, Now: func() time.Time { return began }, Replan: func(ctx context.Context, e event.Event, today planning.Today, o planning.Options) (planning.Outlook, error) {
		assert.True(t, left.Load(), "it waits for the place of another")
		_, _, err := door.Enter(ctx)
		var busy *gate.BusyError
		assert.ErrorAs(t, err, &busy, "there is no other place beside it")
		return planning.Replan(ctx, e, today, o)
	}})
	defer d.Stop()
	_, leave, err := door.Enter(t.Context())
	require.NoError(t, err)
	d.Plan(ref)
	left.Store(true)
	leave()
	got := watch(t, d, ref, 0, planned)

	_, leave, err = door.Enter(t.Context())
	require.NoError(t, err)
	defer leave()
	sequence, err := d.Mark(t.Context(), ref, "l", time.Time{}, []run.Mark{{ID: storetest.NewID(), Kind: run.Noted, At: began, Note: "hot"}})
	require.NoError(t, err)
	watch(t, d, ref, got[len(got)-1].Sequence, func(u run.Update) bool { return u.Covers == sequence }) // a note needs no place
}

// What stops is no fault of the run.
func TestAGateThatStopsIsNoFault(t *testing.T) {
	s, ref := begin(t)
	door := gate.New(1, 0)
	var log bytes.Buffer
	d := run.NewDesk(run.DeskOptions{Store: s, Gate: door, Now: func() time.Time { return began }, Log: slog.New(slog.NewTextHandler(&log, nil)),
		Replan: func(ctx context.Context, _ event.Event, _ planning.Today, _ planning.Options) (planning.Outlook, error) {
			door.Stop()
			return planning.Outlook{}, ctx.Err()
		}})
	d.Plan(ref)
	d.Stop()
	assert.Empty(t, log.String())
}

// A fault of planning ends neither the desk nor the program: the next mark has the run planned.
func TestAPanicWhilePlanningEndsThatAttemptOnly(t *testing.T) {
	s, ref := begin(t)
	var log bytes.Buffer
	var mu sync.Mutex
	attempts := 0
	broke := make(chan struct{})
	d := run.NewDesk(run.DeskOptions{
		Store: s, Gate: gate.New(2, 0), Now: func() time.Time { return began }, Log: slog.New(slog.NewTextHandler(&log, nil)),
		Replan: func(ctx context.Context, e event.Event, today planning.Today, o planning.Options) (planning.Outlook, error) {
			mu.Lock()
			defer mu.Unlock()
			if attempts++; attempts == 1 {
				close(broke)
				panic("LAPWING")
			}
			return planning.Replan(ctx, e, today, o)
		},
	})
	d.Plan(ref)
	<-broke
	_, err := d.Mark(t.Context(), ref, "l", time.Time{}, []run.Mark{{ID: storetest.NewID(), Kind: run.Taken, At: began, Grouping: "ab"}})
	require.NoError(t, err)
	watch(t, d, ref, 0, planned)
	d.Stop()
	assert.Contains(t, log.String(), "panicked")
	assert.NotContains(t, log.String(), "LAPWING")
}

// When planning goes wrong a plain order is kept, and the log has what it takes to try again, without names.
func TestAFaultOfPlanningIsLogged(t *testing.T) {
	s, ref := begin(t)
	var log bytes.Buffer
	d := run.NewDesk(run.DeskOptions{
		Store: s, Gate: gate.New(2, 0), Now: func() time.Time { return began }, Log: slog.New(slog.NewTextHandler(&log, nil)),
		Replan: func(ctx context.Context, e event.Event, today planning.Today, o planning.Options) (planning.Outlook, error) {
			out, err := planning.Replan(ctx, e, today, o)
			out.Fault = &planning.Fault{Cause: "entry 1 is wrong", Orders: [][]solver.GroupingIndex{{2, 1}}}
			return out, err
		},
	})
	d.Plan(ref)
	u := watch(t, d, ref, 0, planned)
	d.Stop()
	assert.Len(t, order(u[len(u)-1], "garden"), 3)
	assert.Contains(t, log.String(), "entry 1 is wrong")
	assert.Contains(t, log.String(), `\"Orders\":[[2,1]]`)
	assert.NotContains(t, log.String(), "Ann")
}

func TestWatchEnds(t *testing.T) {
	s, ref := begin(t)
	d := open(t, s, func() time.Time { return began })
	refused := assert.AnError
	require.ErrorIs(t, d.Watch(t.Context(), ref, 0, func(context.Context) error { return refused }, nil), refused)
	ended := make(chan error, 1)
	started := make(chan struct{}, 9)
	go func() {
		ended <- d.Watch(context.Background(), ref, 0, always, func(*run.Update) error { started <- struct{}{}; return nil })
	}()
	<-started
	d.Stop()
	require.ErrorIs(t, <-ended, run.ErrStopped)
}

// A phone without signal says late that somebody is missing: who was photographed since holds up nothing, also when it sends
// that again.
func TestMissingIsOverWhenPhotographed(t *testing.T) {
	s, ref := begin(t)
	now := began.Add(10 * time.Minute)
	d := open(t, s, func() time.Time { return now })
	at := func(minute int) time.Time { return began.Add(time.Duration(minute) * time.Minute) }
	missing := func(minute int) run.Mark {
		return run.Mark{ID: storetest.NewID(), Kind: run.Absent, Person: "ann", At: at(minute)}
	}
	taken := run.Mark{ID: storetest.NewID(), Kind: run.Taken, Grouping: "ab", Block: "garden", At: at(5)}
	before, after := missing(3), missing(6)
	for _, m := range []run.Mark{taken, before, before} {
		_, err := d.Mark(t.Context(), ref, "phone", time.Time{}, []run.Mark{m})
		require.NoError(t, err)
	}
	u, err := d.View(t.Context(), ref)
	require.NoError(t, err)
	assert.Empty(t, u.State.People)
	_, err = d.Mark(t.Context(), ref, "phone", time.Time{}, []run.Mark{after})
	require.NoError(t, err)
	u, err = d.View(t.Context(), ref)
	require.NoError(t, err)
	assert.Equal(t, run.Missing, u.State.People["ann"].Presence)
}
