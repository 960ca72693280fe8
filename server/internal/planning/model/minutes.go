package model

import (
	"fmt"
	"math"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
	"kinorder.example/solver/frames"
)

// The defaults of the minutes model, in seconds. All are common practice, no source; together they
// land where photographers' own rules of thumb and published durations do (the tests state these), and a
// studio replaces any of them in the event's pace.
//
//	slot(i, j) = settle + perStepIn·in + perStepOut·out + slowest walker + gather(called)
//	           + arrange(in) + (fresh when nobody stays) + frames(|j|)·perFrame
//
// where in and out are the people who step in and out between grouping i and grouping j, and called is the part of in
// that no leader of a circle brings along. The first of a block begins with an opening.
const (
	// defaultSettle: looking at the list, calling the names, a word to everybody, a test frame. With its
	// frames a photograph takes half a minute to a minute.
	defaultSettle = 24
	// defaultPerStepIn: people walk in at the same time, so each one adds little beside being placed.
	// defaultPerStepOut: nobody can build on ground that is full of people; a hundred take two minutes to clear.
	defaultPerStepIn  = 1
	defaultPerStepOut = 1
	// defaultFresh: nobody stands there to build on, and lens, light and ground are set anew.
	defaultFresh = 10
	// defaultPerFrame: a frame and a breath, so that no two share a blink. Frames are many in large
	// groups, and nobody looks at each before the next.
	defaultPerFrame = 2
	// Extra time for the slowest of those who walk in. A chair is brought for an elder.
	defaultElder      = 30
	defaultChild      = 10
	defaultInfant     = 15
	defaultWheelchair = 40
	// defaultOpening: greetings and hugs, telephones put away, until people listen.
	defaultOpening = 180
	// defaultFetch: somebody who is not there when called is fetched; it takes the walk twice.
	defaultFetch = 180
	// announced: whoever is called first was told while the photograph before was taken, and is away so many times
	// less often. That one costs something too, or else people who come one after the other would be faster than
	// together, and whoever has a leader would cost nothing to call.
	announced = 4
)

// away is how likely somebody is not there when called.
var away = map[event.Calling]float64{event.PhotographerCalls: 0.3, event.CallerCalls: 0.1, event.EverybodyWaits: 0}

// defaultArrange is the time to place newcomers who are there: ten seconds, and five more for each from the third to the
// sixth, who are placed by name; then by rows, of which one is added at 7, 16, 31 and 61 people. A circle of 15 that its leader brings falls in
// quickly, a whole family with elders and children in front takes two minutes. Common practice, no source; published
// durations hold it from both sides.
var defaultArrange = []event.ArrangePoint{
	{Newcomers: 0, Seconds: 0}, {Newcomers: 1, Seconds: 10}, {Newcomers: 2, Seconds: 11},
	{Newcomers: 6, Seconds: 32}, {Newcomers: 7, Seconds: 37}, {Newcomers: 15, Seconds: 42}, {Newcomers: 16, Seconds: 60},
	{Newcomers: 30, Seconds: 120}, {Newcomers: 31, Seconds: 130}, {Newcomers: 60, Seconds: 160},
	{Newcomers: 61, Seconds: 170}, {Newcomers: 140, Seconds: 250},
}

// portraitFrames is for groupings that are one of a circle, one by one: one frame upright, one
// across. Common practice, no source.
const portraitFrames = 2

// bothOrientations is the largest number of people of whom a photograph that must be taken is taken
// upright as well as across: more stand too wide for it, and it would take longer than photographers
// allow. Common practice, no source.
const bothOrientations = 15

// Minutes is the pace of an event with the defaults filled in.
type Minutes struct {
	Settle, PerStepIn, PerStepOut, Fresh, PerFrame int
	Elder, Child, Infant, Wheelchair               int
	opening, Fetch                                 int
	calling                                        event.Calling
	Arrange                                        []event.ArrangePoint
	frames                                         []event.FramesPoint // empty means by blinks
	wish                                           frames.Wish
}

