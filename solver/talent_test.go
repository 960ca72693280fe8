package solver

import (
	"context"
	"math/bits"
	"math/rand/v2"
	"testing"
)

// talentSpec is a random talent scheduling problem: only idle time costs anything.
func talentSpec(rng *rand.Rand, scenes, actors int) Spec {
	var s Spec
	for range actors {
		s.People = append(s.People, Person{IdleWeight: 1 + rng.Int64N(9)})
	}
	density := 0.2 + 0.4*rng.Float64()
	for range scenes {
		g := Grouping{Fixed: 1 + rng.Int64N(9)}
		for q := range actors {
			if rng.Float64() < density {
				g.Members = append(g.Members, PersonIndex(q))
			}
		}
		s.Groupings = append(s.Groupings, g)
	}
	return s
}

// fixedSlotsSpec adds what else the search from both ends takes: people there before or after, and
// release weights.
func fixedSlotsSpec(rng *rand.Rand, scenes, people int) Spec {
	s := talentSpec(rng, scenes, people)
	for q := range s.People {
		w := &s.People[q]
		w.Started, w.Stays = rng.IntN(4) == 0, rng.IntN(4) == 0
		if rng.IntN(2) == 0 {
			w.ReleaseWeight = rng.Int64N(9)
		}
		if rng.IntN(4) == 0 {
			w.IdleWeight = 0
		}
	}
	if rng.IntN(4) == 0 {
		// A slot without length: no rule may lean on its taking time.
		s.Groupings[0].Fixed = 0
	}
	return s
}

func TestTalentAgainstEveryOrder(t *testing.T) {
	long(t)
	for seed := range uint64(800) {
		rng := rand.New(rand.NewPCG(seed, 9))
		spec := talentSpec
		if seed%2 == 1 {
			spec = fixedSlotsSpec
		}
		p := mustProblem(t, spec(rng, 2+rng.IntN(6), 1+rng.IntN(8)))
		r := mustSolve(t, p, Options{})
		want, _ := bruteForce(p)
		if !r.Proven || r.Total != want {
			t.Fatalf("seed %d: %d, proven %v, want %d", seed, r.Total, r.Proven, want)
		}
	}
}

// setTable solves a problem whose slots remember nothing by a plain table over sets of groupings.
func setTable(p *Problem) int64 {
	n := p.Groupings()
	in := make([]uint32, len(p.spec.People))
	for j, g := range p.spec.Groupings {
		for _, q := range g.Members {
			in[q] |= 1 << j
		}
	}
	cost := make([]int64, 1<<n)
	for set := 1; set < len(cost); set++ {
		cost[set] = never
	}
	for set := range uint32(1<<n - 1) {
		for j := range n {
			if set>>j&1 != 0 {
				continue
			}
			rate := int64(0)
			for q, w := range p.spec.People {
				started, left := w.Started || in[q]&set != 0, in[q]&^set != 0
				if left && !w.Stays {
					rate += w.ReleaseWeight
				}
				if started && (left || w.Stays) && in[q]>>j&1 == 0 {
					rate += w.IdleWeight
				}
			}
			to := set | 1<<j
			cost[to] = min(cost[to], cost[set]+p.Slot(-1, GroupingIndex(j))*rate)
		}
	}
	return cost[len(cost)-1]
}

// TestTalentAgainstPlainTable goes to sizes that orders cannot be listed for. The first pass is narrow
// and memory sometimes short, so that states are dropped and come back.
func TestTalentAgainstPlainTable(t *testing.T) {
	long(t)
	cases := setting(t, "KINORDER_CASES", 150)
	for seed := range uint64(cases) {
		rng := rand.New(rand.NewPCG(seed, 11))
		n := 8 + rng.IntN(5)
		if seed%100 == 99 {
			n = 16
		}
		spec := talentSpec
		if seed%3 == 2 {
			spec = fixedSlotsSpec
		}
		p := mustProblem(t, spec(rng, n, 3+rng.IntN(12)))
		o := Options{Workers: 1 + int(seed%2), MemoryLimit: 1 << 30}
		if seed%5 == 4 {
			o.MemoryLimit = 3000
		}
		told := int64(0)
		o.OnImprove = func(g Progress) { told = max(told, g.Bound) }
		got := newRun[[1]uint64](context.Background(), p, o, 2).result()
		want := setTable(p)
		if got.Proven && got.Total != want || told > want || got.Bound > want || got.Total < want {
			t.Fatalf("seed %d: total %d bound %d proven %v, want %d", seed, got.Total, got.Bound, got.Proven, want)
		}
		if !got.Proven && o.MemoryLimit == 1<<30 {
			t.Fatalf("seed %d: not proven", seed)
		}
	}
}

// rest is the least cost of what is left in a state, by a plain table over sets of scenes.
func (e *ends) rest(s endsState) int64 {
	best := map[uint64]int64{0: 0}
	for k := range bits.OnesCount64(s.left) {
		next := map[uint64]int64{}
		for done, cost := range best {
			if bits.OnesCount64(done) != k {
				continue
			}
			for x := s.left &^ done; x != 0; x &= x - 1 {
				j := bits.TrailingZeros64(x)
				v := cost
				for q := range e.idle {
					called := s.front>>q&1 != 0 || e.in[q]&done != 0
					stays := s.back>>q&1 != 0 || e.in[q]&s.left&^done != 0
					paid := s.front&s.back>>q&1 != 0
					if called && stays && !paid && e.in[q]>>j&1 == 0 {
						v += e.idle[q] * e.length[j]
					}
				}
				if old, ok := next[done|1<<j]; !ok || v < old {
					next[done|1<<j] = v
				}
			}
		}
		best = next
	}
	return best[s.left]
}

// TestEndsAtEveryNode checks each state that can be reached: its bound is no more than what the rest
// costs, and one of the states made of it leads to just that.
func TestEndsAtEveryNode(t *testing.T) {
	nodes := 0
	for seed := range uint64(100) {
		rng := rand.New(rand.NewPCG(seed, 12))
		p := mustProblem(t, fixedSlotsSpec(rng, 3+rng.IntN(5), 2+rng.IntN(9)))
		r := newRun[[1]uint64](context.Background(), p, Options{Workers: 1}, 1)
		e := newEnds(r.base)
		pass := &endsPass[[1]uint64]{r: r, e: e}
		w := &endsScratch{}
		start, paid := e.settle(e.start, 0, nil)
		if got, want := r.base.total(e.fixed+paid+e.rest(start)), setTable(p); got != want {
			t.Fatalf("seed %d: the whole costs %d, want %d", seed, got, want)
		}
		due, seen := []endsState{start}, map[endsState]bool{start: true}
		for len(due) > 0 {
			s := due[0]
			due = due[1:]
			nodes++
			want := e.rest(s)
			if b := e.bound(s, w); b > want {
				t.Fatalf("seed %d: bound %d of %+v, the rest costs %d", seed, b, s, want)
			}
			if s.left == 0 {
				continue
			}
			best := never
			for _, next := range pass.successors(endsMade{endsState: s}, nil, w) {
				best = min(best, next.cost+e.rest(next.endsState))
				if !seen[next.endsState] {
					seen[next.endsState] = true
					due = append(due, next.endsState)
				}
			}
			if best != want {
				t.Fatalf("seed %d: the best way on from %+v costs %d, want %d", seed, s, best, want)
			}
		}
	}
	if nodes < 500 {
		t.Errorf("only %d states", nodes)
	}
}
