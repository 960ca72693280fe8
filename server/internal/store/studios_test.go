package store_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

func TestStudiosInAFolder(t *testing.T) {
	studios(t, store.Place{Data: t.TempDir()})
}

func TestStudiosInADatabase(t *testing.T) {
	needs.Postgres(t)
	studios(t, store.Place{Postgres: needs.Database(t)})
}

// openIn opens what is kept of a studio.
func openIn(t *testing.T, p store.Place, o store.Options) *store.Store {
	t.Helper()
	s, err := p.Open(t.Context(), o)
	require.NoError(t, err)
	t.Cleanup(func() { _ = s.Close() })
	return s
}

func studios(t *testing.T, p store.Place) {
	ctx := t.Context()
	own := openIn(t, p, store.Options{})
	none, err := p.Studios(ctx, false)
	require.NoError(t, err)
	require.Nil(t, none, "looking makes nothing")
	list, err := p.Studios(ctx, true)
	require.NoError(t, err)
	t.Cleanup(func() { _ = list.Close() })

	key, err := list.Add(ctx, "heron", store.Limits{Events: 2, Searches: 1, People: 9})
	require.NoError(t, err)
	assert.Regexp(t, `^heron\.[A-Za-z0-9_-]{22}$`, key)
	_, err = list.Add(ctx, "heron", store.Limits{})
	require.ErrorIs(t, err, store.ErrExists)
	_, err = list.Add(ctx, "night-heron", store.Limits{})
	require.NoError(t, err)
	all, err := list.List(ctx)
	require.NoError(t, err)
	require.Len(t, all, 2)
	assert.Equal(t, store.Studio{Number: 1, Name: "heron", Hash: store.HashSecret(key), Created: all[0].Created, Limits: store.Limits{Events: 2, Searches: 1, People: 9}}, all[0])
	assert.WithinDuration(t, time.Now(), all[0].Created, time.Minute)

	apart(t, p, own)
	n, bytes, err := list.Used(ctx, "heron")
	require.NoError(t, err)
	assert.Equal(t, int64(1), n)
	assert.Positive(t, bytes)

	again, err := list.Rotate(ctx, "heron")
	require.NoError(t, err)
	assert.NotEqual(t, key, again)
	require.NoError(t, list.Limit(ctx, "heron", store.Limits{Bytes: 7}))
	all, err = list.List(ctx)
	require.NoError(t, err)
	assert.Equal(t, store.HashSecret(again), all[0].Hash)
	assert.Equal(t, store.Limits{Bytes: 7}, all[0].Limits)
	_, err = list.Rotate(ctx, "nobody")
	require.ErrorIs(t, err, store.ErrNotFound)
	require.ErrorIs(t, list.Limit(ctx, "nobody", store.Limits{}), store.ErrNotFound)
	removed(t, p, list)
}

// apart has every studio keep the same event, and looks whether one sees that of another.
func apart(t *testing.T, p store.Place, own *store.Store) {
	ctx := t.Context()
	secrets := map[string]string{}
	stores := map[string]*store.Store{"": own}
	for _, name := range []string{"heron", "night-heron"} {
		stores[name] = openIn(t, p, store.Options{Studio: name})
	}
	for name, s := range stores {
		e := storetest.Party()
		e.Title = "of " + name
		_, err := s.CreateEvent(ctx, store.Request{ID: "one", Hash: name}, "party", e)
		require.NoError(t, err)
		_, secret, err := s.CreateLink(ctx, store.Request{}, "party", store.Lead, "", time.Time{})
		require.NoError(t, err)
		assert.Equal(t, name, store.StudioIn(secret))
		secrets[name] = secret
	}
	for name, s := range stores {
		e, err := s.Event(ctx, "party")
		require.NoError(t, err)
		assert.Equal(t, "of "+name, e.Title)
		for of, secret := range secrets {
			_, err := s.Open(ctx, secret)
			if of == name {
				assert.NoError(t, err)
			} else {
				assert.ErrorIs(t, err, store.ErrNotFound, "%s opens %s", of, name)
			}
		}
	}
	for name, s := range stores {
		if name != "" {
			require.NoError(t, s.Close())
		}
	}
}

