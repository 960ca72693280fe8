package diagram

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
)

// guests invents people of all ages.
func guests(r *rand.Rand, n int) []event.Person {
	people := make([]event.Person, n)
	for q := range people {
		switch p := &people[q]; r.IntN(10) {
		case 0:
			p.AgeBand = event.Infant
		case 1, 2:
			p.AgeBand, p.HeightCM = event.Child, 95+r.IntN(50)
		case 3:
			p.AgeBand, p.Needs = event.Elder, []event.Need{event.Seat}
		default:
			p.HeightCM = 150 + r.IntN(45)
		}
	}
	people[0] = event.Person{HeightCM: 180} // somebody who can hold an infant
	return people
}

func TestDrawingsKeepPeopleApartAndInside(t *testing.T) {
	needs.Time(t)
	r := rand.New(rand.NewPCG(51, 1))
	c := canvas{width: 560, label: 30, caption: 12, step: 7}
	for n := 2; n <= 90; n += 1 + n/2 {
		l := layoutOf(plan(t, guests(r, n)))
		d := l.draw(c)
		assert.Len(t, d.figures, n)
		assert.Len(t, d.bands, len(l.rows))
		seen := map[int]bool{}
		for k, f := range d.figures {
			seen[f.person] = true
			assert.False(t, f.x-f.r < 0 || f.x+f.r > d.width || f.y-f.r < 0 || f.y+f.r > f.base || f.labelY+c.label > d.height, "%d people: %+v is outside %g × %g", n, f, d.width, d.height)
			for _, g := range d.figures[:k] {
				if f.heldBy >= 0 || g.heldBy >= 0 {
					continue
				}
				assert.GreaterOrEqual(t, math.Hypot(f.x-g.x, f.y-g.y), f.r+g.r, "%d people: the heads of %d and %d overlap", n, f.person, g.person)
				if f.row == g.row {
					assert.GreaterOrEqual(t, f.labelX-g.labelX, (f.labelWidth+g.labelWidth)/2-1e-6, "%d people: the labels of %d and %d overlap", n, f.person, g.person)
				}
			}
		}
		assert.Len(t, seen, n)
		for k := 1; k < len(d.bands); k++ {
			assert.GreaterOrEqual(t, d.bands[k].top, d.bands[k-1].base)
			assert.Equal(t, d.bands[k-1].row-1, d.bands[k].row)
		}
	}
}

func TestTallerPeopleAreDrawnTaller(t *testing.T) {
	s := event.Standing{Rows: []event.StandingRow{{Kind: event.PlainRow, WidthCM: 150, Places: []event.StandingPlace{
		{Person: "a", XCM: -50, WidthCM: 50, HeadCM: 190}, {Person: "b", WidthCM: 50, HeadCM: 160}, {Person: "c", XCM: 50, WidthCM: 50, HeadCM: 105},
	}}}}
	d := layoutOf(s).draw(canvas{width: 400})
	top := func(k int) float64 { return d.figures[k].y - d.figures[k].r }
	assert.Less(t, top(0), top(1))
	assert.Less(t, top(1), top(2))
}

// A sheet may come from outside: whatever it says of places can be drawn.
func TestPlansFromOutside(t *testing.T) {
	s := event.Standing{Rows: []event.StandingRow{{}, {Kind: 99, WidthCM: -5, Places: []event.StandingPlace{
		{Person: "a", XCM: 1 << 40, WidthCM: -1, HeadCM: -7, Posture: 77}, {Person: "b", Posture: event.Held, HeldBy: "nobody"},
	}}}}
	l := layoutOf(s)
	assert.Len(t, l.rows, 1)
	assert.Equal(t, event.PlainRow, l.rows[0].Kind)
	for _, p := range l.places {
		assert.Equal(t, event.Upright, p.Posture)
		assert.Equal(t, -1, p.holder)
	}
	assert.Equal(t, farthestCM, l.places[0].XCM)
}
