package standing

import (
	"math"
	"math/rand/v2"
	"slices"
)

// climber improves a board by simulated annealing.
type climber struct {
	b     *board
	rng   *rand.Rand
	now   int
	best  int
	saved [][]int

	// Undo of one move.
	touched   [2]int
	count     int // of touched rows
	oldRows   [2][]int
	oldPlaces [2][]place
	oldRow    [2]Cost
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
type place struct{ i, row, x, head int }

func newClimber(b *board, seed uint64) *climber {
	c := &climber{b: b, rng: rand.New(rand.NewPCG(seed, 0x5eed))}
	c.now = b.scoreAll()
	c.best = c.now
	c.saved = make([][]int, len(b.rows))
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
}

// climb tries a number of moves while it cools from hot to cold, in thousandths of a point.
func (c *climber) climb(moves, hot, cold int) {
	const stages = 40
	heat := float64(hot)
	cool := math.Pow(float64(cold)/float64(hot), 1.0/(stages-1))
	for range stages {
		for range moves / stages {
			if !c.try() {
				continue
			}
			limit := c.now + int(heat*c.rng.ExpFloat64())/1000
			if after := c.rescore(limit); after <= limit {
				c.now = after
				if after < c.best {
					c.best = after
					c.save()
				}
			} else {
				c.undo()
			}
		}
		heat *= cool
	}
}

// reset goes back to the best board.
func (c *climber) reset() {
	for r := range c.saved {
		c.b.rows[r] = append(c.b.rows[r][:0], c.saved[r]...)
	}
	c.now = c.b.scoreAll()
}

// touch remembers a row before it changes.
func (c *climber) touch(r int) {
	k := c.count
	c.touched[k] = r
	c.oldRows[k] = append(c.oldRows[k][:0], c.b.rows[r]...)
	c.oldPlaces[k] = c.oldPlaces[k][:0]
	for _, i := range c.b.rows[r] {
		c.oldPlaces[k] = append(c.oldPlaces[k], place{i, c.b.row[i], c.b.x[i], c.b.head[i]})
	}
	c.oldRow[k] = c.b.rowCost[r]
	c.count++
}

// try makes one random move; it reports false when the move drawn is not possible.
func (c *climber) try() bool {
	c.count = 0
	switch k := c.rng.IntN(20); {
	case k < 2:
		return c.trySwap()
	case k < 7:
		return c.tryNear()
	case k < 12:
		return c.tryJoin()
	case k < 17:
		return c.tryShift()
	default:
		return c.tryReverse()
	}
}

// trySwap exchanges two people.
func (c *climber) trySwap() bool {
	n := len(c.b.p.placed)
	if n < 2 {
		return false
	}
	i, j := c.rng.IntN(n), c.rng.IntN(n-1)
	if j >= i {
		j++
	}
	return c.swap(i, j)
}

// tryJoin brings somebody next to, in front of or behind another person of a tie, in exchange for
// whoever is there.
func (c *climber) tryJoin() bool {
	b := c.b
	if len(b.p.ties) == 0 {
		return false
	}
	members := b.p.ties[c.rng.IntN(len(b.p.ties))].Members
	i, j := members[c.rng.IntN(len(members))], members[c.rng.IntN(len(members))]
	r := b.row[j] + c.rng.IntN(3) - 1
	if i == j || r < 0 || r >= len(b.rows) {
		return false
	}
	row := b.rows[r]
	at := firstReach(b, row, b.x[j]+wheelchairWidth) // the first at or right of j
	if at = at - 1 + c.rng.IntN(3); at < 0 || at >= len(row) {
		return false
	}
	return row[at] != i && row[at] != j && c.swap(i, row[at])
}

// tryNear exchanges somebody with one of those nearest in any row.
func (c *climber) tryNear() bool {
	b := c.b
	i := c.rng.IntN(len(b.p.placed))
	r := c.rng.IntN(len(b.rows))
	at := firstReach(b, b.rows[r], b.x[i]+wheelchairWidth) - 3 + c.rng.IntN(7)
	if at < 0 || at >= len(b.rows[r]) || b.rows[r][at] == i {
		return false
	}
	return c.swap(i, b.rows[r][at])
}

// swap exchanges two people if their rows allow it.
func (c *climber) swap(i, j int) bool {
	b := c.b
	ri, rj := b.row[i], b.row[j]
	if ri != rj && (!b.f.allows(&b.p.bodies[i], rj) || !b.f.allows(&b.p.bodies[j], ri)) {
		return false
	}
	c.touch(ri)
	if rj != ri {
		c.touch(rj)
	}
	ai, aj := slices.Index(b.rows[ri], i), slices.Index(b.rows[rj], j)
	b.rows[ri][ai], b.rows[rj][aj] = j, i
	return true
}

// tryShift moves one to four neighbours to another place of any row.
func (c *climber) tryShift() bool {
	b := c.b
	from, to := c.rng.IntN(len(b.rows)), c.rng.IntN(len(b.rows))
	row := b.rows[from]
	size := 1
	if c.rng.IntN(2) == 0 {
		size += c.rng.IntN(4)
	}
	if size > len(row) || (from != to && size == len(row)) || (from == to && size == len(row)) {
		return false
	}
	at := c.rng.IntN(len(row) - size + 1)
	var block [4]int
	copy(block[:size], row[at:at+size])
	for _, i := range block[:size] {
		if !b.f.allows(&b.p.bodies[i], to) {
			return false
		}
	}
	c.touch(from)
	if to != from {
		c.touch(to)
	}
	if size > 1 && c.rng.IntN(2) == 0 {
		slices.Reverse(block[:size])
	}
	b.rows[from] = slices.Delete(row, at, at+size)
	b.rows[to] = slices.Insert(b.rows[to], c.landing(to, b.x[block[0]]), block[:size]...)
	return true
}

// landing draws a place in a row: mostly near an x, sometimes anywhere.
func (c *climber) landing(r, x int) int {
	row := c.b.rows[r]
	if c.rng.IntN(4) == 0 {
		return c.rng.IntN(len(row) + 1)
	}
	at := firstReach(c.b, row, x+wheelchairWidth) - 4 + c.rng.IntN(9)
	return max(0, min(len(row), at))
}

// tryReverse turns a stretch of a row around.
func (c *climber) tryReverse() bool {
	b := c.b
	r := c.rng.IntN(len(b.rows))
	if len(b.rows[r]) < 2 {
		return false
	}
	i, j := c.rng.IntN(len(b.rows[r])), c.rng.IntN(len(b.rows[r]))
	if c.rng.IntN(3) > 0 {
		j = min(len(b.rows[r])-1, i+1+c.rng.IntN(4))
	}
	if i > j {
		i, j = j, i
	}
	if i == j {
		return false
	}
	c.touch(r)
	slices.Reverse(b.rows[r][i : j+1])
	return true
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
				if c.stamp[t] != c.move {
					c.stamp[t] = c.move
					c.oldTies, c.oldTieID = append(c.oldTies, b.tieCost[t]), append(c.oldTieID, t)
					b.tieCost[t] = b.scoreTie(t)
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
	}
	for k := range c.count {
		r := c.touched[k]
		b.place(r)
		b.scoreRow(r)
	}
	for k, i := range c.oldFaceOf {
		b.faceCost[i] = c.oldFaces[k]
	}
	for k, t := range c.oldTieID {
		b.tieCost[t] = c.oldTies[k]
	}
}
