package main

import (
	"bufio"
	"context"
	"crypto/rand"
	"encoding/hex"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/backoff"

	"kinorder.example/client"
)

// asProgram makes the test program be the program itself, so that a test can kill it as a process.
const asProgram = "KINORDER_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
		return
	}
	os.Exit(m.Run())
}

// process is a server in a process of its own.
type process struct {
	cmd     *exec.Cmd
	address string
	out     string // the file of its standard output
	done    chan struct{}

	mu  sync.Mutex
	log strings.Builder
}

// said is what it wrote to its standard output until it listened.
func (p *process) said(t *testing.T) string {
	t.Helper()
	content, err := os.ReadFile(p.out)
	require.NoError(t, err)
	return string(content)
}

func (p *process) logged() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.log.String()
}

var listening = regexp.MustCompile(`msg=listening address=(\S+)`)

// serveProcess starts a server and waits until it listens.
func serveProcess(t testing.TB, args ...string) *process {
	t.Helper()
	return serveCommand(t, exec.Command(os.Args[0], append([]string{"serve", "--http", "off"}, args...)...))
}

// serveCommand starts a command that becomes a server, and waits until it listens.
func serveCommand(t testing.TB, c *exec.Cmd) *process {
	t.Helper()
	p := &process{cmd: c, done: make(chan struct{})}
	p.cmd.Env = append(os.Environ(), asProgram+"=1")
	stderr, err := p.cmd.StderrPipe()
	require.NoError(t, err)
	p.out = filepath.Join(t.TempDir(), "stdout")
	stdout, err := os.Create(p.out)
	require.NoError(t, err)
	defer stdout.Close()
	p.cmd.Stdout = stdout
	require.NoError(t, p.cmd.Start())
	address := make(chan string, 1)
	go func() {
		defer close(p.done)
		for in := bufio.NewScanner(stderr); in.Scan(); {
			p.mu.Lock()
			p.log.WriteString(in.Text() + "\n")
			p.mu.Unlock()
			if m := listening.FindStringSubmatch(in.Text()); m != nil {
				address <- m[1]
			}
		}
	}()
	select {
	case p.address = <-address:
	case <-p.done:
		require.Fail(t, "the server does not start", p.logged())
	}
	return p
}

// kill ends the process as kill -9 does.
func (p *process) kill(t testing.TB) {
	t.Helper()
	require.NoError(t, p.cmd.Process.Kill())
	<-p.done
	_ = p.cmd.Wait() // "signal: killed"
}

const key = "a-studio-key-of-the-tests-only"

// keptIn calls a test for each place where a server keeps things, with the flags that name it.
func keptIn(t *testing.T, test func(t *testing.T, flags []string)) {
	secret := file(t, "studio.key", key+"\n")
	t.Run("SQLite", func(t *testing.T) { test(t, []string{"--data", t.TempDir(), "--key-file", secret}) })
	t.Run("PostgreSQL", func(t *testing.T) { test(t, []string{"--postgres", database(t), "--key-file", secret}) })
}

// missing leaves a test out for want of something. In CI, where all of it is installed, the test fails.
func missing(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatal(what + ", and in CI no test is left out: run .ci/install")
	}
	t.Skip(what)
}

func database(t *testing.T) string {
	t.Helper()
	dsn := os.Getenv("KINORDER_TEST_POSTGRES")
	if dsn == "" {
		missing(t, "KINORDER_TEST_POSTGRES names no PostgreSQL server to test on: run make test, which starts one")
	}
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

func dial(t *testing.T, address string) *client.Client {
	t.Helper()
	// It comes back to a restarted server sooner than a program should.
	c, err := client.Dial(address, grpc.WithConnectParams(grpc.ConnectParams{
		Backoff: backoff.Config{BaseDelay: 20 * time.Millisecond, Multiplier: 1, MaxDelay: 20 * time.Millisecond}, MinConnectTimeout: time.Second,
	}), grpc.WithDefaultCallOptions(grpc.WaitForReady(true)))
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, c.Close()) })
	return c.WithSecret(key)
}

