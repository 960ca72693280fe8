package solver

import (
	"context"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

// relabel renumbers people and groupings.
func relabel(s Spec, people, groupings []int) Spec {
	out := cloneSpec(s)
	who := func(list []PersonIndex) {
		for k, q := range list {
			list[k] = PersonIndex(people[q])
		}
	}
	which := func(list []GroupingIndex) {
		for k, j := range list {
			list[k] = GroupingIndex(groupings[j])
		}
	}
	for q, w := range s.People {
		out.People[people[q]] = w
	}
	for j := range s.Groupings {
		g := cloneSpec(s).Groupings[j]
		who(g.Members)
		which(g.After)
		out.Groupings[groupings[j]] = g
	}
	who(out.Frame)
	which(out.Prefix)
	for _, set := range out.Together {
		which(set)
	}
	for _, pair := range out.Separate {
		which(pair[0])
		which(pair[1])
	}
	return out
}

func TestRelabellingKeepsTheTotal(t *testing.T) {
	for seed := range uint64(100) {
		rng := rand.New(rand.NewPCG(seed, 2))
		s := randomSpec(rng, 2+rng.IntN(9))
		a := mustSolve(t, mustProblem(t, s), Options{})
		b := mustSolve(t, mustProblem(t, relabel(s, rng.Perm(len(s.People)), rng.Perm(len(s.Groupings)))), Options{})
		if a.Status != b.Status || a.Total != b.Total {
			t.Fatalf("seed %d: %d, relabelled %d", seed, a.Total, b.Total)
		}
	}
}

// TestConstraintsNeverHelp: one more wish cannot lower the optimum.
func TestConstraintsNeverHelp(t *testing.T) {
	for seed := range uint64(150) {
		rng := rand.New(rand.NewPCG(seed, 3))
		s := randomSpec(rng, 4+rng.IntN(5))
		before := mustSolve(t, mustProblem(t, s), Options{})
		perm := rng.Perm(len(s.Groupings))
		// A second grouping pinned to an end would loosen the wish of the first, so only the first counts.
		pinned := slices.ContainsFunc(s.Groupings, func(g Grouping) bool { return g.Pin != PinNone })
		if !pinned && rng.IntN(2) == 0 {
			s.Groupings[perm[0]].Pin = Pin(1 + rng.IntN(2))
		} else {
			set := func(i, j int) []GroupingIndex { return []GroupingIndex{GroupingIndex(perm[i]), GroupingIndex(perm[j])} }
			s.Separate = append(s.Separate, [2][]GroupingIndex{set(0, 1), set(2, 3)})
		}
		after := mustSolve(t, mustProblem(t, s), Options{})
		if after.Status == Found && (before.Status != Found || after.Total < before.Total) {
			t.Fatalf("seed %d: %d before the wish, %d after", seed, before.Total, after.Total)
		}
	}
}

func TestSameResultWithMoreWorkersAndAgain(t *testing.T) {
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 4))
		p := mustProblem(t, randomSpec(rng, 9+rng.IntN(3)))
		for _, limit := range []int64{0, 500} {
			a := mustSolve(t, p, Options{Workers: 1, NodeLimit: limit, Seed: seed})
			for _, workers := range []int{1, 2, 3} {
				b := mustSolve(t, p, Options{Workers: workers, NodeLimit: limit, Seed: seed})
				if !reflect.DeepEqual(a, b) {
					t.Fatalf("seed %d: %+v with one worker, %+v with %d", seed, a, b, workers)
				}
			}
		}
	}
}

func TestCancelledSolveSaysWhatItKnows(t *testing.T) {
	p := mustProblem(t, randomSpec(rand.New(rand.NewPCG(7, 5)), 12))
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	r, err := Solve(ctx, p, Options{})
	if err != nil || r.Proven || r.Status == Infeasible {
		t.Fatalf("%+v, %v", r, err)
	}
	if r.Status == Found {
		if err := Verify(p, r.Order, r.Cost); err != nil {
			t.Fatal(err)
		}
	}
}

// TestCancelOnFirstOrder ends the context from the first report.
func TestCancelOnFirstOrder(t *testing.T) {
	p := mustProblem(t, plainSpec(rand.New(rand.NewPCG(8, 5)), 40))
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	r, err := Solve(ctx, p, Options{OnImprove: func(Progress) { cancel() }})
	if err != nil || r.Status != Found || r.Proven {
		t.Fatalf("%+v, %v", r, err)
	}
}

// plainSpec is a random list without constraints and with weights that no bound closes at once.
func plainSpec(rng *rand.Rand, n int) Spec {
	s := Spec{StepWeight: 5, Timing: Timing{Settle: 5, PerStepIn: 2}}
	for range n {
		s.People = append(s.People, Person{ReleaseWeight: rng.Int64N(6), IdleWeight: rng.Int64N(3)})
	}
	for range n {
		g := Grouping{Shoot: 5 + rng.Int64N(30)}
		for q := range n {
			if rng.IntN(4) == 0 {
				g.Members = append(g.Members, PersonIndex(q))
			}
		}
		s.Groupings = append(s.Groupings, g)
	}
	return s
}

func TestProgressOnlyImproves(t *testing.T) {
	p := mustProblem(t, plainSpec(rand.New(rand.NewPCG(9, 5)), 13))
	var total, bound int64 = never, -1
	r := mustSolve(t, p, Options{OnImprove: func(g Progress) {
		if len(g.Order) > 0 {
			if g.Total > total || g.Bound > g.Total {
				t.Errorf("total %d after %d, bound %d", g.Total, total, g.Bound)
			}
			if err := Verify(p, g.Order, g.Cost); err != nil || p.Total(g.Cost) != g.Total {
				t.Errorf("reported order: %v", err)
			}
			total = g.Total
		}
		if g.Bound < bound {
			t.Errorf("bound %d after %d", g.Bound, bound)
		}
		bound = g.Bound
	}})
	if total != r.Total || bound != r.Bound {
		t.Errorf("last report %d, %d; result %d, %d", total, bound, r.Total, r.Bound)
	}
}

