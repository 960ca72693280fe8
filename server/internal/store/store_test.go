package store_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

// freshSQLite makes an empty data folder.
func freshSQLite(t *testing.T) opener {
	folder := t.TempDir()
	return func(t *testing.T, o store.Options) *store.Store {
		s, err := store.OpenSQLite(t.Context(), folder, o)
		require.NoError(t, err)
		t.Cleanup(func() { _ = s.Close() }) // tests that close it do so themselves
		return s
	}
}

func freshPostgres(t *testing.T) opener {
	dsn := needs.Database(t)
	return func(t *testing.T, o store.Options) *store.Store {
		s, err := store.OpenPostgres(t.Context(), dsn, o)
		require.NoError(t, err)
		t.Cleanup(func() { _ = s.Close() })
		return s
	}
}

func TestSQLite(t *testing.T) { every(t, false, freshSQLite) }

func TestPostgres(t *testing.T) {
	needs.Postgres(t)
	every(t, true, freshPostgres)
}

// What one server writes wakes the viewers of another.
func TestPostgresServersHearOfEachOther(t *testing.T) {
	open := freshPostgres(t)
	a, b := open(t, store.Options{}), open(t, store.Options{})
	ref := storetest.Begin(t, a)
	wakes, end := b.Subscribe(ref)
	defer end()
	for after := int64(0); after == 0; {
		// b may not listen yet: it wakes all when it does.
		_, err := a.AddMarks(t.Context(), ref, []run.Mark{storetest.Note("one")})
		require.NoError(t, err)
		<-wakes
		c, err := b.Changes(t.Context(), ref, 0)
		require.NoError(t, err)
		after = c.LastMark
	}
}
