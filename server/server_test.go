package server

import (
	"bytes"
	"context"
	"log/slog"
	"mime/multipart"
	"net"
	"net/http"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	healthv1 "google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/reflection/grpc_reflection_v1"
	"google.golang.org/grpc/test/bufconn"
	"google.golang.org/protobuf/types/known/emptypb"

	"kinorder.example/client"
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// running is a server on an in-memory listener with a real client.
type running struct {
	server *Server
	dial   []grpc.DialOption
	conn   *grpc.ClientConn
	client *client.Client
	log    *logBuffer
	served chan error
}

// logBuffer collects a log that several goroutines write.
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

// start runs a server that plans with plan. Call stop before the test ends.
func start(t testing.TB, c Config, plan planning.Func) *running {
	t.Helper()
	r := &running{log: &logBuffer{}, served: make(chan error, 1)}
	c.Log = slog.New(slog.NewTextHandler(r.log, &slog.HandlerOptions{Level: slog.LevelDebug}))
	var err error
	r.server, err = newServer(c, plan)
	require.NoError(t, err)
	lis := bufconn.Listen(1 << 20)
	go func() { r.served <- r.server.Serve(lis) }()
	r.dial = append(lookAtPlaces(t),
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return lis.DialContext(ctx) }),
		grpc.WithTransportCredentials(insecure.NewCredentials()))
	r.conn, err = grpc.NewClient("passthrough:///test", r.dial...)
	require.NoError(t, err)
	r.client = client.New(r.conn)
	return r
}

func (r *running) stop(t testing.TB) {
	t.Helper()
	require.NoError(t, r.conn.Close())
	require.NoError(t, r.server.Close(context.Background()))
	require.NoError(t, <-r.served)
}

// untilStopped is a search that goes on until it is told to stop, and then has a sheet.
func untilStopped(began chan<- struct{}) planning.Func {
	return func(ctx context.Context, _ event.Event, _ planning.Options) (event.CallSheet, error) {
		began <- struct{}{}
		<-ctx.Done()
		return event.CallSheet{Totals: event.Totals{Groupings: 7}}, nil
	}
}

// A page that waits for a search is answered when the server stops, like a call.
func TestPagesAreServedAndStopped(t *testing.T) {
	began := make(chan struct{}, 1)
	r := start(t, Config{Solves: 1}, untilStopped(began))
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	served := make(chan error, 1)
	go func() { served <- r.server.ServePages(lis) }()
	address := "http://" + lis.Addr().String()

	first, err := http.Get(address + "/")
	require.NoError(t, err)
	require.NoError(t, first.Body.Close())
	assert.Equal(t, http.StatusOK, first.StatusCode)

	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	require.NoError(t, form.WriteField("text", "people: [{id: ann, name: Ann}, {id: bo, name: Bo}]\ngroupings: [{id: both, members: [ann, bo]}]"))
	require.NoError(t, form.Close())
	answered := make(chan int, 1)
	go func() {
		answer, err := http.Post(address+"/plan", form.FormDataContentType(), &body)
		if assert.NoError(t, err) {
			assert.NoError(t, answer.Body.Close())
			answered <- answer.StatusCode
		}
	}()
	<-began // the page has its place at the gate
	r.stop(t)
	require.NoError(t, <-served)
	assert.Equal(t, http.StatusOK, <-answered)
	assert.NotContains(t, r.log.String(), "Ann")
}

func refusal(t *testing.T, err error) *client.Error {
	t.Helper()
	var e *client.Error
	require.ErrorAs(t, err, &e)
	return e
}

var someEvent = &kinorderv1.Event{
	People:    []*kinorderv1.Person{{Id: "ann", Name: "Ann"}, {Id: "bo", Name: "Bo"}},
	Groupings: []*kinorderv1.Grouping{{Id: "both", Members: []string{"ann", "bo"}}},
}

func TestPlanHandsTheRequestOn(t *testing.T) {
	var got planning.Options
	var ids []string
	r := start(t, Config{Workers: 3}, func(_ context.Context, e event.Event, o planning.Options) (event.CallSheet, error) {
		got = o
		ids = append(ids, e.People[0].ID)
		return event.CallSheet{Totals: event.Totals{StepIns: 2}}, nil
	})
	defer r.stop(t)

	sheet, err := r.client.Plan(t.Context(), someEvent, client.PlanOptions{})
	require.NoError(t, err)
	assert.Equal(t, int32(2), sheet.GetTotals().GetStepIns())
	assert.Equal(t, planning.Options{Budget: 2 * time.Second, Workers: 3}, got)

	_, err = r.client.Plan(t.Context(), someEvent, client.PlanOptions{Budget: 9 * time.Second, Emphasis: kinorderv1.Emphasis_EMPHASIS_FEWEST_STEPS})
	require.NoError(t, err)
	emphasis := event.FewestSteps
	assert.Equal(t, planning.Options{Budget: 9 * time.Second, Workers: 3, Emphasis: &emphasis}, got)
	assert.Equal(t, []string{"ann", "ann"}, ids)
}

