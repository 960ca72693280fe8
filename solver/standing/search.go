package standing

import (
	"context"
	"math"
	"math/rand/v2"
)

// climber improves a board by simulated annealing.
type climber struct {
	b     *board
	rng   *rand.Rand
	now   int
	best  int
	saved [][]int
	aside []int // saved too

	// Undo of one move.
	touched   [maxRows]int
	count     int // of touched rows
	oldRows   [maxRows][]int
	oldPlaces [maxRows][]place
	oldRow    [maxRows]rowState
	oldFaces  []int
	oldFaceOf []int
	oldTies   []int
	oldTieID  []int
	stamp     []int
	move      int
	changed   []bool // by person
	spans     []span // by row: where people changed
}

// span is a stretch of a row, empty when first > last.
type span struct{ first, last int }

func (s *span) stretch(x int) { s.first, s.last = min(s.first, x), max(s.last, x) }

// place remembers where somebody was before a move.
type place struct{ i, row, x, head, width int }

// rowState remembers what a row was like.
type rowState struct {
	cost                       Cost
	aside, width, lean, chairs int
	crew                       crew
}

func newClimber(b *board, seed uint64) *climber {
	c := &climber{b: b, rng: rand.New(rand.NewPCG(seed, 0x5eed))}
	c.now = b.scoreAll()
	c.best = c.now
	c.saved, c.aside = make([][]int, len(b.rows)), make([]int, len(b.rows))
	c.changed = make([]bool, len(b.p.placed))
	c.spans = make([]span, len(b.rows))
	c.stamp = make([]int, len(b.p.ties))
	c.save()
	return c
}

func (c *climber) save() {
	for r := range c.b.rows {
		c.saved[r] = append(c.saved[r][:0], c.b.rows[r]...)
	}
	copy(c.aside, c.b.aside)
}

// looks is how many moves are made between two looks at the context: some milliseconds.
const looks = 200

// climb tries a number of moves while it cools from hot to cold, in thousandths of a point.
func (c *climber) climb(ctx context.Context, moves, hot, cold int) (ended bool) {
	const stages = 40
	heat := float64(hot)
	cool := math.Pow(float64(cold)/float64(hot), 1.0/(stages-1))
	for range stages {
		for k := range moves / stages {
			if k%looks == 0 && ctx.Err() != nil {
				return true
			}
			if c.try() {
				c.judge(heat)
			}
		}
		c.mirror()
		c.judge(0)
		heat *= cool
	}
	return false
}

// judge takes the move that was made or takes it back.
func (c *climber) judge(heat float64) {
	limit := c.now
	if heat > 0 {
		limit += int(heat*c.rng.ExpFloat64()) / 1000
	}
	after := c.rescore(limit)
	if after > limit {
		c.undo()
		return
	}
	c.now = after
	if after < c.best {
		c.best = after
		c.save()
	}
}

// polishPasses bounds polish; by then hardly anything is found.
const polishPasses = 4

// polish tries every exchange of two people, every move of one to another place, and every exchange of a tie, and takes
// what is better, until nothing is, or it has tried as many as there were moves.
func (c *climber) polish(ctx context.Context, moves int) {
	n := len(c.b.p.placed)
	for range polishPasses {
		before := c.now
		for i := range n {
			if moves -= i + n + len(c.b.rows); moves < 0 || ctx.Err() != nil {
				return
			}
			for j := range i {
				if c.count = 0; c.swap(i, j) {
					c.judge(0)
				}
			}
			for r := range c.b.rows {
				for at := range len(c.b.rows[r]) + 1 {
					if c.count = 0; c.put(i, r, at) {
						c.judge(0)
					}
				}
			}
		}
		if moves = c.polishTies(ctx, moves); c.now == before {
			return
		}
	}
}

// polishTies tries every exchange of the people of a tie who stand in one piece with as many others. It returns what is left
// of the moves.
func (c *climber) polishTies(ctx context.Context, moves int) int {
	for t := range c.b.p.ties {
		for r := range c.b.rows {
			if moves -= len(c.b.rows[r]); moves < 0 || ctx.Err() != nil {
				return moves
			}
			for to := range c.b.rows[r] {
				row, at, size := c.run(t)
				if size < 2 {
					break
				}
				if c.count = 0; c.exchange(row, at, r, to, size) {
					c.judge(0)
				}
			}
		}
	}
	return moves
}

