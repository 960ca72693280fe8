package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server"
)

func TestStudioCommands(t *testing.T) {
	data := t.TempDir()
	studio := func(stdin string, args ...string) outcome {
		t.Helper()
		return run(t, &Program{Stdin: strings.NewReader(stdin)}, append([]string{"studio", "--data", data}, args...)...)
	}
	made := studio("", "add", "heron", "--events", "20", "--storage", "1.5GB", "--people", "300", "--searches", "2")
	require.Equal(t, exitDone, made.code, made.stderr)
	assert.Regexp(t, `^heron\.[A-Za-z0-9_-]{22}\n$`, made.stdout, "the key alone")
	assert.Contains(t, made.stderr, "shown this once")
	list := studio("", "list")
	assert.Regexp(t, `^NUMBER  NAME   EVENTS   STORAGE      PEOPLE  SEARCHES  SINCE\n1       heron  0 of 20  0 of 1.5 GB  300     2         \d{4}-\d\d-\d\d\n$`, list.stdout)
	assert.NotContains(t, list.stdout, made.stdout)
	require.Equal(t, exitDone, studio("", "limit", "heron", "--storage", "0").code)
	assert.Regexp(t, `heron  0       0        any     any `, studio("", "list").stdout)
	again := studio("", "rotate", "heron")
	require.Equal(t, exitDone, again.code, again.stderr)
	assert.NotEqual(t, made.stdout, again.stdout)

	for _, c := range []struct {
		args string
		code int
		says string
	}{
		{"add heron", exitInvalid, "there is a studio heron already"},
		{"add Heron", exitInvalid, `"Heron" is not a name for a studio`},
		{"add h", exitInvalid, "2 to 40 letters"},
		{"add egret --storage much", exitInvalid, "write an amount such as 500MB or 2GB"},
		{"rotate egret", exitInvalid, "there is no studio egret"},
		{"limit egret", exitInvalid, "there is no studio egret"},
		{"remove heron", exitFailed, "nothing was removed"},
		{"", exitInvalid, "name what to do: add, list, limit, rotate or remove"},
	} {
		got := studio("no\n", strings.Fields(c.args)...)
		assert.Equal(t, c.code, got.code, c.args)
		assert.Contains(t, got.stderr, c.says)
	}
	gone := studio("heron\n", "remove", "heron")
	require.Equal(t, exitDone, gone.code, gone.stderr)
	assert.Contains(t, gone.stderr, "Remove heron with 0 events (a copy stays)?")
	assert.Contains(t, gone.stdout, "removed-1.heron")
	assert.NotContains(t, studio("", "list").stdout, "heron")
	missing := run(t, &Program{}, "studio", "list")
	assert.Contains(t, missing.stderr, "--data, or its database with --postgres")
}

// A backup of a server with studios is a folder, of which the same is made again.
func TestBackupOfStudios(t *testing.T) {
	data, copied, again := t.TempDir(), filepath.Join(t.TempDir(), "backup"), filepath.Join(t.TempDir(), "again")
	s, err := server.New(server.Config{Data: data})
	require.NoError(t, err)
	require.NoError(t, s.Close(t.Context()))
	for _, name := range []string{"heron", "egret"} {
		require.Equal(t, exitDone, run(t, &Program{}, "studio", "add", name, "--data", data).code)
	}
	content, err := os.ReadFile(filepath.Join(data, "kinorder.db"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(data, "studios", "heron", "kinorder.db"), content, 0o600)) // somebody has used it
	done := run(t, &Program{}, "backup", copied, "--data", data)
	require.Equal(t, exitDone, done.code, done.stderr)
	done = run(t, &Program{}, "restore", copied, "--data", again)
	require.Equal(t, exitDone, done.code, done.stderr)
	for _, folder := range []string{"", "studios/heron", "studios/egret"} {
		assert.DirExists(t, filepath.Join(again, folder))
	}
	_, err = os.Stat(filepath.Join(again, "studios", "heron", "kinorder.db"))
	require.NoError(t, err)
	was, is := run(t, &Program{}, "studio", "list", "--data", data), run(t, &Program{}, "studio", "list", "--data", again)
	assert.Equal(t, was.stdout, is.stdout)
	assert.NotEqual(t, exitDone, run(t, &Program{}, "restore", copied, "--data", again).code, "nothing is overwritten")
}
