package api

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

func TestGate(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := newGate(1, 1)
		leave, err := g.enter(t.Context())
		require.NoError(t, err)

		entered := make(chan func(), 1)
		go func() {
			leave, err := g.enter(t.Context())
			assert.NoError(t, err)
			entered <- leave
		}()
		synctest.Wait() // the second now waits
		assert.Empty(t, entered)

		_, err = g.enter(t.Context())
		var busy *busyError
		require.ErrorAs(t, err, &busy)
		assert.Equal(t, busyError{solves: 1, queued: 1, retry: 4 * time.Second}, *busy, "a round for the one that runs, one for the one that waits")

		leave()
		(<-entered)()
		leave, err = g.enter(t.Context())
		require.NoError(t, err, "the gate is open again")
		leave()
	})
}

func TestGateLetsWaitersGo(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := newGate(1, 1)
		leave, err := g.enter(t.Context())
		require.NoError(t, err)
		defer leave()
		for range 3 { // each gives its place in the queue back
			ctx, cancel := context.WithCancelCause(t.Context())
			got := make(chan error, 1)
			go func() {
				_, err := g.enter(ctx)
				got <- err
			}()
			synctest.Wait()
			gone := errors.New("gone")
			cancel(gone)
			assert.Equal(t, gone, <-got)
		}
	})
}

func TestNewestSkipsWhatIsOverTaken(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var sent []int64
		reading := make(chan struct{})
		n := startNewest(func(p *kinorderv1.PlanProgress) error {
			<-reading // the caller reads slowly
			sent = append(sent, p.GetCost())
			return nil
		})
		n.put(&kinorderv1.PlanProgress{Cost: 5})
		synctest.Wait()
		for cost := int64(4); cost > 0; cost-- {
			n.put(&kinorderv1.PlanProgress{Cost: cost})
		}
		close(reading)
		n.close()
		n.close()
		assert.Equal(t, []int64{5, 1}, sent)
	})
}

func TestNewestStopsAtAnError(t *testing.T) {
	calls := 0
	n := startNewest(func(*kinorderv1.PlanProgress) error {
		calls++
		return errors.New("the caller has gone")
	})
	for range 100 {
		n.put(&kinorderv1.PlanProgress{})
	}
	n.close()
	assert.Equal(t, 1, calls)
}

func TestAnswerMargin(t *testing.T) {
	assert.Equal(t, 10*time.Millisecond, answerMargin(0))
	assert.Equal(t, 200*time.Millisecond, answerMargin(2*time.Second))
	assert.Equal(t, 500*time.Millisecond, answerMargin(time.Hour))
}
