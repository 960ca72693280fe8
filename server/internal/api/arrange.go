package api

import (
	"cmp"
	"context"
	"errors"
	"slices"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/diagram"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/placing"
	"kinorder.example/solver/standing"
)

// Arrange answers Planner.Arrange. It waits for a place as searches do.
func (s *Service) Arrange(ctx context.Context, req *kinorderv1.ArrangeRequest) (*kinorderv1.ArrangeResponse, error) {
	if req.GetEvent() == nil {
		return nil, missing("event")
	}
	if req.GetGrouping() == "" {
		return nil, missing("grouping")
	}
	var r reader
	e := r.event(req.GetEvent())
	if faults := append(r.faults, event.Faults(event.Check(e))...); len(faults) > 0 {
		return nil, &event.InvalidError{Faults: event.Anonymous(e, faults)}
	}
	leave, err := s.gate.Enter(ctx)
	if err != nil {
		return nil, err
	}
	defer leave()
	plan, err := placing.Arrange(e, req.GetGrouping(), spaceFromWire(req.GetSpace()))
	var invalid *event.InvalidError
	if errors.As(err, &invalid) {
		return nil, &invalidRequestError{invalid.Faults}
	}
	if err != nil {
		return nil, unquoted("arrange", err)
	}
	svg, err := diagram.SVG(plan.Plan, plan.Names(), diagram.English())
	if err != nil {
		return nil, unquoted("arrange", err)
	}
	return arrangementToWire(plan, svg), nil
}

func spaceFromWire(w *kinorderv1.StandingSpace) standing.Space {
	return standing.Space{
		WidthCM: int(w.GetWidthCm()), DepthCM: int(w.GetDepthCm()), Ground: w.GetGround(), Kneeling: w.GetKneeling(),
		Chairs: int(w.GetChairs()), Steps: int(w.GetSteps()), StepCM: int(w.GetStepCm()),
		CameraHeightCM: int(w.GetCameraHeightCm()), CameraDistanceCM: int(w.GetCameraDistanceCm()),
	}
}

var postures = map[standing.Posture]kinorderv1.Posture{
	standing.Standing: kinorderv1.Posture_POSTURE_STANDING, standing.OnGround: kinorderv1.Posture_POSTURE_ON_GROUND,
	standing.Kneeling: kinorderv1.Posture_POSTURE_KNEELING, standing.OnChair: kinorderv1.Posture_POSTURE_ON_CHAIR,
	standing.InWheelchair: kinorderv1.Posture_POSTURE_IN_WHEELCHAIR, standing.OnStep: kinorderv1.Posture_POSTURE_ON_STEP,
	standing.OnSecondStep: kinorderv1.Posture_POSTURE_ON_SECOND_STEP, standing.Held: kinorderv1.Posture_POSTURE_HELD,
}

func arrangementToWire(p placing.Plan, svg string) *kinorderv1.ArrangeResponse {
	out := &kinorderv1.ArrangeResponse{
		Warnings: each(p.Warnings, func(w standing.Warning) string { return w.String() }), Svg: svg,
		WidthCm: narrow(p.WidthCM), DepthCm: narrow(p.DepthCM), HeightCm: narrow(p.HeightCM), Proven: p.Exact,
	}
	people := make([]int, len(p.Places))
	for q := range people {
		people[q] = q
	}
	slices.SortStableFunc(people, func(a, b int) int {
		return cmp.Or(cmp.Compare(p.Places[a].Order, p.Places[b].Order), cmp.Compare(p.Places[a].HeldBy, p.Places[b].HeldBy))
	})
	for row := range p.Rows {
		w := &kinorderv1.StandingRow{}
		for _, q := range people {
			if at := p.Places[q]; at.Row == row {
				place := &kinorderv1.StandingPlace{
					Person: text(p.People[q].ID), XCm: narrow(at.XCM), Posture: postures[at.Posture], HeadCm: narrow(at.HeadCM), HeightGuessed: at.Guessed,
				}
				if at.HeldBy >= 0 {
					place.HeldBy = text(p.People[at.HeldBy].ID)
				}
				w.Places = append(w.Places, place)
			}
		}
		out.Rows = append(out.Rows, w)
	}
	return out
}
