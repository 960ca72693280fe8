package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tangle is an event that no search proves in a short time: 60 groupings of random people.
func tangle() string {
	var b strings.Builder
	b.WriteString("people:\n")
	for i := range 40 {
		fmt.Fprintf(&b, "  - {id: p%d, name: Person %d}\n", i, i)
	}
	b.WriteString("groupings:\n")
	state := uint32(7)
	for range 60 {
		var members []string
		for i := range 40 {
			if state = state*1664525 + 1013904223; state>>24 < 64 {
				members = append(members, fmt.Sprintf("p%d", i))
			}
		}
		fmt.Fprintf(&b, "  - {members: [%s]}\n", strings.Join(append(members, "p0"), ", "))
	}
	return b.String()
}

// watched plans the tangle as on a terminal and interrupts whom it is told to when the first progress
// is shown. The outcome's stderr is what was shown.
func watched(t *testing.T, p *Program, interrupt chan<- os.Signal, args ...string) outcome {
	t.Helper()
	read, write := io.Pipe()
	shown := make(chan string, 1)
	go func() {
		all := bufio.NewReader(read)
		seen, err := "", error(nil)
		for err == nil && !strings.Contains(seen, " so far") {
			var c byte
			c, err = all.ReadByte()
			seen += string(c)
		}
		if err == nil {
			interrupt <- os.Interrupt
		}
		rest, _ := io.ReadAll(all)
		shown <- seen + string(rest)
	}()
	p.Stdin, p.Stderr, p.Live = strings.NewReader(tangle()), write, true
	got := run(t, p, append([]string{"plan", "-", "--budget", "10m", "--format", "json"}, args...)...)
	require.NoError(t, write.Close())
	got.stderr = <-shown
	return got
}

func TestInterruptPrintsTheBestSheet(t *testing.T) {
	interrupts := make(chan os.Signal, 2)
	got := watched(t, &Program{Interrupts: interrupts}, interrupts)
	said := got.stderr
	require.Equal(t, exitDone, got.code, said)
	var sheet plannedJSON
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &sheet))
	assert.Equal(t, 60, sheet.Totals.Groupings)
	assert.False(t, sheet.Totals.Proven)
	assert.Regexp(t, regexp.MustCompile(`searching \(up to 10m0s\): \d+ step-ins so far`), said)
	assert.Contains(t, said, clearLine+"kinorder: stopped early: this is the best sheet found so far\n")
}

// endless is a standard input that never ends.
type endless struct{ asked chan struct{} }

func (e endless) Read([]byte) (int, error) {
	e.asked <- struct{}{}
	select {}
}

func TestInterruptWhileReading(t *testing.T) {
	interrupts := make(chan os.Signal, 2)
	in := endless{make(chan struct{}, 1)}
	go func() {
		<-in.asked
		interrupts <- os.Interrupt
	}()
	got := run(t, &Program{Stdin: in, Interrupts: interrupts}, "plan", "-")
	assert.Equal(t, exitFailed, got.code)
	assert.Equal(t, "kinorder: stopped\n", got.stderr)
}

// serving is a kinorder serve that runs until it is interrupted.
type serving struct {
	p         *Program
	address   string
	interrupt chan os.Signal
	code      chan int
	log       chan string
	stderr    *io.PipeWriter
	stdout    *bytes.Buffer // written before the log says where the server listens
}

func serve(t *testing.T) *serving {
	t.Helper()
	read, write := io.Pipe()
	s := &serving{interrupt: make(chan os.Signal, 2), code: make(chan int, 1), log: make(chan string, 1), stderr: write}
	addresses := make(chan string, 1)
	go func() {
		lines := bufio.NewReader(read)
		first, _ := lines.ReadString('\n')
		if m := regexp.MustCompile(`address=(\S+)`).FindStringSubmatch(first); m != nil {
			addresses <- m[1]
		}
		close(addresses)
		rest, _ := io.ReadAll(lines)
		s.log <- first + string(rest)
	}()
	s.stdout = &bytes.Buffer{}
	s.p = &Program{Stdin: strings.NewReader(""), Stdout: s.stdout, Stderr: write, Interrupts: s.interrupt}
	go func() {
		s.code <- s.p.Run(context.Background(), []string{"serve", "--listen", "127.0.0.1:0", "--http", "127.0.0.1:0"})
	}()
	var ok bool
	s.address, ok = <-addresses
	require.True(t, ok, "the server does not say where it listens")
	return s
}

