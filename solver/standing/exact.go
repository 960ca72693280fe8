package standing

import "slices"

// exhaust searches every formation, split into rows and order for a plan cheaper than the given one,
// and says whether nothing was left out.
//
// Rows are filled from the front, people from the left. All parts of the cost are >= 0, and those of
// a finished row and its faces depend on it and on the rows in front only, so
//
//	base + finished rows + their faces + what each person left out must cost in some row to come
//
// never exceeds the cost of any completion; a branch at or above the best plan is dropped. Inside a row
// the steps between neighbouring heads and what does not suit its people count already.
func exhaust(p *Problem, formations []formation, incumbent *board) (*board, bool) {
	x := exact{p: p, best: incumbent, limit: incumbent.total()}
	for k := range formations {
		if formations[k].base >= x.limit {
			break // the others have no smaller base
		}
		x.b = newBoard(p, &formations[k])
		x.used = make([]bool, len(p.placed))
		x.boundRest()
		x.fill(0, formations[k].base, 0)
	}
	return x.best, x.nodes <= exactNodes
}

type exact struct {
	p     *Problem
	b     *board
	best  *board
	limit int
	used  []bool
	nodes int
	// rest[r][i] is the least that person i costs in row r or behind it.
	rest [][]int
}

// must returns what a person costs in a row, wherever in it.
func (x *exact) must(i, r int) int {
	q := &x.p.bodies[i]
	return q.unfit[x.b.f.kinds[r]] + q.person.Importance*rowBackPoints*x.b.f.grown[r]
}

const impossible = 1 << 40

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

// fill extends row r. done is the cost of the rows before it with the base, steps that of the people
// in it so far.
func (x *exact) fill(r, done, steps int) {
	if x.nodes++; x.nodes > exactNodes {
		return
	}
	b := x.b
	left, bound := 0, done+steps
	for i, used := range x.used {
		if !used {
			left++
			bound += x.rest[r][i]
		}
	}
	if bound >= x.limit {
		return
	}
	rowsLeft := len(b.rows) - r - 1
	if len(b.rows[r]) > 0 && left >= rowsLeft && (rowsLeft > 0 || left == 0) {
		x.finish(r, done)
	}
	if left <= rowsLeft {
		return
	}
	k := b.f.kinds[r]
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
		x.fill(r, done, steps+more)
		b.rows[r] = b.rows[r][:len(b.rows[r])-1]
		x.used[i] = false
	}
}

// finish puts row r where it may be, scores it and goes on to the next, or takes the plan when there
// is none.
func (x *exact) finish(r, done int) {
	for _, aside := range asides {
		x.b.aside[r] = aside
		x.settle(r, done)
		if r == 0 {
			return
		}
	}
	x.b.aside[r] = 0
}

func (x *exact) settle(r, done int) {
	b := x.b
	b.place(r)
	b.scoreRow(r)
	done += b.rowCost[r].Total() + b.scoreFaces(r)
	if done >= x.limit {
		return
	}
	if r+1 < len(b.rows) {
		x.fill(r+1, done, 0)
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
