package gate

import (
	"context"
	"errors"
	"math/rand/v2"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type entry = func(context.Context) (context.Context, func(), error)

// entering enters in the background; the channel gets what gives the place back.
func entering(t *testing.T, enter entry) <-chan func() {
	in := make(chan func(), 1)
	go func() {
		_, leave, err := enter(t.Context())
		assert.NoError(t, err)
		in <- leave
	}()
	synctest.Wait()
	return in
}

func TestGate(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(1, 1)
		_, leave, err := g.Enter(t.Context())
		require.NoError(t, err)
		second := entering(t, g.Enter)
		assert.Empty(t, second)

		_, _, err = g.Enter(t.Context())
		var busy *BusyError
		require.ErrorAs(t, err, &busy)
		assert.Equal(t, BusyError{Solves: 1, Queued: 1, Retry: 4 * time.Second}, *busy, "a round for the one that runs, one for the one that waits")

		leave()
		(<-second)()
		_, leave, err = g.Enter(t.Context())
		require.NoError(t, err, "the gate is open again")
		leave()
	})
}

func TestGateLetsWaitersGo(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(1, 1)
		_, leave, err := g.Enter(t.Context())
		require.NoError(t, err)
		defer leave()
		for _, enter := range []entry{g.Enter, g.EnterFirst, g.Enter} { // each gives its place in the queue back
			ctx, cancel := context.WithCancelCause(t.Context())
			got := make(chan error, 1)
			go func() {
				_, _, err := enter(ctx)
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
	synctest.Test(t, func(t *testing.T) {
		g := New(1, 1)
		ctx, leave, err := g.Enter(t.Context())
		require.NoError(t, err)
		defer leave()
		waits := make(chan error, 2)
		for _, enter := range []entry{g.Enter, g.EnterFirst} {
			go func() {
				_, _, err := enter(t.Context())
				waits <- err
			}()
		}
		synctest.Wait()
		g.Stop()
		<-ctx.Done()
		assert.Equal(t, ErrStopping, context.Cause(ctx))
		assert.Equal(t, ErrStopping, <-waits)
		assert.Equal(t, ErrStopping, <-waits)
		_, _, err = g.Enter(t.Context())
		assert.Equal(t, ErrStopping, err, "nothing begins after the end")
	})
}

// The replan of a running day is never refused and waits behind no plan.
func TestReplansGoFirst(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(1, 2)
		_, leave, err := g.Enter(t.Context())
		require.NoError(t, err)
		one, two := entering(t, g.Enter), entering(t, g.Enter)
		day, next := entering(t, g.EnterFirst), entering(t, g.EnterFirst)
		leave()
		leaveDay := <-day
		synctest.Wait()
		assert.Empty(t, next, "one at a time")
		leaveDay()
		(<-next)()
		(<-one)()
		(<-two)()
	})
}

// A plan may take ten minutes. It ends for a running day once it has had the usual time.
func TestSearchesMakeWay(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(2, 2)
		oldest, leaveOldest, err := g.Enter(t.Context())
		require.NoError(t, err)
		time.Sleep(1500 * time.Millisecond)
		younger, leaveYounger, err := g.Enter(t.Context())
		require.NoError(t, err)
		waits := entering(t, g.Enter)
		day := entering(t, g.EnterFirst)

		time.Sleep(499 * time.Millisecond)
		synctest.Wait()
		assert.NoError(t, oldest.Err(), "not before it has had two seconds")
		time.Sleep(time.Millisecond)
		synctest.Wait()
		var busy *BusyError
		require.ErrorAs(t, context.Cause(oldest), &busy)
		leaveOldest()
		leaveDay := <-day

		time.Sleep(50 * time.Second)
		synctest.Wait()
		assert.NoError(t, younger.Err(), "no replan waits for its place")
		late := entering(t, g.EnterFirst)
		assert.Error(t, younger.Err(), "it has had more than its time")
		leaveDay()
		(<-late)()
		leaveYounger()
		(<-waits)()
	})
}

// Anybody may ask for ten minutes, and has one when others wait.
func TestLongSearchesShare(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(2, 2)
		oldest, leaveOldest, err := g.Enter(t.Context())
		require.NoError(t, err)
		younger, leaveYounger, err := g.Enter(t.Context())
		require.NoError(t, err)
		time.Sleep(5 * time.Minute)
		synctest.Wait()
		require.NoError(t, oldest.Err(), "nobody waits")
		next := entering(t, g.Enter)
		var busy *BusyError
		require.ErrorAs(t, context.Cause(oldest), &busy)
		assert.NoError(t, younger.Err(), "one place is enough")
		leaveOldest()
		leaveNext := <-next
		last := entering(t, g.Enter)
		assert.Error(t, younger.Err())
		leaveYounger()
		(<-last)()
		leaveNext()
	})
}

// A place that is free in time ends no search.
func TestNobodyMakesWayForNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(2, 0)
		stays, leaveStays, err := g.Enter(t.Context())
		require.NoError(t, err)
		_, leave, err := g.Enter(t.Context())
		require.NoError(t, err)
		day := entering(t, g.EnterFirst)
		leave()
		leaveDay := <-day
		time.Sleep(time.Minute)
		synctest.Wait()
		assert.NoError(t, stays.Err())
		leaveDay()
		leaveStays()
	})
}

// However they come and go, there are never more at once than the gate allows, and all come to their turn.
func TestNeverMoreAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		const solves = 3
		g := New(solves, 1000)
		r := rand.New(rand.NewPCG(1, 2))
		var inside, most, done atomic.Int32
		var all sync.WaitGroup
		for range 400 {
			enter, comes := g.Enter, time.Duration(r.IntN(60_000))*time.Millisecond
			stays, patience := time.Duration(r.IntN(5_000))*time.Millisecond, time.Duration(r.IntN(100_000))*time.Millisecond
			if r.IntN(3) == 0 {
				enter = g.EnterFirst
			}
			all.Go(func() {
				time.Sleep(comes)
				ctx, cancel := context.WithTimeout(t.Context(), patience)
				defer cancel()
				search, leave, err := enter(ctx)
				done.Add(1)
				if err != nil {
					assert.ErrorIs(t, err, context.DeadlineExceeded)
					return
				}
				defer leave()
				defer inside.Add(-1)
				for n := inside.Add(1); ; {
					if seen := most.Load(); n <= seen || most.CompareAndSwap(seen, n) {
						break
					}
				}
				select {
				case <-time.After(stays):
				case <-search.Done():
				}
			})
		}
		all.Wait()
		assert.Equal(t, int32(solves), most.Load())
		assert.Equal(t, int32(400), done.Load())
		_, leave, err := g.Enter(t.Context())
		require.NoError(t, err, "every place was given back")
		leave()
	})
}