func TestSolveRefusesBadOptions(t *testing.T) {
	p := mustProblem(t, Spec{})
	for _, o := range []Options{{Workers: -1}, {Workers: 1000}, {NodeLimit: -1}, {MemoryLimit: -1}} {
		if _, err := Solve(context.Background(), p, o); err == nil {
			t.Errorf("%+v is taken", o)
		}
	}
	if _, err := Solve(context.Background(), nil, Options{}); err == nil {
		t.Error("no problem is taken")
	}
	if r := mustSolve(t, p, Options{}); r.Status != Found || !r.Proven || len(r.Order) != 0 {
		t.Errorf("empty problem: %+v", r)
	}
	// An incumbent that makes no sense is passed over.
	p = mustProblem(t, plainSpec(rand.New(rand.NewPCG(1, 1)), 5))
	for _, o := range [][]GroupingIndex{{0}, {0, 0, 1, 2, 3}, {9, 8, 7, 6, 5}, {-1, 0, 1, 2, 3}} {
		if r := mustSolve(t, p, Options{Incumbent: o}); !r.Proven {
			t.Errorf("incumbent %v: not proven", o)
		}
	}
}

func TestMemoryLimitEndsHonestly(t *testing.T) {
	p := mustProblem(t, plainSpec(rand.New(rand.NewPCG(11, 5)), 15))
	whole := mustSolve(t, p, Options{})
	r := mustSolve(t, p, Options{MemoryLimit: 50_000})
	if r.Proven || r.Status != Found || r.Bound > whole.Total || r.Stats.PeakBytes > 50_000 {
		t.Fatalf("limited %+v, unlimited %+v", r, whole)
	}
}

// TestBoundsAtEveryNode solves the rest of small problems exactly from every state and compares.
func TestBoundsAtEveryNode(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 6))
		s := randomSpec(rng, 2+rng.IntN(6))
		m := newModel[[1]uint64](mustProblem(t, s))
		if m.blocked {
			continue
		}
		b, w := newBounder(m, newTree(m.p), rng.Perm(m.n), func() bool { return false }), newScratch(m.n)
		solved := mustSolve(t, m.p, Options{})
		addLadder(b, solved)
		// Where step-ins come first, the ladder bounds orders with the fewest step-ins only.
		comparable := func(total int64) bool {
			return m.p.spec.Emphasis != FewestSteps || total/m.p.scale.steps == solved.Cost.StepIns
		}
		var visit func(cost int64, done [1]uint64, last int, now Seconds) int64
		visit = func(cost int64, done [1]uint64, last int, now Seconds) int64 {
			if done == m.all {
				return 0
			}
			best := never
			for j := range m.n {
				if has(done, j) || !m.allows(done, j) {
					continue
				}
				end, ok := m.place(last, j, now)
				if !ok {
					continue
				}
				perSecond, _ := m.take(done, m.ratesAt(done), j)
				charge := m.step[m.at(last, j)] + (end-now)*perSecond
				if rest := visit(cost+charge, with(done, j), j, end); rest < never {
					best = min(best, rest+charge)
				}
			}
			if got := b.whole(cost, done, last, w); best < never && got > cost+best && comparable(cost+best) {
				t.Fatalf("seed %d: bound %d at %b after %d, best there %d", seed, got, done, last, cost+best)
			}
			return best
		}
		visit(0, [1]uint64{}, -1, 0)
	}
}

// addLadder gives a bounder the ladder that a search would build from the given result.
func addLadder(b *bounder[[1]uint64], best Result) {
	if best.Status != Found {
		return
	}
	never := func() bool { return false }
	b.ladder = newLadder(b.m, toInts(best.Order))
	if b.m.p.spec.Emphasis == FewestSteps {
		b.ladder.most = best.Cost.StepIns
		b.ladder.setPrice(100)
	}
	c := newClimber(b.ladder, 60)
	c.climb(30, float64(best.Total), never)
	c.tune([]sampled[[1]uint64]{{last: -1}}, 20, 3, best.Total*b.m.unit, never)
}

// TestNarrowFirstPass makes the search go on to its later stages on problems that brute force checks.
func TestNarrowFirstPass(t *testing.T) {
	long(t)
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 8))
		p := mustProblem(t, randomSpec(rng, 3+rng.IntN(5)))
		got := newRun[[1]uint64](context.Background(), p, Options{Workers: 1}, 1).result()
		want, ok := bruteForce(p)
		if ok != (got.Status == Found) || !got.Proven || ok && got.Total != want {
			t.Fatalf("seed %d: %+v, want %d (%v)", seed, got, want, ok)
		}
	}
}

// TestWideSetsFindTheSame solves the same problems with sets of every width.
func TestWideSetsFindTheSame(t *testing.T) {
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 7))
		p := mustProblem(t, randomSpec(rng, 2+rng.IntN(7)))
		o := Options{Workers: 1}
		want := solve[[1]uint64](context.Background(), p, o)
		for k, got := range []Result{
			solve[[2]uint64](context.Background(), p, o), solve[[4]uint64](context.Background(), p, o),
			solve[[32]uint64](context.Background(), p, o),
		} {
			if got.Total != want.Total || got.Status != want.Status || !slices.Equal(got.Order, want.Order) {
				t.Fatalf("seed %d, width %d: %+v, want %+v", seed, k, got, want)
			}
		}
	}
}
