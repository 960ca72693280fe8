package server

import (
	"context"
	"net"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/keepalive"
	"google.golang.org/grpc/test/bufconn"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/planning"
)

// network is a way to a server that can go silent: what is sent on connections made before is swallowed,
// as on a wireless network that was left, and new ones work.
type network struct {
	lis *bufconn.Listener

	mu    sync.Mutex
	lines []*line
}

// line is a connection. Nothing comes through once it is silent, and nobody is told.
type line struct {
	net.Conn
	silent, closed chan struct{}
	once           sync.Once
}

func (n *network) dial(ctx context.Context, _ string) (net.Conn, error) {
	conn, err := n.lis.DialContext(ctx)
	if err != nil {
		return nil, err
	}
	l := &line{Conn: conn, silent: make(chan struct{}), closed: make(chan struct{})}
	n.mu.Lock()
	defer n.mu.Unlock()
	n.lines = append(n.lines, l)
	return l, nil
}

// dials is how many connections were made.
func (n *network) dials() int {
	n.mu.Lock()
	defer n.mu.Unlock()
	return len(n.lines)
}

func (n *network) fallSilent() {
	n.mu.Lock()
	defer n.mu.Unlock()
	for _, l := range n.lines {
		select {
		case <-l.silent:
		default:
			close(l.silent)
		}
	}
}

func (l *line) Read(b []byte) (int, error) {
	n, err := l.Conn.Read(b)
	select {
	case <-l.silent:
		<-l.closed
		return 0, net.ErrClosed
	default:
		return n, err
	}
}

func (l *line) Write(b []byte) (int, error) {
	select {
	case <-l.silent:
		return len(b), nil
	default:
		return l.Conn.Write(b)
	}
}

func (l *line) Close() error {
	l.once.Do(func() { close(l.closed) })
	return l.Conn.Close()
}

// A connection that goes silent under a call is found dead within a minute.
func TestADeadConnectionIsNoticed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		began := make(chan struct{}, 1)
		s, err := newServer(Config{}, untilStopped(began))
		require.NoError(t, err)
		n := &network{lis: bufconn.Listen(1 << 20)}
		served := make(chan error, 1)
		go func() { served <- s.Serve(n.lis) }()
		c, err := client.Dial("127.0.0.1:1", grpc.WithContextDialer(n.dial))
		require.NoError(t, err)
		go func() {
			<-began
			n.fallSilent()
		}()
		started := time.Now()
		ctx, cancel := context.WithTimeout(t.Context(), time.Hour)
		defer cancel()
		_, err = c.Plan(ctx, someEvent, client.PlanOptions{})
		assert.Equal(t, codes.Unavailable, refusal(t, err).Code)
		assert.LessOrEqual(t, time.Since(started), time.Minute)
		require.NoError(t, c.Close())
		require.NoError(t, s.Close(context.Background()))
		require.NoError(t, <-served)
	})
}

// A viewer whose network has changed without a word sees what happened meanwhile.
func TestAViewerComesBackFromADeadNetwork(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, Config{Data: t.TempDir(), StudioKey: studioKey}, planning.Plan)
		studio := r.client.WithSecret(studioKey)
		begun := begin(t, studio)
		n := &network{lis: bufconn.Listen(1 << 20)}
		served := make(chan error, 1)
		go func() { served <- r.server.Serve(n.lis) }()
		away, err := client.Dial("127.0.0.1:1", grpc.WithContextDialer(n.dial))
		require.NoError(t, err)
		var view client.RunView
		var cut time.Time
		for u, err := range away.WithSecret(studioKey).WatchRun(t.Context(), begun.GetName(), 0) {
			require.NoError(t, err)
			view.Apply(u)
			if len(view.Notes()) > 0 {
				break
			}
			if view.Outlook != nil && cut.IsZero() {
				n.fallSilent()
				cut = time.Now()
				_, err := studio.AddMarks(t.Context(), begun.GetName(), note("seen"))
				require.NoError(t, err)
			}
		}
		assert.LessOrEqual(t, time.Since(cut), time.Minute)
		assert.Equal(t, 2, n.dials())
		require.NoError(t, away.Close())
		r.stop(t)
		require.NoError(t, <-served)
	})
}

// Clients that ask every ten seconds whether the server is there are not thrown out, with and without
// a call under way.
func TestClientsMayAskWhetherTheServerIsThere(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, Config{}, untilStopped(make(chan struct{}, 1)))
		n := &network{lis: bufconn.Listen(1 << 20)}
		served := make(chan error, 1)
		go func() { served <- r.server.Serve(n.lis) }()
		conn, err := grpc.NewClient("passthrough:///test", grpc.WithContextDialer(n.dial), grpc.WithTransportCredentials(insecure.NewCredentials()),
			grpc.WithKeepaliveParams(keepalive.ClientParameters{Time: 10 * time.Second, PermitWithoutStream: true}))
		require.NoError(t, err)
		c := client.New(conn)
		_, err = c.Check(t.Context(), someEvent)
		require.NoError(t, err)
		time.Sleep(5 * time.Minute) // of the clock in here
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() {
			_, err := c.Plan(ctx, someEvent, client.PlanOptions{})
			ended <- err
		}()
		time.Sleep(5 * time.Minute)
		cancel()
		assert.Equal(t, codes.Canceled, refusal(t, <-ended).Code)
		assert.Equal(t, 1, n.dials())
		require.NoError(t, conn.Close())
		r.stop(t)
		require.NoError(t, <-served)
	})
}

func TestCompressedRequestsAreRead(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	_, err := kinorderv1.NewPlannerClient(r.conn).Check(t.Context(), &kinorderv1.CheckRequest{Event: someEvent}, grpc.UseCompressor("gzip"))
	assert.NoError(t, err)
}
