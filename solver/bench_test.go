package solver

import (
	"context"
	"testing"
)

// benchRun is a family event of 30 groupings, set up as a search has it before its passes.
func benchRun(b *testing.B) (*run[[1]uint64], *bounder[[1]uint64]) {
	b.Helper()
	p := mustProblem(b, familySpec(1, 30, Balanced))
	r := newRun[[1]uint64](context.Background(), p, Options{Workers: 1}, firstWidth)
	r.construct()
	bounds := r.newBounder()
	r.buildLadder(bounds, 0)
	return r, bounds
}

func BenchmarkLadderFill(b *testing.B) {
	_, bounds := benchRun(b)
	for b.Loop() {
		bounds.ladder.fill(func() bool { return false })
	}
}

func BenchmarkLadderRead(b *testing.B) {
	r, bounds := benchRun(b)
	t, _ := newTour(r.m, r.best)
	k := r.m.n / 2
	place := bounds.ladder.stand(t.done[k])
	for b.Loop() {
		bounds.ladder.read(int(place.rung), t.last(k), t.done[k])
	}
}

func BenchmarkSpanningTree(b *testing.B) {
	r, bounds := benchRun(b)
	t, _ := newTour(r.m, r.best)
	w := newScratch(r.m.n)
	for b.Loop() {
		bounds.ofSet(t.done[r.m.n/2], w)
	}
}

func BenchmarkDescend(b *testing.B) {
	r, _ := benchRun(b)
	order := make([]int, r.m.n)
	for k := range order {
		order[k] = k
	}
	for b.Loop() {
		t, _ := newTour(r.base, order)
		t.descend(3, r.m.n, r.stopped)
	}
}

// BenchmarkSolve reports states and gap beside the time.
func BenchmarkSolve(b *testing.B) {
	for _, c := range []struct {
		name     string
		n        int
		emphasis Emphasis
	}{{"balanced24", 24, Balanced}, {"fewest24", 24, FewestSteps}, {"early24", 24, EarlyRelease}, {"balanced30", 30, Balanced}} {
		b.Run(c.name, func(b *testing.B) {
			p := mustProblem(b, familySpec(1, c.n, c.emphasis))
			var last Result
			for b.Loop() {
				last = mustSolve(b, p, Options{})
			}
			b.ReportMetric(float64(last.Stats.States), "states")
			b.ReportMetric(float64(last.Total-last.Bound), "gap")
		})
	}
}

// replanSpec is what is left of an event of 40 groupings when 15 are done: the others, from the frame
// that stands, with the next two fixed.
func replanSpec(seed uint64) Spec {
	whole := familySpec(seed, 40, Balanced)
	s := Spec{People: append([]Person(nil), whole.People...), Timing: whole.Timing, StepWeight: whole.StepWeight}
	for _, g := range whole.Groupings[:15] {
		for _, q := range g.Members {
			s.People[q].Started = true
		}
	}
	s.Groupings, s.Frame = whole.Groupings[15:], whole.Groupings[14].Members
	s.Prefix = []GroupingIndex{0, 1}
	return s
}

func BenchmarkReplan25(b *testing.B) {
	p := mustProblem(b, replanSpec(1))
	for b.Loop() {
		if r := mustSolve(b, p, Options{}); !r.Proven {
			b.Fatal("not proven")
		}
	}
}
