package gate

import (
	"context"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRoom(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := NewRoom(100 << 20)
		give, err := r.Take(t.Context(), 1<<40)
		require.NoError(t, err, "nobody waits for more than there is")

		_, err = r.Take(t.Context(), 2<<20)
		assert.ErrorIs(t, err, ErrCrowded, "after a while")
		gone, leave := context.WithCancel(t.Context())
		leave()
		_, err = r.Take(gone, 2<<20)
		assert.ErrorIs(t, err, context.Canceled)

		usual, err := r.Take(t.Context(), 100<<10)
		require.NoError(t, err, "large requests don't hold up small ones")
		usual()

		waited := make(chan func())
		go func() {
			give, err := r.Take(t.Context(), 2<<20)
			assert.NoError(t, err)
			waited <- give
		}()
		synctest.Wait()
		give()
		(<-waited)()
	})
}

func TestHold(t *testing.T) {
	r := NewRoom(100 << 20)
	large := r.Hold()
	for range 1 + 90 { // the first is small
		assert.True(t, large.Grow(1<<20))
	}
	assert.False(t, large.Grow(1<<20))
	usual := r.Hold()
	assert.True(t, usual.Grow(small), "large forms don't hold up small ones")
	assert.False(t, usual.Grow(1))
	large.Give()
	assert.True(t, usual.Grow(1))
	large.Give()
	usual.Give()
	give, err := r.Take(t.Context(), 90<<20)
	require.NoError(t, err, "all of it is there again")
	give()
}

// Whoever holds its part waits for itself, and nobody else for it.
func TestASharedRoomIsNobodysAlone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := NewShared(40<<20, 10<<20)
		first, err := s.Take(t.Context(), "a", 9<<20)
		require.NoError(t, err)
		_, err = s.Take(t.Context(), "a", 9<<20)
		require.ErrorIs(t, err, ErrCrowded)
		other, err := s.Take(t.Context(), "b", 9<<20)
		require.NoError(t, err)
		other()
		first()
		again, err := s.Take(t.Context(), "a", 9<<20)
		require.NoError(t, err)
		again()
	})
}
