package solver

import (
	"context"
	"errors"
	"math/rand/v2"
	"testing"
)

// FuzzNewProblem feeds arbitrary descriptions: NewProblem must refuse or accept them, and what it
// accepts must solve to something that Verify accepts.
func FuzzNewProblem(f *testing.F) {
	f.Add([]byte{3, 2, 1, 2, 3, 4, 5, 6, 7, 8, 9})
	f.Add([]byte("a handful of bytes that stand for people, groupings and wishes"))
	f.Fuzz(func(t *testing.T, data []byte) {
		next := func() int64 {
			if len(data) == 0 {
				return 0
			}
			v := int64(int8(data[0]))
			data = data[1:]
			if v == -128 {
				v = 1 << 40
			}
			return v
		}
		few := func(most int64) int { return int(((next() % most) + most) % most) }
		s := Spec{Emphasis: Emphasis(few(4)), StepWeight: next(), Close: next() * 9, Opening: next()}
		s.Timing = Timing{Settle: next(), PerStepIn: next(), PerStepOut: next(), Fresh: next(), Arrange: []Seconds{next(), next()}, Gather: []Seconds{next()}}
		for range few(6) {
			s.People = append(s.People, Person{ReleaseWeight: next(), IdleWeight: next(), Slow: next(), Started: next() > 50, Stays: next() > 50, Led: next() > 50, Extra: int(next())})
		}
		which := func() (out []GroupingIndex) {
			for range few(4) {
				out = append(out, GroupingIndex(next()))
			}
			return out
		}
		who := func() (out []PersonIndex) {
			for range few(5) {
				out = append(out, PersonIndex(next()))
			}
			return out
		}
		for range few(7) {
			s.Groupings = append(s.Groupings, Grouping{Members: who(), Guests: int(next()), Shoot: next(), Fixed: next(), After: which(), Pin: Pin(few(4)), Windows: []Window{{next(), next() * 5}}[:few(2)]})
		}
		s.Frame, s.FrameGuests, s.Prefix = who(), int(next()), which()
		s.Together = [][]GroupingIndex{which(), which()}
		s.Separate = [][2][]GroupingIndex{{which(), which()}}
		p, err := NewProblem(s)
		if err != nil {
			if !errors.Is(err, ErrInvalid) {
				t.Fatalf("not ErrInvalid: %v", err)
			}
			return
		}
		r, err := Solve(context.Background(), p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if !r.Proven {
			t.Fatal("not proven")
		}
		if r.Status == Found {
			if err := Verify(p, r.Order, r.Cost); err != nil {
				t.Fatal(err)
			}
		}
	})
}

// FuzzLimits solves random lists with weights and times from nothing to the most that is allowed, in
// little room and with few states: there is an order that Verify accepts whenever one is found, bounds
// hold, and what is counted stays inside the limit.
func FuzzLimits(f *testing.F) {
	f.Add(uint64(1), uint8(9), uint8(0), uint32(0), uint16(0))
	f.Add(uint64(2), uint8(12), uint8(77), uint32(20_000), uint16(300))
	f.Add(uint64(3), uint8(7), uint8(142), uint32(1), uint16(1))
	f.Add(uint64(4), uint8(15), uint8(201), uint32(300_000), uint16(4000))
	f.Fuzz(func(t *testing.T, seed uint64, size, kind uint8, memory uint32, nodes uint16) {
		s := limitsSpec(seed, 1+int(size%16), kind)
		p, err := NewProblem(s)
		if err != nil {
			if !errors.Is(err, ErrInvalid) {
				t.Fatalf("not ErrInvalid: %v", err)
			}
			return
		}
		o := Options{MemoryLimit: int64(memory), NodeLimit: 1 + int64(nodes%8000), Seed: seed, Workers: 1 + int(seed%2)}
		r := mustSolve(t, p, o)
		if o.MemoryLimit > 0 && r.Stats.PeakBytes > o.MemoryLimit {
			t.Fatalf("%d bytes counted, %d allowed", r.Stats.PeakBytes, o.MemoryLimit)
		}
		if p.Groupings() > 6 {
			return
		}
		want, ok := bruteForce(p)
		if ok && (r.Status == Infeasible || r.Bound > want || r.Proven && r.Total != want) || !ok && r.Status == Found {
			t.Fatalf("status %d, total %d, bound %d, proven %v; the best is %d (%v)", r.Status, r.Total, r.Bound, r.Proven, want, ok)
		}
	})
}

// limitsSpec makes a list in which kind says who weighs how much, how long things take and what counts.
func limitsSpec(seed uint64, n int, kind uint8) Spec {
	rng := rand.New(rand.NewPCG(seed, 17))
	s := randomSpec(rng, n)
	if kind%3 == 1 {
		s = plainSpec(rng, n)
	}
	s.Emphasis = Emphasis(kind / 3 % 3)
	weigh := func() int64 {
		return [...]int64{0, 1, rng.Int64N(9), rng.Int64N(MaxWeight + 1), MaxWeight}[rng.IntN(5)]
	}
	heavy := rng.IntN(len(s.People))
	for q := range s.People {
		w := &s.People[q]
		switch kind / 9 % 5 {
		case 0: // One of them alone.
			w.ReleaseWeight, w.IdleWeight = 0, 0
			if q == heavy {
				w.ReleaseWeight, w.IdleWeight = weigh(), weigh()
			}
		case 1: // All of them differently.
			w.ReleaseWeight, w.IdleWeight = weigh(), weigh()
		case 2: // One outweighs the others.
			w.ReleaseWeight, w.IdleWeight = 1, 0
			if q == heavy {
				w.ReleaseWeight = MaxWeight
			}
		case 3:
			w.ReleaseWeight, w.IdleWeight = MaxWeight, MaxWeight
		}
	}
	if kind/45%3 == 1 { // Things that take days, or no time.
		for j := range s.Groupings {
			s.Groupings[j].Shoot = rng.Int64N(2) * MaxSeconds
		}
		s.Timing.Settle, s.StepWeight = rng.Int64N(2)*MaxSeconds, rng.Int64N(2)*1e9
	}
	if kind/45%3 == 2 {
		s.Timing = Timing{}
		for j := range s.Groupings {
			s.Groupings[j].Shoot, s.Groupings[j].Fixed = 0, rng.Int64N(2)
		}
	}
	return s
}
