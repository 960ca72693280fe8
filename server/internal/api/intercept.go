package api

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"log/slog"
	"runtime/debug"
	"time"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/caught"
	"kinorder.example/server/internal/metrics"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/traces"
)

// ServerOptions returns what a gRPC server needs to serve this service: every call is logged by
// counts and codes, a panic ends one call and not the server, errors become statuses, and requests
// have a size limit.
func (s *Service) ServerOptions() []grpc.ServerOption {
	return []grpc.ServerOption{
		grpc.StreamInterceptor(s.stream),
		grpc.UnknownServiceHandler(func(any, grpc.ServerStream) error { return unknownMethodError{} }),
		grpc.ForceServerCodecV2(newCodec()),
		// Above it gRPC itself refuses, before a handler could say more.
		grpc.MaxRecvMsgSize(maxArriving),
		// The defaults of gRPC allow 16 MiB of headers, and megabytes that are sent before anybody reads them.
		grpc.MaxHeaderListSize(32 << 10),
		grpc.StaticStreamWindowSize(64 << 10),
		grpc.StaticConnWindowSize(1 << 20),
	}
}

func (s *Service) stream(srv any, stream grpc.ServerStream, i *grpc.StreamServerInfo, handler grpc.StreamHandler) (err error) {
	call := s.begin(i.FullMethod)
	ctx, span := s.traces.Call(stream.Context(), i.FullMethod)
	call.span = span
	admitted := &admittedStream{ServerStream: entered{stream, ctx}, service: s, call: call, give: func() {}}
	defer func() { admitted.give() }()
	defer func() { err = call.end(recover(), err) }()
	return handler(srv, admitted)
}

// call is one call under way, as the log sees it.
type call struct {
	log     *slog.Logger
	metrics *metrics.Metrics
	method  string
	started time.Time
	counts  []any
	span    traces.Span
}

func (s *Service) begin(method string) *call {
	return &call{log: s.log, metrics: s.metrics, method: method, started: time.Now()}
}

// count counts what is in a request.
func (c *call) count(m proto.Message) {
	if r, ok := m.(interface{ GetEvent() *kinorderv1.Event }); ok {
		c.counts = append(c.counts, "people", len(r.GetEvent().GetPeople()), "groupings", len(r.GetEvent().GetGroupings()))
	}
}

// end logs the call and returns its status as an error; broken is what recover gave.
func (c *call) end(broken any, err error) error {
	if broken != nil {
		incident := newIncident()
		c.log.Error("a call panicked", "method", c.method, "incident", incident, "panic", caught.Text(broken), "stack", string(debug.Stack()))
		err = &internalError{incident}
	}
	if err == nil {
		c.done(slog.LevelInfo, status.New(codes.OK, ""))
		return nil
	}
	if st, ok := status.FromError(err); ok {
		// From gRPC itself, for example when the caller is gone while something is sent.
		c.done(slog.LevelInfo, st)
		return err
	}
	if broken == nil && !known(err) {
		incident := newIncident()
		c.log.Error("a call broke", "method", c.method, "incident", incident, "error", err.Error())
		err = &internalError{incident}
	}
	if errors.Is(err, store.ErrUnreachable) || errors.Is(err, store.ErrFull) || errors.Is(err, store.ErrVersion) {
		// Errors of the store quote nothing that is stored.
		c.log.Error("the store failed", "method", c.method, "error", err.Error())
	}
	st := statusOf(err)
	c.done(slog.LevelWarn, st)
	return st.Err()
}

func (c *call) done(level slog.Level, st *status.Status) {
	attrs := append([]any{"method", c.method, "code", st.Code().String(), "millis", time.Since(c.started).Milliseconds()}, c.counts...)
	reason := ""
	for _, d := range st.Details() {
		if d, ok := d.(*errdetails.ErrorInfo); ok {
			reason = d.GetReason()
			attrs = append(attrs, "reason", reason)
			if n, ok := d.GetMetadata()["violations_total"]; ok {
				attrs = append(attrs, "violations", n)
			}
		}
	}
	c.log.Log(context.Background(), level, "call", attrs...)
	method := c.method
	if reason == reasonUnknownMethod {
		method = "unknown" // anybody could make up as many as they like
	}
	c.metrics.Call(method, st.Code().String(), reason, time.Since(c.started))
	c.span.EndCall(method, st.Code().String(), reason, st.Code() == codes.Internal)
}

// newIncident returns a name by which a caller's report is found in the log.
func newIncident() string {
	var b [6]byte
	_, _ = rand.Read(b[:]) // never fails, as its documentation says
	return hex.EncodeToString(b[:])
}
