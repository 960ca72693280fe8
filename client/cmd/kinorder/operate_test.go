package main

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/types/known/timestamppb"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// A flag counts before the environment, and that before the file; all have the same names and checks.
func TestSettings(t *testing.T) {
	set := func(content string, args ...string) (map[string]string, error) {
		t.Setenv("KINORDER_CONFIG", file(t, "kinorder.yaml", content))
		c := (&Program{}).serveCommand()
		require.NoError(t, c.ParseFlags(args))
		err := settings(c)
		out := map[string]string{}
		for _, name := range []string{"data", "log-level", "host", "log-json", "http"} {
			out[name] = c.Flags().Lookup(name).Value.String()
		}
		return out, err
	}
	t.Setenv("KINORDER_DATA", "/from/environment")
	t.Setenv("KINORDER_LOG_LEVEL", "error")
	got, err := set("data: /from/file\nlog-level: debug\nlog-json: true\nhost: [a.example, b.example]\n", "--log-level", "warn")
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"data": "/from/environment", "log-level": "WARN", "log-json": "true", "host": "[a.example,b.example]", "http": "127.0.0.1:7466"}, got)

	for content, says := range map[string]string{
		"dta: x":          `there is no setting "dta"`,
		"config: x":       `there is no setting "config"`,
		"log-json: often": "log-json: the value does not fit --log-json bool",
		"- x":             "write a setting a line",
	} {
		_, err := set(content)
		require.Error(t, err, content)
		assert.Contains(t, err.Error(), says)
	}
	t.Setenv("KINORDER_CONFIG", "no-such-file.yaml")
	assert.Error(t, settings((&Program{}).serveCommand()))
}

var pageAt = regexp.MustCompile(`planner's page: (http://\S+)/`)

// A backup made while marks are written holds all that was answered before it began, and what is restored of it is
// served again. The server says that it is ready, and counts without a name.
func TestBackupWhileServing(t *testing.T) {
	secret, data := file(t, "studio.key", key+"\n"), t.TempDir()
	at := serveCommand(t, exec.Command(os.Args[0], "serve", "--listen", "127.0.0.1:0", "--http", "127.0.0.1:0", "--metrics", "127.0.0.1:0", "--data", data, "--key-file", secret))
	defer at.kill(t)
	t.Setenv("KINORDER_SERVER", at.address)
	t.Setenv("KINORDER_SECRET", key)
	ran := func(args ...string) string {
		t.Helper()
		got := run(t, &Program{}, args...)
		require.Equal(t, exitDone, got.code, got.stderr)
		return got.stdout
	}
	ran("push", file(t, "small.yaml", "date: 2020-01-04\n"+small), "--event", "small")
	run1 := strings.Fields(ran("mark", "small", "taken", "g1"))[0]

	conn, err := client.Dial(at.address)
	require.NoError(t, err)
	defer conn.Close()
	studio := conn.WithSecret(key)
	sent, stop := make(chan struct{}), make(chan struct{})
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		for i := 0; ; i++ {
			_, err := studio.AddMarks(context.Background(), run1, &kinorderv1.Mark{
				Id: client.NewID(), HappenTime: timestamppb.Now(), Kind: &kinorderv1.Mark_Note{Note: fmt.Sprint(i)},
			})
			assert.NoError(t, err)
			select {
			case sent <- struct{}{}:
			case <-stop:
				return
			}
		}
	}()
	for range 20 {
		<-sent
	}
	copied := filepath.Join(t.TempDir(), "copy.db")
	assert.Contains(t, ran("backup", copied, "--data", data), "backed up")
	for range 5 { // nobody who marks waited for it in vain
		<-sent
	}
	close(stop)
	<-ended
	info, err := os.Stat(copied)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	assert.Equal(t, exitFailed, run(t, &Program{}, "backup", copied, "--data", data).code, "no backup is written over")

	page := pageAt.FindStringSubmatch(at.said(t))[1]
	for path, want := range map[string]string{"/healthz": "ok\n", "/readyz": "ok\n"} {
		assert.Equal(t, want, fetched(t, page+path))
	}

	again := filepath.Join(t.TempDir(), "again")
	assert.Contains(t, ran("restore", copied, "--data", again), "restored")
	assert.Equal(t, exitFailed, run(t, &Program{}, "restore", copied, "--data", again).code, "nothing is written over")
	second := serveProcess(t, "--listen", "127.0.0.1:0", "--data", again, "--key-file", secret)
	defer second.kill(t)
	all := run(t, &Program{}, "events", "export", "small", "--server", second.address)
	require.Equal(t, exitDone, all.code, all.stderr)
	assert.GreaterOrEqual(t, strings.Count(all.stdout, `"note":`), 20)

	assert.Equal(t, exitFailed, run(t, &Program{}, "restore", file(t, "broken.db", "no database"), "--data", filepath.Join(t.TempDir(), "x")).code)

	got := run(t, &Program{}, "events", "prune", "--after", "90d")
	assert.Equal(t, "would delete events/small\n", got.stdout)
	assert.Contains(t, got.stderr, "add --yes")
	assert.Contains(t, ran("events"), "events/small")
	assert.Equal(t, "deleted events/small\n", ran("events", "prune", "--after", "90d", "--yes"))
	assert.Empty(t, ran("events"))
}

// An event moves from one server to another that runs, and is the same there.
func TestAnEventMoves(t *testing.T) {
	secret, data := file(t, "studio.key", key+"\n"), t.TempDir()
	from := serveProcess(t, "--listen", "127.0.0.1:0", "--data", t.TempDir(), "--key-file", secret)
	defer from.kill(t)
	to := serveProcess(t, "--listen", "127.0.0.1:0", "--data", data, "--key-file", secret)
	defer to.kill(t)
	at := func(p *process, args ...string) outcome {
		t.Helper()
		got := run(t, &Program{}, append(args, "--server", p.address, "--secret-file", secret)...)
		require.Equal(t, exitDone, got.code, got.stderr)
		return got
	}
	at(from, "push", file(t, "small.yaml", small), "--event", "small")
	whole := at(from, "events", "export", "small").stdout
	got := run(t, &Program{}, "events", "import", file(t, "whole.json", whole), "--data", data)
	require.Equal(t, exitDone, got.code, got.stderr)
	assert.Equal(t, "kept events/small\n", got.stdout)
	assert.Equal(t, whole, at(to, "events", "export", "small").stdout)
	for args, says := range map[string]string{
		"events import " + file(t, "whole.json", whole) + " --data " + data:                    "there is events/small already",
		"events import " + file(t, "other.json", "{}") + " --data " + data:                     "is not what kinorder events export wrote",
		"events import " + file(t, "whole.json", whole) + " --data " + data + " --studio nope": "there is no studio nope",
		"events import x.json": "name the data folder",
	} {
		got := run(t, &Program{}, strings.Fields(args)...)
		assert.Equal(t, exitInvalid, got.code, args)
		assert.Contains(t, got.stderr, says, args)
	}
}

func fetched(t *testing.T, address string) string {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	asked, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	require.NoError(t, err)
	answer, err := http.DefaultClient.Do(asked)
	require.NoError(t, err)
	defer answer.Body.Close()
	content, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	return string(content)
}
