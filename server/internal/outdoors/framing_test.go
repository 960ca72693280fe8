package outdoors_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/outdoors"
	"kinorder.example/server/internal/planning"
)

// crowded plans photographs of so many people with a kit.
func crowded(t *testing.T, standBack int, kit event.Kit, sizes ...int) event.CallSheet {
	t.Helper()
	e := event.Event{Kit: kit, Blocks: []event.Block{{ID: "hall", Title: "Hall", StandBackCM: standBack}}}
	most := 0
	for _, n := range sizes {
		most = max(most, n)
	}
	for i := range most {
		e.People = append(e.People, event.Person{ID: fmt.Sprintf("p%d", i), Name: fmt.Sprintf("Person %d", i), HeightCM: 150 + i%40})
	}
	for k, n := range sizes {
		g := event.Grouping{ID: fmt.Sprintf("g%d", k), Title: fmt.Sprintf("%d people", n)}
		for i := range n {
			g.Members = append(g.Members, e.People[i].ID)
		}
		e.Groupings = append(e.Groupings, g)
	}
	return planned(t, e)
}

var zoom = event.Kit{SensorWidthMM: 36, SensorHeightMM: 24, Lenses: []event.Lens{{FocalMM: 24, FocalToMM: 70, Widest: 2.8}}}

// Every choice is checked by the textbook formulas alone: field = side·(s − f)/f; with h = f²/(N·c),
// near = h·s/(h + s − f) and far = h·s/(h − (s − f)).
func TestFramedPhotographsFitAndAreSharp(t *testing.T) {
	crop := event.Kit{SensorWidthMM: 23.6, SensorHeightMM: 15.7, GroupAperture: 5.6, Lenses: []event.Lens{{FocalMM: 16, FocalToMM: 55, Widest: 2.8, WidestLong: 4}, {FocalMM: 56, Widest: 1.4}}}
	for name, kit := range map[string]event.Kit{"zoom": zoom, "crop": crop} {
		s := crowded(t, 0, kit, 1, 2, 3, 5, 6, 7, 15, 16, 30, 31, 60, 61, 90)
		require.Len(t, s.Blocks[0].Entries, 13)
		for _, e := range s.Blocks[0].Entries {
			l := e.Lens
			require.NotNil(t, l)
			people := len(e.StepIn) + len(e.Stay)
			at := fmt.Sprintf("%s, %d people: %+v", name, people, l)
			lens := kit.Lenses[l.Lens]
			assert.GreaterOrEqual(t, l.FocalMM, lens.FocalMM, at)
			assert.LessOrEqual(t, l.FocalMM, max(lens.FocalMM, lens.FocalToMM), at)
			across, up := kit.SensorWidthMM, kit.SensorHeightMM
			if l.Upright {
				across, up = up, across
			}
			f, distance := l.FocalMM, float64(l.DistanceCM)*10
			assert.GreaterOrEqual(t, across*(distance-f)/f, float64(l.WidthCM)*10*1.1, at)
			assert.GreaterOrEqual(t, up*(distance-f)/f, float64(l.HeightCM)*10*1.1, at)
			assert.InDelta(t, 2*math.Atan(across/2/f)*180/math.Pi, l.AngleAcross, 0.06, at)
			focus := float64(l.FocusCM) * 10
			h := f * f / (l.Aperture * math.Hypot(kit.SensorWidthMM, kit.SensorHeightMM) / 1500)
			assert.InDelta(t, h*focus/(h+focus-f)/10, float64(l.NearCM), 5, at)
			if focus-f < h && l.FarCM > 0 {
				assert.InEpsilon(t, h*focus/(h-(focus-f))/10, float64(l.FarCM), 0.02, at)
				assert.GreaterOrEqual(t, l.FarCM, l.DistanceCM+l.DepthCM-40+15, at)
			}
			assert.LessOrEqual(t, l.NearCM, l.DistanceCM-14, at)
			assert.GreaterOrEqual(t, l.Rows*(l.WidthCM/50), people, "there is room for all: %s", at)
			if l.FocusRow > 0 {
				assert.InDelta(t, l.DistanceCM+70*(l.FocusRow-1), l.FocusCM, 1, at)
			}
			assert.NotContains(t, l.Warnings, event.SpaceTooSmall, at)
			assert.NotContains(t, l.Warnings, event.NotAllSharp, at)
		}
	}
}

func TestMoreRowsWhereTheSpaceIsShort(t *testing.T) {
	wide := crowded(t, 1200, zoom, 12).Blocks[0].Entries[0].Lens
	short := crowded(t, 245, zoom, 12).Blocks[0].Entries[0].Lens
	assert.Equal(t, 2, wide.Rows)
	assert.Greater(t, short.Rows, 2, "%+v", short)
	assert.NotContains(t, short.Warnings, event.SpaceTooSmall)
	assert.LessOrEqual(t, short.DistanceCM, 245)
}

