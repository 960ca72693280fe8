package fields

import (
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// Room is the room of a block to stand in, as it stands on the page. Lengths are in centimetres.
type Room struct {
	Width, Depth, Chairs, Steps, Step string
	Kneeling, Ground                  bool
}

func roomOf(s event.Space) Room {
	return Room{
		Width: numberText(s.WidthCM), Depth: numberText(s.DepthCM), Chairs: numberText(s.Chairs), Steps: numberText(s.Steps),
		Step: numberText(s.StepCM), Kneeling: s.Kneeling, Ground: s.Ground,
	}
}

// apply puts the fields into a space; what has no field stays as it is.
func (r Room) apply(s *event.Space, number func(name string, what wording.Key, text string) int) {
	s.WidthCM, s.DepthCM = number("width", "standing.roomAcross", r.Width), number("depth", "standing.roomFromFrontToBack", r.Depth)
	s.Chairs, s.Steps = number("chairs", "standing.numberOfChairs", r.Chairs), number("steps", "standing.numberOfSteps", r.Steps)
	s.StepCM = number("step", "standing.heightOfAStep", r.Step)
	s.Kneeling, s.Ground = r.Kneeling, r.Ground
}
