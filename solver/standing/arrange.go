package standing

import (
	"fmt"
	"slices"
)

// Options of a search. The zero value is right for most.
type Options struct {
	// Seed is what chance follows from.
	Seed uint64
	// Moves bounds the work, 100 to 100 000 000; 0 means by the number of people, well below a
	// second for a hundred.
	Moves int
}

// Numbers of the search, found by trying. Temperatures are in thousandths of a point: warm where
// formations are told apart, hot for the last climb, cold at the end of each.
const (
	mostFormations = 12
	exactNodes     = 3_000_000
	warm           = 30_000
	hot            = 300_000
	cold           = 4_000
)

// usualMoves grows with the people and, since each has more to do, with their square.
func usualMoves(people int) int {
	if people <= ExactPeople {
		return 5_000
	}
	return 20_000 + (2_000+15*people)*people
}

// Arrange returns the best plan found. It is exact for up to ExactPeople placed people, unless
// Plan.Exact says that the search was cut short. Its only errors are options out of range.
func Arrange(p *Problem, o Options) (Plan, error) {
	moves := o.Moves
	if moves == 0 {
		moves = usualMoves(len(p.placed))
	}
	if err := within("moves", moves, 100, 100_000_000); err != nil {
		return Plan{}, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	formations := p.formations()
	best := climbAll(p, formations, o.Seed, moves)
	exact := false
	if len(p.placed) <= ExactPeople {
		best, exact = exhaust(p, formations, best)
	}
	plan := best.plan()
	plan.Exact = exact
	return plan, nil
}

// climbAll runs a climber for each promising formation and drops the worse half round by round, so
// that half of the moves are spent on telling formations apart and the rest on the best.
func climbAll(p *Problem, formations []formation, seed uint64, moves int) *board {
	var field []*climber
	for k := range formations {
		b := newBoard(p, &formations[k])
		if b.start() {
			c := newClimber(b, seed+uint64(k))
			c.climb(10*len(p.placed), cold, cold)
			c.reset()
			field = append(field, c)
		}
	}
	// A few steps already tell hopeless formations from the others.
	slices.SortStableFunc(field, func(a, b *climber) int { return a.best - b.best })
	field = field[:min(mostFormations, len(field))]
	rounds := 0
	for left := len(field); left > 1; left = (left + 1) / 2 {
		rounds++
	}
	for len(field) > 1 {
		share := moves / 2 / rounds / len(field)
		for _, c := range field {
			c.climb(share, warm, cold)
		}
		slices.SortStableFunc(field, func(a, b *climber) int { return a.best - b.best })
		field = field[:(len(field)+1)/2]
		for _, c := range field {
			c.reset()
		}
	}
	field[0].climb(moves/2, hot, cold)
	field[0].reset()
	return field[0].b
}
