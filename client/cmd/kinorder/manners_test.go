package main

import (
	"encoding/json"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDurations(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"2": 2 * time.Second, "0.5": 500 * time.Millisecond, "90s": 90 * time.Second, "3d": 72 * time.Hour, "1d12h": 36 * time.Hour,
	} {
		d := duration{}
		require.NoError(t, d.Set(text), text)
		assert.Equal(t, want, d.span, text)
	}
	for _, text := range []string{"", "d", "x", "Inf", "NaN", "1e300", "-1d", "1.5d", "99999d", "2 s"} {
		assert.Error(t, new(duration).Set(text), text)
	}
	never := duration{zero: true}
	require.NoError(t, never.Set("0"))
}

func TestBothSpellings(t *testing.T) {
	for _, word := range []string{"fewest-steps", "fewest_steps", "FEWEST_STEPS"} {
		o := newPlanFlags()
		require.NoError(t, o.emphasis.Set(word))
		assert.Equal(t, "fewest-steps", o.emphasis.word)
	}
}

// What a file is called must not promise what is not in it.
func TestEndings(t *testing.T) {
	event, dir := file(t, "event.yaml", written), t.TempDir()
	for args, ending := range map[string]string{"plan": "docx", "import": "x", "arrange": "png", "measure": "txt"} {
		out := filepath.Join(dir, "out."+ending)
		command := []string{args, event, "-o", out}
		if args == "arrange" {
			command = []string{args, event, "both", "-o", out}
		}
		got := run(t, &Program{}, command...)
		assert.Equal(t, exitInvalid, got.code, args)
		assert.Contains(t, got.stderr, "-o "+out+": there is no ."+ending+" to be had: end the name in .", args)
		assert.NoFileExists(t, out)
	}
	got := run(t, &Program{}, "plan", event, "-o", filepath.Join(dir, "out.docx"), "--format", "html")
	assert.Equal(t, exitDone, got.code, "whoever says the format may call the file as they like: %s", got.stderr)
	got = run(t, &Program{}, "plan", event, "-o", filepath.Join(dir, "sheet"))
	assert.Equal(t, exitDone, got.code, got.stderr)
}

func TestOutputIsTold(t *testing.T) {
	event, out := file(t, "small.yaml", small), filepath.Join(t.TempDir(), "sheet.html")
	got := run(t, &Program{}, "plan", event, "-o", out)
	assert.Equal(t, "kinorder: wrote "+out+": 2 photos, 3 step-ins, the best order there is\n", got.stderr)
	got = run(t, &Program{}, "plan", event, "-o", out)
	assert.Contains(t, got.stderr, "kinorder: replaced "+out+": 2 photos")
}

func TestCheckSeveralAsJSON(t *testing.T) {
	good, bad := file(t, "good.yaml", small), file(t, "bad.yaml", faulty)
	got := run(t, &Program{}, "check", bad, good, "--json")
	assert.Equal(t, exitInvalid, got.code)
	lines := strings.Split(strings.TrimSpace(got.stdout), "\n")
	require.Len(t, lines, 2, got.stdout)
	var first, second struct {
		File     string
		Problems []struct{ Severity, Text string }
	}
	require.NoError(t, json.Unmarshal([]byte(lines[0]), &first))
	require.NoError(t, json.Unmarshal([]byte(lines[1]), &second))
	assert.Equal(t, []string{bad, good}, []string{first.File, second.File})
	assert.Equal(t, "SEVERITY_ERROR", first.Problems[0].Severity)
	for _, p := range second.Problems {
		assert.NotEqual(t, "SEVERITY_ERROR", p.Severity)
	}
	assert.Equal(t, exitDone, run(t, &Program{}, "check", good, good).code)
	assert.Equal(t, exitFailed, run(t, &Program{}, "check", "no-such.yaml", good).code)
}

func TestVersions(t *testing.T) {
	by := run(t, &Program{}, "--version")
	assert.Equal(t, exitDone, by.code)
	assert.Equal(t, run(t, &Program{}, "version").stdout, by.stdout)
	assert.Regexp(t, `(?m)^commit \S+`, by.stdout)
	assert.Regexp(t, `(?m)^schema [1-9]`, by.stdout)
}

