package solver

import (
	"context"
	"errors"
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
		s := Spec{Emphasis: Emphasis(few(4)), StepWeight: next(), Close: next() * 9}
		s.Timing = Timing{Settle: next(), PerStepIn: next(), PerStepOut: next(), Fresh: next(), Arrange: []Seconds{next(), next()}}
		for range few(6) {
			s.People = append(s.People, Person{ReleaseWeight: next(), IdleWeight: next(), Slow: next(), Started: next() > 50, Stays: next() > 50})
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
			s.Groupings = append(s.Groupings, Grouping{Members: who(), Shoot: next(), Fixed: next(), After: which(), Pin: Pin(few(4)), Windows: []Window{{next(), next() * 5}}[:few(2)]})
		}
		s.Frame, s.Prefix = who(), which()
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
