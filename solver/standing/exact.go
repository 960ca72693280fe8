package standing

import (
	"context"
	"slices"
)

// exhaust searches every formation, split into rows and order for a plan cheaper than the given one,
// and says whether nothing was left out. It ends with ctx, or after so many nodes.
//
// Rows are filled from the front, people from the left. All parts of the cost are >= 0, and those of
// a finished row, its faces and its shape depend on it and on the rows in front only, so
//
//	base + finished rows + what each person left out must cost in some row to come
//
// never exceeds the cost of any completion; a branch at or above the best plan is dropped. Three more
// bounds count where they hold, on terms that none of the above contains:
//
//   - The steps between neighbouring heads of the row being filled. In the last row, where everybody
//     left goes, the steps still to come run through all their heads: at least the range of these
//     and the way from the last head to the nearer end of it.
//   - The mirrored heads of the last row: whatever pairs are formed, sorting the heads and pairing
//     neighbours, with the best one left over in the middle, has the least sum of differences.
//   - The distances from the middle in the last row: of k+1 people at least w apart, one is at
//     least k·w/2 from any point, so the k-th most important, counted from 0, is best at k·w/2.
func exhaust(ctx context.Context, p *Problem, formations []formation, incumbent *board, nodes int) (*board, bool) {
	x := exact{ctx: ctx, p: p, best: incumbent, limit: incumbent.total(), most: nodes}
	for k := range formations {
		if formations[k].base >= x.limit {
			break // the others have no smaller base
		}
		x.b = newBoard(p, &formations[k])
		x.used = make([]bool, len(p.placed))
		x.boundRest()
		x.fill(0, formations[k].base, 0, 0)
	}
	return x.best, x.nodes <= x.most
}

type exact struct {
	ctx   context.Context
	p     *Problem
	b     *board
	best  *board
	limit int
	used  []bool
	nodes int
	most  int // nodes
	// rest[r][i] is the least that person i costs in row r or behind it.
	rest [][]int
	// whole bounds mirrored heads and the middle in the last row; set when that row is begun.
	whole int
}

// must returns what a person costs in a row, wherever in it.
func (x *exact) must(i, r int) int {
	q := &x.p.bodies[i]
	points := q.unfit[x.b.f.kinds[r]] + q.person.Importance*x.b.f.behind[r]
	return points + q.backPoints()*x.b.f.grown[r]
}

// impossible is more than any plan of so few people costs; sums of a few of it stay inside 32 bits.
const impossible = 1 << 27

func (x *exact) boundRest() {
	rows := len(x.b.rows)
	x.rest = make([][]int, rows+1)
	x.rest[rows] = slices.Repeat([]int{impossible}, len(x.p.placed))
	for r := rows - 1; r >= 0; r-- {
		x.rest[r] = slices.Clone(x.rest[r+1])
		for i := range x.p.placed {
			if x.b.f.allows(&x.p.bodies[i], r) {
				x.rest[r][i] = min(x.rest[r][i], x.must(i, r))
			}
		}
	}
}

// fill extends row r. done is the cost of the rows before it with the base, widest the picture they
// need, steps the cost so far of the people in the row.
func (x *exact) fill(r, done, widest, steps int) {
	if x.nodes%looks == 0 && x.ctx.Err() != nil {
		x.nodes = x.most
	}
	if x.nodes++; x.nodes > x.most {
		return
	}
	b, k := x.b, x.b.f.kinds[r]
	rowsLeft := len(b.rows) - r - 1
	if rowsLeft == 0 && len(b.rows[r]) == 0 {
		x.whole = x.boundWhole(k)
	}
	left, bound := 0, done+steps
	for i, used := range x.used {
		if !used {
			left++
			bound += x.rest[r][i]
		}
	}
	if rowsLeft == 0 {
		bound += x.whole + x.boundSteps(r)
	}
	if bound >= x.limit {
		return
	}
	if len(b.rows[r]) > 0 && left >= rowsLeft && (rowsLeft > 0 || left == 0) {
		x.finish(r, done, widest)
	}
	if left <= rowsLeft {
		return
	}
	for i := range x.used {
		q := &x.p.bodies[i]
		if x.used[i] || !b.f.allows(q, r) {
			continue
		}
		more := x.must(i, r)
		if at := len(b.rows[r]); at > 0 {
			more += abs(q.head[k] - x.p.bodies[b.rows[r][at-1]].head[k])
		}
		x.used[i] = true
		b.rows[r] = append(b.rows[r], i)
		x.fill(r, done, widest, steps+more)
		b.rows[r] = b.rows[r][:len(b.rows[r])-1]
		x.used[i] = false
	}
}

