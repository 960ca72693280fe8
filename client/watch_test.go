package client

import (
	"context"
	"errors"
	"net"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/status"
	"google.golang.org/grpc/test/bufconn"
	"google.golang.org/protobuf/protoadapt"
	"google.golang.org/protobuf/types/known/durationpb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// scripted is a server that answers each call of WatchRun and CreateRun by the next line of a script, and goes
// on with the last.
type scripted struct {
	kinorderv1.UnimplementedRunsServer

	script []line

	mu    sync.Mutex
	calls []call
}

// line sends pulses and then as many updates, each of the next sequence, and ends with an error; nil stays open.
type line struct {
	pulses, updates int
	err             error
}

type call struct {
	at      time.Time
	after   int64
	request string
}

var errStays = errors.New("the stream stays open")

func (s *scripted) next(c call) line {
	s.mu.Lock()
	defer s.mu.Unlock()
	c.at = time.Now()
	s.calls = append(s.calls, c)
	return s.script[min(len(s.calls), len(s.script))-1]
}

func (s *scripted) WatchRun(req *kinorderv1.WatchRunRequest, stream grpc.ServerStreamingServer[kinorderv1.RunUpdate]) error {
	l := s.next(call{after: req.GetAfterSequence()})
	sequence := req.GetAfterSequence()
	for range l.updates {
		sequence++
		if err := stream.Send(&kinorderv1.RunUpdate{Sequence: sequence}); err != nil {
			return err
		}
	}
	for range l.pulses {
		time.Sleep(15 * time.Second)
		if err := stream.Send(&kinorderv1.RunUpdate{Sequence: sequence}); err != nil {
			return err
		}
	}
	if errors.Is(l.err, errStays) {
		<-stream.Context().Done()
	}
	return l.err
}

func (s *scripted) CreateRun(_ context.Context, req *kinorderv1.CreateRunRequest) (*kinorderv1.Run, error) {
	if l := s.next(call{request: req.GetRequestId()}); l.err != nil {
		return nil, l.err
	}
	return &kinorderv1.Run{Name: "made"}, nil
}

// against calls a test with a client of a scripted server. Clocks move when everybody waits.
func against(t *testing.T, script []line, test func(t *testing.T, c *Client, s *scripted)) {
	synctest.Test(t, func(t *testing.T) {
		s := &scripted{script: script}
		server := grpc.NewServer()
		kinorderv1.RegisterRunsServer(server, s)
		lis := bufconn.Listen(1 << 20)
		served := make(chan error, 1)
		go func() { served <- server.Serve(lis) }()
		conn, err := grpc.NewClient("passthrough:///test", grpc.WithTransportCredentials(insecure.NewCredentials()),
			grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return lis.DialContext(ctx) }))
		require.NoError(t, err)
		test(t, New(conn), s)
		require.NoError(t, conn.Close())
		server.Stop()
		require.NoError(t, <-served)
	})
}

func refused(code codes.Code, message string, details ...protoadapt.MessageV1) error {
	st, err := status.New(code, message).WithDetails(details...)
	if err != nil {
		panic(err)
	}
	return st.Err()
}

func reason(r string) *errdetails.ErrorInfo {
	return &errdetails.ErrorInfo{Reason: r, Domain: "kinorder.example"}
}

func after(d time.Duration) *errdetails.RetryInfo {
	return &errdetails.RetryInfo{RetryDelay: durationpb.New(d)}
}

// Whatever ends a stream between the server and the client, WatchRun goes on where it was.
func TestWatchRunComesBack(t *testing.T) {
	for name, err := range map[string]error{
		"nginx, after its read timeout": status.Error(codes.Internal, "stream terminated by RST_STREAM with error code: INTERNAL_ERROR"),
		"haproxy, without trailers":     status.Error(codes.Internal, "server closed the stream without sending trailers"),
		"a proxy that ends cleanly":     nil,
		"a gateway":                     status.Error(codes.Unavailable, "unexpected HTTP status code received from server: 502"),
		"HTTP 520":                      status.Error(codes.Unknown, "unexpected HTTP status code received from server: 520"),
		"reset":                         status.Error(codes.Canceled, "stream terminated by RST_STREAM with error code: CANCEL"),
		"calm":                          status.Error(codes.ResourceExhausted, "stream terminated by RST_STREAM with error code: ENHANCE_YOUR_CALM"),
		"deadline of a proxy":           status.Error(codes.DeadlineExceeded, "upstream request timeout"),
		"database":                      refused(codes.Unavailable, "away", reason("STORE_UNREACHABLE"), after(time.Second)),
		"stopping":                      refused(codes.Unavailable, "stopping", reason("STOPPING"), after(time.Second)),
		"slow down":                     refused(codes.ResourceExhausted, "slow down", reason("SLOW_DOWN"), after(time.Second)),
	} {
		t.Run(name, func(t *testing.T) {
			against(t, []line{{updates: 2, err: err}, {err: err}, {updates: 3, err: errStays}}, func(t *testing.T, c *Client, s *scripted) {
				var got []int64
				for u, err := range c.WatchRun(t.Context(), "run", 7) {
					require.NoError(t, err)
					if got = append(got, u.GetSequence()); len(got) == 5 {
						break
					}
				}
				assert.Equal(t, []int64{8, 9, 10, 11, 12}, got)
				require.Len(t, s.calls, 3)
				assert.Equal(t, []int64{7, 9, 9}, []int64{s.calls[0].after, s.calls[1].after, s.calls[2].after})
			})
		})
	}
}

