package run_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store/storetest"
)

// fails is a store that answers everything with one error, nil for an empty run.
type fails struct{ err *error }

func (f fails) Occasion(context.Context, run.Ref) (run.Occasion, error) {
	return run.Occasion{Event: list()}, *f.err
}
func (f fails) AddMarks(context.Context, run.Ref, []run.Mark) (int64, error) { return 0, *f.err }
func (f fails) Changes(_ context.Context, ref run.Ref, _ int64) (run.Changes, error) {
	return run.Changes{Run: run.Run{Ref: ref}}, *f.err
}
func (f fails) SavePlan(context.Context, run.Ref, int64, int64, run.Plan) (bool, error) {
	return false, *f.err
}
func (f fails) Subscribe(run.Ref) (<-chan struct{}, func()) { return nil, func() {} }

// The log says why a run could not be planned, in words that quote nothing of the event, not even its id,
// which planners make of names. That the run was deleted meanwhile is no fault.
func TestTheLogSaysWhy(t *testing.T) {
	for name, c := range map[string]struct {
		store, plan error
		says        string
	}{
		"deleted":    {fmt.Errorf("store: read: %w", run.ErrGone), nil, ""},
		"the store":  {errors.New("store: read: disk I/O error"), nil, "disk I/O error"},
		"a planner":  {nil, errors.New("LAPWING"), "*errors.errorString"},
		"all's well": {nil, nil, ""},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				var log bytes.Buffer
				d := run.NewDesk(run.DeskOptions{
					Store: fails{&c.store}, Gate: gate.New(1, 0), Log: slog.New(slog.NewTextHandler(&log, nil)),
					Replan: func(context.Context, event.Event, planning.Today, planning.Options) (planning.Outlook, error) {
						return planning.Outlook{}, c.plan
					},
				})
				d.Plan(run.Ref{Event: "ines-noor", Run: "r1"})
				synctest.Wait()
				d.Stop()
				if c.says == "" {
					assert.Empty(t, log.String())
					return
				}
				assert.Contains(t, log.String(), c.says)
				assert.Contains(t, log.String(), "run=r1")
				assert.NotContains(t, log.String(), "ines")
				assert.NotContains(t, log.String(), "LAPWING")
			})
		})
	}
}

// A run that was deleted, here or by another server, is not kept in memory.
func TestADeskForgetsWhatIsDeleted(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var err error
		d := open(t, fails{&err}, func() time.Time { return began })
		one, other := run.Ref{Event: "party", Run: "one"}, run.Ref{Event: "party", Run: "other"}
		look := func(refs ...run.Ref) {
			for _, ref := range refs {
				_, err := d.Mark(t.Context(), ref, "l", time.Time{}, []run.Mark{{ID: storetest.NewID(), Kind: run.Taken, At: began, Grouping: "all"}})
				require.NoError(t, err)
			}
			synctest.Wait() // it is planned in the background
		}
		look(one, other)
		assert.Equal(t, 4, d.InMemory())
		d.Forget(one)
		assert.Equal(t, 2, d.InMemory())
		d.Forget(run.Ref{Event: "party"})
		assert.Zero(t, d.InMemory())
		look(one)
		err = run.ErrGone
		_, gone := d.View(t.Context(), one)
		require.ErrorIs(t, gone, run.ErrGone)
		assert.Zero(t, d.InMemory())
	})
}