// boundSteps bounds the steps still to come when everybody left goes to row r.
func (x *exact) boundSteps(r int) int {
	k, row := x.b.f.kinds[r], x.b.rows[r]
	low, high := 1<<30, -1
	for i, used := range x.used {
		if !used {
			low, high = min(low, x.p.bodies[i].head[k]), max(high, x.p.bodies[i].head[k])
		}
	}
	if high < 0 {
		return 0
	}
	way := high - low
	if len(row) > 0 {
		last := x.p.bodies[row[len(row)-1]].head[k]
		way += min(abs(last-low), abs(last-high))
	}
	return way
}

// boundWhole bounds the mirrored heads and the distances from the middle of a last row of the kind
// that holds everybody left.
func (x *exact) boundWhole(k Kind) int {
	var heads, importance []int
	narrowest := 1 << 30
	for i, used := range x.used {
		if q := &x.p.bodies[i]; !used {
			heads = append(heads, q.head[k])
			importance = append(importance, q.person.Importance)
			narrowest = min(narrowest, q.width[k])
		}
	}
	slices.Sort(heads)
	slices.SortFunc(importance, func(a, b int) int { return b - a })
	points := mirrorPoints * leastPairs(heads)
	for at, w := range importance {
		points += w * (at * narrowest / 2) / centreShare
	}
	return points
}

// leastPairs returns the least sum of differences when sorted numbers are paired, the best one left
// over when they are odd.
func leastPairs(sorted []int) int {
	n := len(sorted)
	if n%2 == 0 {
		return pairs(sorted)
	}
	least := 1 << 30
	for k := 0; k < n; k += 2 { // leaving out one of odd rank would split a pair for nothing
		least = min(least, pairs(sorted[:k])+pairs(sorted[k+1:]))
	}
	return least
}

func pairs(sorted []int) int {
	sum := 0
	for k := 1; k < len(sorted); k += 2 {
		sum += sorted[k] - sorted[k-1]
	}
	return sum
}

// finish puts row r where it may be, scores it and goes on to the next, or takes the plan when there
// is none.
func (x *exact) finish(r, done, widest int) {
	for _, aside := range asides {
		x.b.aside[r] = aside
		x.settle(r, done, widest)
		if r == 0 {
			return
		}
	}
	x.b.aside[r] = 0
}

func (x *exact) settle(r, done, widest int) {
	b, s := x.b, &x.p.spec.Space
	b.place(r)
	b.scoreRow(r)
	wider := max(widest, b.reach(r))
	done += b.rowCost[r].Total() + b.scoreFaces(r) + b.rowShape(r) + b.behindPoints(r) + s.widePoints(wider) - s.widePoints(widest)
	if done >= x.limit {
		return
	}
	if r+1 < len(b.rows) {
		x.fill(r+1, done, wider, 0)
		return
	}
	for t := range x.p.ties {
		b.tieCost[t] = b.scoreTie(t)
	}
	if total := b.total(); total < x.limit {
		x.limit = total
		x.best = newBoard(x.p, b.f)
		copy(x.best.aside, b.aside)
		for r := range b.rows {
			x.best.rows[r] = slices.Clone(b.rows[r])
		}
		x.best.scoreAll()
	}
}
