package model

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
)

// slots returns the seconds of each grouping in the order given, by the default model, with
// everybody an adult.
func slots(t *testing.T, pace event.Pace, portraits bool, groupings ...[]int) []solver.Seconds {
	t.Helper()
	m := NewMinutes(pace)
	spec := solver.Spec{Timing: m.timing(400), Opening: m.openingTime(), People: make([]solver.Person, 400)}
	var order []solver.GroupingIndex
	for i, members := range groupings {
		photo := event.Photograph{Portrait: portraits, Members: make([]string, len(members))}
		g := solver.Grouping{Shoot: solver.Seconds(m.FramesFor(photo, event.GoodLight) * m.PerFrame)}
		for _, q := range members {
			g.Members = append(g.Members, solver.PersonIndex(q))
		}
		spec.Groupings = append(spec.Groupings, g)
		order = append(order, solver.GroupingIndex(i))
	}
	p, err := solver.NewProblem(spec)
	require.NoError(t, err)
	s, err := solver.Evaluate(p, order)
	require.NoError(t, err)
	var out []solver.Seconds
	for _, e := range s.Entries {
		out = append(out, e.Finish-e.Start)
	}
	return out
}

func people(from, count int) []int {
	out := make([]int, count)
	for i := range out {
		out[i] = from + i
	}
	return out
}

// Seconds of a grouping that changes completely after one of as many and at most thirty, by its size. Of one grouping 39 published sources say 2.5 to 4.0
// minutes between their quartiles, which three to six people take; the rest is common practice, no source.
func TestMinutesOfCompleteChange(t *testing.T) {
	none := 0
	for _, c := range []struct{ from, to, least, most int }{
		{2, 2, 60, 120}, {3, 6, 150, 240}, {7, 15, 240, 330}, {16, 30, 300, 420}, {31, 60, 360, 540}, {61, 140, 480, 720},
	} {
		for size := c.from; size <= c.to; size++ {
			s := slots(t, event.Pace{OpeningSeconds: &none}, false, people(200, min(size, 30)), people(0, size))[1]
			assert.GreaterOrEqual(t, s, int64(c.least), "%d people", size)
			assert.LessOrEqual(t, s, int64(c.most), "%d people", size)
		}
	}
}

// The photograph itself takes half a minute to a minute, which is all when people only leave; one person more is soon
// there, and a portrait one by one takes less than a minute. The sources say so of the photograph, the rest is common practice.
func TestMinutesOfSmallChanges(t *testing.T) {
	for size := 2; size <= 30; size++ {
		left := slots(t, event.Pace{}, false, people(0, size+3), people(0, size))[1]
		changed := slots(t, event.Pace{}, false, people(0, size), people(1, size))[1]
		assert.GreaterOrEqual(t, left, int64(28), "%d stay", size)
		assert.LessOrEqual(t, left, int64(60), "%d stay", size)
		assert.Greater(t, changed, left, "%d stay", size)
		assert.LessOrEqual(t, changed, int64(75), "%d stay", size)
	}
	portraits := slots(t, event.Pace{}, true, []int{0, 1}, []int{0, 2}, []int{0, 3})
	assert.Less(t, portraits[1], int64(60))
	assert.Equal(t, portraits[1], portraits[2])
}

// With a leader who brings them a household is called by one name, and still has to be placed: longer than one person more,
// and a whole family of thirty with somebody in a wheelchair four to five minutes. Common practice, no source.
func TestMinutesOfLedFamilies(t *testing.T) {
	led := func(newcomers int, slow solver.Seconds) solver.Seconds {
		m := NewMinutes(event.Pace{})
		spec := solver.Spec{Timing: m.timing(newcomers), People: make([]solver.Person, newcomers+2), Frame: []solver.PersonIndex{0, 1}}
		g := solver.Grouping{Members: []solver.PersonIndex{0, 1}}
		for q := 2; q < newcomers+2; q++ {
			spec.People[q].Led = q > 2
			g.Members = append(g.Members, solver.PersonIndex(q))
		}
		spec.People[2].Slow = slow
		photo := event.Photograph{Members: make([]string, newcomers+2)}
		g.Shoot = solver.Seconds(m.FramesFor(photo, event.GoodLight) * m.PerFrame)
		spec.Groupings = []solver.Grouping{g}
		p, err := solver.NewProblem(spec)
		require.NoError(t, err)
		s, err := solver.Evaluate(p, []solver.GroupingIndex{0})
		require.NoError(t, err)
		return s.Entries[0].Finish
	}
	assert.GreaterOrEqual(t, led(5, 0), int64(70))
	assert.LessOrEqual(t, led(5, 0), int64(120))
	assert.GreaterOrEqual(t, led(30, defaultWheelchair), int64(240))
	assert.LessOrEqual(t, led(30, defaultWheelchair), int64(300))
}

