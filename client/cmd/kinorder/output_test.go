package main

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const written = `# Written by hand, and not to be lost.
people: [{id: ann, name: Ann}, {id: bo, name: Bo}]
groupings: [{id: both, members: [ann, bo]}]
`

func content(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(b)
}

// No command writes over a file that it reads, whatever the file is called.
func TestOutputIsNoInput(t *testing.T) {
	event := file(t, "event.yaml", written)
	dir := t.TempDir()
	soft, hard := filepath.Join(dir, "soft.yaml"), filepath.Join(dir, "hard.yaml")
	require.NoError(t, os.Symlink(event, soft))
	require.NoError(t, os.Link(event, hard))
	other := file(t, "other.txt", "Ann\n")
	for _, out := range []string{event, soft, hard} {
		for _, args := range [][]string{
			{"import", event, "--replace"}, {"import", other, "--base", event, "--replace"}, {"plan", event}, {"plan", other, "--pace", event},
			{"arrange", event, "both"}, {"measure", event},
			{"plan", other, "--secret-file", event}, {"arrange", other, "both", "--ca-file", event}, {"import", other, "--replace", "--ca-file", event},
			{"measure", "--secret-file", event},
		} {
			got := run(t, &Program{}, append(args, "-o", out)...)
			assert.Equal(t, exitInvalid, got.code, args)
			assert.Contains(t, got.stderr, "is the file that is read", args)
			assert.Equal(t, written, content(t, event))
		}
	}
	stdin, err := os.Open(event)
	require.NoError(t, err)
	defer stdin.Close()
	got := run(t, &Program{Stdin: stdin}, "import", "-", "--replace", "-o", event)
	assert.Equal(t, exitInvalid, got.code)
	assert.Equal(t, written, content(t, event))
}

// An event file that is there may have been edited by hand; sheets are made anew each time.
func TestImportReplacesOnlyWhenTold(t *testing.T) {
	event, out := file(t, "event.yaml", written), file(t, "out.yaml", "mine")
	got := run(t, &Program{}, "import", event, "-o", out)
	assert.Equal(t, exitInvalid, got.code)
	assert.Contains(t, got.stderr, "add --replace")
	assert.Equal(t, "mine", content(t, out))
	got = run(t, &Program{}, "import", event, "-o", out, "--replace")
	assert.Equal(t, exitDone, got.code, got.stderr)
	assert.Contains(t, got.stderr, "replaced "+out)
	assert.Contains(t, content(t, out), "name: Ann")

	sheet := filepath.Join(t.TempDir(), "sheet.txt")
	got = run(t, &Program{}, "plan", event, "-o", sheet)
	assert.Equal(t, exitDone, got.code)
	assert.NotContains(t, got.stderr, "replaced")
	got = run(t, &Program{}, "plan", event, "-o", sheet)
	assert.Equal(t, exitDone, got.code)
	assert.Contains(t, got.stderr, "replaced "+sheet)
}

// A file that is replaced is another file with the mode of the one before: who reads it reads all of the old one
// or all of the new one. Links stay, and nothing is left beside it.
func TestOutputIsReplacedWhole(t *testing.T) {
	event, dir := file(t, "event.yaml", written), t.TempDir()
	target, link := filepath.Join(dir, "target.txt"), filepath.Join(dir, "link.txt")
	require.NoError(t, os.WriteFile(target, []byte("old"), 0o640))
	require.NoError(t, os.Symlink("target.txt", link))
	before, err := os.Open(target)
	require.NoError(t, err)
	defer before.Close()
	got := run(t, &Program{}, "plan", event, "-o", link)
	require.Equal(t, exitDone, got.code, got.stderr)
	old, err := io.ReadAll(before)
	require.NoError(t, err)
	assert.Equal(t, "old", string(old))
	assert.Contains(t, content(t, target), "Ann")
	is, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, is.Mode()&os.ModeSymlink)
	is, err = os.Stat(target)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o640), is.Mode())

	dangling := filepath.Join(dir, "dangling.txt")
	require.NoError(t, os.Symlink(filepath.Join(dir, "new.txt"), dangling))
	got = run(t, &Program{}, "plan", event, "-o", dangling)
	require.Equal(t, exitDone, got.code, got.stderr)
	assert.Contains(t, content(t, filepath.Join(dir, "new.txt")), "Ann")

	got = run(t, &Program{}, "plan", event, "-o", dir)
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.stderr, "is a directory")
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, left, 4)
}

// What could not be written is the file that was asked for, not one that nobody knows of.
func TestOutputNamesTheFile(t *testing.T) {
	out := filepath.Join(t.TempDir(), "none", "x.txt")
	got := run(t, &Program{}, "plan", file(t, "event.yaml", written), "-o", out)
	assert.Equal(t, exitFailed, got.code)
	assert.Equal(t, "kinorder: write "+out+": no such file or directory\n", got.stderr)
}