func NewMinutes(p event.Pace) Minutes {
	m := Minutes{
		Settle:     valueOr(p.SettleSeconds, defaultSettle),
		PerStepIn:  valueOr(p.PerStepInSeconds, defaultPerStepIn),
		PerStepOut: valueOr(p.PerStepOutSeconds, defaultPerStepOut),
		Fresh:      valueOr(p.FreshSeconds, defaultFresh),
		PerFrame:   valueOr(p.PerFrameSeconds, defaultPerFrame),
		Elder:      valueOr(p.ElderSeconds, defaultElder),
		Child:      valueOr(p.ChildSeconds, defaultChild),
		Infant:     valueOr(p.InfantSeconds, defaultInfant),
		Wheelchair: valueOr(p.WheelchairSeconds, defaultWheelchair),
		opening:    valueOr(p.OpeningSeconds, defaultOpening),
		Fetch:      valueOr(p.FetchSeconds, defaultFetch),
		calling:    p.Calling,
		Arrange:    defaultArrange,
		frames:     p.Frames,
		wish:       frames.DefaultWish(),
	}
	if len(p.Arrange) > 0 {
		m.Arrange = p.Arrange
	}
	if p.FramesConfidence != nil {
		m.wish.Confidence = float64(*p.FramesConfidence) / 100
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
func (m Minutes) timing(most int) solver.Timing {
	t := solver.Timing{
		Settle:     solver.Seconds(m.Settle),
		PerStepIn:  solver.Seconds(m.PerStepIn),
		PerStepOut: solver.Seconds(m.PerStepOut),
		Fresh:      solver.Seconds(m.Fresh),
	}
	for n := range most + 1 {
		t.Arrange = append(t.Arrange, solver.Seconds(m.ArrangeSeconds(n)))
		t.Gather = append(t.Gather, solver.Seconds(math.Round(m.GatherSeconds(n))))
	}
	return t
}

// GatherSeconds is the expected time until people are there who were called: that of fetching somebody, times the
// chance that one of them is away.
func (m Minutes) GatherSeconds(called int) float64 {
	if called == 0 {
		return 0
	}
	p := away[m.calling]
	return float64(m.Fetch) * (1 - (1-p/announced)*math.Pow(1-p, float64(called-1)))
}

// openingTime is what the first photograph of a block takes longer: half of it where somebody calls.
func (m Minutes) openingTime() solver.Seconds {
	if m.calling == event.CallerCalls {
		return solver.Seconds(m.opening / 2)
	}
	return solver.Seconds(m.opening)
}

// ArrangeSeconds interpolates the table; beyond its ends the time stays.
func (m Minutes) ArrangeSeconds(newcomers int) int {
	before := m.Arrange[0]
	if newcomers <= before.Newcomers {
		return before.Seconds
	}
	for _, point := range m.Arrange[1:] {
		if newcomers <= point.Newcomers {
			span := point.Newcomers - before.Newcomers
			return before.Seconds + (point.Seconds-before.Seconds)*(newcomers-before.Newcomers)/span
		}
		before = point
	}
	return before.Seconds
}

// FramesFor returns how many frames a photograph gets in a light.
func (m Minutes) FramesFor(p event.Photograph, light event.Light) int {
	switch {
	case p.Frames > 0:
		return p.Frames
	case p.Portrait:
		return portraitFrames
	case len(m.frames) == 0:
		return m.byBlinks(p, light).Frames()
	}
	n := 1
	for _, point := range m.frames {
		if p.Size() >= point.People {
			n = point.Frames
		}
	}
	return n
}

// blinksLikely says that no sensible number of frames makes one without a blink likely.
func (m Minutes) blinksLikely(p event.Photograph, light event.Light) bool {
	return m.byBlinks(p, light).Reason == frames.AtCeiling
}

// byBlinks returns how many frames the blinks of a photograph's people ask for.
func (m Minutes) byBlinks(p event.Photograph, light event.Light) frames.Advice {
	model := frames.GoodLight()
	if light == event.DimLight {
		model = frames.DimLight()
	}
	wish := m.wish
	wish.BothOrientations = p.Priority == event.Must && p.Size() <= bothOrientations
	advice, err := model.Advise(p.Size(), wish)
	if err != nil {
		panic(fmt.Sprintf("planning: a checked event has no number of frames: %v", err))
	}
	return advice
}

// Slow returns the extra seconds that a person needs to walk in.
func (m Minutes) Slow(p event.Person) solver.Seconds {
	extra := 0
	switch p.AgeBand {
	case event.Elder:
		extra = m.Elder
	case event.Child:
		extra = m.Child
	case event.Infant:
		extra = m.Infant
	}
	for _, need := range p.Needs {
		if need == event.Wheelchair {
			extra = max(extra, m.Wheelchair)
		}
	}
	return solver.Seconds(extra)
}
