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
	c.text("title", "check.title", c.e.Title)
	c.value("emphasis", "check.emphasis", int(c.e.Emphasis), int(event.EarlyRelease))
	c.value("fit", "check.fit", int(c.e.Fit), int(event.Safe))
	if c.e.Confidence != 0 {
		c.number("confidence", "check.confidenceInPercent", c.e.Confidence, 50, 99)
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
		c.id(at+".id", place{wording.Say("check.side", i+1), wording.Say("check.side3", i+1)}, s.ID, seen)
		c.text(at+".label", "check.label", s.Label, s.ID)
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
			c.fault(event.CodeMissing, at+".name", []string{p.ID}, "check.hasNoName", c.personAtStart(i))
		}
		c.id(at+".id", personAt(i, p), p.ID, seen)
		c.text(at+".name", "check.name", p.Name, p.ID)
		for k, n := range p.Nicknames {
			c.text(fmt.Sprintf("%s.nicknames[%d]", at, k), "check.nickname", n, p.ID)
		}
		c.text(at+".sayAs", "check.wayToSayTheName", p.SayAs, p.ID)
		c.text(at+".relation", "check.relation", p.Relation, p.ID)
		if p.Side != "" && !known[p.Side] {
			c.unknown(at+".side", "check.side2", p.Side, suggest, p.ID)
		}
		c.value(at+".ageBand", "check.ageBand", int(p.AgeBand), int(event.Infant), p.ID)
		if p.HeightCM != 0 {
			c.number(at+".heightCm", "check.heightInCentimetres", p.HeightCM, 30, 250, p.ID)
		}
		c.needs(at, p)
		c.presence(at, i, p)
		c.spans(at, p)
		c.interpreter(at, i, p)
		c.optional(at+".releaseWeight", "check.releaseWeight", p.ReleaseWeight, 0, 1000, p.ID)
		c.note(at+".privateNote", p.PrivateNote, p.ID)
	}
	c.sameNames()
}

// personAt describes a person by position, for a fault in the id.
func personAt(i int, p event.Person) place {
	if !event.Visible(p.Name) {
		return place{wording.Say("check.person", i+1), wording.Say("check.person4", i+1)}
	}
	return place{wording.Say("check.person2", i+1, event.Quoted(p.Name)), wording.Say("check.person3", i+1, event.Quoted(p.Name))}
}

func (c *checker) needs(at string, p event.Person) {
	for k, n := range p.Needs {
		field := fmt.Sprintf("%s.needs[%d]", at, k)
		if n == event.NoNeed {
			c.fault(event.CodeUnknownValue, field, []string{p.ID}, "check.needIsLeftOpen")
			continue
		}
		c.value(field, "check.need", int(n), int(event.Interpreter), p.ID)
	}
}

// presence checks the times between which a person is there.
func (c *checker) presence(at string, i int, p event.Person) {
	from, fromOK := c.time(at+".presentFrom", p.PresentFrom, p.ID)
	until, untilOK := c.time(at+".presentUntil", p.PresentUntil, p.ID)
	if fromOK && untilOK && !from.Before(until) {
		c.fault(event.CodeEndsBeforeStart, at+".presentUntil", []string{p.ID},
			"check.fromUntilWhichEndsBeforeIt",
			c.person(i), event.Quoted(p.PresentFrom), event.Quoted(p.PresentUntil))
	}
}

// sameNames warns about people whose names a caller could not tell apart.
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
			"check.haveTheSameName", c.person(j), c.person(i))
	}
}

