package standing

import "slices"

// try makes one random move; it reports false when the move drawn is not possible.
func (c *climber) try() bool {
	c.count = 0
	switch k := c.rng.IntN(23); {
	case k >= 22:
		return c.tryColumns()
	case k >= 20:
		return c.tryColumnShift()
	case k < 2:
		return c.trySwap()
	case k < 6:
		return c.tryNear()
	case k < 9:
		return c.tryJoin()
	case k < 12:
		return c.tryBlocks()
	case k < 16:
		return c.tryShift()
	case k < 17:
		return c.tryAside()
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

// tryBlocks exchanges two couples or households that stand in one piece, or one with as many
// strangers, so that neither has to break up on the way.
func (c *climber) tryBlocks() bool {
	b := c.b
	if len(b.p.ties) == 0 {
		return false
	}
	ra, at, size := c.run(c.rng.IntN(len(b.p.ties)))
	rb, bt, other := c.run(c.rng.IntN(len(b.p.ties)))
	if size == 0 || other == 0 {
		return false
	}
	if c.rng.IntN(4) == 0 {
		rb = c.rng.IntN(len(b.rows))
		bt = c.rng.IntN(len(b.rows[rb]))
	} else if size != other {
		return false
	}
	return c.exchange(ra, at, rb, bt, size)
}

// exchange has two stretches of rows change places, if their rows allow it.
func (c *climber) exchange(ra, at, rb, bt, size int) bool {
	b := c.b
	if bt+size > len(b.rows[rb]) || (ra == rb && at < bt+size && bt < at+size) {
		return false
	}
	for k := range size {
		i, j := b.rows[ra][at+k], b.rows[rb][bt+k]
		if !b.f.allows(&b.p.bodies[i], rb) || !b.f.allows(&b.p.bodies[j], ra) {
			return false
		}
	}
	c.touch(ra)
	if rb != ra {
		c.touch(rb)
	}
	for k := range size {
		b.rows[ra][at+k], b.rows[rb][bt+k] = b.rows[rb][bt+k], b.rows[ra][at+k]
	}
	return true
}

// run returns where the people of a tie stand next to each other in the row of its first member, or
// size 0 when they do not or are more than half a dozen.
func (c *climber) run(t int) (row, at, size int) {
	b := c.b
	members := b.p.ties[t].Members
	row = b.row[members[0]]
	first, last := len(b.rows[row]), -1
	for _, i := range members {
		if b.row[i] == row {
			at := slices.Index(b.rows[row], i)
			first, last, size = min(first, at), max(last, at), size+1
		}
	}
	if last-first+1 != size || size > 6 {
		return row, first, 0
	}
	return row, first, size
}

// swap exchanges two people if their rows allow it.
func (c *climber) swap(i, j int) bool {
	b := c.b
	ri, rj := b.row[i], b.row[j]
	if b.p.bodies[i].anybody && b.p.bodies[j].anybody {
		return false
	}
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

// put moves somebody to a place of a row, if the row allows it and the other does not end empty.
func (c *climber) put(i, r, at int) bool {
	b := c.b
	from := b.row[i]
	was := slices.Index(b.rows[from], i)
	if from == r {
		if at = min(at, len(b.rows[r])-1); at == was {
			return false
		}
		c.touch(r)
		b.rows[r] = slices.Insert(slices.Delete(b.rows[r], was, was+1), at, i)
		return true
	}
	if len(b.rows[from]) == 1 || !b.f.allows(&b.p.bodies[i], r) {
		return false
	}
	at = min(at, len(b.rows[r]))
	c.touch(from)
	c.touch(r)
	b.rows[from] = slices.Delete(b.rows[from], was, was+1)
	b.rows[r] = slices.Insert(b.rows[r], at, i)
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
	if to != from && size%2 == 1 && c.rng.IntN(2) == 0 {
		c.keepGaps(from)
		c.keepGaps(to)
	}
	return true
}

// keepGaps moves a row that lost or won somebody half a place aside or back, so that all others in it go on looking
// between the same heads.
func (c *climber) keepGaps(r int) {
	switch {
	case r == 0:
	case c.b.aside[r] != 0:
		c.b.aside[r] = 0
	default:
		c.b.aside[r] = asides[1+c.rng.IntN(len(asides)-1)]
	}
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

// column is a stretch of a row.
type column struct{ at, size int }

// around returns the people of each row who are no farther than reach from x.
func (c *climber) around(x, reach int) [maxRows]column {
	var out [maxRows]column
	b := c.b
	for r, row := range b.rows {
		at := firstReach(b, row, x-reach+wheelchairWidth)
		end := at
		for end < len(row) && b.x[row[end]] <= x+reach {
			end++
		}
		out[r] = column{at, end - at}
	}
	return out
}

// tryColumns exchanges what stands at two places of the picture in all rows, so that those who stand
// behind each other stay together.
func (c *climber) tryColumns() bool {
	b := c.b
	if len(b.rows) < 2 {
		return false
	}
	n := len(b.p.placed)
	i, j := c.rng.IntN(n), c.rng.IntN(n)
	reach := 30 + c.rng.IntN(80)
	if off := abs(b.x[i] - b.x[j]); off <= 2*reach {
		return false
	}
	one, other := c.around(b.x[i], reach), c.around(b.x[j], reach)
	for r := range b.rows {
		size := min(one[r].size, other[r].size)
		a, z := one[r].at, other[r].at
		if size == 0 || a < z+size && z < a+size {
			continue
		}
		c.touch(r)
		for k := range size {
			b.rows[r][a+k], b.rows[r][z+k] = b.rows[r][z+k], b.rows[r][a+k]
		}
	}
	return c.count > 0
}

// tryColumnShift moves what stands at a place in all rows to another; those between move up.
func (c *climber) tryColumnShift() bool {
	b := c.b
	if len(b.rows) < 2 {
		return false
	}
	n := len(b.p.placed)
	i, j := c.rng.IntN(n), c.rng.IntN(n)
	from, to := b.x[i], b.x[j]
	reach := 20 + c.rng.IntN(80)
	if abs(from-to) <= reach {
		return false
	}
	stretch := c.around(from, reach)
	for r, row := range b.rows {
		s := stretch[r]
		if s.size == 0 || s.size == len(row) {
			continue
		}
		at := firstReach(b, row, to+wheelchairWidth) // in the row as it is
		switch {
		case at < s.at:
			c.touch(r)
			rotate(row[at:s.at+s.size], s.at-at)
		case at > s.at+s.size:
			c.touch(r)
			rotate(row[s.at:at], s.size)
		}
	}
	return c.count > 0
}

// rotate turns a stretch so that what is at k comes first.
func rotate(list []int, k int) {
	slices.Reverse(list[:k])
	slices.Reverse(list[k:])
	slices.Reverse(list)
}

// tryAside moves a row behind the first half a place aside or back.
func (c *climber) tryAside() bool {
	if len(c.b.rows) < 2 {
		return false
	}
	r := 1 + c.rng.IntN(len(c.b.rows)-1)
	to := asides[c.rng.IntN(len(asides))]
	if to == c.b.aside[r] {
		return false
	}
	c.touch(r)
	c.b.aside[r] = to
	return true
}

// mirror turns the whole picture around. Only sides and spots before make a difference, and no other
// move gets across.
func (c *climber) mirror() {
	c.count = 0
	for r := range c.b.rows {
		c.touch(r)
		slices.Reverse(c.b.rows[r])
		c.b.aside[r] = -c.b.aside[r]
	}
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
