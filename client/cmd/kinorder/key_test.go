package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStudioKey(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "data")
	made, from, err := studioKey("", folder)
	require.NoError(t, err)
	assert.Len(t, made, 22, "128 bits in letters of 6")
	info, err := os.Stat(from)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	again, _, err := studioKey("", folder)
	require.NoError(t, err)
	assert.Equal(t, made, again)

	for mode, ok := range map[os.FileMode]bool{0o400: true, 0o640: true, 0o604: false, 0o644: false, 0o602: false} {
		require.NoError(t, os.Chmod(from, mode))
		_, _, err := studioKey("", folder)
		if ok {
			assert.NoError(t, err, "%o", mode)
			continue
		}
		assert.ErrorContains(t, err, "every user of this machine can read or change the studio key: run chmod o= "+from, "%o", mode)
	}
	require.NoError(t, os.Chmod(from, 0o600))
	for mode, ok := range map[os.FileMode]bool{0o755: true, 0o770: true, 0o777: false, 0o703: false, 0o777 | os.ModeSticky: true} {
		require.NoError(t, os.Chmod(folder, mode))
		_, _, err := studioKey("", folder)
		if ok {
			assert.NoError(t, err, "%o", mode)
			continue
		}
		assert.ErrorContains(t, err, "every user of this machine can put another studio key in this folder: run chmod o-w "+folder, "%o", mode)
	}
	require.NoError(t, os.Chmod(folder, 0o700))
	require.NoError(t, os.Truncate(from, 0)) // as an older version left it when the disk was full
	_, _, err = studioKey("", folder)
	assert.ErrorContains(t, err, from+" is empty: the disk may have been full when it was made; delete it")
	require.NoError(t, os.Remove(from))
	other, _, err := studioKey("", folder)
	require.NoError(t, err)
	assert.NotEqual(t, made, other)
}

// A program that is ended while it writes the key, here by a limit on the size of files, leaves none, and
// the next one starts.
func TestStudioKeyIsWrittenWholeOrNot(t *testing.T) {
	folder := t.TempDir()
	c := exec.Command("sh", "-c", `ulimit -f 0; exec "$0" serve --listen 127.0.0.1:0 --http off --data "$1"`, os.Args[0], folder)
	c.Env = append(os.Environ(), asProgram+"=1")
	said, err := c.CombinedOutput()
	require.Error(t, err, string(said))
	assert.NoFileExists(t, filepath.Join(folder, "studio.key"))
	key, _, err := studioKey("", folder)
	require.NoError(t, err)
	assert.NotEmpty(t, key)
}