// Nobody would understand why people who come one after the other, each for a photograph more, are there sooner than
// together; whoever leaves has to leave before others can be placed.
func TestMinutesOfStepsInAndOut(t *testing.T) {
	for _, calling := range []event.Calling{event.PhotographerCalls, event.CallerCalls, event.EverybodyWaits} {
		singly := [][]int{{0, 1}}
		for n := 1; n <= 12; n++ {
			singly = append(singly, people(0, n+2))
			one := slots(t, event.Pace{Calling: calling}, false, singly...)
			sum := solver.Seconds(0)
			for _, s := range one[1:] {
				sum += s
			}
			assert.GreaterOrEqual(t, sum, slots(t, event.Pace{Calling: calling}, false, []int{0, 1}, people(0, n+2))[1], "%d people", n)
		}
	}
	few := slots(t, event.Pace{}, false, people(0, 8), people(0, 5))[1]
	crowd := slots(t, event.Pace{}, false, people(0, 119), people(0, 5))[1]
	assert.InDelta(t, 2*60, crowd-few, 30, "a hundred more are gone after two minutes")
}

func TestPaceOverridesEveryParameter(t *testing.T) {
	v := func(n int) *int { return &n }
	base := event.Pace{
		SettleSeconds: v(1), PerStepInSeconds: v(2), PerStepOutSeconds: v(3), FreshSeconds: v(4), PerFrameSeconds: v(5),
		ElderSeconds: v(6), ChildSeconds: v(7), InfantSeconds: v(8), WheelchairSeconds: v(9),
		OpeningSeconds: v(100), FetchSeconds: v(1000),
		Arrange: []event.ArrangePoint{{Newcomers: 0, Seconds: 0}, {Newcomers: 4, Seconds: 40}},
		Frames:  []event.FramesPoint{{People: 1, Frames: 1}, {People: 3, Frames: 2}},
	}
	// 100 to open, 1 settle + 2·2 in + 0 out + 20 arrange + 4 fresh + 1 frame · 5, and one of two may be away,
	// 1000·(1 − 0.925·0.7) = 353; then 1 + 2·2 + 3·1 + 20 + 2 · 5 + 353.
	assert.Equal(t, []solver.Seconds{487, 391}, slots(t, base, false, []int{0, 1}, []int{1, 2, 3}))
	base.Calling = event.CallerCalls
	assert.Equal(t, []solver.Seconds{207, 161}, slots(t, base, false, []int{0, 1}, []int{1, 2, 3}))
	base.Calling = event.EverybodyWaits
	assert.Equal(t, []solver.Seconds{134, 38}, slots(t, base, false, []int{0, 1}, []int{1, 2, 3}))
	m := NewMinutes(base)
	for _, c := range []struct {
		person event.Person
		slow   solver.Seconds
	}{
		{event.Person{}, 0}, {event.Person{AgeBand: event.Elder}, 6}, {event.Person{AgeBand: event.Child}, 7},
		{event.Person{AgeBand: event.Infant}, 8}, {event.Person{Needs: []event.Need{event.Wheelchair}}, 9},
	} {
		assert.Equal(t, c.slow, m.Slow(c.person))
	}
}

// What slow walkers cost against published comfortable speeds: Bohannon and Williams Andrews,
// Physiotherapy 97(3):182-189, 2011, 0.943 m/s for women of 80 to 99, 1.39 and 1.434 in their forties (the
// slowest and the fastest there); Gates et al., Transportation Research Record 1982:38-47, 2006, children
// led by adults about as slow as people over 65, 15th percentile 0.920 m/s; Bohannon, Perceptual and Motor
// Skills 103(1):215-222, 2006, 2.28 to 2.96 s for a rise from a chair of people of 60 to 89. Guests walk in
// from 15 to 30 m away: common practice, no source. Speeds are not asserted, only that the settings lie in the
// range that they span. Until a chair stands where it is wanted takes an elder another 15 to 30 s: common practice.
func TestSlowWalkersAgainstPublishedSpeeds(t *testing.T) {
	extra := func(distance, slow, usual float64) float64 { return distance/slow - distance/usual }
	m := NewMinutes(event.Pace{})
	assert.GreaterOrEqual(t, float64(m.Elder), extra(15, 0.943, 1.39)+15)
	assert.LessOrEqual(t, float64(m.Elder), extra(30, 0.943, 1.434)+2.96+30)
	assert.GreaterOrEqual(t, float64(m.Child), extra(15, 0.920, 1.39))
	assert.LessOrEqual(t, float64(m.Child), extra(30, 0.920, 1.434))
	assert.LessOrEqual(t, m.Elder, m.Wheelchair, "a wheelchair is placed as well")
}
