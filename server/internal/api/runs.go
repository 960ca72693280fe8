package api

import (
	"context"
	"fmt"
	"time"

	"google.golang.org/grpc"
	"google.golang.org/protobuf/types/known/emptypb"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

func runName(r run.Ref) string { return resourceName(r.Event, "runs", r.Run) }

func runToWire(r run.Run) *kinorderv1.Run {
	return &kinorderv1.Run{
		Name: runName(r.Ref), Sheet: resourceName(r.Ref.Event, "sheets", r.Sheet),
		EventVersion: r.Version, CreateTime: instant(r.Created), Sequence: r.Sequence,
	}
}

// CreateRun answers Runs.CreateRun.
func (k *Keeper) CreateRun(ctx context.Context, req *kinorderv1.CreateRunRequest) (*kinorderv1.Run, error) {
	n, _, err := named(ctx, "parent", req.GetParent(), "", access.Grant.Marks)
	if err != nil {
		return nil, err
	}
	request, err := requestOf(req)
	if err != nil {
		return nil, err
	}
	sheet, err := name("run.sheet", req.GetRun().GetSheet(), "sheets")
	if err != nil {
		return nil, err
	}
	if sheet.event != n.event {
		return nil, invalidRequest("run.sheet", event.CodeBadName, "belongs to another event")
	}
	made, err := k.store.CreateRun(ctx, request, n.event, sheet.id)
	if err != nil {
		return nil, err
	}
	k.desk.Plan(made.Ref)
	return runToWire(made), nil
}

// ref reads the name of a run and demands a permission in its event.
func ref(ctx context.Context, text string, allowed permission) (run.Ref, access.Grant, error) {
	n, grant, err := named(ctx, "name", text, "runs", allowed)
	return run.Ref{Event: n.event, Run: n.id}, grant, err
}

// GetRun answers Runs.GetRun.
func (k *Keeper) GetRun(ctx context.Context, req *kinorderv1.GetRunRequest) (*kinorderv1.Run, error) {
	ref, _, err := ref(ctx, req.GetName(), may(store.Reader))
	if err != nil {
		return nil, err
	}
	r, err := k.store.Run(ctx, ref)
	return runToWire(r), err
}

// ListRuns answers Runs.ListRuns.
func (k *Keeper) ListRuns(ctx context.Context, req *kinorderv1.ListRunsRequest) (*kinorderv1.ListRunsResponse, error) {
	parent, p, err := listing(ctx, req, store.Reader)
	if err != nil {
		return nil, err
	}
	list, next, err := k.store.Runs(ctx, parent, p)
	return &kinorderv1.ListRunsResponse{Runs: each(list, runToWire), NextPageToken: next}, err
}

// DeleteRun answers Runs.DeleteRun.
func (k *Keeper) DeleteRun(ctx context.Context, req *kinorderv1.DeleteRunRequest) (*emptypb.Empty, error) {
	ref, _, err := ref(ctx, req.GetName(), mayDelete)
	if err != nil {
		return nil, err
	}
	if err := k.store.DeleteRun(ctx, ref); err != nil {
		return nil, err
	}
	k.desk.Forget(ref)
	return &emptypb.Empty{}, nil
}

// AddMarks answers Runs.AddMarks.
func (k *Keeper) AddMarks(ctx context.Context, req *kinorderv1.AddMarksRequest) (*kinorderv1.AddMarksResponse, error) {
	ref, grant, err := ref(ctx, req.GetName(), access.Grant.Marks)
	if err != nil {
		return nil, err
	}
	if len(req.GetMarks()) > run.MaxAtOnce {
		return nil, invalidRequest("marks", event.CodeTooMany, fmt.Sprintf("holds %d marks, and %d is the most: send the rest in another call", len(req.GetMarks()), run.MaxAtOnce))
	}
	var r reader
	device := r.time(req.GetSendTime(), "send_time")
	marks := eachAt(req.GetMarks(), r.mark)
	if len(r.faults) > 0 {
		return nil, &invalidRequestError{r.faults}
	}
	sequence, err := k.desk.Mark(ctx, ref, grant.By(), device, marks)
	if err != nil {
		return nil, err
	}
	k.service.metrics.Marks(len(marks))
	return &kinorderv1.AddMarksResponse{Sequence: sequence}, nil
}

// WatchRun answers Runs.WatchRun.
func (k *Keeper) WatchRun(req *kinorderv1.WatchRunRequest, stream grpc.ServerStreamingServer[kinorderv1.RunUpdate]) error {
	ctx := stream.Context()
	ref, grant, err := ref(ctx, req.GetName(), may(store.Reader))
	if err != nil {
		return err
	}
	if req.GetAfterSequence() < 0 {
		return invalidRequest("after_sequence", event.CodeOutOfRange, "cannot be below 0")
	}
	leave, ok := k.watching.Take(gate.Watching(grant.Link, caller(ctx), grant.Reads())...)
	if !ok {
		return gate.ErrWatched
	}
	defer leave()
	_, secret := open(ctx)
	return k.watch(ctx, ref, req.GetAfterSequence(), grant, secret, stream.SendMsg)
}

// heartbeat is how long WatchRun stays silent: the contract promises a message every 15 seconds, and silence is
// checked every two.
const heartbeat = 12 * time.Second

func (k *Keeper) watch(ctx context.Context, ref run.Ref, after int64, grant access.Grant, secret string, send func(any) error) error {
	last := time.Now()
	allowed := func(ctx context.Context) error {
		// A link may be revoked or expire while it is used.
		if err := k.guard.Still(ctx, secret); err != nil {
			return err
		}
		if time.Since(last) < heartbeat {
			return nil
		}
		last = time.Now()
		return send(&kinorderv1.RunUpdate{Sequence: after})
	}
	return k.desk.Watch(ctx, ref, after, allowed, func(u *run.Update) error {
		after, last = u.Sequence, time.Now()
		return send(run.Shared(u, grant.Reads(), func() encoded { return encode(updateToWire(access.Shown(grant, *u))) }))
	})
}