func TestPlanAnswersBeforeTheDeadline(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, Config{}, untilStopped(make(chan struct{}, 1)))
		ctx, cancel := context.WithTimeout(t.Context(), 3*time.Second)
		defer cancel()
		sheet, err := r.client.Plan(ctx, someEvent, client.PlanOptions{Budget: time.Minute})
		require.NoError(t, err)
		assert.Equal(t, int32(7), sheet.GetTotals().GetGroupings())
		r.stop(t)
	})
}

func TestPlanEndsWithTheCaller(t *testing.T) {
	began, ended := make(chan struct{}), make(chan error, 1)
	r := start(t, Config{}, func(ctx context.Context, _ event.Event, _ planning.Options) (event.CallSheet, error) {
		close(began)
		<-ctx.Done()
		ended <- ctx.Err()
		return event.CallSheet{}, ctx.Err()
	})
	defer r.stop(t)
	ctx, cancel := context.WithCancel(t.Context())
	go func() { <-began; cancel() }()
	_, err := r.client.Plan(ctx, someEvent, client.PlanOptions{})
	assert.Equal(t, codes.Canceled, refusal(t, err).Code)
	assert.ErrorIs(t, <-ended, context.Canceled)
}

func TestPlanQueue(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		began := make(chan struct{}, 3)
		r := start(t, Config{Solves: 1, Queue: 1}, untilStopped(began))
		first, stopFirst := context.WithCancel(t.Context())
		second, stopSecond := context.WithCancel(t.Context())
		var calls sync.WaitGroup
		for _, ctx := range []context.Context{first, second} {
			calls.Go(func() { _, _ = r.client.Plan(ctx, someEvent, client.PlanOptions{}) })
			synctest.Wait()
		}
		_, err := r.client.Plan(t.Context(), someEvent, client.PlanOptions{})
		e := refusal(t, err)
		assert.Equal(t, codes.ResourceExhausted, e.Code)
		assert.Equal(t, "BUSY", e.Reason)
		assert.Equal(t, 4*time.Second, e.RetryAfter)
		assert.Len(t, began, 1, "only one search runs")

		stopFirst()
		synctest.Wait()
		assert.Len(t, began, 2, "the one that waited runs now")
		stopSecond()
		calls.Wait()
		r.stop(t)
	})
}

func TestPlanStream(t *testing.T) {
	r := start(t, Config{}, func(_ context.Context, _ event.Event, o planning.Options) (event.CallSheet, error) {
		o.OnProgress(planning.Progress{Cost: 9, Bound: 6, Gap: 1.0 / 3, StepIns: 5, Elapsed: time.Second})
		return event.CallSheet{Totals: event.Totals{Cost: 8}}, nil
	})
	defer r.stop(t)
	var progress []*kinorderv1.PlanProgress
	var sheets []*kinorderv1.CallSheet
	for message, err := range r.client.PlanStream(t.Context(), someEvent, client.PlanOptions{}) {
		require.NoError(t, err)
		if p := message.GetProgress(); p != nil {
			assert.Empty(t, sheets, "the sheet comes last")
			progress = append(progress, p)
			continue
		}
		sheets = append(sheets, message.GetSheet())
	}
	require.Len(t, progress, 1)
	assert.Equal(t, int64(9), progress[0].GetCost())
	assert.Equal(t, time.Second, progress[0].GetElapsed().AsDuration())
	require.Len(t, sheets, 1)
	assert.Equal(t, int64(8), sheets[0].GetTotals().GetCost())
}

func TestPlanStreamEndsWhenTheLoopIsLeft(t *testing.T) {
	ended := make(chan error, 1)
	r := start(t, Config{}, func(ctx context.Context, _ event.Event, o planning.Options) (event.CallSheet, error) {
		o.OnProgress(planning.Progress{Cost: 9})
		<-ctx.Done()
		ended <- ctx.Err()
		return event.CallSheet{}, ctx.Err()
	})
	defer r.stop(t)
	for range r.client.PlanStream(t.Context(), someEvent, client.PlanOptions{}) {
		break
	}
	assert.ErrorIs(t, <-ended, context.Canceled)
}

