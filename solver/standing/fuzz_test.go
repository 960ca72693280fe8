package standing

import (
	"errors"
	"math/rand/v2"
	"testing"
)

// FuzzLimits arranges up to sixty people of any kind, with measures at their limits and more ties than
// anybody has, for so many looks at the context: the plan is one that Verify accepts.
func FuzzLimits(f *testing.F) {
	f.Add(uint64(1), uint8(0), uint8(0), uint16(0))
	f.Add(uint64(2), uint8(7), uint8(3), uint16(100))
	f.Add(uint64(3), uint8(60), uint8(6), uint16(900))
	f.Add(uint64(4), uint8(199), uint8(13), uint16(50))
	f.Add(uint64(100), uint8(187), uint8('j'), uint16(47)) // an infant in arms that another one needs
	f.Fuzz(func(t *testing.T, seed uint64, size, kind uint8, work uint16) {
		r := rand.New(rand.NewPCG(seed, 19))
		n := 1 + int(size)%60
		s := crowd(r, n)
		if kind%2 == 1 && n > 1 {
			s = wedding(r, n)
		}
		either := func(low, high int) int { return [...]int{low, high}[r.IntN(2)] }
		if kind/2%2 == 1 {
			for q := range s.People {
				s.People[q].HeightCM, s.People[q].Importance = either(40, 230), either(0, 10)
			}
			s.Space = Space{
				WidthCM: either(100, 10000), DepthCM: either(100, 10000), Ground: true, Kneeling: true, Chairs: either(0, MaxPeople),
				Steps: 2, StepCM: either(5, 60), CameraHeightCM: either(30, 600), CameraDistanceCM: either(100, 10000),
			}
		}
		if kind/4%2 == 1 && n > 1 {
			for range r.IntN(60) {
				s.Ties = append(s.Ties, Tie{Bond(r.IntN(3)), r.Perm(n)[:2+r.IntN(n-1)]})
				s.Apart = append(s.Apart, [2]int(r.Perm(n)[:2]))
			}
		}
		p, err := NewProblem(s)
		if err != nil {
			if !errors.Is(err, ErrInvalid) {
				t.Fatalf("not ErrInvalid: %v", err)
			}
			return
		}
		plan, err := Arrange(&looked{t.Context(), int(work % 16)}, p, Options{Seed: seed, Moves: 100 + int(work%2000)})
		if err != nil {
			t.Fatal(err)
		}
		if err := Verify(p, plan); err != nil {
			t.Fatal(err)
		}
	})
}
