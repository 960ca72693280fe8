package solver_test

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"kinorder.example/solver"
	"kinorder.example/solver/internal/instance"
)

// BenchmarkFiles solves the instances of testdata. Cost, bound and the best value that is published are in the
// instance's own objective.
func BenchmarkFiles(b *testing.B) {
	paths, err := filepath.Glob("../testdata/*/*.json")
	if err != nil || len(paths) == 0 {
		b.Fatal("no instances")
	}
	for _, path := range paths {
		i, err := instance.Read(path)
		if err != nil {
			continue // an expectation of something else
		}
		b.Run(i.Kind+"/"+strings.TrimSuffix(filepath.Base(path), ".json"), func(b *testing.B) {
			p, err := solver.NewProblem(i.Spec)
			if err != nil {
				b.Fatal(err)
			}
			var r solver.Result
			for b.Loop() {
				ctx, cancel := context.WithTimeout(context.Background(), *solver.BenchBudget)
				r, err = solver.Solve(ctx, p, solver.Options{Workers: *solver.BenchWork, NodeLimit: *solver.BenchStates})
				cancel()
				if err != nil {
					b.Fatal(err)
				}
			}
			if err := solver.Verify(p, r.Order, r.Cost); err != nil {
				b.Fatal(err)
			}
			bound := i.Bound(p, r.Bound)
			b.ReportMetric(float64(i.Value(r.Cost)), "cost")
			b.ReportMetric(float64(bound), "bound")
			b.ReportMetric(float64(i.Published), "published")
			b.ReportMetric(float64(r.Stats.States), "states")
			b.ReportMetric(float64(r.Stats.PeakBytes>>20), "peak-MB")
		})
	}
}
