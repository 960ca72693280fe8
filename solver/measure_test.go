package solver

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// TestMeasureFamilies measures the solver on invented family events and prints a line for each size
// and emphasis. It asserts nothing and runs only when KINORDER_MEASURE names the sizes, for example
// KINORDER_MEASURE=24,30,40 with KINORDER_SEEDS=20, KINORDER_BUDGET=20s and KINORDER_WORKERS=2. With
// KINORDER_NODES a search also ends after so many states, which no other work on the machine changes.
func TestMeasureFamilies(t *testing.T) {
	sizes := os.Getenv("KINORDER_MEASURE")
	if sizes == "" {
		t.Skip("set KINORDER_MEASURE to sizes to measure")
	}
	budget, err := time.ParseDuration(settingOr("KINORDER_BUDGET", "20s"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range strings.Split(sizes, ",") {
		n := number(t, f)
		for _, e := range []Emphasis{Balanced, FewestSteps, EarlyRelease} {
			if only := os.Getenv("KINORDER_EMPHASIS"); only != "" && only != fmt.Sprint(e) {
				continue
			}
			for _, k := range []struct {
				name string
				spec func(uint64, int, Emphasis) Spec
			}{{"family", familySpec}, {"planned", plannedSpec}} {
				if only := os.Getenv("KINORDER_KIND"); only == "" || only == k.name {
					measureFamilies(t, k.name, k.spec, n, e, budget)
				}
			}
		}
	}
}

func measureFamilies(t *testing.T, kind string, spec func(uint64, int, Emphasis) Spec, n int, e Emphasis, budget time.Duration) {
	var times, cpus, states, gaps []float64
	proven, seeds := 0, number(t, settingOr("KINORDER_SEEDS", "20"))
	var peak int64
	for seed := range seeds {
		p := mustProblem(t, spec(uint64(seed+1), n, e))
		ctx, cancel := context.WithTimeout(context.Background(), budget)
		start, used := time.Now(), cpuTime(t)
		r, err := Solve(ctx, p, Options{
			Workers: number(t, settingOr("KINORDER_WORKERS", "1")), NodeLimit: int64(number(t, settingOr("KINORDER_NODES", "0"))),
		})
		cancel()
		if err != nil {
			t.Fatal(err)
		}
		took, cpu := time.Since(start).Seconds(), (cpuTime(t) - used).Seconds()
		if r.Proven {
			proven++
		}
		gap := 100 * float64(r.Total-r.Bound) / float64(max(1, r.Total))
		if testing.Verbose() {
			fmt.Printf("  %s n %d emphasis %d seed %d: people %d total %d bound %d gap %.2f%% proven %v %.3f s cpu %.3f s states %d peak %d MB\n",
				kind, n, e, seed+1, p.People(), r.Total, r.Bound, gap, r.Proven, took, cpu, r.Stats.States, r.Stats.PeakBytes>>20)
		}
		times, cpus, states, gaps = append(times, took), append(cpus, cpu), append(states, float64(r.Stats.States)), append(gaps, gap)
		peak = max(peak, r.Stats.PeakBytes)
	}
	slices.Sort(times)
	slices.Sort(cpus)
	slices.Sort(states)
	slices.Sort(gaps)
	at := func(v []float64, q float64) float64 { return v[int(q*float64(len(v)-1))] }
	fmt.Printf("%s n %d emphasis %d: proven %d of %d; seconds median %.3f p90 %.3f worst %.3f; CPU seconds median %.3f p90 %.3f worst %.3f; states median %.0f worst %.0f; worst gap %.2f%%; peak %d MB\n",
		kind, n, e, proven, seeds, at(times, 0.5), at(times, 0.9), at(times, 1), at(cpus, 0.5), at(cpus, 0.9), at(cpus, 1), at(states, 0.5), at(states, 1), at(gaps, 1), peak>>20)
}

func settingOr(name, other string) string {
	if v := os.Getenv(name); v != "" {
		return v
	}
	return other
}

func number(t *testing.T, s string) int {
	t.Helper()
	n, err := strconv.Atoi(s)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// TestMeasureLarge measures large lists when KINORDER_LARGE names numbers of groupings: the time to
// the first order, the best order and bound after KINORDER_BUDGET, and how far above its floor that is.
// With KINORDER_LONG, for example 5m, it also solves for so long and prints how far the short run lies
// above the better of both, and above the higher floor.
func TestMeasureLarge(t *testing.T) {
	sizes := os.Getenv("KINORDER_LARGE")
	if sizes == "" {
		t.Skip("set KINORDER_LARGE to sizes to measure")
	}
	budget, err := time.ParseDuration(settingOr("KINORDER_BUDGET", "10s"))
	if err != nil {
		t.Fatal(err)
	}
	long, err := time.ParseDuration(settingOr("KINORDER_LONG", "0s"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range strings.Split(sizes, ",") {
		n := number(t, f)
		for _, kind := range []string{"school", "family"} {
			for e := range 3 {
				if only := os.Getenv("KINORDER_EMPHASIS"); only != "" && only != fmt.Sprint(e) {
					continue
				}
				s := familySpec(1, n, Emphasis(e))
				if kind == "school" {
					s = schoolSpec(1, n, 5*n)
					s.Emphasis = Emphasis(e)
				}
				measureLarge(t, kind, mustProblem(t, s), budget, long)
			}
		}
	}
}

func measureLarge(t *testing.T, kind string, p *Problem, budget, long time.Duration) {
	short, first := solveFor(t, p, budget)
	fmt.Printf("%s %d groupings %d people emphasis %d: first order %.3f s, total %d bound %d, %.2f%% above it, step-ins %d floor %d\n",
		kind, p.Groupings(), p.People(), p.spec.Emphasis, first.Seconds(), short.Total, short.Bound, above(short.Total, short.Bound), short.Cost.StepIns, p.StepInsOf(short.Bound))
	if long > 0 {
		better, _ := solveFor(t, p, long)
		best, bound := min(short.Total, better.Total), max(short.Bound, better.Bound)
		fmt.Printf("    after %v total %d bound %d step-ins %d: the short run is %.2f%% above the best known, %.2f%% above the floor\n",
			long, better.Total, better.Bound, better.Cost.StepIns, above(short.Total, best), above(short.Total, bound))
	}
}

// above is by how many per cent of the other a total exceeds it.
func above(total, other int64) float64 { return 100 * float64(total-other) / float64(max(1, other)) }

// solveFor solves for so long and says when the first order came.
func solveFor(t *testing.T, p *Problem, budget time.Duration) (r Result, first time.Duration) {
	ctx, cancel := context.WithTimeout(context.Background(), budget)
	defer cancel()
	start := time.Now()
	r, err := Solve(ctx, p, Options{Workers: number(t, settingOr("KINORDER_WORKERS", "1")), OnImprove: func(g Progress) {
		if first == 0 && len(g.Order) > 0 {
			first = time.Since(start)
		}
		if testing.Verbose() {
			fmt.Printf("    %.2f s total %d bound %d\n", time.Since(start).Seconds(), g.Total, g.Bound)
		}
	}})
	if err != nil {
		t.Fatal(err)
	}
	return r, first
}
