package day

import (
	"errors"
	"math/rand/v2"
	"testing"

	"kinorder.example/solver"
)

// FuzzLimits plans random days with weights from nothing to the most that is allowed, in little room and
// with little work, some of them locked from the start and some planned as days are that are too large to try
// every place: the plan is one that Verify accepts, its bound holds and what is counted stays inside the limit.
func FuzzLimits(f *testing.F) {
	f.Add(uint64(1), uint8(5), uint8(0), uint32(0), uint16(0))
	f.Add(uint64(2), uint8(9), uint8(50), uint32(20_000), uint16(90))
	f.Add(uint64(3), uint8(4), uint8(101), uint32(1), uint16(1))
	f.Add(uint64(4), uint8(3), uint8(33), uint32(300_000), uint16(4000))
	f.Add(uint64(5), uint8(7), uint8(110), uint32(0), uint16(9))
	f.Add(uint64(6), uint8(8), uint8(247), uint32(0), uint16(40))
	f.Fuzz(func(t *testing.T, seed uint64, size, kind uint8, memory uint32, work uint16) {
		rng := rand.New(rand.NewPCG(seed, 18))
		spec := randomSpec(rng, 2+int(size%9), 1+int(kind%4))
		spec.Emphasis = solver.Emphasis(kind / 4 % 3)
		weigh := func() int64 {
			return [...]int64{0, 1, rng.Int64N(9), rng.Int64N(solver.MaxWeight + 1), solver.MaxWeight}[rng.IntN(5)]
		}
		heavy := rng.IntN(len(spec.People))
		for q := range spec.People {
			w := &spec.People[q]
			switch kind / 12 % 4 {
			case 0: // One of them alone.
				w.ReleaseWeight, w.IdleWeight = 0, 0
				if q == heavy {
					w.ReleaseWeight, w.IdleWeight = weigh(), weigh()
				}
			case 1: // All of them differently.
				w.ReleaseWeight, w.IdleWeight = weigh(), weigh()
			case 2:
				w.ReleaseWeight, w.IdleWeight = solver.MaxWeight, solver.MaxWeight
			}
		}
		if kind/48%3 == 1 {
			spec.Timing.Settle, spec.StepWeight = rng.Int64N(2)*solver.MaxSeconds, 1e9
			for b := range spec.Blocks {
				spec.Blocks[b].Close = rng.Int64N(2) * solver.MaxSeconds
			}
		}
		large := kind/48%3 == 2 || kind >= 240
		if large || kind%2 == 1 {
			for _, g := range rng.Perm(len(spec.Groupings))[:rng.IntN(len(spec.Groupings)+1)] {
				if of := spec.Groupings[g].Blocks; len(of) > 0 {
					block := &spec.Blocks[of[rng.IntN(len(of))]]
					block.Prefix = append(block.Prefix, solver.GroupingIndex(g))
				}
			}
		}
		p, err := New(spec)
		if err != nil {
			if !errors.Is(err, ErrInvalid) {
				t.Fatalf("not ErrInvalid: %v", err)
			}
			return
		}
		o := Options{MemoryLimit: int64(memory), Iterations: 1 + int(work%300), NodeLimit: 1 + int64(work%5000), Seed: seed}
		s := newSearcher(t.Context(), p, o)
		s.large = large
		if err := s.run(); err != nil {
			t.Fatal(err)
		}
		r := s.result()
		if r.Status != Found {
			return
		}
		if err := Verify(p, r.Plan, r.Cost, r.Lost); err != nil {
			t.Fatal(err)
		}
		if r.Bound > r.Total || o.MemoryLimit > 0 && r.PeakBytes > o.MemoryLimit {
			t.Fatalf("bound %d of %d; %d bytes counted, %d allowed", r.Bound, r.Total, r.PeakBytes, o.MemoryLimit)
		}
	})
}