func TestTooSmallASpaceSaysWhatToDo(t *testing.T) {
	s := crowded(t, 250, zoom, 2, 40)
	text := adviceOf(t, s, event.CodeSpaceTooSmall)
	for _, part := range []string{`The time slot "Hall" is too small for "40 people"`, "more rows", "only for those who want to", " m back with 24 mm", " mm lens"} {
		assert.Contains(t, text, part)
	}
	for _, a := range s.Advice {
		if a.Code == event.CodeSpaceTooSmall {
			assert.Equal(t, []string{"hall", "g1"}, a.Subjects)
		}
	}
	// The figures of the advice are those of the formula: the field that is needed, 16 % wider than
	// the group, is seen from f·(field/side + 1).
	for _, e := range s.Blocks[0].Entries {
		if l := e.Lens; e.Grouping == "g1" {
			need := math.Ceil(24*(float64(l.WidthCM)*10*1.16/36+1)/100) / 10
			assert.Contains(t, text, fmt.Sprintf("room to stand %.1f m back", need))
		}
	}
}

// Children alone are framed as tall as children are, not with a grown-up's room above their heads.
func TestChildrenAreFramedAsChildren(t *testing.T) {
	e := event.Event{Kit: zoom, Blocks: []event.Block{{ID: "hall", Title: "Hall"}}, People: []event.Person{
		{ID: "kim", Name: "Kim", AgeBand: event.Child}, {ID: "lea", Name: "Lea", AgeBand: event.Child, HeightCM: 112},
		{ID: "max", Name: "Max", AgeBand: event.Child, HeightCM: 131}, {ID: "ann", Name: "Ann", HeightCM: 162},
	}}
	for id, members := range map[string][]string{"known": {"lea", "max"}, "one-unknown": {"kim", "lea"}, "with-a-grown-up": {"ann", "lea", "max"}, "alone": {"ann"}} {
		e.Groupings = append(e.Groupings, event.Grouping{ID: id, Members: members})
	}
	height := map[string]int{}
	for _, entry := range planned(t, e).Blocks[0].Entries {
		height[entry.Grouping] = entry.Lens.HeightCM
	}
	assert.Equal(t, map[string]int{"known": 131, "one-unknown": 155, "with-a-grown-up": 188, "alone": 162}, height)
}

func TestNoKitNoLens(t *testing.T) {
	s := crowded(t, 250, event.Kit{}, 2, 40)
	for _, e := range s.Blocks[0].Entries {
		assert.Nil(t, e.Lens)
	}
}

func TestStretchedEdgesAreToldOf(t *testing.T) {
	wide := event.Kit{SensorWidthMM: 36, SensorHeightMM: 24, Lenses: []event.Lens{{FocalMM: 16, Widest: 2.8}}}
	walled := adviceOf(t, crowded(t, 600, wide, 15), event.CodeEdgesStretched)
	assert.Contains(t, walled, "Leave a little space at both ends")
	assert.NotContains(t, walled, "Stand farther back", "the wall is there")
	assert.Contains(t, adviceOf(t, crowded(t, 0, wide, 15), event.CodeEdgesStretched), "Stand farther back")
}

// A standing plan knows better how wide and deep a group is: the lens goes by it.
func TestReframeByStandingPlans(t *testing.T) {
	e := event.Event{Kit: zoom, Blocks: []event.Block{{ID: "hall", Space: event.Space{CameraDistanceCM: 400}}}}
	for i := range 12 {
		e.People = append(e.People, event.Person{ID: fmt.Sprintf("p%d", i), Name: fmt.Sprintf("Person %d", i)})
	}
	e.Circles = []event.Circle{{ID: "all", Members: []string{"p0", "p1", "p2", "p3", "p4", "p5", "p6", "p7", "p8", "p9", "p10", "p11"}}}
	e.Groupings = []event.Grouping{{ID: "g", Title: "All", Members: []string{"all"}}}
	s := planned(t, e)
	l := s.Blocks[0].Entries[0].Lens
	assert.Equal(t, 2, l.Rows)
	assert.LessOrEqual(t, l.DistanceCM, 400, "the space of the block says how far the camera is")
	s.Blocks[0].Entries[0].Standing = &event.Standing{Rows: make([]event.StandingRow, 3), WidthCM: 700, HeightCM: 210, DepthCM: 180}
	outdoors.Reframe(e, &s)
	l = s.Blocks[0].Entries[0].Lens
	assert.Equal(t, []int{3, 700, 210, 180}, []int{l.Rows, l.WidthCM, l.HeightCM, l.DepthCM})
	assert.Contains(t, l.Warnings, event.SpaceTooSmall)
	assert.Contains(t, adviceOf(t, s, event.CodeSpaceTooSmall), "3 rows, 7.0 m wide")
	s.Blocks[0].Entries[0].Standing = &event.Standing{Rows: make([]event.StandingRow, 2), WidthCM: 330, HeightCM: 180, DepthCM: 110}
	outdoors.Reframe(e, &s)
	for _, a := range s.Advice {
		assert.NotEqual(t, event.CodeSpaceTooSmall, a.Code, "what no longer holds is gone")
	}
	e.Kit = event.Kit{}
	outdoors.Reframe(e, &s)
}

