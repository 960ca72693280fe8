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

// known is a store with one link and one that has ended.
type known struct {
	secret, ended string
	link          store.Link
	err           error
}

func (k known) Open(_ context.Context, secret string) (store.Link, error) {
	if k.err != nil {
		return store.Link{}, k.err
	}
	switch secret {
	case k.secret:
		return k.link, nil
	case k.ended:
		return store.Link{}, store.ErrEnded
	default:
		return store.Link{}, store.ErrNotFound
	}
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
	assert.True(t, lead.Marks("party"))
	assert.False(t, lead.Marks("other"))
	assert.False(t, Grant{Event: "party", Role: store.Owner}.Marks("party"), "the planner and the couple watch")
	assert.True(t, Grant{Studio: true}.Marks("party"))
	assert.Equal(t, "l", lead.By())
	assert.Equal(t, "studio", Grant{Studio: true}.By())
	assert.True(t, Grant{Event: "party", Role: store.Reader}.Reads())
	assert.False(t, Grant{Studio: true}.Reads())
}

func TestOpen(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		links := &counting{known: known{secret: "right", ended: "ended", link: store.Link{Event: "party", ID: "l", Role: store.Lead}}}
		g := New(links, "key")
		ctx := t.Context()
		began := time.Now()
		wrong := func(from string) error {
			_, err := g.Open(ctx, from, "wrong")
			return err
		}
		slowed := func(from string, want time.Duration) {
			t.Helper()
			var slow *SlowDownError
			require.ErrorAs(t, wrong(from), &slow)
			assert.Equal(t, want, slow.Retry)
		}
		grant, err := g.Open(ctx, "here", "right")
		require.NoError(t, err)
		assert.Equal(t, Grant{Event: "party", Role: store.Lead, Link: "l"}, grant)
		for range free {
			require.ErrorIs(t, wrong("here"), ErrSecret)
		}
		tried := links.opened
		for range 100 {
			slowed("here", time.Second)
		}
		assert.Equal(t, tried, links.opened, "the store is not asked")
		for _, secret := range []string{"right", "key"} {
			_, err = g.Open(ctx, "here", secret)
			require.NoError(t, err, "what opened something before still does")
		}
		require.ErrorIs(t, wrong("there"), ErrSecret, "another place begins anew")
		for _, wait := range []time.Duration{2, 4, 8, 10, 10} {
			time.Sleep(longest)
			require.ErrorIs(t, wrong("here"), ErrSecret, "now and then one is tried")
			slowed("here", wait*time.Second)
		}
		assert.Equal(t, 5*longest, time.Since(began), "nobody is held")
		time.Sleep(2 * forgetAfter)
		for range free {
			require.ErrorIs(t, wrong("here"), ErrSecret)
		}
		for range 2 * free {
			_, err = g.Open(ctx, "elsewhere", "ended")
			require.ErrorIs(t, err, ErrSecret, "a link that has ended is no guess")
		}
		require.NoError(t, g.Still(ctx, "right"))
		require.NoError(t, g.Still(ctx, "key"))
		require.ErrorIs(t, g.Still(ctx, "wrong"), ErrSecret)
		require.ErrorIs(t, g.Still(ctx, "ended"), ErrSecret)
		_, err = New(links, "").Open(ctx, "here", "")
		require.ErrorIs(t, err, ErrSecret, "no studio key: the empty one opens nothing")
	})
}

// counting counts how often links are looked up.
type counting struct {
	known
	opened int
}

func (c *counting) Open(ctx context.Context, secret string) (store.Link, error) {
	c.opened++
	return c.known.Open(ctx, secret)
}

func TestOpenWhenTheStoreIsGone(t *testing.T) {
	g := New(known{err: store.ErrUnreachable}, "key")
	_, err := g.Open(t.Context(), "here", "right")
	require.ErrorIs(t, err, store.ErrUnreachable)
	assert.False(t, errors.Is(err, ErrSecret), "whether it is right nobody knows")
}