// ended waits for the end of a server that has been interrupted and returns its log.
func (s *serving) ended(t *testing.T) string {
	t.Helper()
	assert.Equal(t, exitDone, <-s.code)
	require.NoError(t, s.p.Close())
	require.NoError(t, s.stderr.Close())
	return <-s.log
}

func TestServe(t *testing.T) {
	s := serve(t)
	remote := run(t, &Program{}, "plan", wedding, "--budget", "100ms", "--server", s.address)
	assert.Equal(t, exitDone, remote.code, remote.stderr)
	assert.Contains(t, remote.stdout, "Amara & Théo")
	refused := run(t, &Program{Stdin: strings.NewReader(faulty)}, "check", "-", "--server", "http://"+s.address)
	assert.Equal(t, exitInvalid, refused.code)
	taken := run(t, &Program{}, "serve", "--listen", s.address)
	assert.Equal(t, exitFailed, taken.code)

	page, said, _ := strings.Cut(s.stdout.String(), "http")
	assert.Equal(t, "The planner's page: ", page)
	answer, err := http.Get("http" + strings.TrimSpace(said))
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	assert.Equal(t, http.StatusOK, answer.StatusCode)
	elsewhere := run(t, &Program{}, "serve", "--listen", "127.0.0.1:0", "--http", strings.Trim(strings.TrimPrefix(said, "://"), "/\n"))
	assert.Equal(t, exitFailed, elsewhere.code, "the address is taken")

	s.interrupt <- os.Interrupt
	said = s.ended(t)
	assert.Contains(t, said, "method=/kinorder.v1.Planner/PlanStream code=OK")
	assert.Contains(t, said, "people=40 groupings=22")
	for _, name := range []string{"Amara", "Lindqvist", "grandmother", note} {
		assert.NotContains(t, said, name)
	}
}

func TestServerStopsDuringASearch(t *testing.T) {
	s := serve(t)
	got := watched(t, &Program{}, s.interrupt, "--server", s.address)
	s.ended(t)
	require.Equal(t, exitDone, got.code, got.stderr)
	// Drawn by the server, if it still took the call, or else by the program itself.
	var sheet plannedJSON
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &sheet))
	assert.Equal(t, 60, sheet.Totals.Groupings)
}

// A server that does not end, whatever holds it up, is left when its time is over.
func TestServeLeaves(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		closing, cancel := context.WithTimeout(t.Context(), closeTime)
		defer cancel()
		began := time.Now()
		err := (&Program{}).within(closing, make(chan error))
		require.ErrorContains(t, err, "was left")
		assert.Equal(t, closeTime+graceTime, time.Since(began))
	})
}

// Connections that say nothing, more than the program may have open, keep nobody from the pages and do not
// hold up the end.
func TestServeWithSilentConnections(t *testing.T) {
	c := exec.Command("sh", "-c", `ulimit -n 200; exec "$0" serve --listen 127.0.0.1:0 --http 127.0.0.1:0`, os.Args[0])
	server := serveCommand(t, c)
	defer func() { _ = c.Process.Kill() }() // it has ended unless the test failed
	for range 300 {
		conn, err := net.Dial("tcp", server.address)
		require.NoError(t, err)
		defer conn.Close()
	}
	page := regexp.MustCompile(`http://\S+`).FindString(server.said(t))
	w, err := http.Get(page)
	require.NoError(t, err)
	require.NoError(t, w.Body.Close())
	assert.Equal(t, http.StatusOK, w.StatusCode)
	require.NoError(t, c.Process.Signal(os.Interrupt))
	<-server.done
	assert.NoError(t, c.Wait(), server.logged())
}