// What the server refuses, and what no repetition mends, ends WatchRun.
func TestWatchRunEndsWithWhatIsDefinite(t *testing.T) {
	for name, err := range map[string]error{
		"revoked":       refused(codes.Unauthenticated, "the secret opens nothing", reason("SECRET_WRONG")),
		"forbidden":     refused(codes.PermissionDenied, "forbidden", reason("FORBIDDEN")),
		"deleted":       refused(codes.NotFound, "there is nothing of that name", reason("NOT_FOUND")),
		"invalid":       refused(codes.InvalidArgument, "name", reason("INVALID_REQUEST")),
		"ahead":         refused(codes.OutOfRange, "begin with 0", reason("SEQUENCE_AHEAD")),
		"broken":        refused(codes.Internal, "incident", reason("INTERNAL")),
		"another kind":  status.Error(codes.Unimplemented, "unknown service"),
		"too large":     status.Error(codes.ResourceExhausted, "grpc: received message larger than max (70000000 vs. 67108864)"),
		"wrong gateway": status.Error(codes.PermissionDenied, "unexpected HTTP status code received from server: 403"),
	} {
		t.Run(name, func(t *testing.T) {
			against(t, []line{{updates: 1, err: err}}, func(t *testing.T, c *Client, s *scripted) {
				var ended error
				n := 0
				for _, err := range c.WatchRun(t.Context(), "run", 0) {
					n++
					ended = err
				}
				assert.Equal(t, 2, n)
				assert.Equal(t, status.Code(err), status.Code(ended))
				assert.Len(t, s.calls, 1)
			})
		})
	}
}

// The client waits longer each time and as long as it is told, and no two clients wait the same.
func TestWatchRunWaits(t *testing.T) {
	const n = 20
	script := make([]line, n, n+2)
	for i := range script {
		script[i].err = status.Error(codes.Unavailable, "away")
	}
	script = append(script, line{err: refused(codes.Unavailable, "stopping", reason("STOPPING"), after(40*time.Second))}, line{updates: 1, err: errStays})
	against(t, script, func(t *testing.T, c *Client, s *scripted) {
		for _, err := range c.WatchRun(t.Context(), "run", 0) {
			require.NoError(t, err)
			break
		}
		require.Len(t, s.calls, n+2)
		waits := map[time.Duration]bool{}
		for i := range n {
			wait, least := s.calls[i+1].at.Sub(s.calls[i].at), min(firstPause<<i, longestPause)
			assert.GreaterOrEqual(t, wait, least, i)
			assert.LessOrEqual(t, wait, least*3/2, i)
			waits[wait] = true
		}
		assert.Greater(t, len(waits), n-5)
		assert.GreaterOrEqual(t, s.calls[n+1].at.Sub(s.calls[n].at), 40*time.Second)
	})
}

// A stream that has fallen silent is given up, and one with a pulse is not; the pulse is not passed on.
func TestWatchRunHearsThePulse(t *testing.T) {
	against(t, []line{{updates: 1, pulses: 40, err: errStays}, {updates: 1, err: errStays}}, func(t *testing.T, c *Client, s *scripted) {
		var got []int64
		began := time.Now()
		for u, err := range c.WatchRun(t.Context(), "run", 0) {
			require.NoError(t, err)
			if got = append(got, u.GetSequence()); len(got) == 2 {
				break
			}
		}
		assert.Equal(t, []int64{1, 2}, got)
		assert.Len(t, s.calls, 2)
		assert.InDelta(t, (40*15*time.Second + silence).Seconds(), time.Since(began).Seconds(), 1)
	})
}

// The caller's own end is the caller's.
func TestWatchRunEndsWithItsCaller(t *testing.T) {
	against(t, []line{{err: status.Error(codes.Unavailable, "away")}}, func(t *testing.T, c *Client, _ *scripted) {
		ctx, cancel := context.WithTimeout(t.Context(), 3*time.Second)
		defer cancel()
		began := time.Now()
		for _, err := range c.WatchRun(ctx, "run", 0) {
			assert.ErrorIs(t, err, context.DeadlineExceeded)
		}
		assert.Equal(t, 3*time.Second, time.Since(began))
	})
}

