package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const typed = `Guests:
Mara Lind - grandmother, Ida's side
Mara Berg
Ida, Per

Photographs:
Ida & Per with Mara Lind (must)
Ida + Per + Mara
`

func TestImportTypedList(t *testing.T) {
	list := file(t, "list.txt", typed)
	out := filepath.Join(t.TempDir(), "event.yaml")
	got := run(t, &Program{}, "import", list, "-o", out)
	assert.Equal(t, exitInvalid, got.code, "which Mara is not said")
	assert.Contains(t, got.stderr, "list.txt:8:", "what is unclear is told with its line")
	assert.Empty(t, got.stdout)
	written, err := os.ReadFile(out)
	require.NoError(t, err)
	assert.Contains(t, string(written), "Mara Lind")
	assert.Contains(t, string(written), "priority: must")
	assert.Contains(t, string(written), "# OPEN (line 8)", "and stands in the file, which is written all the same")
}

func TestImportUsesTheBase(t *testing.T) {
	guests := file(t, "guests.csv", "Guest;Ties\nMara Lind;grandmother\nIda Berg;\n")
	base := filepath.Join(t.TempDir(), "guests.yaml")
	got := run(t, &Program{}, "import", guests, "--table", "people", "--column", "name=Guest", "--column", "relation=Ties", "-o", base)
	assert.Equal(t, exitInvalid, got.code, "a list of guests cannot be planned yet")
	got = run(t, &Program{}, "import", file(t, "list.txt", "Ida + Mara\n"), "--base", base)
	assert.Equal(t, exitDone, got.code, got.stderr)
	assert.Contains(t, got.stdout, "name: Mara Lind")
	assert.Contains(t, got.stdout, "members: [ida-berg, mara-lind]")
}

func TestImportWritesTables(t *testing.T) {
	for name, want := range map[string]string{"event.csv": "[People],", "event.xlsx": "PK", "event.json": "{"} {
		out := filepath.Join(t.TempDir(), name)
		got := run(t, &Program{}, "import", wedding, "-o", out)
		assert.Equal(t, exitDone, got.code, got.stderr)
		written, err := os.ReadFile(out)
		require.NoError(t, err)
		assert.True(t, strings.HasPrefix(strings.TrimPrefix(string(written), "\uFEFF"), want), "%s", name)
		got = run(t, &Program{}, "check", out)
		assert.Equal(t, exitDone, got.code, "%s, blocks and rules too: %s", name, got.stderr)
	}
	got := run(t, &Program{}, "import", wedding, "--format", "csv", "--table", "groupings")
	assert.Contains(t, got.stdout, "Title,People")
}

func TestImportRefuses(t *testing.T) {
	guests := file(t, "guests.csv", "Guest\nMara\n")
	got := run(t, &Program{}, "import", guests, "--column", "nmae=Guest")
	assert.Equal(t, exitInvalid, got.code)
	assert.Contains(t, got.stderr, "there are: ")
	got = run(t, &Program{}, "import", guests, "--base", filepath.Join(t.TempDir(), "none.yaml"))
	assert.Equal(t, exitFailed, got.code)
}
