// Package needs finds what tests need beside Go: Chromium, the programs of poppler, PostgreSQL, what checks pages. Where
// something is missing the test is skipped and says so. Where CI is set it fails instead: what runs the
// tests there installs all of it, and a test that is skipped would be missed by nobody.
package needs

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
)

// Time leaves a test that takes seconds out with -short.
func Time(t testing.TB) {
	t.Helper()
	if testing.Short() {
		t.Skip("takes seconds: left out with -short")
	}
}

// Alone leaves a test out under the race detector, where computing takes ten times as long: it computes by itself, and
// nothing that it runs shares anything among goroutines that no other test does.
func Alone(t testing.TB) {
	t.Helper()
	if Racing {
		t.Skip("computes by itself: left out under the race detector")
	}
}

// Chromium returns the path of a browser, which takes seconds to start.
func Chromium(t testing.TB) string {
	t.Helper()
	Time(t)
	return Program(t, "chromium", "chromium-browser", "google-chrome")
}

// Program returns the path of a program that goes by one of some names.
func Program(t testing.TB, names ...string) string {
	t.Helper()
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	Missing(t, names[0]+" is not installed")
	return ""
}

// Font needs a font for the script of a language, as a browser finds it.
func Font(t testing.TB, language string) {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), Program(t, "fc-list"), ":lang="+language).Output()
	require.NoError(t, err)
	if len(out) == 0 {
		Missing(t, "no font for "+language+" is installed")
	}
}

// Modules returns the folder with what checks pages, which npm installs.
func Modules(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil || dir == filepath.Dir(dir) {
			break
		}
		dir = filepath.Dir(dir)
	}
	dir = filepath.Join(dir, ".ci", "node_modules")
	if _, err := os.Stat(dir); err != nil {
		Missing(t, "what checks pages is not installed: run .ci/install")
	}
	return dir
}

// Postgres returns the connection string of a server in which tests may make databases.
func Postgres(t testing.TB) string {
	t.Helper()
	dsn := os.Getenv("KINORDER_TEST_POSTGRES")
	if dsn == "" {
		Missing(t, "KINORDER_TEST_POSTGRES names no PostgreSQL server to test on: run make test, which starts one")
	}
	return dsn
}

// Database makes an empty database in that server, for the length of a test.
func Database(t testing.TB) string {
	t.Helper()
	dsn := Postgres(t)
	var b [6]byte
	_, _ = rand.Read(b[:])
	name := "test_" + hex.EncodeToString(b[:])
	do := func(ctx context.Context, statement string) {
		conn, err := pgx.Connect(ctx, dsn)
		require.NoError(t, err)
		defer conn.Close(ctx)
		_, err = conn.Exec(ctx, statement)
		require.NoError(t, err)
	}
	do(t.Context(), "CREATE DATABASE "+name)
	t.Cleanup(func() { do(context.Background(), "DROP DATABASE "+name+" WITH (FORCE)") })
	u, err := url.Parse(dsn)
	require.NoError(t, err)
	u.Path = "/" + name
	return u.String()
}

// Missing leaves a test out for want of something; in CI, where all of it is installed, the test fails.
func Missing(t testing.TB, what string) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatal(what + ", and in CI no test is left out: run .ci/install")
	}
	t.Skip(what)
}
