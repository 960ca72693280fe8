package phone

import (
	"bytes"
	"context"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// lapwing stands in the private notes of testdata/harbour-wedding.yaml and nowhere else.
const lapwing = "LAPWING"

const studioKey = "a-studio-key-of-the-tests-only"

// stage is a server that keeps the harbour wedding, with a link for each role.
type stage struct {
	*testing.T
	store   *store.Store
	desk    *run.Desk
	page    *Page
	log     *logBuffer
	event   event.Event
	secrets map[store.Role]string
	links   map[store.Role]string
	address string // host:port, the same after a restart
	http    *http.Server
	served  chan error
	// refuses, when it is set, is what the store says to marks.
	refuses atomic.Pointer[error]
	// ahead is by how many milliseconds the clocks of the story are ahead of the machine's.
	ahead atomic.Int64
}

func (s *stage) now() time.Time {
	return time.Now().Add(time.Duration(s.ahead.Load()) * time.Millisecond)
}

type logBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *logBuffer) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *logBuffer) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

// failing is a store that can be told to keep no marks.
type failing struct {
	*store.Store
	stage *stage
}

func (f failing) AddMarks(ctx context.Context, ref run.Ref, marks []run.Mark) (int64, error) {
	if err := f.stage.refuses.Load(); err != nil {
		return 0, *err
	}
	return f.Store.AddMarks(ctx, ref, marks)
}

// quay is the harbour wedding from its main block on, which opens at a time of today.
func quay(t *testing.T, opens time.Time) event.Event {
	t.Helper()
	content, err := os.ReadFile(filepath.Join("..", "..", "..", "..", "testdata", "harbour-wedding.yaml"))
	require.NoError(t, err)
	e, _, err := intake.Read(content, intake.YAML)
	require.NoError(t, err)
	e.Groupings = slices.DeleteFunc(e.Groupings, func(g event.Grouping) bool {
		return slices.Contains([]string{"a-att", "a-each", "t-att", "t-each"}, g.ID)
	})
	e.Blocks = slices.DeleteFunc(e.Blocks, func(b event.Block) bool { return b.ID != "quay" })
	for i := range e.Groupings {
		e.Groupings[i].Blocks = nil
	}
	e.Walks = nil
	e.Rules = slices.DeleteFunc(e.Rules, func(r event.Rule) bool { return r.ID == "first-look" }) // it is about the morning
	e.TimeZone = ""
	e.Date = opens.UTC().Format(time.DateOnly)
	e.Blocks[0].Opens, e.Blocks[0].Closes = opens.UTC().Format(time.RFC3339), opens.Add(time.Hour).UTC().Format(time.RFC3339)
	return e
}

// newStage keeps an event with a sheet, without serving it yet.
func newStage(t *testing.T, e event.Event) *stage {
	t.Helper()
	// Secrets have a name in front, as those of hosted studios have; those of package desk have none.
	s, err := store.OpenSQLite(t.Context(), t.TempDir(), store.Options{Studio: "night-heron"})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	kept, err := s.CreateEvent(t.Context(), store.Request{}, "harbour", e)
	require.NoError(t, err)
	sheet, err := planning.Plan(t.Context(), e, planning.Options{Budget: 200 * time.Millisecond})
	require.NoError(t, err)
	_, err = s.CreateSheet(t.Context(), store.Request{}, "harbour", kept.Version, sheet)
	require.NoError(t, err)
	log := &logBuffer{}
	logger := slog.New(slog.NewTextHandler(log, &slog.HandlerOptions{Level: slog.LevelDebug}))
	st := &stage{T: t, store: s, log: log, event: e, secrets: map[store.Role]string{}, links: map[store.Role]string{}}
	st.desk = run.NewDesk(run.DeskOptions{Store: failing{s, st}, Replan: planning.Replan, Gate: gate.New(2, 0), Log: logger, Now: st.now})
	t.Cleanup(st.desk.Stop)
	st.page = New(Options{Store: s, Desk: st.desk, Guard: access.New(s, studioKey), Log: logger, Now: st.now})
	for _, role := range []store.Role{store.Owner, store.Lead, store.Reader} {
		l, secret, err := s.CreateLink(t.Context(), store.Request{}, "harbour", role, "", time.Time{})
		require.NoError(t, err)
		st.secrets[role], st.links[role] = secret, l.ID
	}
	return st
}

// serve serves the page, on the port it had before if it was served before.
func (s *stage) serve() {
	s.Helper()
	address := s.address
	if address == "" {
		address = "127.0.0.1:0"
	}
	lis, err := net.Listen("tcp", address)
	require.NoError(s, err)
	s.address = lis.Addr().String()
	s.http = &http.Server{Handler: s.page.Handler(), ReadHeaderTimeout: 10 * time.Second}
	s.served = make(chan error, 1)
	go func() { s.served <- s.http.Serve(lis) }()
	s.Cleanup(s.cut)
}

// cut ends all connections at once.
func (s *stage) cut() {
	if s.http == nil {
		return
	}
	_ = s.http.Close()
	assert.ErrorIs(s, <-s.served, http.ErrServerClosed)
	s.http = nil
}

// current is the run that has begun last, as it is.
func (s *stage) current() run.Update {
	s.Helper()
	r, begun, err := s.page.newestRun(context.Background(), "harbour")
	require.NoError(s, err)
	require.True(s, begun)
	u, err := s.desk.View(context.Background(), r.Ref)
	require.NoError(s, err)
	return u
}

// quayOf is a small event for what does not look at the people.
var quayOf = event.Event{People: []event.Person{{ID: "ann", Name: "Ann"}}, Groupings: []event.Grouping{{ID: "all", Members: []string{"ann"}}}}
