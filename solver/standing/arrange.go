package standing

import (
	"cmp"
	"context"
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
	// Nodes bounds the exact search of up to ExactPeople, 1 to MaxNodes; 0 means MaxNodes.
	Nodes int
}

// MaxNodes is the most of an exact search: a second or two, which hardly any problem needs.
const MaxNodes = 3_000_000

// UsualMoves is how many moves a search makes for a number of people when Options do not say it. It grows with them up to
// what a second holds, and falls where a move takes longer because more people are looked at.
func UsualMoves(people int) int {
	if people <= ExactPeople {
		return 5_000
	}
	return min(450_000, 150_000+6_000*people, 25_000_000/people)
}

// Arrange returns the best plan found; when ctx ends, the best so far. It is exact for up to ExactPeople
// placed people, unless Plan.Exact says that the search was cut short. Its only errors are options out of
// range.
func Arrange(ctx context.Context, p *Problem, o Options) (Plan, error) {
	moves := o.Moves
	if moves == 0 {
		moves = UsualMoves(len(p.placed))
	}
	if err := within("moves", moves, 100, 100_000_000); err != nil {
		return Plan{}, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	nodes := cmp.Or(o.Nodes, MaxNodes)
	if err := within("nodes", nodes, 1, MaxNodes); err != nil {
		return Plan{}, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	formations := p.formations()
	best := climbAll(ctx, p, formations, o.Seed, moves)
	exact := false
	if len(p.placed) <= ExactPeople {
		best, exact = exhaust(ctx, p, formations, best, nodes)
	}
	plan := best.plan()
	plan.Exact = exact
	return plan, nil
}

// heats are the rounds of the search: the share of the moves in percent, how many formations go on into
// it (for few people, whose formations differ little, few less two for each), and the temperatures in
// thousandths of a point. Found by trying, by the cost after the usual moves.
var heats = []struct{ share, keep, few, hot, cold int }{
	{15, 1000, 0, 60_000, 6_000},
	{25, 12, 60, 200_000, 6_000},
	{60, 2, 18, 200_000, 6_000},
}

// climbAll anneals all formations a little, and in each round fewer of them longer: those that came out best
// in the round before. It returns the best board, the one with which a formation starts at the least.
func climbAll(ctx context.Context, p *Problem, formations []formation, seed uint64, moves int) *board {
	var field []*climber
	for k := range formations {
		b := newBoard(p, &formations[k])
		if b.start() {
			field = append(field, newClimber(b, seed+uint64(k)))
		}
		if len(field) > 0 && ctx.Err() != nil {
			break
		}
	}
	for _, round := range heats {
		slices.SortStableFunc(field, func(a, b *climber) int { return a.best - b.best })
		field = field[:min(max(round.keep, round.few-2*len(p.placed)), len(field))]
		for _, c := range field {
			c.reset()
			if c.climb(ctx, moves*round.share/100/len(field), round.hot, round.cold) {
				break
			}
		}
	}
	best := field[0]
	for _, c := range field[1:] {
		if c.best < best.best {
			best = c
		}
	}
	best.reset()
	best.polish(ctx, moves)
	best.reset()
	return best.b
}
