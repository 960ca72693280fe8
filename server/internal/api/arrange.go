package api

import (
	"context"
	"errors"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/diagram"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/placing"
	"kinorder.example/solver/standing"
)

// Arrange answers Planner.Arrange. It waits for a place as searches do, and ends with the best it has a little
// before the caller's deadline.
func (s *Service) Arrange(ctx context.Context, req *kinorderv1.ArrangeRequest) (*kinorderv1.ArrangeResponse, error) {
	e, err := soundEvent(req.GetEvent(), "event")
	if err != nil {
		return nil, err
	}
	if req.GetGrouping() == "" {
		return nil, missing("grouping")
	}
	ctx, leave, err := s.enter(ctx)
	if err != nil {
		return nil, err
	}
	defer leave()
	space := fromWire[*event.Space](new(reader), req.GetSpace(), nil)
	plan, err := placing.Arrange(ctx, e, req.GetGrouping(), space)
	var invalid *event.InvalidError
	if errors.As(err, &invalid) {
		return nil, &invalidRequestError{invalid.Faults}
	}
	if err != nil {
		return nil, unquoted("arrange", err)
	}
	svg, err := diagram.SVG(plan.Standing(), namesOf(e), diagram.English(), diagram.Options{})
	if err != nil {
		return nil, unquoted("arrange", err)
	}
	return arrangementToWire(plan, svg), nil
}

// soundEvent reads an event in which nothing is an error from a field of a request.
func soundEvent(w *kinorderv1.Event, field string) (event.Event, error) {
	if w == nil {
		return event.Event{}, missing(field)
	}
	var r reader
	e := r.event(w)
	if faults := append(r.faults, event.Faults(check.Event(e))...); len(faults) > 0 {
		return event.Event{}, faulty(e, field, faults)
	}
	return e, nil
}

// faulty says what is wrong with an event in a field of a request, and names ids instead of people.
func faulty(e event.Event, field string, faults []event.Advice) error {
	return &event.InvalidError{Faults: under(field+".", check.Anonymous(e, faults))}
}

func namesOf(e event.Event) map[string]string {
	names := make(map[string]string, len(e.People))
	for _, p := range e.People {
		names[p.ID] = p.Name
	}
	return names
}

func arrangementToWire(p placing.Plan, svg string) *kinorderv1.ArrangeResponse {
	s := p.Standing()
	return &kinorderv1.ArrangeResponse{
		Rows: written[kinorderv1.StandingRow](s.Rows), Svg: svg,
		Warnings: each(p.Warnings, func(w standing.Warning) string { return w.String() }),
		WidthCm:  narrow(p.WidthCM), DepthCm: narrow(p.DepthCM), HeightCm: narrow(p.HeightCM), Proven: p.Exact,
	}
}