// From a file to a run, as the README tells it.
func TestPushShareMark(t *testing.T) {
	folder := t.TempDir()
	server := serveProcess(t, "--listen", "127.0.0.1:0", "--http", "127.0.0.1:0", "--data", folder)
	defer server.kill(t)
	pages := regexp.MustCompile(`page: (http://127\.0\.0\.1:\d+/)\n`).FindStringSubmatch(content(t, server.out))
	require.NotNil(t, pages)
	studio := filepath.Join(folder, "studio.key")
	with := func(args ...string) []string {
		return append(args, "--server", server.address, "--secret-file", studio)
	}

	got := run(t, &Program{}, with("push", wedding, "--event", "harbour", "--budget", "100ms")...)
	require.Equal(t, exitDone, got.code, got.stderr)
	assert.Contains(t, got.stdout, "events/harbour version 1\n")
	got = run(t, &Program{}, with("push", wedding, "--event", "harbour", "--budget", "100ms")...)
	assert.Contains(t, got.stdout, "events/harbour version 2\n")
	got = run(t, &Program{}, with("events")...)
	assert.Contains(t, got.stdout, "Amara & Théo")

	got = run(t, &Program{}, with("share", "harbour", "--role", "reader", "--for", "Aunt")...)
	require.Equal(t, exitDone, got.code, got.stderr)
	secret := regexp.MustCompile(`secret: (\S{22})\n`).FindStringSubmatch(got.stdout)
	require.NotNil(t, secret)
	assert.Contains(t, got.stdout, "open:   "+pages[1]+"day/#"+secret[1]+"\n", "the port that serve took")
	got = run(t, &Program{}, with("share", "harbour", "--role", "lead", "--page", "https://192.168.1.20:7466/")...)
	assert.Regexp(t, `(?m)^open:   https://192\.168\.1\.20:7466/day/#\S{22}$`, got.stdout)
	got = run(t, &Program{}, with("share", "harbour", "--role", "reader", "--for", "Aunt")...)
	secret = regexp.MustCompile(`secret: (\S{22})\n`).FindStringSubmatch(got.stdout)
	require.NotNil(t, secret)
	link := regexp.MustCompile(`links/(\S+)`).FindStringSubmatch(got.stdout)[1]
	reader := file(t, "reader.secret", secret[1])

	got = run(t, &Program{}, with("mark", "harbour", "note", note)...)
	require.Equal(t, exitDone, got.code, got.stderr)
	got = run(t, &Program{}, "mark", "harbour", "taken", "t-att", "--server", server.address, "--secret-file", reader)
	assert.Equal(t, exitFailed, got.code)
	assert.Contains(t, got.stderr, "does not allow this")

	assert.Equal(t, exitDone, run(t, &Program{}, with("share", "harbour", "--revoke", link)...).code)
	assert.Contains(t, run(t, &Program{}, with("share", "harbour", "--list")...).stdout, "revoked")
	got = run(t, &Program{}, "events", "--server", server.address, "--secret-file", reader)
	assert.Contains(t, got.stderr, "the secret opens nothing")

	got = run(t, &Program{}, with("events", "export", "harbour")...)
	assert.Contains(t, got.stdout, note)
	assert.Equal(t, exitInvalid, run(t, &Program{}, with("events", "delete", "harbour")...).code)
	assert.Equal(t, exitDone, run(t, &Program{}, with("events", "delete", "harbour", "--yes")...).code)
	assert.Empty(t, run(t, &Program{}, with("events")...).stdout)
	assert.NotContains(t, server.logged(), note)
	assert.NotContains(t, server.logged(), secret[1])
	info, err := os.Stat(studio)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
}

func TestKeptUsage(t *testing.T) {
	t.Setenv("KINORDER_SECRET", "")
	for args, says := range map[string]string{
		"events":                      "name the server with --server",
		"events --server localhost:1": "give the secret",
		"events --server localhost:1 --secret-file /no": "no such file",
		"share x":                   "say with --role",
		"share x --list --revoke y": "--list or --revoke",
		"share x --role lead --page 192.168.1.20 --server localhost:1 --secret-file share.go": "write where the server has its pages",
		"mark x taken y --new --run z":            "--run or --new",
		"serve --data a --postgres b":             "--data or --postgres",
		"serve --postgres postgres://localhost/x": "needs --key-file",
		"serve --tls-cert x":                      "go together",
		"serve --listen 127.0.0.1:0 --http 127.0.0.1:0 --host https://photos.example": "write the name alone, such as photos.example",
		"serve --tls-own": "in the folder of --data",
		"serve --tls-own --data x --tls-cert y --tls-key z":       "in place of --tls-cert",
		"serve --listen 127.0.0.1:0 --tls-cert /no --tls-key /no": "open /no: no such file",
	} {
		got := run(t, &Program{}, strings.Fields(args)...)
		assert.NotEqual(t, exitDone, got.code, args)
		assert.Contains(t, got.stderr, says, args)
	}
}
