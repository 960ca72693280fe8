// Package api answers the gRPC calls of kinorder.v1. It turns wire messages into the domain, calls
// the packages that do the work, and turns results and errors back. It holds no rules of the job:
// what makes an event faulty, how it is planned and what a sheet looks like is decided elsewhere.
package api

import (
	"context"
	"errors"
	"log/slog"
	"time"

	"google.golang.org/grpc"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/api/newest"
	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/metrics"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/traces"
)

// ServiceName is the full name of the service, by which health is asked for.
const ServiceName = "kinorder.v1.Planner"

// Options of a Service.
type Options struct {
	// Plan is what finds orders. It is called from several goroutines at once.
	Plan planning.Func
	// Gate is where searches wait for a place. Others may share it.
	Gate *gate.Gate
	// Memory is what requests share. Others may share it.
	Memory *gate.Memory
	// Workers is how many cores one search may use, at least 1.
	Workers int
	// Log takes what operators need. It gets counts and codes, never a name or a note.
	Log *slog.Logger
	// Metrics counts calls; nil counts none.
	Metrics *metrics.Metrics
	// Traces traces them; nil traces none.
	Traces *traces.Traces
	// Studios finds the keeper of the studio that a secret names; leave is called when the call is answered. Nil means
	// that there is one only.
	Studios func(ctx context.Context, secret string) (of *Keeper, leave func(), err error)
}

// Service answers the calls. It is safe for use by several goroutines.
type Service struct {
	kinorderv1.UnimplementedPlannerServer

	plan    planning.Func
	gate    *gate.Gate
	memory  *gate.Memory
	workers int
	log     *slog.Logger
	metrics *metrics.Metrics
	traces  *traces.Traces
	studios func(context.Context, string) (*Keeper, func(), error)
}

// New returns a service that is ready to be registered.
func New(o Options) *Service {
	return &Service{plan: o.Plan, gate: o.Gate, memory: o.Memory, workers: o.Workers, log: o.Log, metrics: o.Metrics, traces: o.Traces, studios: o.Studios}
}

// Register adds the service to a gRPC server, which must have been made with ServerOptions.
func (s *Service) Register(r grpc.ServiceRegistrar) {
	kinorderv1.RegisterPlannerServer(Registrar{r, s.admit}, s)
}

// admit has a call with the secret of a hosted studio be one of its. It needs none, and a wrong one is none.
func (s *Service) admit(ctx context.Context) (admission, error) {
	in := admission{ctx: ctx, leave: func() {}}
	secret := bearer(ctx)
	if s.studios == nil || store.StudioIn(secret) == "" {
		return in, nil
	}
	of, leave, err := s.studios(ctx, secret)
	if err != nil {
		return in, nil
	}
	defer leave()
	if _, err := of.guard.Open(ctx, caller(ctx), secret); err == nil {
		in.ctx, in.studio = gate.As(ctx, of.party), of.party.Number
	}
	return in, nil
}

// Check answers Planner.Check.
func (s *Service) Check(ctx context.Context, req *kinorderv1.CheckRequest) (*kinorderv1.CheckResponse, error) {
	if req.GetEvent() == nil {
		return nil, missing("event")
	}
	var r reader
	e := r.event(req.GetEvent())
	ctx, cancel := soon(ctx)
	defer cancel()
	advice, err := check.Within(ctx, e)
	if err != nil {
		return nil, err
	}
	return &kinorderv1.CheckResponse{Advice: written[kinorderv1.Advice](append(r.faults, advice...))}, nil
}

// readTime limits answers without a search. They take at most two seconds on a free core, so taking longer means that
// the machine is busy.
const readTime = 20 * time.Second

// soon applies readTime.
func soon(ctx context.Context) (context.Context, context.CancelFunc) {
	return context.WithTimeoutCause(ctx, readTime, gate.ErrCrowded)
}

// Plan answers Planner.Plan.
func (s *Service) Plan(ctx context.Context, req *kinorderv1.PlanRequest) (*kinorderv1.PlanResponse, error) {
	sheet, err := s.search(ctx, req, nil)
	if err != nil {
		return nil, err
	}
	return &kinorderv1.PlanResponse{Sheet: sheetToWire(sheet)}, nil
}

// PlanStream answers Planner.PlanStream.
func (s *Service) PlanStream(req *kinorderv1.PlanStreamRequest, stream grpc.ServerStreamingServer[kinorderv1.PlanStreamResponse]) error {
	news := newest.Start(func(p *kinorderv1.PlanProgress) error {
		return stream.Send(&kinorderv1.PlanStreamResponse{Kind: &kinorderv1.PlanStreamResponse_Progress{Progress: p}})
	})
	// Deferred, because nothing may be sent after the handler has returned, even if the search panics.
	defer news.Close()
	sheet, err := s.search(stream.Context(), req, func(p planning.Progress) { news.Put(toWire[kinorderv1.PlanProgress](p)) })
	if err != nil {
		return err
	}
	news.Close()
	return stream.Send(&kinorderv1.PlanStreamResponse{Kind: &kinorderv1.PlanStreamResponse_Sheet{Sheet: sheetToWire(sheet)}})
}

// search reads a request to plan and plans.
func (s *Service) search(ctx context.Context, req planRequest, onProgress func(planning.Progress)) (event.CallSheet, error) {
	e, o, err := readPlanRequest(req)
	if err != nil {
		return event.CallSheet{}, err
	}
	return s.find(ctx, e, o, onProgress)
}

// find waits for a place and plans.
func (s *Service) find(ctx context.Context, e event.Event, o planning.Options, onProgress func(planning.Progress)) (event.CallSheet, error) {
	o.Workers = s.workers
	o.OnProgress = onProgress
	ctx, leave, err := s.enter(ctx)
	if err != nil {
		return event.CallSheet{}, err
	}
	defer leave()
	sheet, err := s.plan(ctx, e, o)
	var invalid *event.InvalidError
	switch {
	case errors.As(err, &invalid):
		err = faulty(e, "event", invalid.Faults)
	case errors.Is(err, context.Canceled):
		err = context.Cause(ctx) // tells a stopping or busy server from a caller who left
	}
	return sheet, err
}

// enter waits at the gate. The context that it returns ends as the gate says, and a little before the
// caller's deadline.
func (s *Service) enter(ctx context.Context) (context.Context, func(), error) {
	cancel := func() {}
	if deadline, ok := ctx.Deadline(); ok {
		ctx, cancel = context.WithDeadline(ctx, deadline.Add(-answerMargin(time.Until(deadline))))
	}
	ctx, leave, err := s.gate.Enter(ctx)
	if err != nil {
		cancel()
		return nil, nil, err
	}
	return ctx, func() { leave(); cancel() }, nil
}

// answerMargin is what is kept back from a caller's remaining time, so that the answer found by
// then still gets out: a tenth, at least 10 ms and at most 500 ms.
func answerMargin(remaining time.Duration) time.Duration {
	return min(max(remaining/10, 10*time.Millisecond), 500*time.Millisecond)
}
