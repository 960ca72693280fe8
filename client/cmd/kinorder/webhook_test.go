package main

import (
	"bufio"
	"fmt"
	"net"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// From an address that is given to a program in another language that believes what it is told.
func TestWebhookCommands(t *testing.T) {
	at := serveProcess(t, "--listen", "127.0.0.1:0", "--data", t.TempDir(), "--key-file", file(t, "studio.key", key+"\n"), "--webhooks-private")
	defer at.kill(t)
	t.Setenv("KINORDER_SERVER", at.address)
	t.Setenv("KINORDER_SECRET", key)
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	port := lis.Addr().(*net.TCPAddr).Port
	require.NoError(t, lis.Close())

	made := run(t, &Program{}, "webhook", "add", fmt.Sprintf("http://127.0.0.1:%d/told", port))
	require.Equal(t, exitDone, made.code, made.stderr)
	parts := regexp.MustCompile(`^webhooks/(\S+)\nsecret: (whsec_\S+)\n$`).FindStringSubmatch(made.stdout)
	require.NotNil(t, parts, made.stdout)
	assert.Contains(t, run(t, &Program{}, "webhook", "list").stdout, fmt.Sprintf(":%d/told  arrives\n", port))

	t.Run("example", func(t *testing.T) {
		if _, err := exec.LookPath("python3"); err != nil {
			missing(t, "python3, with which the example is run, is not installed")
		}
		hears := exec.CommandContext(t.Context(), "python3", "../../examples/webhook.py", fmt.Sprint(port))
		hears.Env = append(os.Environ(), "KINORDER_WEBHOOK_SECRET="+parts[2])
		hears.Stderr = os.Stderr
		out, err := hears.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, hears.Start())
		defer func() { _ = hears.Process.Kill(); _ = hears.Wait() }()
		require.Eventually(t, func() bool {
			c, err := net.Dial("tcp", fmt.Sprintf("127.0.0.1:%d", port))
			if err == nil {
				_ = c.Close()
			}
			return err == nil
		}, 20*time.Second, 50*time.Millisecond)
		pushed := run(t, &Program{}, "push", file(t, "small.yaml", small), "--event", "small")
		require.Equal(t, exitDone, pushed.code, pushed.stderr)
		line, err := bufio.NewReader(out).ReadString('\n')
		require.NoError(t, err)
		assert.Regexp(t, `^sheet\.created events/small/sheets/\S+\n$`, line)
	})
	assert.Equal(t, "removed webhooks/"+parts[1]+"\n", run(t, &Program{}, "webhook", "remove", parts[1]).stdout)
	assert.Empty(t, run(t, &Program{}, "webhook", "list").stdout)
	got := run(t, &Program{}, "webhook", "add", "studio.example")
	assert.Equal(t, exitInvalid, got.code)
	assert.Contains(t, got.stderr, "https://studio.example/told")
	assert.True(t, strings.Contains(run(t, &Program{}, "webhook").stderr, "add, list or remove"))
}
