package check

import (
	"fmt"
	"math"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// checkDay checks title, date, time zone and emphasis, and sets the clock when it can be read.
func (c *checker) checkDay() {
	c.text("title", "title", c.e.Title)
	c.value("emphasis", "emphasis", int(c.e.Emphasis), int(event.EarlyRelease))
	c.value("fit", "fit", int(c.e.Fit), int(event.Safe))
	if c.e.Confidence != 0 {
		c.number("confidence", "confidence in percent", c.e.Confidence, 50, 99)
	}
	if _, err := c.e.Location(); err != nil {
		c.add(event.Error, event.CodeBadTimeZone, "timeZone", nil, event.MessageOf(err))
	}
	utc := event.Event{Date: c.e.Date}
	if _, err := utc.Clock(); err != nil {
		c.add(event.Error, event.CodeBadDate, "date", nil, event.MessageOf(err))
	}
	if clock, err := c.e.Clock(); err == nil {
		c.clock = &clock
	}
}

func (c *checker) checkSides() {
	seen := make(map[string]wording.Message)
	for i, s := range c.e.Sides {
		at := fmt.Sprintf("sides[%d]", i)
		c.id(at+".id", place{wording.Say("Side %d", i+1), wording.Say("side %d", i+1)}, s.ID, seen)
		c.text(at+".label", "label", s.Label, s.ID)
	}
}

func (c *checker) checkPeople() {
	var sides []string
	for _, s := range c.e.Sides {
		sides = append(sides, s.ID)
	}
	known, suggest := setOf(sides), kin.NewWords(sides)
	seen := make(map[string]wording.Message)
	for i, p := range c.e.People {
		at := fmt.Sprintf("people[%d]", i)
		if !event.Visible(p.Name) {
			c.fault(event.CodeMissing, at+".name", []string{p.ID}, "%s has no name: write it as it is to be printed.", c.r.PersonAtStart(i))
		}
		c.id(at+".id", personAt(i, p), p.ID, seen)
		c.text(at+".name", "name", p.Name, p.ID)
		for k, n := range p.Nicknames {
			c.text(fmt.Sprintf("%s.nicknames[%d]", at, k), "nickname", n, p.ID)
		}
		c.text(at+".sayAs", "way to say the name", p.SayAs, p.ID)
		c.text(at+".relation", "relation", p.Relation, p.ID)
		if p.Side != "" && !known[p.Side] {
			c.unknown(at+".side", "side", p.Side, suggest, p.ID)
		}
		c.value(at+".ageBand", "age band", int(p.AgeBand), int(event.Infant), p.ID)
		if p.HeightCM != 0 {
			c.number(at+".heightCm", "height in centimetres", p.HeightCM, 30, 250, p.ID)
		}
		c.needs(at, p)
		c.presence(at, i, p)
		c.spans(at, p)
		c.interpreter(at, i, p)
		c.optional(at+".releaseWeight", "release weight", p.ReleaseWeight, 0, 1000, p.ID)
		c.note(at+".privateNote", p.PrivateNote, p.ID)
	}
	c.sameNames()
}

// personAt describes a person by position, for a fault in the id.
func personAt(i int, p event.Person) place {
	if !event.Visible(p.Name) {
		return place{wording.Say("Person %d", i+1), wording.Say("person %d", i+1)}
	}
	return place{wording.Say("Person %d (%s)", i+1, event.Quoted(p.Name)), wording.Say("person %d (%s)", i+1, event.Quoted(p.Name))}
}

func (c *checker) needs(at string, p event.Person) {
	for k, n := range p.Needs {
		field := fmt.Sprintf("%s.needs[%d]", at, k)
		if n == event.NoNeed {
			c.fault(event.CodeUnknownValue, field, []string{p.ID}, "A need is left open: write seat, wheelchair, step_free or interpreter, or take it out.")
			continue
		}
		c.value(field, "need", int(n), int(event.Interpreter), p.ID)
	}
}

// presence checks the times between which a person is there.
func (c *checker) presence(at string, i int, p event.Person) {
	from, fromOK := c.time(at+".presentFrom", p.PresentFrom, p.ID)
	until, untilOK := c.time(at+".presentUntil", p.PresentUntil, p.ID)
	if fromOK && untilOK && !from.Before(until) {
		c.fault(event.CodeEndsBeforeStart, at+".presentUntil", []string{p.ID},
			"%s is there from %s until %s, which ends before it begins: correct one of the two; a time after midnight needs its date, as 2026-06-21T00:30:00+01:00.",
			c.r.Person(i), event.Quoted(p.PresentFrom), event.Quoted(p.PresentUntil))
	}
}

// sameNames warns about people whom a reader could not call one by one.
func (c *checker) sameNames() {
	type call struct{ name, sayAs, relation string }
	first := make(map[call]int)
	for i, p := range c.e.People {
		if !event.Visible(p.Name) || p.Absent {
			continue
		}
		k := call{kin.Fold(p.Name), kin.Fold(p.SayAs), kin.Fold(p.Relation)}
		j, double := first[k]
		if !double {
			first[k] = i
			continue
		}
		c.warn(event.CodeSameName, fmt.Sprintf("people[%d].name", i), []string{c.e.People[j].ID, p.ID},
			"%s and %s have the same name: give each a relation, so that the reader calls the right one.", c.r.Person(j), c.r.Person(i))
	}
}

func (c *checker) checkBlocks() {
	seen := make(map[string]wording.Message)
	for i, b := range c.e.Blocks {
		at := fmt.Sprintf("blocks[%d]", i)
		c.id(at+".id", place{wording.Say("Block %d", i+1), wording.Say("block %d", i+1)}, b.ID, seen)
		c.text(at+".title", "title", b.Title, b.ID)
		c.text(at+".place", "place", b.Place, b.ID)
		c.text(at+".photographer", "photographer", b.Photographer, b.ID)
		c.value(at+".light", "light", int(b.Light), int(event.DimLight), b.ID)
		c.number(at+".capacity", "capacity", b.Capacity, 0, event.MaxPeople, b.ID)
		c.space(at+".space", b.Space, b.ID)
		opens, opensOK := c.time(at+".opens", b.Opens, b.ID)
		closes, closesOK := c.time(at+".closes", b.Closes, b.ID)
		if opensOK && closesOK && !opens.Before(closes) {
			c.fault(event.CodeEndsBeforeStart, at+".closes", []string{b.ID},
				"The block opens at %s and closes at %s, which is not later: correct one of the two; a time after midnight needs its date, as 2026-06-21T00:30:00+01:00.",
				event.Quoted(b.Opens), event.Quoted(b.Closes))
		}
	}
}

// space checks the room of a block.
func (c *checker) space(at string, s event.Space, id string) {
	for _, v := range []struct {
		field          string
		what           wording.Key
		value, low, up int
	}{
		{"widthCm", "width of the space in centimetres", s.WidthCM, MinSpanCM, MaxSpanCM},
		{"depthCm", "depth of the space in centimetres", s.DepthCM, MinSpanCM, MaxSpanCM},
		{"cameraHeightCm", "height of the lens in centimetres", s.CameraHeightCM, minLensCM, maxLensCM},
		{"cameraDistanceCm", "distance of the lens in centimetres", s.CameraDistanceCM, MinSpanCM, MaxSpanCM},
		{"stepCm", "height of a step in centimetres", s.StepCM, minStepCM, maxStepCM},
	} {
		if v.value != 0 {
			c.number(at+"."+v.field, v.what, v.value, v.low, v.up, id)
		}
	}
	c.number(at+".chairs", "number of chairs", s.Chairs, 0, maxChairs, id)
	c.number(at+".steps", "number of steps", s.Steps, 0, maxSteps, id)
	if s.Steps > 0 && s.StepCM == 0 {
		c.fault(event.CodeMissing, at+".stepCm", []string{id}, "The space has steps and no height of them: write stepCm, for example 17.")
	}
}

// paceSeconds lists the plain seconds of a pace with their field names.
func paceSeconds(p event.Pace) []struct {
	field string
	value *int
} {
	return []struct {
		field string
		value *int
	}{
		{"settleSeconds", p.SettleSeconds}, {"perStepInSeconds", p.PerStepInSeconds},
		{"perStepOutSeconds", p.PerStepOutSeconds}, {"freshSeconds", p.FreshSeconds},
		{"perFrameSeconds", p.PerFrameSeconds}, {"elderSeconds", p.ElderSeconds},
		{"childSeconds", p.ChildSeconds}, {"infantSeconds", p.InfantSeconds},
		{"wheelchairSeconds", p.WheelchairSeconds},
	}
}

func (c *checker) checkPace() {
	const most = 3600
	p := c.e.Pace
	for _, s := range paceSeconds(p) {
		c.setting("pace."+s.field, s.value, 0, most)
	}
	c.setting("pace.slotSpreadPercent", p.SlotSpreadPercent, 0, 200)
	c.setting("pace.daySpreadPercent", p.DaySpreadPercent, 0, 200)
	c.optional("pace.framesConfidence", "confidence in percent that one frame is free of blinks", p.FramesConfidence, 50, 99)
	for i, a := range p.Arrange {
		at := fmt.Sprintf("pace.arrange[%d]", i)
		c.number(at+".newcomers", "number of newcomers", a.Newcomers, 0, event.MaxPeople)
		c.number(at+".seconds", "time in seconds", a.Seconds, 0, most)
		if i > 0 && a.Newcomers <= p.Arrange[i-1].Newcomers {
			c.fault(event.CodeBadTable, at+".newcomers", nil, "The arrange table goes from %d newcomers to %d: list its points by rising number, each once.", p.Arrange[i-1].Newcomers, a.Newcomers)
		}
	}
	for i, f := range p.Frames {
		at := fmt.Sprintf("pace.frames[%d]", i)
		c.number(at+".people", "number of people", f.People, 1, event.MaxPeople)
		c.number(at+".frames", "number of frames", f.Frames, 1, 500)
		if i > 0 && f.People <= p.Frames[i-1].People {
			c.fault(event.CodeBadTable, at+".people", nil, "The frames table goes from %d people to %d: list its points by rising number, each once.", p.Frames[i-1].People, f.People)
		}
	}
}

// setting checks a value of the pace or the weights, which may be absent.
func (c *checker) setting(field string, n *int, least, most int) {
	if n != nil && (*n < least || *n > most) {
		c.fault(event.CodeOutOfRange, field, nil, "%s is %d: it must be from %d to %d.", field, *n, least, most)
	}
}

func (c *checker) checkWeights() {
	w := c.e.Weights
	for _, v := range []struct {
		field string
		value *int
	}{
		{"step", w.Step}, {"releaseAdult", w.ReleaseAdult}, {"releaseChild", w.ReleaseChild},
		{"releaseInfant", w.ReleaseInfant}, {"releaseElder", w.ReleaseElder},
		{"releaseNeed", w.ReleaseNeed}, {"idle", w.Idle},
	} {
		c.setting("weights."+v.field, v.value, 0, 1000)
	}
}

// minutes checks the minutes that override the model. Not-a-number fails every comparison.
func (c *checker) minutes(at string, m *float64, id string) {
	if m != nil && !(*m > 0 && *m <= 240 && !math.IsInf(*m, 0)) {
		c.fault(event.CodeOutOfRange, at+".minutes", []string{id}, "The minutes are %s: they must be above 0 and at most 240.", fmt.Sprintf("%g", *m))
	}
}

// Limits of a Space.
const (
	MinSpanCM, MaxSpanCM = 100, 10_000
	minStepCM, maxStepCM = 5, 60
	minLensCM, maxLensCM = 30, 600
	maxChairs, maxSteps  = 200, 2
)
