package standing

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestDiagramsKeepPeopleApartAndInside(t *testing.T) {
	r := rand.New(rand.NewPCG(51, 1))
	canvas := Canvas{Width: 560, Label: 30, Caption: 12, Step: 7}
	for n := 2; n <= 90; n += 1 + n/2 {
		for _, spec := range []Spec{wedding(r, n), crowd(r, n)} {
			plan := arrange(t, spec, Options{Moves: 500})
			d := plan.Diagram(canvas)
			if len(d.Figures) != n || len(d.Bands) != len(plan.Rows) {
				t.Fatalf("%d figures in %d bands for %d people in %d rows", len(d.Figures), len(d.Bands), n, len(plan.Rows))
			}
			seen := make([]bool, n)
			for k, f := range d.Figures {
				seen[f.Person] = true
				if f.X-f.R < 0 || f.X+f.R > d.Width || f.Y-f.R < 0 || f.Y+f.R > f.Base || f.LabelY+canvas.Label > d.Height {
					t.Errorf("%d people: figure %+v is outside %g × %g", n, f, d.Width, d.Height)
				}
				for _, g := range d.Figures[:k] {
					if f.HeldBy < 0 && g.HeldBy < 0 && math.Hypot(f.X-g.X, f.Y-g.Y) < f.R+g.R {
						t.Errorf("%d people: heads of %d and %d overlap", n, f.Person, g.Person)
					}
					if f.HeldBy < 0 && g.HeldBy < 0 && f.Row == g.Row && f.LabelX-g.LabelX < (f.LabelWidth+g.LabelWidth)/2-1e-6 {
						t.Errorf("%d people: labels of %d and %d overlap", n, f.Person, g.Person)
					}
				}
			}
			for q, yes := range seen {
				if !yes {
					t.Errorf("%d people: person %d is not drawn", n, q)
				}
			}
			for k := 1; k < len(d.Bands); k++ {
				if d.Bands[k].Top < d.Bands[k-1].Base || d.Bands[k].Row != d.Bands[k-1].Row-1 {
					t.Errorf("%d people: band %d overlaps or is out of order", n, k)
				}
			}
		}
	}
}

func TestTallerPeopleAreDrawnTaller(t *testing.T) {
	plan := arrange(t, Spec{People: []Person{{HeightCM: 190}, {HeightCM: 160}, {Age: Child, HeightCM: 105}}}, Options{})
	d := plan.Diagram(Canvas{Width: 400})
	top := map[int]float64{}
	for _, f := range d.Figures {
		top[f.Person] = f.Y - f.R
	}
	if len(plan.Rows) == 1 && !(top[0] < top[1] && top[1] < top[2]) {
		t.Errorf("tops of heads %v", top)
	}
}