func TestClose(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		began := make(chan struct{}, 2)
		r := start(t, Config{Solves: 1, Queue: 1}, untilStopped(began))
		type answer struct {
			sheet *kinorderv1.CallSheet
			err   error
		}
		answers := []chan answer{make(chan answer, 1), make(chan answer, 1)}
		for _, to := range answers {
			go func() {
				sheet, err := r.client.Plan(t.Context(), someEvent, client.PlanOptions{})
				to <- answer{sheet, err}
			}()
			synctest.Wait()
		}
		require.NoError(t, r.server.Close(t.Context()))
		require.NoError(t, <-r.served)
		running := <-answers[0]
		require.NoError(t, running.err, "who was being served gets the best sheet so far")
		assert.Equal(t, int32(7), running.sheet.GetTotals().GetGroupings())
		waiting := <-answers[1]
		if waiting.err != nil { // it may also have had its turn after the first
			e := refusal(t, waiting.err)
			assert.Equal(t, codes.Unavailable, e.Code)
			assert.Equal(t, "STOPPING", e.Reason)
		}
		require.NoError(t, r.server.Close(t.Context()), "again")
		require.NoError(t, r.conn.Close())
	})
}

func TestCloseCutsOff(t *testing.T) {
	began, release := make(chan struct{}), make(chan struct{})
	r := start(t, Config{}, func(context.Context, event.Event, planning.Options) (event.CallSheet, error) {
		close(began)
		<-release // does not listen to anybody
		return event.CallSheet{}, nil
	})
	failed := make(chan error, 1)
	go func() {
		_, err := r.client.Plan(t.Context(), someEvent, client.PlanOptions{})
		failed <- err
	}()
	<-began
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	closed := make(chan error, 1)
	go func() { closed <- r.server.Close(ctx) }()
	assert.Error(t, <-failed)
	close(release)
	assert.ErrorIs(t, <-closed, context.Canceled)
	require.NoError(t, <-r.served)
	require.NoError(t, r.conn.Close())
}

func TestHealthAndReflection(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	for _, service := range []string{"", "kinorder.v1.Planner"} {
		got, err := healthv1.NewHealthClient(r.conn).Check(t.Context(), &healthv1.HealthCheckRequest{Service: service})
		require.NoError(t, err)
		assert.Equal(t, healthv1.HealthCheckResponse_SERVING, got.GetStatus())
	}
	stream, err := grpc_reflection_v1.NewServerReflectionClient(r.conn).ServerReflectionInfo(t.Context())
	require.NoError(t, err)
	require.NoError(t, stream.Send(&grpc_reflection_v1.ServerReflectionRequest{
		MessageRequest: &grpc_reflection_v1.ServerReflectionRequest_ListServices{},
	}))
	listed, err := stream.Recv()
	require.NoError(t, err)
	require.NoError(t, stream.CloseSend())
	var names []string
	for _, s := range listed.GetListServicesResponse().GetService() {
		names = append(names, s.GetName())
	}
	assert.Contains(t, names, "kinorder.v1.Planner")
	assert.Contains(t, names, "grpc.health.v1.Health")
}

func TestUnknownMethod(t *testing.T) {
	r := start(t, Config{}, planning.Plan)
	defer r.stop(t)
	for _, method := range []string{"/kinorder.v1.Planner/Guess", "/nobody.v1.Nothing/Do"} {
		err := r.conn.Invoke(t.Context(), method, &emptypb.Empty{}, &emptypb.Empty{})
		assert.Equal(t, codes.Unimplemented, grpcCode(err), method)
	}
}

func TestNewRefuses(t *testing.T) {
	for _, c := range []Config{{Solves: -1}, {Queue: -1}, {Workers: -1}} {
		_, err := New(c)
		assert.Error(t, err)
	}
	s, err := New(Config{})
	require.NoError(t, err)
	assert.NoError(t, s.Close(t.Context()), "a server that never served")
}

func TestListenLoopback(t *testing.T) {
	for _, address := range []string{"127.0.0.1:0", "localhost:0"} {
		lis, err := ListenLoopback(t.Context(), address)
		require.NoError(t, err, address)
		require.NoError(t, lis.Close())
	}
	for _, address := range []string{":0", "0.0.0.0:0", "[::]:0", "192.0.2.1:0"} {
		_, err := ListenLoopback(t.Context(), address)
		assert.ErrorIs(t, err, ErrBeyondLoopback, address)
	}
	_, err := ListenLoopback(t.Context(), "127.0.0.1")
	require.Error(t, err)
	assert.NotErrorIs(t, err, ErrBeyondLoopback)
}
