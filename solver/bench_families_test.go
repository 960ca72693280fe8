package solver

import (
	"context"
	"flag"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// What the benchmarks take beside the flags of go test, for example
//
//	go test ./solver -run '^$' -bench Families/planned -benchtime 20x -sizes=24,30,40 -budget=20s -workers=2
//
// A search that ends after a number of states gets as far on a busy machine as on a quiet one.
var (
	benchSizes  = flag.String("sizes", "24,30", "numbers of groupings of invented lists")
	BenchBudget = flag.Duration("budget", 20*time.Second, "longest time for one search")
	benchLong   = flag.Duration("long", 0, "search each list once more, for this long, to compare with")
	BenchStates = flag.Int64("states", 0, "states after which a search ends; 0 for none")
	BenchWork   = flag.Int("workers", 1, "goroutines of one search")
)

// BenchmarkFamilies searches invented lists, one seed an iteration: families as they ask, families with the weights
// that package planning gives, and schools. It reports proofs, time, CPU time, states and gaps over all seeds.
func BenchmarkFamilies(b *testing.B) {
	kinds := []struct {
		name string
		spec func(uint64, int, Emphasis) Spec
	}{{"family", familySpec}, {"planned", plannedSpec}, {"school", func(seed uint64, n int, e Emphasis) Spec {
		s := schoolSpec(seed, n, 5*n)
		s.Emphasis = e
		return s
	}}}
	for _, size := range strings.Split(*benchSizes, ",") {
		n, err := strconv.Atoi(size)
		if err != nil {
			b.Fatal(err)
		}
		for _, k := range kinds {
			for e, emphasis := range []string{"balanced", "fewest", "early"} {
				b.Run(k.name+"/"+size+"/"+emphasis, func(b *testing.B) {
					var m measured
					for seed := uint64(1); b.Loop(); seed++ {
						m.search(b, mustProblem(b, k.spec(seed, n, Emphasis(e))))
					}
					m.report(b)
				})
			}
		}
	}
}

// measured gathers figures, one of each for every search.
type measured struct {
	proven                                     int
	seconds, cpu, first, states, gap, overBest []float64
	peak                                       int64
}

func (m *measured) search(b *testing.B, p *Problem) {
	start, used, first := time.Now(), cpuTime(b), 0.0
	r := solveFor(b, p, *BenchBudget, func(g Progress) {
		if first == 0 && len(g.Order) > 0 {
			first = time.Since(start).Seconds()
		}
	})
	m.seconds, m.cpu = append(m.seconds, time.Since(start).Seconds()), append(m.cpu, (cpuTime(b)-used).Seconds())
	m.first, m.states = append(m.first, first), append(m.states, float64(r.Stats.States))
	m.gap = append(m.gap, percentAbove(r.Total, r.Bound))
	m.peak = max(m.peak, r.Stats.PeakBytes)
	if r.Proven {
		m.proven++
	}
	if *benchLong > 0 {
		better := solveFor(b, p, *benchLong, nil)
		m.overBest = append(m.overBest, percentAbove(r.Total, min(r.Total, better.Total)))
	}
}

func (m *measured) report(b *testing.B) {
	at := func(v []float64, q float64) float64 {
		slices.Sort(v)
		return v[int(q*float64(len(v)-1))]
	}
	for _, v := range []struct {
		of   []float64
		unit string
	}{{m.seconds, "s"}, {m.cpu, "cpu-s"}, {m.states, "states"}} {
		b.ReportMetric(at(v.of, 0.5), "median-"+v.unit)
		b.ReportMetric(at(v.of, 1), "worst-"+v.unit)
	}
	b.ReportMetric(float64(m.proven), "proven")
	b.ReportMetric(at(m.first, 1), "worst-first-order-s")
	b.ReportMetric(at(m.gap, 1), "worst-gap-%")
	b.ReportMetric(float64(m.peak>>20), "peak-MB")
	if len(m.overBest) > 0 {
		b.ReportMetric(at(m.overBest, 1), "worst-over-best-%")
	}
}

func solveFor(b *testing.B, p *Problem, budget time.Duration, told func(Progress)) Result {
	ctx, cancel := context.WithTimeout(context.Background(), budget)
	defer cancel()
	r, err := Solve(ctx, p, Options{Workers: *BenchWork, NodeLimit: *BenchStates, OnImprove: told})
	if err != nil {
		b.Fatal(err)
	}
	return r
}

// percentAbove says by how many per cent of the other a total exceeds it.
func percentAbove(total, other int64) float64 {
	return 100 * float64(total-other) / float64(max(1, other))
}
