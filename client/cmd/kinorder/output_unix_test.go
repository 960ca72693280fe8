//go:build unix

package main

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Devices and pipes are written to, and the standard output is what it is.
func TestOutputToDevicesAndPipes(t *testing.T) {
	event := file(t, "event.yaml", written)
	pipe := filepath.Join(t.TempDir(), "pipe")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	read := make(chan string, 1)
	go func() {
		b, err := os.ReadFile(pipe)
		assert.NoError(t, err)
		read <- string(b)
	}()
	got := run(t, &Program{}, "plan", event, "-o", pipe)
	assert.Equal(t, exitDone, got.code, got.stderr)
	assert.Contains(t, <-read, "Ann")
	for _, out := range []string{"/dev/null", "/dev/stdout", "-"} {
		got = run(t, &Program{}, "import", event, "-o", out)
		assert.Equal(t, exitDone, got.code, got.stderr)
		assert.Equal(t, out != "/dev/null", strings.Contains(got.stdout, "name: Ann"), out)
	}
}
