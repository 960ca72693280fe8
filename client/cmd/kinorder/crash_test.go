package main

import (
	"bufio"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// Rounds of marks under kill -9: every mark that was acknowledged is there afterwards, once.
func TestKillKeepsEveryAcknowledgedMark(t *testing.T) {
	keptIn(t, func(t *testing.T, flags []string) {
		server := serveProcess(t, append(flags, "--listen", "127.0.0.1:0")...)
		defer func() { server.kill(t) }()
		address := server.address
		keepMarks(t, address, func() {
			server.kill(t)
			server = serveProcess(t, append(flags, "--listen", address)...)
		})
	})
}

// The same with a database whose process is stopped and started again.
func TestRestartsOfTheDatabaseKeepEveryAcknowledgedMark(t *testing.T) {
	dsn, restart := ownPostgres(t)
	secret := filepath.Join(t.TempDir(), "key")
	require.NoError(t, os.WriteFile(secret, []byte(key+"\n"), 0o600))
	server := serveProcess(t, "--postgres", dsn, "--key-file", secret, "--listen", "127.0.0.1:0")
	defer func() { server.kill(t) }()
	started := func() (at time.Time) {
		if conn, err := pgx.Connect(t.Context(), dsn); err == nil {
			defer conn.Close(t.Context())
			_ = conn.QueryRow(t.Context(), "SELECT pg_postmaster_start_time()").Scan(&at)
		}
		return at
	}
	keepMarks(t, server.address, func() {
		before := started()
		require.False(t, before.IsZero())
		restart()
		require.True(t, started().After(before), "it is another process")
	})
}

// ownPostgres starts a database that no other test uses, and says how it is stopped and started.
func ownPostgres(t *testing.T) (dsn string, restart func()) {
	t.Helper()
	database(t) // or there is none
	c := exec.Command(filepath.Join("..", "..", "..", ".ci", "with-postgres"), "sh", "-c", `echo "$KINORDER_TEST_POSTGRES"; cat`)
	c.Env, c.Stderr = append(os.Environ(), "KINORDER_TEST_POSTGRES="), os.Stderr
	in, err := c.StdinPipe()
	require.NoError(t, err)
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	t.Cleanup(func() {
		in.Close()
		assert.NoError(t, c.Wait())
	})
	said := bufio.NewReader(out)
	line, err := said.ReadString('\n')
	require.NoError(t, err)
	return strings.TrimSpace(line), func() {
		require.NoError(t, c.Process.Signal(syscall.SIGALRM))
		done, err := said.ReadString('\n')
		require.NoError(t, err)
		require.Equal(t, "restarted\n", done)
	}
}

// party makes an event of one photograph, and its sheet.
func party(t *testing.T, conn *client.Client) (*kinorderv1.StoredEvent, *kinorderv1.StoredSheet) {
	t.Helper()
	e, err := conn.CreateEvent(t.Context(), "party", &kinorderv1.Event{
		People:    []*kinorderv1.Person{{Id: "ann", Name: "Ann"}, {Id: "bo", Name: "Bo"}},
		Groupings: []*kinorderv1.Grouping{{Id: "both", Members: []string{"ann", "bo"}}},
	})
	require.NoError(t, err)
	sheet, err := conn.CreateSheet(t.Context(), e.GetName(), client.PlanOptions{})
	require.NoError(t, err)
	return e, sheet
}

// keepMarks has three devices mark as fast as they can, each keeping what was not acknowledged and sending it again,
// while something befalls the server at moments that depend on nothing but how far they have come. KINORDER_MARKS says
// how many marks.
func keepMarks(t *testing.T, address string, befall func()) {
	t.Helper()
	const devices, batch = 3, 10
	enough := 2000
	if text := os.Getenv("KINORDER_MARKS"); text != "" {
		var err error
		enough, err = strconv.Atoi(text)
		require.NoError(t, err)
	}
	times := enough / 400
	ctx := t.Context()
	conn := dial(t, address)
	e, sheet := party(t, conn)
	var runs [2]string // one holds no more than ten thousand
	for i := range runs {
		r, err := conn.CreateRun(ctx, e.GetName(), sheet.GetName())
		require.NoError(t, err)
		runs[i] = r.GetName()
	}

	progress := make(chan int, 1<<16) // so that they go on meanwhile
	stop := make(chan struct{})
	kept := make([][]string, devices)
	var marking sync.WaitGroup
	for d := range devices {
		link, err := conn.CreateLink(ctx, e.GetName(), kinorderv1.Role_ROLE_LEAD, "", time.Time{})
		require.NoError(t, err)
		device := dial(t, address).WithSecret(link.GetSecret())
		marking.Go(func() {
			for n := 0; ; n++ {
				select {
				case <-stop:
					return
				default:
				}
				queue := make([]*kinorderv1.Mark, batch)
				for i := range queue {
					// No notes: of them a run holds some thousands, and of one link it takes half of all it holds.
					queue[i] = &kinorderv1.Mark{Kind: &kinorderv1.Mark_Started{Started: &kinorderv1.GroupingMark{Grouping: "both"}}}
				}
				for { // the same marks until they are acknowledged
					if _, err := device.AddMarks(ctx, runs[n%len(runs)], queue...); err == nil {
						for _, m := range queue {
							kept[d] = append(kept[d], m.GetId())
						}
						progress <- batch
						break
					}
				}
			}
		})
	}
	acknowledged := 0
	for n := range times {
		for acknowledged < (n+1)*enough/times {
			acknowledged += <-progress
		}
		befall()
	}
	close(stop)
	go func() { marking.Wait(); close(progress) }()
	for range progress {
	}

	all, err := conn.ExportEvent(ctx, e.GetName())
	require.NoError(t, err)
	there := map[string]int{}
	for _, r := range all.GetMarks() {
		for _, m := range r.GetMarks() {
			there[m.GetId()]++
		}
	}
	n := 0
	for d := range devices {
		for _, id := range kept[d] {
			require.Equal(t, 1, there[id])
			n++
		}
	}
	assert.GreaterOrEqual(t, n, enough)
	t.Logf("%d marks acknowledged through %d times", n, times)
}

// A viewer lives through a restart of the server: it goes on where it was, without a gap.
func TestRestartDuringWatch(t *testing.T) {
	keptIn(t, func(t *testing.T, flags []string) {
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		server := serveProcess(t, append(flags, "--listen", "127.0.0.1:0")...)
		defer func() { server.kill(t) }()
		conn := dial(t, server.address)
		e, sheet := party(t, conn)
		r, err := conn.CreateRun(ctx, e.GetName(), sheet.GetName())
		require.NoError(t, err)
		seen := make(chan *kinorderv1.Mark, 100)
		viewer := dial(t, server.address)
		go func() {
			for u, err := range viewer.WatchRun(ctx, r.GetName(), 0) {
				if err != nil {
					return
				}
				for _, m := range u.GetMarks() {
					seen <- m
				}
			}
		}()
		add := func(note string) string {
			m := &kinorderv1.Mark{Kind: &kinorderv1.Mark_Note{Note: note}}
			for {
				if _, err := conn.AddMarks(ctx, r.GetName(), m); err == nil {
					return m.GetId()
				}
			}
		}
		for range 3 {
			first := add("before")
			assert.Equal(t, first, (<-seen).GetId())
			address := server.address
			server.kill(t)
			server = serveProcess(t, append(flags, "--listen", address)...)
			second, third := add("after"), add("after")
			assert.Equal(t, second, (<-seen).GetId())
			assert.Equal(t, third, (<-seen).GetId())
		}
	})
}
