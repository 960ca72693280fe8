package planning

import (
	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
)

// The defaults of the minutes model, in seconds. All are common practice, no source; together they
// land where photographers' own rules of thumb do (the tests state these), and a studio replaces
// any of them in the event's pace.
//
//	slot(i, j) = settle + perStepIn·in + perStepOut·out + slowest walker
//	           + arrange(in) + (fresh when nobody stays) + frames(|j|)·perFrame
//
// with in and out the people walking in and out between grouping i and grouping j.
const (
	// defaultSettle: thanking, looking at the list, calling the names, a test frame.
	defaultSettle = 34
	// defaultPerStepIn and defaultPerStepOut: people walk at the same time, so each one adds
	// little beside being placed.
	defaultPerStepIn  = 2
	defaultPerStepOut = 1
	// defaultFresh: nobody stands there to build on, and lens, light and ground are set anew.
	defaultFresh = 26
	// defaultPerFrame: a frame, a look at it, a word to the group.
	defaultPerFrame = 3
	// Extra time for the slowest of those who walk in.
	defaultElder      = 10
	defaultChild      = 10
	defaultInfant     = 15
	defaultWheelchair = 20
)

// defaultArrange is the time to place newcomers. It leaps where a row is added: at 7, 16, 31
// and 61 people. Common practice, no source.
var defaultArrange = []event.ArrangePoint{
	{Newcomers: 0, Seconds: 0}, {Newcomers: 1, Seconds: 15}, {Newcomers: 2, Seconds: 48},
	{Newcomers: 6, Seconds: 80}, {Newcomers: 7, Seconds: 94}, {Newcomers: 15, Seconds: 170},
	{Newcomers: 16, Seconds: 191}, {Newcomers: 30, Seconds: 222}, {Newcomers: 31, Seconds: 315},
	{Newcomers: 60, Seconds: 315}, {Newcomers: 61, Seconds: 375},
}

// defaultFrames is how many frames are taken from a number of people upwards: more people, more
// blinks. Common practice, no source.
var defaultFrames = []event.FramesPoint{
	{People: 1, Frames: 3}, {People: 4, Frames: 4}, {People: 8, Frames: 5}, {People: 11, Frames: 7},
	{People: 16, Frames: 9}, {People: 21, Frames: 12}, {People: 31, Frames: 15},
}

// portraitFrames is for groupings that are one of a circle, one by one: one frame upright, one
// across. Common practice, no source.
const portraitFrames = 2

// minutesModel is the pace of an event with the defaults filled in.
type minutesModel struct {
	settle, perStepIn, perStepOut, fresh, perFrame int
	elder, child, infant, wheelchair               int
	arrange                                        []event.ArrangePoint
	frames                                         []event.FramesPoint
}

func newMinutesModel(p event.Pace) minutesModel {
	m := minutesModel{
		settle:     valueOr(p.SettleSeconds, defaultSettle),
		perStepIn:  valueOr(p.PerStepInSeconds, defaultPerStepIn),
		perStepOut: valueOr(p.PerStepOutSeconds, defaultPerStepOut),
		fresh:      valueOr(p.FreshSeconds, defaultFresh),
		perFrame:   valueOr(p.PerFrameSeconds, defaultPerFrame),
		elder:      valueOr(p.ElderSeconds, defaultElder),
		child:      valueOr(p.ChildSeconds, defaultChild),
		infant:     valueOr(p.InfantSeconds, defaultInfant),
		wheelchair: valueOr(p.WheelchairSeconds, defaultWheelchair),
		arrange:    defaultArrange,
		frames:     defaultFrames,
	}
	if len(p.Arrange) > 0 {
		m.arrange = p.Arrange
	}
	if len(p.Frames) > 0 {
		m.frames = p.Frames
	}
	return m
}

func valueOr(v *int, otherwise int) int {
	if v == nil {
		return otherwise
	}
	return *v
}

// timing returns the model as the solver wants it, with the table of newcomers filled to most.
func (m minutesModel) timing(most int) solver.Timing {
	t := solver.Timing{
		Settle:     solver.Seconds(m.settle),
		PerStepIn:  solver.Seconds(m.perStepIn),
		PerStepOut: solver.Seconds(m.perStepOut),
		Fresh:      solver.Seconds(m.fresh),
	}
	for n := range most + 1 {
		t.Arrange = append(t.Arrange, solver.Seconds(m.arrangeSeconds(n)))
	}
	return t
}

// arrangeSeconds interpolates the table; beyond its ends the time stays.
func (m minutesModel) arrangeSeconds(newcomers int) int {
	before := m.arrange[0]
	if newcomers <= before.Newcomers {
		return before.Seconds
	}
	for _, point := range m.arrange[1:] {
		if newcomers <= point.Newcomers {
			span := point.Newcomers - before.Newcomers
			return before.Seconds + (point.Seconds-before.Seconds)*(newcomers-before.Newcomers)/span
		}
		before = point
	}
	return before.Seconds
}

// framesFor returns how many frames a photograph gets.
func (m minutesModel) framesFor(p event.Photograph) int {
	if p.Frames > 0 {
		return p.Frames
	}
	if p.Portrait {
		return portraitFrames
	}
	frames := 1
	for _, point := range m.frames {
		if len(p.Members) >= point.People {
			frames = point.Frames
		}
	}
	return frames
}

// slow returns the extra seconds that a person needs to walk in.
func (m minutesModel) slow(p event.Person) solver.Seconds {
	extra := 0
	switch p.AgeBand {
	case event.Elder:
		extra = m.elder
	case event.Child:
		extra = m.child
	case event.Infant:
		extra = m.infant
	}
	for _, need := range p.Needs {
		if need == event.Wheelchair {
			extra = max(extra, m.wheelchair)
		}
	}
	return solver.Seconds(extra)
}
