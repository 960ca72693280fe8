package solver

import (
	"context"
	"math/rand/v2"
	"testing"
)

// plainTable solves a problem without windows and close by the plain dynamic program over all sets
// and last groupings, from the description alone: no bounds, no classes, nothing of the search.
func plainTable(p *Problem) (int64, bool) {
	s, n := &p.spec, p.Groupings()
	const inf = int64(1) << 60
	best := make([]int64, (n+1)<<n)
	for k := range best {
		best[k] = inf
	}
	best[n] = 0
	in := make([]int, len(s.People))
	for j, g := range s.Groupings {
		for _, q := range g.Members {
			in[q] |= 1 << j
		}
	}
	for set := range 1 << n {
		for j := range n {
			if set>>j&1 != 0 || !plainAllows(s, set, j) {
				continue
			}
			perSecond := int64(0)
			for g, w := range s.Groupings {
				if set>>g&1 == 0 {
					perSecond += p.scale.release * w.ReleaseWeight
				}
			}
			for q, w := range s.People {
				finished := in[q]&^set == 0 && !w.Stays
				if in[q]&^set != 0 && !w.Stays {
					perSecond += p.scale.release * w.ReleaseWeight
				}
				called := w.Started || in[q]&set != 0
				if called && !finished && in[q]>>j&1 == 0 {
					perSecond += p.scale.idle * w.IdleWeight
				}
			}
			for last := -1; last < n; last++ {
				from := set*(n+1) + (last+n+1)%(n+1)
				if best[from] >= inf {
					continue
				}
				v := best[from] + p.scale.steps*int64(p.StepIns(GroupingIndex(last), GroupingIndex(j))) +
					p.Slot(GroupingIndex(last), GroupingIndex(j))*perSecond
				to := (set|1<<j)*(n+1) + j
				best[to] = min(best[to], v)
			}
		}
	}
	total := inf
	for last := range n {
		total = min(total, best[(1<<n-1)*(n+1)+last])
	}
	return total, total < inf
}

func plainAllows(s *Spec, set, j int) bool {
	taken := func(g GroupingIndex) bool { return set>>g&1 != 0 }
	for _, g := range s.Groupings[j].After {
		if !taken(g) {
			return false
		}
	}
	done := 0
	for g, w := range s.Groupings {
		if taken(GroupingIndex(g)) {
			done++
			continue
		}
		if w.Pin == PinFirst && s.Groupings[j].Pin != PinFirst || s.Groupings[j].Pin == PinLast && w.Pin != PinLast {
			return false
		}
	}
	if done < len(s.Prefix) && s.Prefix[done] != GroupingIndex(j) {
		return false
	}
	count := func(set []GroupingIndex) (some, all, mine bool) {
		all = true
		for _, g := range set {
			some, all, mine = some || taken(g), all && taken(g), mine || int(g) == j
		}
		return some, all, mine
	}
	for _, set := range s.Together {
		if some, all, mine := count(set); some && !all && !mine {
			return false
		}
	}
	for _, pair := range s.Separate {
		for k := range 2 {
			_, _, mine := count(pair[k])
			if some, all, _ := count(pair[1-k]); mine && some && !all {
				return false
			}
		}
	}
	return true
}

// TestSolveAgainstPlainTable drives every stage of the search, the ladders of deeper layers included,
// against the plain table. KINORDER_CASES sets the number of cases.
func TestSolveAgainstPlainTable(t *testing.T) {
	long(t)
	tuned := 0
	cases := setting(t, "KINORDER_CASES", 40)
	for seed := range uint64(cases) {
		rng := rand.New(rand.NewPCG(seed, 10))
		n := 8 + rng.IntN(3)
		if seed%70 == 69 {
			n = 14
		}
		var s Spec
		switch seed % 3 {
		case 0:
			s = randomSpec(rng, n)
			s.Close = 0
			for j := range s.Groupings {
				s.Groupings[j].Windows = nil
			}
		case 1:
			s = plainSpec(rng, n)
			s.Emphasis = Emphasis(rng.IntN(3))
		default:
			s = familySpec(seed, 18, Emphasis(rng.IntN(3)))
			s.Groupings = s.Groupings[:n]
		}
		p := mustProblem(t, s)
		r := newRun[[1]uint64](context.Background(), p, Options{Workers: 1}, 2)
		r.crowd = 1
		told := int64(0)
		r.o.OnImprove = func(g Progress) { told = max(told, g.Bound) }
		got := r.result()
		want, ok := plainTable(p)
		if ok && told > want {
			t.Fatalf("seed %d: bound %d told, want at most %d", seed, told, want)
		}
		if !got.Proven || ok != (got.Status == Found) || ok && got.Total != want {
			t.Fatalf("seed %d: total %d status %d proven %v, want %d (%v)", seed, got.Total, got.Status, got.Proven, want, ok)
		}
		if len(r.ladders) > 1 {
			tuned++
		}
	}
	if tuned < cases/4 {
		t.Errorf("only %d solves tuned a ladder for a deeper layer", tuned)
	}
}
