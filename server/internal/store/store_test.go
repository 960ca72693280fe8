package store_test

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"net/url"
	"os"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
)

// freshSQLite makes an empty data folder.
func freshSQLite(t *testing.T) storetest.Open {
	folder := t.TempDir()
	return func(t *testing.T, o store.Options) *store.Store {
		s, err := store.OpenSQLite(t.Context(), folder, o)
		require.NoError(t, err)
		t.Cleanup(func() { _ = s.Close() }) // tests that close it do so themselves
		return s
	}
}

// server is the connection string of a PostgreSQL server in which the tests may make databases. make
// test starts one.
func server(t testing.TB) string {
	t.Helper()
	dsn := os.Getenv("KINORDER_TEST_POSTGRES")
	if dsn == "" {
		t.Skip("KINORDER_TEST_POSTGRES names no PostgreSQL server to test on: run make test, which starts one")
	}
	return dsn
}

// database makes an empty database and returns its connection string.
func database(t testing.TB) string {
	t.Helper()
	dsn := server(t)
	var b [6]byte
	_, _ = rand.Read(b[:])
	name := "test_" + hex.EncodeToString(b[:])
	do := func(ctx context.Context, statement string) error {
		conn, err := pgx.Connect(ctx, dsn)
		if err != nil {
			return err
		}
		defer conn.Close(ctx)
		_, err = conn.Exec(ctx, statement)
		return err
	}
	require.NoError(t, do(t.Context(), "CREATE DATABASE "+name))
	t.Cleanup(func() { assert.NoError(t, do(context.Background(), "DROP DATABASE "+name+" WITH (FORCE)")) })
	u, err := url.Parse(dsn)
	require.NoError(t, err)
	u.Path = "/" + name
	return u.String()
}

func freshPostgres(t *testing.T) storetest.Open {
	dsn := database(t)
	return func(t *testing.T, o store.Options) *store.Store {
		s, err := store.OpenPostgres(t.Context(), dsn, o)
		require.NoError(t, err)
		t.Cleanup(func() { _ = s.Close() })
		return s
	}
}

func TestSQLite(t *testing.T) { storetest.Run(t, false, freshSQLite) }

func TestPostgres(t *testing.T) {
	server(t)
	storetest.Run(t, true, freshPostgres)
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