// reset goes back to the best board.
func (c *climber) reset() {
	for r := range c.saved {
		c.b.rows[r] = append(c.b.rows[r][:0], c.saved[r]...)
	}
	copy(c.b.aside, c.aside)
	c.now = c.b.scoreAll()
}

// touch remembers a row before it changes.
func (c *climber) touch(r int) {
	k := c.count
	c.touched[k] = r
	c.oldRows[k] = append(c.oldRows[k][:0], c.b.rows[r]...)
	c.oldPlaces[k] = c.oldPlaces[k][:0]
	for _, i := range c.b.rows[r] {
		c.oldPlaces[k] = append(c.oldPlaces[k], place{i, c.b.row[i], c.b.x[i], c.b.head[i], c.b.width[i]})
	}
	c.oldRow[k] = rowState{c.b.rowCost[r], c.b.aside[r], c.b.rowWidth[r], c.b.lean[r], c.b.chairs[r], c.b.crew[r]}
	c.count++
}

// rescore brings the parts that a move bears on up to date and returns the total. Above the limit it
// may stop early, with a total that is too small but still above the limit, and faces not looked at.
func (c *climber) rescore(limit int) int {
	b := c.b
	c.move++
	c.oldTies, c.oldTieID = c.oldTies[:0], c.oldTieID[:0]
	c.oldFaces, c.oldFaceOf = c.oldFaces[:0], c.oldFaceOf[:0]
	for k := range c.count {
		b.place(c.touched[k])
	}
	for k := range c.count {
		b.scoreRow(c.touched[k])
	}
	for r := range c.spans {
		c.spans[r] = span{1 << 30, -(1 << 30)}
	}
	for k := range c.count {
		for _, was := range c.oldPlaces[k] {
			i := was.i
			if was.row == b.row[i] && was.x == b.x[i] {
				continue
			}
			c.changed[i] = true
			c.spans[was.row].stretch(was.x)
			c.spans[b.row[i]].stretch(b.x[i])
			for _, t := range b.p.tiesOf[i] {
				c.rescoreTie(t)
			}
			if b.p.bodies[i].person.Importance >= leadingImportance {
				for t := range b.p.ties { // they may stand between the people of any
					c.rescoreTie(t)
				}
			}
		}
	}
	rest := b.totalBesideFaces()
	if rest > limit {
		clear(c.changed)
		return rest
	}
	c.rescoreFaces()
	return rest + b.totalFaces()
}

// rescoreTie scores a tie again, once in a move. Everybody has their new place by then.
func (c *climber) rescoreTie(t int) {
	if c.stamp[t] == c.move {
		return
	}
	c.stamp[t] = c.move
	c.oldTies, c.oldTieID = append(c.oldTies, c.b.tieCost[t]), append(c.oldTieID, t)
	c.b.tieCost[t] = c.b.scoreTie(t)
}

// rescoreFaces looks again at the faces of those who changed and of those behind a change.
func (c *climber) rescoreFaces() {
	b := c.b
	for r, row := range b.rows {
		for _, i := range row {
			if !c.changed[i] && !c.behindChange(i, r) {
				continue
			}
			c.changed[i] = false
			c.oldFaces, c.oldFaceOf = append(c.oldFaces, b.faceCost[i]), append(c.oldFaceOf, i)
			b.faceCost[i] = faceCost(b.clearance(i))
		}
	}
}

func (c *climber) behindChange(i, r int) bool {
	for front := range r {
		s := c.spans[front]
		if s.first > s.last {
			continue
		}
		x := c.b.x[i] * c.b.f.distance[front] / c.b.f.distance[r]
		if x >= s.first-wheelchairWidth && x <= s.last+wheelchairWidth {
			return true
		}
	}
	return false
}

// undo takes the last move back.
func (c *climber) undo() {
	b := c.b
	for k := range c.count {
		r := c.touched[k]
		b.rows[r] = append(b.rows[r][:0], c.oldRows[k]...)
		was := &c.oldRow[k]
		b.rowCost[r], b.aside[r], b.rowWidth[r], b.lean[r], b.chairs[r], b.crew[r] = was.cost, was.aside, was.width, was.lean, was.chairs, was.crew
		for _, p := range c.oldPlaces[k] {
			b.row[p.i], b.x[p.i], b.head[p.i], b.width[p.i] = p.row, p.x, p.head, p.width
		}
	}
	for k, i := range c.oldFaceOf {
		b.faceCost[i] = c.oldFaces[k]
	}
	for k, t := range c.oldTieID {
		b.tieCost[t] = c.oldTies[k]
	}
}
