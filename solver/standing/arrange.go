package standing

import (
	"fmt"
	"slices"
)

// Options of a search. The zero value is right for most.
type Options struct {
	// Seed is what chance follows from.
	Seed uint64
	// Moves bounds the work, 100 to 100 000 000; 0 means by the number of people: under a
	// second of work for a hundred.
	Moves int
}

// Numbers of the search, found by trying. Temperatures are in thousandths of a point: hot where a
// formation is annealed first, warm where the finalists are again, cold at the end of each.
const (
	finalists  = 2
	firstMoves = 50 // for each person and formation, before most formations are dropped
	exactNodes = 3_000_000
	hot        = 100_000
	warm       = 60_000
	cold       = 4_000
)

// UsualMoves is what Options without Moves mean for so many placed people. It grows with them up to
// what a second holds.
func UsualMoves(people int) int {
	if people <= ExactPeople {
		return 5_000
	}
	return min(300_000, 150_000+4_000*people)
}

// Arrange returns the best plan found. It is exact for up to ExactPeople placed people, unless
// Plan.Exact says that the search was cut short. Its only errors are options out of range.
func Arrange(p *Problem, o Options) (Plan, error) {
	moves := o.Moves
	if moves == 0 {
		moves = UsualMoves(len(p.placed))
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

// climbAll anneals the most promising formations one by one, then the two best of them again, and
// returns the best board.
func climbAll(p *Problem, formations []formation, seed uint64, moves int) *board {
	var field []*climber
	for k := range formations {
		b := newBoard(p, &formations[k])
		if b.start() {
			c := newClimber(b, seed+uint64(k))
			c.climb(min(firstMoves*len(p.placed), moves/4/len(formations)), cold, cold)
			field = append(field, c)
		}
	}
	rank := func(keep int) {
		slices.SortStableFunc(field, func(a, b *climber) int { return a.best - b.best })
		field = field[:min(keep, len(field))]
		for _, c := range field {
			c.reset()
		}
	}
	rank(max(3, 12-len(p.placed)/8)) // large groups have moves for few
	for _, c := range field {
		c.climb(moves/2/len(field), hot, cold)
	}
	rank(finalists)
	for _, c := range field {
		c.climb(moves/2/len(field), warm, cold)
	}
	rank(1)
	return field[0].b
}