// A request to create keeps its id while its answer is lost, and callers may keep one for longer.
func TestCreatingAgain(t *testing.T) {
	lost := line{err: status.Error(codes.Unavailable, "connection reset")}
	against(t, []line{lost, lost, {}}, func(t *testing.T, c *Client, s *scripted) {
		r, err := c.CreateRun(t.Context(), "event", "sheet")
		require.NoError(t, err)
		assert.Equal(t, "made", r.GetName())
		require.Len(t, s.calls, 3)
		assert.Len(t, s.calls[0].request, 36)
		assert.Equal(t, s.calls[0].request, s.calls[2].request)
		_, err = c.CreateRun(t.Context(), "event", "sheet")
		require.NoError(t, err)
		assert.NotEqual(t, s.calls[0].request, s.calls[3].request)
		_, err = c.CreateRun(t.Context(), "event", "sheet", WithRequestID("mine"))
		require.NoError(t, err)
		assert.Equal(t, "mine", s.calls[4].request)
	})
	against(t, []line{lost}, func(t *testing.T, c *Client, s *scripted) {
		_, err := c.CreateRun(t.Context(), "event", "sheet")
		assert.Equal(t, codes.Unavailable, status.Code(err))
		assert.Len(t, s.calls, attempts)
	})
	against(t, []line{{err: refused(codes.ResourceExhausted, "busy", reason("BUSY"), after(time.Second))}}, func(t *testing.T, c *Client, s *scripted) {
		_, err := c.CreateRun(t.Context(), "event", "sheet")
		assert.Equal(t, codes.ResourceExhausted, status.Code(err))
		assert.Len(t, s.calls, 1, "it was answered")
	})
}

// Of several addresses one that answers is used, and another when it is gone.
func TestSeveralAddresses(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		listeners := map[string]*bufconn.Listener{}
		var servers []*grpc.Server
		var all []*scripted
		for _, address := range []string{"192.0.2.2:1", "192.0.2.3:1"} {
			s := &scripted{script: []line{{updates: 1, err: errStays}}}
			server := grpc.NewServer()
			kinorderv1.RegisterRunsServer(server, s)
			listener := bufconn.Listen(1 << 20)
			listeners[address] = listener
			go func() { _ = server.Serve(listener) }()
			servers, all = append(servers, server), append(all, s)
		}
		c, err := Dial("http://192.0.2.1:1,http://192.0.2.2:1, http://192.0.2.3:1", grpc.WithContextDialer(func(ctx context.Context, address string) (net.Conn, error) {
			if lis := listeners[address]; lis != nil {
				return lis.DialContext(ctx)
			}
			return nil, errors.New("nobody is there")
		}))
		require.NoError(t, err)
		var got []int64
		for u, err := range c.WatchRun(t.Context(), "run", 0) {
			require.NoError(t, err)
			if got = append(got, u.GetSequence()); len(got) == 2 {
				break
			}
			servers[0].Stop()
		}
		assert.Equal(t, []int64{1, 2}, got)
		assert.Len(t, all[0].calls, 1)
		assert.Len(t, all[1].calls, 1)
		require.NoError(t, c.Close())
		servers[1].Stop()
	})
}

func TestRunViewTakesUpdates(t *testing.T) {
	var v RunView
	written := &kinorderv1.Mark{Id: "n", Kind: &kinorderv1.Mark_Note{Note: "hot"}}
	v.Apply(&kinorderv1.RunUpdate{Sequence: 2, CoveredSequence: 1, Marks: []*kinorderv1.Mark{written}, Outlook: &kinorderv1.Outlook{}, Change: &kinorderv1.RunChange{
		People:    []*kinorderv1.PersonState{{Person: "ann", State: kinorderv1.PersonState_STATE_ABSENT}},
		Groupings: []*kinorderv1.GroupingState{{Grouping: "all", State: kinorderv1.GroupingState_STATE_CURRENT}},
		Added:     []*kinorderv1.Grouping{{Id: "x"}, {Id: "y"}},
		Undoable:  "n",
	}})
	v.Apply(&kinorderv1.RunUpdate{Sequence: 3, CoveredSequence: 1})
	assert.Equal(t, "n", v.Undoable)
	assert.Len(t, v.Notes(), 1)
	assert.Len(t, v.People, 1)
	v.Apply(&kinorderv1.RunUpdate{Sequence: 4, CoveredSequence: 4, Change: &kinorderv1.RunChange{
		People:  []*kinorderv1.PersonState{{Person: "ann", State: kinorderv1.PersonState_STATE_HERE}},
		Removed: []string{"x"}, UndoneNotes: []string{"n"},
	}})
	assert.Equal(t, int64(4), v.Covered)
	assert.Empty(t, v.Undoable)
	assert.Empty(t, v.People)
	assert.Empty(t, v.Notes())
	require.Len(t, v.Added, 1)
	assert.Equal(t, "y", v.Added[0].GetId())
	assert.NotNil(t, v.Outlook)
	v.Apply(&kinorderv1.RunUpdate{Sequence: 5, Change: &kinorderv1.RunChange{RestoredNotes: []string{"n"}}})
	assert.Len(t, v.Notes(), 1)
}
