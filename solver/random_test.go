package solver

import (
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
)

// randomSpec makes a small problem with every feature that rng happens to pick.
func randomSpec(rng *rand.Rand, n int) Spec {
	people := 1 + rng.IntN(2*n+2)
	s := Spec{StepWeight: rng.Int64N(20), Emphasis: Emphasis(rng.IntN(3))}
	for range people {
		s.People = append(s.People, Person{
			ReleaseWeight: max(0, rng.Int64N(8)-2), IdleWeight: max(0, rng.Int64N(5)-2), Slow: max(0, rng.Int64N(20)-12),
			Started: rng.IntN(8) == 0, Stays: rng.IntN(8) == 0, Led: rng.IntN(4) == 0, Extra: max(-1, rng.IntN(7)-4),
		})
	}
	density := 0.15 + 0.5*rng.Float64()
	subset := func() (out []PersonIndex) {
		for q := range people {
			if rng.Float64() < density {
				out = append(out, PersonIndex(q))
			}
		}
		return out
	}
	for range n {
		g := Grouping{Members: subset(), Shoot: rng.Int64N(30)}
		if rng.IntN(6) == 0 {
			g.Fixed = 1 + rng.Int64N(60)
		}
		if rng.IntN(6) == 0 {
			g.Guests = 1 + rng.IntN(3)
		}
		if rng.IntN(6) == 0 {
			g.ReleaseWeight = 1 + rng.Int64N(9)
		}
		s.Groupings = append(s.Groupings, g)
	}
	s.Timing = Timing{Settle: rng.Int64N(10), PerStepIn: rng.Int64N(4), PerStepOut: rng.Int64N(3), Fresh: rng.Int64N(20)}
	for k := range rng.IntN(4) {
		s.Timing.Arrange = append(s.Timing.Arrange, int64(k)*rng.Int64N(20))
		s.Timing.Gather = append(s.Timing.Gather, rng.Int64N(30))
	}
	s.Opening = max(0, rng.Int64N(60)-30)
	if rng.IntN(3) == 0 {
		s.Frame, s.FrameGuests = subset(), rng.IntN(3)
	}
	if rng.IntN(2) == 0 {
		addConstraints(rng, &s)
	}
	return s
}

func addConstraints(rng *rand.Rand, s *Spec) {
	n := len(s.Groupings)
	perm := rng.Perm(n)
	for k := range perm {
		if k > 0 && rng.IntN(5) == 0 {
			g := &s.Groupings[perm[k]]
			g.After = append(g.After, GroupingIndex(perm[rng.IntN(k)]))
		}
		if rng.IntN(8) == 0 {
			s.Groupings[k].Pin = Pin(1 + rng.IntN(2))
		}
	}
	if rng.IntN(4) == 0 {
		for _, j := range rng.Perm(n)[:rng.IntN(min(n, 3)+1)] {
			s.Prefix = append(s.Prefix, GroupingIndex(j))
		}
	}
	cut := func() (a, b []GroupingIndex) {
		p := rng.Perm(n)
		x := rng.IntN(n + 1)
		y := x + rng.IntN(n-x+1)
		for k, j := range p[:y] {
			if k < x {
				a = append(a, GroupingIndex(j))
			} else {
				b = append(b, GroupingIndex(j))
			}
		}
		return a, b
	}
	if rng.IntN(3) == 0 {
		a, b := cut()
		s.Together = [][]GroupingIndex{a, b}
	}
	if rng.IntN(3) == 0 {
		a, b := cut()
		s.Separate = append(s.Separate, [2][]GroupingIndex{a, b})
	}
	if rng.IntN(3) == 0 {
		s.Close = int64(n) * (20 + rng.Int64N(60))
	}
	if rng.IntN(3) == 0 {
		for j := range s.Groupings {
			if rng.IntN(3) > 0 {
				continue
			}
			open := max(0, rng.Int64N(200)-60)
			ws := []Window{{open, open + 60 + rng.Int64N(200)}}
			if rng.IntN(2) == 0 {
				open = ws[0].Close + 1 + rng.Int64N(100)
				ws = append(ws, Window{open, open + 60 + rng.Int64N(300)})
			}
			s.Groupings[j].Windows = ws
		}
	}
}

// bruteForce evaluates every order with Evaluate and Verify and returns the least total; ok is false
// when no order keeps the constraints.
func bruteForce(p *Problem) (best int64, ok bool) {
	order := make([]GroupingIndex, p.Groupings())
	for k := range order {
		order[k] = GroupingIndex(k)
	}
	var permute func(k int)
	permute = func(k int) {
		if k == len(order) {
			s, err := Evaluate(p, order)
			if err != nil || Verify(p, order, s.Cost) != nil {
				return
			}
			if t := p.Total(s.Cost); !ok || t < best {
				best, ok = t, true
			}
			return
		}
		for i := k; i < len(order); i++ {
			order[k], order[i] = order[i], order[k]
			permute(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	permute(0)
	return best, ok
}

// setting reads a number from the environment, for runs with more cases than usual.
func setting(t *testing.T, name string, usual int) int {
	t.Helper()
	v := os.Getenv(name)
	if v == "" {
		return usual
	}
	n, err := strconv.Atoi(v)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