// Whatever kit and space an event may have, the figures are figures.
func TestFramingOfAnyKit(t *testing.T) {
	r := rand.New(rand.NewPCG(51, 1))
	pick := func(low, high float64) float64 { return low * math.Pow(high/low, r.Float64()) }
	for range 400 {
		kit := event.Kit{SensorWidthMM: pick(1, 200), SensorHeightMM: pick(1, 200)}
		for range 1 + r.IntN(3) {
			l := event.Lens{FocalMM: pick(1, 2000), Widest: pick(0.7, 45), ClosestCM: r.IntN(10_001)}
			if r.IntN(2) == 0 {
				l.FocalToMM = pick(l.FocalMM, 2000)
			}
			kit.Lenses = append(kit.Lenses, l)
		}
		e := trio()
		e.Kit = kit
		e.Blocks = []event.Block{{ID: "b", StandBackCM: int(pick(50, 100_000))}}
		require.Empty(t, event.Faults(check.Event(e)))
		s, err := planning.Fixed(e, planning.Options{}, []planning.Order{{Block: "b", Photographs: []string{"g1", "g2"}}})
		require.NoError(t, err)
		for _, entry := range s.Blocks[0].Entries {
			l := entry.Lens
			require.NotNil(t, l)
			for _, v := range []float64{l.FocalMM, l.Aperture, l.AngleAcross, l.AngleUp} {
				assert.True(t, v >= 0 && v < 10_000, "%+v of %+v", l, e)
			}
			for _, n := range []int{l.DistanceCM, l.FocusCM, l.NearCM, l.FarCM, l.FocusRow} {
				assert.True(t, n >= 0 && n <= 10_000_000, "%+v of %+v", l, e)
			}
		}
	}
	crowd := crowded(t, 0, zoom, 1500)
	assert.Contains(t, crowd.Blocks[0].Entries[0].Lens.Warnings, event.SpaceTooSmall)
}

// A kit of three in rooms of three depths: few people have the longest lens that the room allows, 85 to 135 mm where
// it does, and nobody a wider one than the room forces.
func TestCaseThreeRooms(t *testing.T) {
	raw, err := os.ReadFile("../../../testdata/cases/three-rooms.yaml")
	require.NoError(t, err)
	e, _, err := intake.Read(raw, intake.YAML)
	require.NoError(t, err)
	lenses := map[string]*event.EntryLens{}
	for _, b := range planned(t, e).Blocks {
		for _, entry := range b.Entries {
			lenses[entry.Grouping] = entry.Lens
		}
	}
	for id, want := range map[string]struct {
		least, most float64 // mm
		farthest    int     // cm
		lens        string
	}{
		"parlour-one": {50, 70, 350, "Zoom"}, "parlour-couple": {50, 70, 350, "Zoom"}, "parlour-three": {45, 70, 350, "Zoom"},
		"hall-one": {85, 135, 600, "Long zoom"}, "hall-couple": {85, 135, 600, "Long zoom"}, "hall-three": {75, 135, 600, "Long zoom"},
		"lawn-one": {120, 135, 1000, "Long zoom"}, "lawn-couple": {120, 135, 1000, "Long zoom"}, "lawn-three": {120, 135, 1000, "Long zoom"},
		"parlour-family": {34, 50, 350, "Zoom"}, "hall-family": {50, 70, 600, "Zoom"}, "lawn-family": {85, 135, 1000, "Long zoom"},
		"lawn-everybody": {35, 70, 1200, "Zoom"},
	} {
		l := lenses[id]
		require.NotNil(t, l, id)
		assert.GreaterOrEqual(t, l.FocalMM, want.least, id)
		assert.LessOrEqual(t, l.FocalMM, want.most, id)
		assert.LessOrEqual(t, l.DistanceCM, want.farthest, id)
		assert.Equal(t, want.lens, e.Kit.Lenses[l.Lens].Title, id)
		assert.Empty(t, l.Warnings, id)
	}
	assert.Equal(t, 5, lenses["lawn-everybody"].Rows, "the guests stand in it")
}