func (c *checker) checkBlocks() {
	seen := make(map[string]wording.Message)
	for i, b := range c.e.Blocks {
		at := fmt.Sprintf("blocks[%d]", i)
		c.id(at+".id", place{wording.Say("check.block2", i+1), wording.Say("check.block3", i+1)}, b.ID, seen)
		c.text(at+".title", "check.title", b.Title, b.ID)
		c.text(at+".place", "check.place", b.Place, b.ID)
		c.value(at+".closing", "check.closing", int(b.Closing), int(event.FirmClosing), b.ID)
		c.optional(at+".overrunMinutes", "check.overrunMinutes", b.Overrun, 0, 240, b.ID)
		c.text(at+".photographer", "check.photographer", b.Photographer, b.ID)
		c.value(at+".light", "check.light", int(b.Light), int(event.DimLight), b.ID)
		c.number(at+".capacity", "check.capacity", b.Capacity, 0, event.MaxPeople, b.ID)
		c.space(at+".space", b.Space, b.ID)
		opens, opensOK := c.time(at+".opens", b.Opens, b.ID)
		closes, closesOK := c.time(at+".closes", b.Closes, b.ID)
		if opensOK && closesOK && !opens.Before(closes) {
			c.fault(event.CodeEndsBeforeStart, at+".closes", []string{b.ID},
				"check.blockOpensAtAndClosesAt",
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
		{"widthCm", "standing.widthOfTheSpaceInCentimetres", s.WidthCM, MinSpanCM, MaxSpanCM},
		{"depthCm", "standing.depthOfTheSpaceInCentimetres", s.DepthCM, MinSpanCM, MaxSpanCM},
		{"cameraHeightCm", "standing.heightOfTheLensInCentimetres", s.CameraHeightCM, minLensCM, maxLensCM},
		{"cameraDistanceCm", "standing.distanceOfTheLensInCentimetres", s.CameraDistanceCM, MinSpanCM, MaxSpanCM},
		{"stepCm", "standing.heightOfAStepInCentimetres", s.StepCM, minStepCM, maxStepCM},
	} {
		if v.value != 0 {
			c.number(at+"."+v.field, v.what, v.value, v.low, v.up, id)
		}
	}
	c.number(at+".chairs", "standing.numberOfChairs2", s.Chairs, 0, maxChairs, id)
	c.number(at+".steps", "standing.numberOfSteps2", s.Steps, 0, maxSteps, id)
	if s.Steps > 0 && s.StepCM == 0 {
		c.fault(event.CodeMissing, at+".stepCm", []string{id}, "standing.spaceHasStepsAndNoHeight")
	}
}

func (c *checker) checkPace() {
	p := c.e.Pace
	for _, s := range []struct {
		field string
		value *int
		most  int
	}{
		{"settleSeconds", p.SettleSeconds, event.MaxPaceSeconds}, {"perStepInSeconds", p.PerStepInSeconds, event.MaxStepSeconds},
		{"perStepOutSeconds", p.PerStepOutSeconds, event.MaxStepSeconds}, {"freshSeconds", p.FreshSeconds, event.MaxPaceSeconds},
		{"perFrameSeconds", p.PerFrameSeconds, event.MaxFrameSeconds}, {"elderSeconds", p.ElderSeconds, event.MaxPaceSeconds},
		{"childSeconds", p.ChildSeconds, event.MaxPaceSeconds}, {"infantSeconds", p.InfantSeconds, event.MaxPaceSeconds},
		{"wheelchairSeconds", p.WheelchairSeconds, event.MaxPaceSeconds}, {"openingSeconds", p.OpeningSeconds, event.MaxPaceSeconds},
		{"fetchSeconds", p.FetchSeconds, event.MaxPaceSeconds},
	} {
		c.setting("pace."+s.field, s.value, s.most)
	}
	c.value("pace.calling", "check.calling", int(p.Calling), int(event.EverybodyWaits), "")
	c.setting("pace.slotSpreadPercent", p.SlotSpreadPercent, 200)
	c.setting("pace.daySpreadPercent", p.DaySpreadPercent, 200)
	c.optional("pace.framesConfidence", "check.confidenceInPercentThatOneFrame", p.FramesConfidence, 50, 99)
	for i, a := range p.Arrange {
		at := fmt.Sprintf("pace.arrange[%d]", i)
		c.number(at+".newcomers", "check.numberOfNewcomers", a.Newcomers, 0, event.MaxPeople)
		c.number(at+".seconds", "check.timeInSeconds", a.Seconds, 0, event.MaxPaceSeconds)
		if i > 0 && a.Newcomers <= p.Arrange[i-1].Newcomers {
			c.fault(event.CodeBadTable, at+".newcomers", nil, "check.arrangeTableGoesFromNewcomersTo", p.Arrange[i-1].Newcomers, a.Newcomers)
		}
	}
	for i, f := range p.Frames {
		at := fmt.Sprintf("pace.frames[%d]", i)
		c.number(at+".people", "check.numberOfPeople", f.People, 1, event.MaxPeople)
		c.number(at+".frames", "check.numberOfFrames", f.Frames, 1, 500)
		if i > 0 && f.People <= p.Frames[i-1].People {
			c.fault(event.CodeBadTable, at+".people", nil, "check.framesTableGoesFromPeopleTo", p.Frames[i-1].People, f.People)
		}
	}
}

// setting checks a value of the pace or the weights, which may be absent.
func (c *checker) setting(field string, n *int, most int) {
	if n != nil && (*n < 0 || *n > most) {
		c.fault(event.CodeOutOfRange, field, nil, "check.mustBeFromTo", field, *n, 0, most)
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
		c.setting("weights."+v.field, v.value, 1000)
	}
}

// minutes checks the minutes that override the model. Not-a-number fails every comparison.
func (c *checker) minutes(at string, m *float64, id string) {
	if m != nil && !(*m > 0 && *m <= 240 && !math.IsInf(*m, 0)) {
		c.fault(event.CodeOutOfRange, at+".minutes", []string{id}, "check.minutesAre", fmt.Sprintf("%g", *m))
	}
}

// Limits of a Space.
const (
	MinSpanCM, MaxSpanCM = 100, 10_000
	minStepCM, maxStepCM = 5, 60
	minLensCM, maxLensCM = 30, 600
	maxChairs, maxSteps  = 200, 2
)
