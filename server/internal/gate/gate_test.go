package gate

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestGate(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(1, 1)
		leave, err := g.Enter(t.Context())
		require.NoError(t, err)

		entered := make(chan func(), 1)
		go func() {
			leave, err := g.Enter(t.Context())
			assert.NoError(t, err)
			entered <- leave
		}()
		synctest.Wait() // the second now waits
		assert.Empty(t, entered)

		_, err = g.Enter(t.Context())
		var busy *BusyError
		require.ErrorAs(t, err, &busy)
		assert.Equal(t, BusyError{Solves: 1, Queued: 1, Retry: 4 * time.Second}, *busy, "a round for the one that runs, one for the one that waits")

		leave()
		(<-entered)()
		leave, err = g.Enter(t.Context())
		require.NoError(t, err, "the gate is open again")
		leave()
	})
}

func TestGateLetsWaitersGo(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(1, 1)
		leave, err := g.Enter(t.Context())
		require.NoError(t, err)
		defer leave()
		for range 3 { // each gives its place in the queue back
			ctx, cancel := context.WithCancelCause(t.Context())
			got := make(chan error, 1)
			go func() {
				_, err := g.Enter(ctx)
				got <- err
			}()
			synctest.Wait()
			gone := errors.New("gone")
			cancel(gone)
			assert.Equal(t, gone, <-got)
		}
	})
}

func TestStopEndsSearches(t *testing.T) {
	g := New(1, 1)
	ctx, release := g.Context(t.Context())
	defer release()
	g.Stop()
	<-ctx.Done()
	assert.Equal(t, ErrStopping, context.Cause(ctx))
	late, releaseLate := g.Context(t.Context())
	defer releaseLate()
	<-late.Done()
	assert.Equal(t, ErrStopping, context.Cause(late), "nothing begins after the end")
}
