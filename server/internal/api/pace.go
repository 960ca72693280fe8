package api

import (
	"context"
	"errors"
	"fmt"
	"slices"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/planning/learn"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/wording"
)

// maxMarks is how many marks of one run FitPace looks at.
const maxMarks = 20_000

// FitPace answers Planner.FitPace. It waits for a place as searches do.
func (s *Service) FitPace(ctx context.Context, req *kinorderv1.FitPaceRequest) (*kinorderv1.FitPaceResponse, error) {
	if len(req.GetRuns()) == 0 {
		return nil, missing("runs")
	}
	days, err := pastDays(req.GetRuns())
	if err != nil {
		return nil, err
	}
	ctx, leave, err := s.enter(ctx)
	if err != nil {
		return nil, err
	}
	defer leave()
	found, err := learn.Pace(ctx, days)
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	var invalid *event.InvalidError
	if errors.As(err, &invalid) {
		// Their texts may name guests, and a status is kept by proxies and logs.
		return nil, &invalidRequestError{each(invalid.Faults, func(f event.Advice) event.Advice {
			return event.Advice{Code: f.Code, Severity: f.Severity, Field: f.Field, Message: wording.Said("has a fault; check the event on its own")}
		})}
	}
	if err != nil {
		return nil, unquoted("fit pace", err)
	}
	out := &kinorderv1.FitPaceResponse{Pace: toWire[kinorderv1.StudioPace](found)}
	if len(found.Parameters) > 0 {
		out.Content = intake.WritePace(found)
	}
	return out, nil
}

// pastDays reads runs. Marks that affect neither times nor people of photographs are skipped.
func pastDays(runs []*kinorderv1.FinishedRun) ([]learn.Day, error) {
	if len(runs) > learn.MaxDays {
		return nil, invalidRequest("runs", event.CodeTooMany, fmt.Sprintf("holds %d runs, and %d is the most: leave the oldest out", len(runs), learn.MaxDays))
	}
	var around reader
	var days []learn.Day
	timed := 0
	for i, w := range runs {
		at := fmt.Sprintf("runs[%d].", i)
		if w.GetEvent() == nil {
			around.fault(at+"event", event.CodeMissing, "is missing: send it")
			continue
		}
		if n := len(w.GetMarks()); n > maxMarks {
			around.fault(at+"marks", event.CodeTooMany, fmt.Sprintf("holds %d marks, and %d is the most", n, maxMarks))
			continue
		}
		var within reader
		e := within.event(w.GetEvent())
		around.faults = append(around.faults, under(at+"event.", within.faults)...)
		var marked reader
		marks := eachAt(w.GetMarks(), marked.mark)
		around.faults = append(around.faults, under(at, marked.faults)...)
		state := run.Fold(marks)
		day := learn.Day{Event: e, Slots: state.Slots, Added: state.AddedTo(e), With: state.With(), Without: map[string][]string{}}
		day.Event.People = slices.Concat(e.People, state.Newcomers(e))
		for id, p := range state.Groupings {
			day.Without[id] = p.Without
		}
		if timed += len(state.Slots); timed > learn.MaxTimed {
			around.fault(at+"marks", event.CodeTooMany, fmt.Sprintf("has the %dth photograph that was timed, and %d is the most: leave the oldest runs out", timed, learn.MaxTimed))
			break
		}
		days = append(days, day)
	}
	if len(around.faults) > 0 {
		return nil, &invalidRequestError{around.faults}
	}
	return days, nil
}

// ApplyPace answers Planner.ApplyPace.
func (s *Service) ApplyPace(_ context.Context, req *kinorderv1.ApplyPaceRequest) (*kinorderv1.ApplyPaceResponse, error) {
	if req.GetEvent() == nil {
		return nil, missing("event")
	}
	if len(req.GetContent()) == 0 {
		return nil, missing("content")
	}
	var within reader
	e := within.event(req.GetEvent())
	if len(within.faults) > 0 {
		return nil, faulty(e, "event", within.faults)
	}
	found, problems, err := intake.ReadPace(req.GetContent())
	if err != nil {
		return nil, &tooLargeError{what: "the pace file", size: len(req.GetContent()), limit: intake.MaxPace}
	}
	out := &kinorderv1.ApplyPaceResponse{Problems: written[kinorderv1.ImportProblem](problems), Pace: toWire[kinorderv1.StudioPace](found)}
	sound := true
	for _, p := range problems {
		sound = sound && p.Severity != event.Error
	}
	if sound {
		e.Pace = e.Pace.With(found.Pace)
	}
	out.Event = eventToWire(e)
	return out, nil
}