func removed(t *testing.T, p store.Place, list *store.Studios) {
	ctx := t.Context()
	moved, err := list.Remove(ctx, "heron", false)
	require.NoError(t, err)
	assert.NotEmpty(t, moved)
	if p.Data != "" {
		assert.FileExists(t, filepath.Join(moved, store.FileName), "a copy stays")
		_, err = p.Open(ctx, store.Options{Studio: "heron"})
		require.ErrorIs(t, err, store.ErrNotFound)
	}
	_, err = list.Remove(ctx, "heron", false)
	require.ErrorIs(t, err, store.ErrNotFound)
	_, err = list.Add(ctx, "heron", store.Limits{})
	require.NoError(t, err)
	empty, _, err := openIn(t, p, store.Options{Studio: "heron"}).Events(ctx, store.Page{Size: 5})
	require.NoError(t, err)
	assert.Empty(t, empty, "another studio of the same name has nothing of it")
	moved, err = list.Remove(ctx, "night-heron", true)
	require.NoError(t, err)
	assert.Empty(t, moved)
	all, err := list.List(ctx)
	require.NoError(t, err)
	require.Len(t, all, 1)
	assert.Equal(t, int64(3), all[0].Number, "a number is given once")
	if p.Data != "" {
		there, err := os.ReadDir(filepath.Join(p.Data, "studios"))
		require.NoError(t, err)
		for _, f := range there {
			assert.NotContains(t, f.Name(), "night")
		}
	}
}

// More than a studio may have is refused, and nothing of a day that runs.
func TestQuotas(t *testing.T) {
	for name, fresh := range map[string]func(*testing.T) opener{"SQLite": freshSQLite, "PostgreSQL": freshPostgres} {
		t.Run(name, func(t *testing.T) {
			if name == "PostgreSQL" {
				needs.Postgres(t)
			}
			ctx, open := t.Context(), fresh(t)
			s := open(t, store.Options{Limits: store.Limits{Events: 1}})
			ref := storetest.Begin(t, s)
			var quota *store.QuotaError
			_, err := s.CreateEvent(ctx, once, "more", event.Event{})
			require.ErrorAs(t, err, &quota)
			assert.Equal(t, store.QuotaError{Events: 1}, *quota)
			_, err = s.BeginEvent(ctx, event.Event{}, store.Step{What: "list"})
			require.ErrorAs(t, err, &quota)

			s = open(t, store.Options{Limits: store.Limits{People: 1}})
			crowded := storetest.Party()
			_, err = s.CreateEvent(ctx, store.Request{}, "crowd", crowded)
			require.ErrorAs(t, err, &quota)
			assert.Equal(t, store.QuotaError{People: 1}, *quota)
			_, err = s.ReplaceEvent(ctx, ref.Event, 1, crowded)
			require.NoError(t, err, "no more than before")
			crowded.People = append(crowded.People, crowded.People[0])
			_, err = s.ReplaceEvent(ctx, ref.Event, 2, crowded)
			require.ErrorAs(t, err, &quota)

			s = open(t, store.Options{Limits: store.Limits{Bytes: 100}})
			_, err = s.ReplaceEvent(ctx, ref.Event, 2, event.Event{Title: strings.Repeat("x", 200)})
			require.ErrorAs(t, err, &quota)
			assert.Equal(t, store.QuotaError{Bytes: 100}, *quota)
			_, err = s.CreateSheet(ctx, once, ref.Event, 1, event.CallSheet{})
			require.ErrorAs(t, err, &quota)
			require.ErrorAs(t, s.SetAside(ctx, ref.Event, "key", event.Event{}, store.Step{}), &quota)
			r, err := s.Run(ctx, ref)
			require.NoError(t, err)
			_, err = s.CreateRun(ctx, once, ref.Event, r.Sheet)
			require.NoError(t, err)
			_, err = s.AddMarks(ctx, ref, []run.Mark{storetest.Note("one")})
			require.NoError(t, err)
			require.NoError(t, s.DeleteEvent(ctx, ref.Event, 0))
		})
	}
}

func TestNamesOfStudios(t *testing.T) {
	for secret, want := range map[string]string{
		"heron.abc": "heron", "night-heron.a.b": "night-heron", "abc": "", "": "", ".abc": "", "s.123.x.y": "", "l.secret": "", "Heron.x": "", "a-.x": "", "../x.y": "",
		"a_b.c": "", strings.Repeat("a", 40) + ".x": strings.Repeat("a", 40), strings.Repeat("a", 41) + ".x": "",
	} {
		assert.Equal(t, want, store.StudioIn(secret), secret)
	}
}
