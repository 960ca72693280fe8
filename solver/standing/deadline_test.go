package standing

import (
	"context"
	"math"
	"testing"
)

// looked is a context that ends when it has been looked at so often.
type looked struct {
	context.Context
	left int
}

func (l *looked) Err() error {
	if l.left--; l.left < 0 {
		return context.DeadlineExceeded
	}
	return nil
}

// A search looks at its context every few moves, and what it has when that ends is a plan.
func TestArrangeEndsWithItsContext(t *testing.T) {
	for name, c := range map[string]struct {
		people, moves, looks int
		spec                 Spec
	}{
		"annealed": {people: 40, moves: 50_000, looks: 50_000 / 2 / looks},
		"exact":    {people: ExactPeople, moves: 100, looks: 20},
	} {
		t.Run(name, func(t *testing.T) {
			for i := range c.people {
				c.spec.People = append(c.spec.People, Person{HeightCM: 150 + i*37%45, Side: Side(i % 3), Importance: i % 4})
			}
			p, err := NewProblem(c.spec)
			if err != nil {
				t.Fatal(err)
			}
			whole := &looked{t.Context(), math.MaxInt}
			best, err := Arrange(whole, p, Options{Moves: c.moves})
			if err != nil {
				t.Fatal(err)
			}
			all := math.MaxInt - whole.left
			if all < c.looks {
				t.Fatalf("%d looks, want at least %d", all, c.looks)
			}
			for _, n := range []int{0, 1, 7, all / 3, all / 2, all - 1} {
				ctx := &looked{t.Context(), n}
				plan, err := Arrange(ctx, p, Options{Moves: c.moves})
				if err != nil {
					t.Fatal(err)
				}
				if err := Verify(p, plan); err != nil {
					t.Errorf("after %d looks: %v", n, err)
				}
				if plan.Exact {
					t.Errorf("after %d looks it claims to have seen all", n)
				}
				if plan.Cost.Total() < best.Cost.Total() {
					t.Errorf("after %d looks it is better than after all", n)
				}
				if most := 2*len(p.formations())*len(heats)*40 + 100; -ctx.left > most {
					t.Errorf("it looked %d times after the end", -ctx.left)
				}
			}
		})
	}
}
