package access

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/store"
)

// known is a store with one link.
type known struct {
	secret string
	link   store.Link
	err    error
}

func (k known) Open(_ context.Context, secret string) (store.Link, error) {
	if k.err != nil {
		return store.Link{}, k.err
	}
	if secret != k.secret {
		return store.Link{}, store.ErrNotFound
	}
	return k.link, nil
}

func TestMay(t *testing.T) {
	lead := Grant{Event: "party", Role: store.Lead, Link: "l"}
	assert.True(t, lead.May("party", store.Reader))
	assert.True(t, lead.May("party", store.Lead))
	assert.False(t, lead.May("party", store.Owner))
	assert.False(t, lead.May("other", store.Reader))
	assert.False(t, Grant{}.May("", store.Reader))
	assert.False(t, Grant{Event: "party", Role: "guest"}.May("party", "guest"), "a role that there is not")
	assert.True(t, Grant{Studio: true}.May("party", store.Owner))
	assert.Equal(t, "l", lead.By())
	assert.Equal(t, "studio", Grant{Studio: true}.By())
	assert.True(t, Grant{Event: "party", Role: store.Reader}.Reads())
	assert.False(t, Grant{Studio: true}.Reads())
}

func TestOpen(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(known{secret: "right", link: store.Link{Event: "party", ID: "l", Role: store.Lead}}, "key")
		ctx := t.Context()
		began := time.Now()
		for range 3 {
			_, err := g.Open(ctx, "here", "wrong")
			require.ErrorIs(t, err, ErrSecret)
		}
		assert.Equal(t, 700*time.Millisecond, time.Since(began), "0.1 s, 0.2 s, 0.4 s")
		began = time.Now()
		grant, err := g.Open(ctx, "here", "right")
		require.NoError(t, err)
		assert.Equal(t, Grant{Event: "party", Role: store.Lead, Link: "l"}, grant)
		grant, err = g.Open(ctx, "here", "key")
		require.NoError(t, err)
		assert.True(t, grant.Studio)
		assert.Zero(t, time.Since(began), "the right ones are not held")
		_, err = g.Open(ctx, "there", "wrong")
		require.ErrorIs(t, err, ErrSecret)
		assert.Equal(t, 100*time.Millisecond, time.Since(began), "another place begins anew")
		for range 10 {
			_, _ = g.Open(ctx, "here", "")
		}
		began = time.Now()
		_, err = g.Open(ctx, "here", "wrong")
		require.ErrorIs(t, err, ErrSecret)
		assert.Equal(t, longest, time.Since(began))
		time.Sleep(2 * forgetAfter)
		began = time.Now()
		_, _ = g.Open(ctx, "here", "wrong")
		assert.Equal(t, firstDelay, time.Since(began))
		require.NoError(t, g.Still(ctx, "right"))
		require.NoError(t, g.Still(ctx, "key"))
		require.ErrorIs(t, g.Still(ctx, "wrong"), ErrSecret)
	})
}

func TestOpenHoldsOnlySoMany(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := New(known{secret: "right"}, "")
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, mostWaiting)
		for range mostWaiting {
			go func() {
				_, err := g.Open(ctx, "here", "wrong")
				ended <- err
			}()
		}
		synctest.Wait()
		_, err := g.Open(t.Context(), "here", "wrong")
		var slow *SlowDownError
		require.ErrorAs(t, err, &slow)
		assert.Positive(t, slow.Retry)
		cancel()
		for range mostWaiting {
			require.ErrorIs(t, <-ended, context.Canceled)
		}
		_, err = g.Open(t.Context(), "here", "") // no studio key: the empty one opens nothing
		require.ErrorIs(t, err, ErrSecret)
	})
}

func TestOpenWhenTheStoreIsGone(t *testing.T) {
	g := New(known{err: store.ErrUnreachable}, "key")
	_, err := g.Open(t.Context(), "here", "right")
	require.ErrorIs(t, err, store.ErrUnreachable)
	assert.False(t, errors.Is(err, ErrSecret), "whether it is right nobody knows")
}
