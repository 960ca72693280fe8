package planning

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/solver"
)

// A leader with a card brings the circle, so that only the leader can be away; guests are called, placed and looked at
// like anybody else, and no lens or place is too small for them unnoticed.
func TestMinutesOfLeadersAndGuests(t *testing.T) {
	e := event.Event{Circles: []event.Circle{{ID: "c", Members: []string{"p2", "p3", "p4", "p5", "p6", "p7"}}}}
	for i := range 8 {
		e.People = append(e.People, event.Person{ID: fmt.Sprint("p", i), Name: fmt.Sprint("P", i)})
	}
	e.Groupings = []event.Grouping{{ID: "couple", Members: []string{"p0", "p1"}}, {ID: "all", Members: []string{"p0", "p1", "c"}}}
	length := func() solver.Seconds {
		s, err := Fixed(e, Options{}, []Order{{Photographs: []string{"couple", "all"}}})
		require.NoError(t, err)
		return solver.Seconds(s.Blocks[0].Entries[1].Length.Seconds())
	}
	m := model.NewMinutes(event.Pace{})
	alone := length()
	e.Circles[0].Leader = "p2"
	led := length()
	assert.InDelta(t, m.GatherSeconds(6)-m.GatherSeconds(1), float64(alone-led), 1)
	e.People[2].Absent = true
	assert.Greater(t, length(), led, "a leader who is not there brings nobody")
	e.People[2].Absent = false

	e.Groupings[1].Guests = 80
	want := led + solver.Seconds(m.PerStepIn*80+m.ArrangeSeconds(86)-m.ArrangeSeconds(6)) + solver.Seconds(math.Round(m.GatherSeconds(81))-math.Round(m.GatherSeconds(1)))
	frames := func(n int) int {
		return m.FramesFor(event.Photograph{Members: make([]string, 8), Guests: n}, event.GoodLight)
	}
	assert.Equal(t, want+solver.Seconds(m.PerFrame*(frames(80)-frames(0))), length())
}

// A photograph that may be taken where the light is dim has the frames for it, wherever it is taken.
func TestFramesOfTheDimmestBlock(t *testing.T) {
	var e event.Event
	var all []string
	for i := range 60 {
		id := fmt.Sprint("p", i)
		e.People = append(e.People, event.Person{ID: id, Name: id})
		all = append(all, id)
	}
	e.Groupings = []event.Grouping{
		{ID: "yard", Members: all[:30], Blocks: []string{"x"}}, {ID: "any", Members: all[:30]}, {ID: "all", Members: all, Blocks: []string{"x"}},
	}
	e.Blocks = []event.Block{{ID: "x"}, {ID: "y", Light: event.DimLight}}
	s := plan(t, e, Options{})
	got := map[string]event.SheetEntry{}
	for _, b := range s.Blocks {
		for _, entry := range b.Entries {
			got[entry.Grouping] = entry
		}
	}
	require.Len(t, got, 3)
	assert.Equal(t, 10, got["yard"].Frames)
	assert.Greater(t, got["any"].Frames, 10)
	assert.True(t, got["all"].BlinksLikely)
	assert.False(t, got["yard"].BlinksLikely)
}
