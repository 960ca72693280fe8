package model

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

func photographOf(size int, priority event.Priority) event.Photograph {
	return event.Photograph{Members: make([]string, size), Priority: priority}
}

// Frames by the published model (its values are checked in package frames), worked out apart:
// ⌈ln 0.05 / ln(1 − 0.957ⁿ)⌉ in good light, at least two, and from 50 people on not more than 25.
func TestFramesByBlinks(t *testing.T) {
	m := NewMinutes(event.Pace{})
	for size, want := range map[int]int{2: 2, 5: 2, 10: 3, 15: 5, 20: 6, 30: 10, 40: 16, 49: 25, 50: 25, 90: 25} {
		p := photographOf(size, event.Should)
		assert.Equal(t, want, m.FramesFor(p, event.GoodLight), "%d people", size)
		assert.Equal(t, size >= 50, m.blinksLikely(p, event.GoodLight), "%d people", size)
		assert.GreaterOrEqual(t, m.FramesFor(p, event.DimLight), want, "%d people in dim light", size)
	}
	assert.Greater(t, m.FramesFor(photographOf(15, event.Should), event.DimLight), 5)
	assert.Equal(t, portraitFrames, m.FramesFor(event.Photograph{Members: []string{"a", "b"}, Portrait: true, Priority: event.Must}, event.DimLight))
}

// What must have is taken in both orientations, where the rules of thumb still hold with it.
func TestFramesOfBothOrientations(t *testing.T) {
	m := NewMinutes(event.Pace{})
	for size := 2; size <= 30; size++ {
		must, should := m.FramesFor(photographOf(size, event.Must), event.GoodLight), m.FramesFor(photographOf(size, event.Should), event.GoodLight)
		if size > bothOrientations {
			assert.Equal(t, should, must, "%d people", size)
			continue
		}
		assert.GreaterOrEqual(t, must, should+2, "%d people", size)
		most := 240 // as TestMinutesOfCompleteChange
		if size > 6 {
			most = 330
		}
		complete := slots(t, event.Pace{}, false, people(200, size), people(0, size))[1]
		assert.LessOrEqual(t, int(complete)+(must-should)*m.PerFrame, most, "%d people", size)
	}
}

func TestFramesAsThePaceSays(t *testing.T) {
	sure := 99
	p := photographOf(20, event.Should)
	assert.Equal(t, 9, NewMinutes(event.Pace{FramesConfidence: &sure}).FramesFor(p, event.GoodLight)) // ⌈ln 0.01 / ln(1 − 0.957²⁰)⌉
	table := NewMinutes(event.Pace{Frames: []event.FramesPoint{{People: 1, Frames: 4}}})
	assert.Equal(t, 4, table.FramesFor(p, event.DimLight))
	p.Frames = 11
	assert.Equal(t, 11, table.FramesFor(p, event.GoodLight))
}