// Alone the program serves the page on this machine, opens it signed in and says where it is, and does so beside one
// that has the usual address. What it keeps is in a folder of the user's, which nobody else can read.
func TestAlone(t *testing.T) {
	if taken, err := net.Listen("tcp", "127.0.0.1:7466"); err == nil {
		defer taken.Close()
	}
	home := t.TempDir()
	t.Setenv("XDG_DATA_HOME", home)
	t.Setenv("KINORDER_DATA", "")
	open := func(visit func(address string), args ...string) (outcome, string) {
		interrupts := make(chan os.Signal, 1)
		var opened string
		p := &Program{Interrupts: interrupts, Open: func(address string) error {
			opened = address
			go func() { visit(address); interrupts <- os.Interrupt }()
			return exec.ErrNotFound // there is no browser: the address is printed all the same
		}}
		got := run(t, p, args...)
		assert.Equal(t, exitDone, got.code, got.stderr)
		assert.Empty(t, got.stderr)
		return got, opened
	}
	got, opened := open(func(address string) {
		jar, _ := cookiejar.New(nil)
		browser := http.Client{Jar: jar}
		defer browser.CloseIdleConnections()
		for range 2 { // the ticket is used up, and the browser is signed in
			page, err := browser.Get(address)
			if assert.NoError(t, err) {
				body, _ := io.ReadAll(page.Body)
				assert.NoError(t, page.Body.Close())
				assert.Contains(t, string(body), "Your events")
			}
		}
		stranger, err := http.Get(address)
		if assert.NoError(t, err) {
			body, _ := io.ReadAll(stranger.Body)
			assert.NoError(t, stranger.Body.Close())
			assert.NotContains(t, string(body), "Your events")
		}
	})
	assert.Regexp(t, `^http://127\.0\.0\.1:\d+/enter\?ticket=[\w-]{22}$`, opened)
	folder := filepath.Join(home, "kinorder")
	assert.Equal(t, "The planner's page: "+opened+"\nYour events are kept in "+folder+"\n", got.stdout)
	if info, err := os.Stat(folder); assert.NoError(t, err) && runtime.GOOS != "windows" {
		assert.Equal(t, os.FileMode(0o700), info.Mode().Perm())
	}

	empty := t.TempDir()
	t.Setenv("XDG_DATA_HOME", empty)
	got, opened = open(func(string) {}, "--ephemeral")
	assert.Regexp(t, `^http://127\.0\.0\.1:\d+/$`, opened)
	assert.Equal(t, "The planner's page: "+opened+"\n", got.stdout)
	left, err := os.ReadDir(empty)
	require.NoError(t, err)
	assert.Empty(t, left)
	assert.Equal(t, exitInvalid, run(t, &Program{}, "--ephemeral", "--data", empty).code)
}

// The folder of events is where the system has programs keep data, unless it is named.
func TestDataFolder(t *testing.T) {
	named, err := dataFolder(func(name string) string { return map[string]string{"KINORDER_DATA": "here"}[name] })
	require.NoError(t, err)
	assert.Equal(t, "here", named)
	usual, err := dataFolder(func(string) string { return "" })
	require.NoError(t, err)
	assert.True(t, filepath.IsAbs(usual), usual)
}

// What a server keeps comes back as a file that is the same event, and for programs all of it is JSON.
func TestPullAndJSON(t *testing.T) {
	secret, dir := file(t, "studio.key", key+"\n"), t.TempDir()
	at := serveProcess(t, "--listen", "127.0.0.1:0", "--data", t.TempDir(), "--key-file", secret)
	defer at.kill(t)
	to := []string{"--server", at.address, "--secret-file", secret}
	ran := func(args ...string) outcome {
		t.Helper()
		got := run(t, &Program{}, append(args, to...)...)
		require.Equal(t, exitDone, got.code, got.stderr)
		return got
	}
	dated := "date: " + time.Now().AddDate(0, 0, 40).Format(time.DateOnly) + "\n" + small
	var sheet, event, link struct{ Name, Secret, Role string }
	require.NoError(t, json.Unmarshal([]byte(ran("push", file(t, "small.yaml", dated), "--event", "small", "--json").stdout), &sheet))
	assert.True(t, strings.HasPrefix(sheet.Name, "events/small/sheets/"), sheet.Name)
	require.NoError(t, json.Unmarshal([]byte(ran("events", "list", "--json").stdout), &event))
	assert.Equal(t, "events/small", event.Name)

	out := filepath.Join(dir, "back.yaml")
	ran("pull", "small", "-o", out)
	again := filepath.Join(dir, "again.yaml")
	ran("push", out, "--event", "small")
	ran("get", "small", "-o", again)
	assert.Equal(t, content(t, out), content(t, again))
	assert.Contains(t, content(t, out), note, "the planner's own notes come back")
	got := run(t, &Program{}, append([]string{"pull", "small", "-o", out}, to...)...)
	assert.Equal(t, exitInvalid, got.code)
	assert.Contains(t, got.stderr, "add --replace")

	shared := ran("share", "small", "--role", "lead", "--json", "--expires", "30d")
	require.NoError(t, json.Unmarshal([]byte(shared.stdout), &link))
	assert.NotEmpty(t, link.Secret)
	assert.Equal(t, "ROLE_LEAD", link.Role)
	assert.Regexp(t, `this link ends on \S+, and the event is on \S+: make one with --expires 4[34]d`, shared.stderr)
	assert.Empty(t, ran("share", "small", "--role", "lead", "--expires", "60d").stderr)
	got = run(t, &Program{}, append([]string{"push", out, "--event", "Harbour"}, to...)...)
	assert.Equal(t, exitInvalid, got.code)
	assert.Contains(t, got.stderr, "--event Harbour: ids have small letters")
}
