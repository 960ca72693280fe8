package main

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a killed process left behind goes with the next print; what is young or not ours stays.
func TestSweepRemovesWhatWasLeftBehind(t *testing.T) {
	tmp := t.TempDir()
	t.Setenv("TMPDIR", tmp)
	old := time.Now().Add(-2 * time.Hour)
	for _, name := range []string{printing + "old", printing + "young", "other"} {
		dir := filepath.Join(tmp, name)
		require.NoError(t, os.Mkdir(dir, 0o700))
		require.NoError(t, os.WriteFile(filepath.Join(dir, "sheet.html"), nil, 0o600))
		if name != printing+"young" {
			require.NoError(t, os.Chtimes(dir, old, old))
		}
	}
	sweep()
	assert.NoDirExists(t, filepath.Join(tmp, printing+"old"))
	assert.DirExists(t, filepath.Join(tmp, printing+"young"))
	assert.DirExists(t, filepath.Join(tmp, "other"))
}
