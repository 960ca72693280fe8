package web

import (
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// roomForm is the room of a block to stand in, as it stands on the page. Lengths are in centimetres.
type roomForm struct {
	Width, Depth, Chairs, Steps, Step string
	Kneeling, Ground                  bool
}

func roomOf(s event.Space) roomForm {
	return roomForm{
		Width: numberText(s.WidthCM), Depth: numberText(s.DepthCM), Chairs: numberText(s.Chairs), Steps: numberText(s.Steps),
		Step: numberText(s.StepCM), Kneeling: s.Kneeling, Ground: s.Ground,
	}
}

// readRoom reads the fields, each by its name.
func readRoom(at func(name string) string) roomForm {
	return roomForm{
		Width: at("width"), Depth: at("depth"), Chairs: at("chairs"), Steps: at("steps"), Step: at("step"),
		Kneeling: at("kneeling") != "", Ground: at("ground") != "",
	}
}

// apply puts the fields into a space; what has no field stays as it is.
func (r roomForm) apply(s *event.Space, number func(name string, what wording.Key, text string) int) {
	s.WidthCM, s.DepthCM = number("width", "standing.roomAcross", r.Width), number("depth", "standing.roomFromFrontToBack", r.Depth)
	s.Chairs, s.Steps = number("chairs", "standing.numberOfChairs", r.Chairs), number("steps", "standing.numberOfSteps", r.Steps)
	s.StepCM = number("step", "standing.heightOfAStep", r.Step)
	s.Kneeling, s.Ground = r.Kneeling, r.Ground
}

// hidden lists the fields for a page that does not show them.
func (r roomForm) hidden() []hiddenField {
	out := []hiddenField{{"width", r.Width}, {"depth", r.Depth}, {"chairs", r.Chairs}, {"steps", r.Steps}, {"step", r.Step}}
	if r.Kneeling {
		out = append(out, hiddenField{"kneeling", "1"})
	}
	if r.Ground {
		out = append(out, hiddenField{"ground", "1"})
	}
	return out
}

// fields are those of the page, with a box to tick for what is there or not.
func (r roomForm) fields(at func(string) string, field fieldMaker) ([]fieldView, []tickView) {
	return []fieldView{
			field(at("width"), wording.Say("standing.roomToStandAcrossCm"), r.Width, "number", "standing.emptyAsWideAsIsWanted"),
			field(at("depth"), wording.Say("standing.roomToStandFrontToBack"), r.Depth, "number", "standing.emptyAsDeepAsIsWanted"),
			field(at("chairs"), wording.Say("standing.chairsForAFrontRow"), r.Chairs, "number", ""),
			field(at("steps"), wording.Say("standing.stepsToStandOn0To"), r.Steps, "number", "standing.firmAndLevelOnesByThe"),
			field(at("step"), wording.Say("standing.heightOfAStepCm"), r.Step, "number", ""),
		}, []tickView{
			{field(at("kneeling"), wording.Say("standing.frontRowMayKneel"), "1", "checkbox", ""), r.Kneeling},
			{field(at("ground"), wording.Say("standing.frontRowMaySitOnThe"), "1", "checkbox", ""), r.Ground},
		}
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
