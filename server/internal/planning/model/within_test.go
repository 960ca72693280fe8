package model

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// A search that never waits, in a browser, learns that its time is up though no timer fires there.
func TestWithinAsksTheClock(t *testing.T) {
	ended := func(ctx context.Context) bool {
		select {
		case <-ctx.Done():
			return ctx.Err() != nil
		default:
			return false
		}
	}
	assert.True(t, ended(Within(t.Context(), 0)))
	assert.ErrorIs(t, Within(t.Context(), 0).Err(), context.DeadlineExceeded)
	long := Within(t.Context(), time.Hour)
	assert.False(t, ended(long))
	assert.NoError(t, long.Err())
	until, ok := Within(long, 2*time.Hour).Deadline()
	first, _ := long.Deadline()
	assert.True(t, ok)
	assert.Equal(t, first, until, "the one around it ends before")
	cancelled, cancel := context.WithCancel(t.Context())
	inside := Within(cancelled, time.Hour)
	cancel()
	assert.True(t, ended(inside))
	assert.ErrorIs(t, inside.Err(), context.Canceled)
}
