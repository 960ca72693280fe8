package standing

import "slices"

// scoreTie computes what keeps the people of a tie apart.
func (b *board) scoreTie(t int) int {
	var filled [maxRows]int
	tie := &b.p.ties[t]
	first, last := maxRows, 0
	left, right := 1<<30, -(1 << 30)
	for _, i := range tie.Members {
		r, half := b.row[i], b.width[i]/2
		filled[r] += b.width[i]
		first, last = min(first, r), max(last, r)
		left, right = min(left, b.x[i]-half), max(right, b.x[i]+half)
	}
	most, parted := 0, 0
	for r := first; r <= last; r++ {
		most = max(most, filled[r])
	}
	for _, i := range b.p.leaders {
		if x := b.x[i]; filled[b.row[i]] > 0 && left < x && x < right && !slices.Contains(tie.Members, i) {
			if !b.p.frames[t] {
				parted = partedPoints
				continue
			}
			most += b.width[i] * 3 / 4
		}
	}
	for _, i := range b.p.inner[t] {
		if x := b.x[i]; filled[b.row[i]] > 0 && left < x && x < right {
			most += b.width[i]
		}
	}
	gap, rows := max(0, right-left-most), last-first
	switch tie.Bond {
	case Couple:
		return couplePoints*(gap+coupleRowCM*rows) + parted
	case Household:
		return householdPoints*(gap+householdRowCM*max(0, rows-1)) + b.strays(t)
	default:
		return gap/circleShare + circleRowPoints*max(0, rows-1)
	}
}

// strays is what it costs that small children of a household are away from all of its grown-ups.
func (b *board) strays(t int) int {
	points := 0
	if len(b.p.grown[t]) == 0 {
		return 0
	}
	for _, i := range b.p.small[t] {
		least := 1 << 30
		for _, j := range b.p.grown[t] {
			least = min(least, abs(b.x[i]-b.x[j])-(b.width[i]+b.width[j])/2)
		}
		points += strayPoints * max(0, least-strayCM)
	}
	return points
}

// reach is how wide a picture centred on the middle must be for a row.
func (b *board) reach(r int) int { return b.rowWidth[r] + 2*abs(b.aside[r]) }

// rowShape is the part of the shape that a row and the one in front of it make.
func (b *board) rowShape(r int) int {
	points := 0
	if b.aside[r] != 0 {
		points += asidePoints
	}
	if n := len(b.p.placed); len(b.rows[r]) == 1 && (n >= lonePeople || n > 1 && !b.p.bodies[b.rows[r][0]].seated) {
		points += loneRowPoints
	}
	if r > 0 {
		uneven := b.rowWidth[r-1] - b.rowWidth[r]
		if b.f.kinds[r-1] >= StandingRow {
			uneven = abs(uneven)
		}
		points += max(0, uneven-unevenCM)
	}
	if r == len(b.rows)-1 && b.f.kinds[r] == ChairRow && slices.ContainsFunc(b.rows[r], func(i int) bool {
		q := &b.p.bodies[i]
		return !q.seated && q.person.Age != Elder && !q.escorts
	}) {
		points += seatedLastPoints
	}
	return points
}

// widePoints grows faster than the width, since heads shrink with it, and steeply outside the space.
func (s *Space) widePoints(width int) int {
	over := max(0, width-wideCM)
	points := over + over*over/wideSquareCM
	if s.WidthCM > 0 {
		points += outsidePoints * max(0, width-s.WidthCM)
	}
	return points
}

// apartBroken says that a pair to be kept apart are neighbours.
func (b *board) apartBroken(pair [2]int) bool {
	i, j := pair[0], pair[1]
	off := abs(b.x[i] - b.x[j])
	reach := (b.width[i] + b.width[j]) / 2
	switch abs(b.row[i] - b.row[j]) {
	case 0: // side by side people touch exactly
		return off <= reach
	case 1:
		return off < reach
	default:
		return false
	}
}

// oneBetween says that a single person, whom the day is not about, stands between two of a row.
func (b *board) oneBetween(pair [2]int) bool {
	row := b.rows[b.row[pair[0]]]
	left, right := pair[0], pair[1]
	if b.x[left] > b.x[right] {
		left, right = right, left
	}
	at, _ := slices.BinarySearchFunc(row, b.x[left], func(i, x int) int { return b.x[i] - x })
	return at+2 < len(row) && row[at+2] == right && !b.p.bodies[row[at+1]].leads
}

// whole computes the parts that no single row has.
func (b *board) whole() Cost {
	c := Cost{Shape: b.f.base}
	lean, chairs, widest, leads := 0, 0, 0, 0
	for r := range b.rows {
		lean += b.lean[r]
		chairs += b.chairs[r]
		widest = max(widest, b.reach(r))
		c.Shape += b.rowShape(r)
		c.Dignity += b.behindPoints(r)
		if b.crew[r].leads > 0 {
			leads++
		}
	}
	for r, k := range b.f.kinds {
		if k >= StandingRow {
			c.Shape += shortPoints * max(0, widest/2-b.rowWidth[r])
		}
	}
	c.Balance, c.Centre = countPoints*abs(lean), leadRowPoints*max(0, leads-1)
	s := &b.p.spec.Space
	c.Shape += s.widePoints(widest) + chairPoints*max(0, chairs-s.Chairs)
	for _, pair := range b.p.apart {
		if b.apartBroken(pair) {
			c.Apart += apartPoints
		} else if b.row[pair[0]] == b.row[pair[1]] && b.oneBetween(pair) {
			c.Apart += nearlyPoints
		}
	}
	return c
}

func abs(v int) int {
	if v < 0 {
		return -v
	}
	return v
}
