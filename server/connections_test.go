package server

import (
	"context"
	"fmt"
	"net"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/test/bufconn"

	"kinorder.example/server/internal/planning"
)

// Whoever opens a connection and says nothing, or begins to and stops, does not hold up the end.
func TestCloseWaitsForNobodyWhoIsSilent(t *testing.T) {
	for said, most := range map[string]time.Duration{"": 0, "PRI": 10 * time.Second} {
		synctest.Test(t, func(t *testing.T) {
			s, err := newServer(Config{}, planning.Plan)
			require.NoError(t, err)
			lis := bufconn.Listen(1 << 10)
			served := make(chan error, 1)
			go func() { served <- s.Serve(lis) }()
			conn, err := lis.Dial()
			require.NoError(t, err)
			_, err = conn.Write([]byte(said))
			require.NoError(t, err)
			synctest.Wait()
			began := time.Now()
			assert.NoError(t, s.Close(context.Background()), "%q", said)
			assert.NoError(t, <-served)
			assert.LessOrEqual(t, time.Since(began), most, "%q", said)
			_, err = conn.Read(make([]byte, 1<<10))
			require.NoError(t, err, "its settings")
			_ = conn.Close()
		})
	}
}

// When the time to close is over everybody is cut off.
func TestCloseCutsOffWhoStopsSpeaking(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, err := newServer(Config{}, planning.Plan)
		require.NoError(t, err)
		lis := bufconn.Listen(1 << 10)
		served := make(chan error, 1)
		go func() { served <- s.Serve(lis) }()
		conn, err := lis.Dial()
		require.NoError(t, err)
		defer conn.Close()
		_, err = conn.Write([]byte("PRI"))
		require.NoError(t, err)
		synctest.Wait()
		began := time.Now()
		ctx, cancel := context.WithTimeout(t.Context(), time.Second)
		defer cancel()
		require.ErrorIs(t, s.Close(ctx), context.DeadlineExceeded)
		require.NoError(t, <-served)
		assert.Equal(t, time.Second, time.Since(began))
	})
}

// arriving is a listener with connections from addresses that a test names.
type arriving chan net.Conn

func (a arriving) Accept() (net.Conn, error) {
	conn, ok := <-a
	if !ok {
		return nil, net.ErrClosed
	}
	return conn, nil
}

func (a arriving) Close() error   { return nil }
func (a arriving) Addr() net.Addr { return &net.TCPAddr{} }

// remote is a connection from an address.
type remote struct {
	net.Conn
	from   string
	closed bool
}

func (r *remote) RemoteAddr() net.Addr { return &net.TCPAddr{IP: net.ParseIP(r.from), Port: 5000} }
func (r *remote) Close() error         { r.closed = true; return nil }

func TestLimitConnections(t *testing.T) {
	lis := make(arriving, 100)
	l := &limited{Listener: lis, most: 6}
	var sent []*remote
	send := func(froms ...string) {
		for _, from := range froms {
			r := &remote{from: from}
			lis <- r
			sent = append(sent, r)
		}
	}
	accept := func() net.Conn {
		conn, err := l.Accept()
		require.NoError(t, err)
		return conn
	}
	send("10.0.0.1", "10.0.0.1", "10.0.0.1", "10.0.0.1", "2001:db8::1", "2001:db8::2", "2001:db8::3")
	first := accept()
	for range 5 {
		accept()
	}
	require.NoError(t, first.Close())
	require.NoError(t, first.Close(), "twice gives back one place")
	send("2001:db8::4", "10.0.0.2", "10.0.0.3")
	accept()
	close(lis)
	_, err := l.Accept()
	require.ErrorIs(t, err, net.ErrClosed)
	var closed []string
	for i, r := range sent {
		if r.closed {
			closed = append(closed, fmt.Sprint(i, " ", r.from))
		}
	}
	assert.Equal(t, []string{"0 10.0.0.1", "3 10.0.0.1", "7 2001:db8::4", "9 10.0.0.3"}, closed)
}
