package fields

import (
	"strings"

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

// readRoom reads the fields, each by its name.
func readRoom(at func(name string) string) Room {
	return Room{
		Width: at("width"), Depth: at("depth"), Chairs: at("chairs"), Steps: at("steps"), Step: at("step"),
		Kneeling: at("kneeling") != "", Ground: at("ground") != "",
	}
}

// apply puts the fields into a space; what has no field stays as it is.
func (r Room) apply(s *event.Space, number func(name string, what wording.Key, text string) int) {
	s.WidthCM, s.DepthCM = number("width", "standing.roomAcross", r.Width), number("depth", "standing.roomFromFrontToBack", r.Depth)
	s.Chairs, s.Steps = number("chairs", "standing.numberOfChairs", r.Chairs), number("steps", "standing.numberOfSteps", r.Steps)
	s.StepCM = number("step", "standing.heightOfAStep", r.Step)
	s.Kneeling, s.Ground = r.Kneeling, r.Ground
}

// hidden lists the fields for a page that does not show them.
func (r Room) hidden() []Hidden {
	out := []Hidden{{"width", r.Width}, {"depth", r.Depth}, {"chairs", r.Chairs}, {"steps", r.Steps}, {"step", r.Step}}
	if r.Kneeling {
		out = append(out, Hidden{"kneeling", "1"})
	}
	if r.Ground {
		out = append(out, Hidden{"ground", "1"})
	}
	return out
}

// roomField returns the name of the field for a place in a block, empty when it is none of these.
func roomField(place string) string {
	name, in := strings.CutPrefix(place, "space.")
	if !in {
		return ""
	}
	return map[string]string{
		"widthCm": "width", "depthCm": "depth", "chairs": "chairs", "steps": "steps", "stepCm": "step",
	}[name]
}
