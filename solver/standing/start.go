package standing

import "slices"

// start builds a first arrangement by dealing households from left to right, each into a column of
// its own: everybody to a row that suits their height and is not ahead of the others. Sides fall
// into place, and the most important households come in the middle. It reports false when a row
// cannot be filled.
func (b *board) start() bool {
	rank := b.heightRanks()
	fill := make([]int, len(b.rows))
	for r := range b.rows {
		b.rows[r] = b.rows[r][:0]
	}
	for _, home := range b.p.homes() {
		slices.SortStableFunc(home, func(i, j int) int { return rank[i] - rank[j] })
		for _, i := range home {
			r := b.rowFor(i, rank[i], fill)
			if r < 0 {
				return false
			}
			b.rows[r] = append(b.rows[r], i)
			fill[r] += b.p.bodies[i].width[b.f.kinds[r]]
		}
	}
	return b.fillEmpty()
}

// heightRanks numbers people from the shortest.
func (b *board) heightRanks() []int {
	order := make([]int, len(b.p.placed))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return b.p.bodies[i].head[StandingRow] - b.p.bodies[j].head[StandingRow]
	})
	rank := make([]int, len(order))
	for at, i := range order {
		rank[i] = at
	}
	return rank
}

// homes returns the people by household (whoever a couple or household holds together, one by one
// where none does) in the order in which they go from left to right: the left side with the least
// important first, those of no side, the right side with the most important first; households of a
// circle behind each other.
func (p *Problem) homes() [][]int {
	n := len(p.placed)
	home := make([]int, n)
	for i := range home {
		home[i] = i
	}
	for i := range n { // the smallest person of the household, one step at a time
		for j := range i {
			if p.kin[i][j] && home[i] != home[j] {
				from, to := max(home[i], home[j]), min(home[i], home[j])
				for k := range home {
					if home[k] == from {
						home[k] = to
					}
				}
			}
		}
	}
	members := make([][]int, n)
	for i, h := range home {
		members[h] = append(members[h], i)
	}
	members = slices.DeleteFunc(members, func(m []int) bool { return len(m) == 0 })
	slices.SortStableFunc(members, func(a, b []int) int {
		ka, kb := p.homeKey(a), p.homeKey(b)
		return slices.Compare(ka[:], kb[:])
	})
	return members
}

// homeKey sorts households: by side, by importance towards the middle, by their first circle.
func (p *Problem) homeKey(home []int) [3]int {
	side, importance, circle := 0, 0, len(p.ties)
	for _, i := range home {
		switch q := p.bodies[i].person; q.Side {
		case Left:
			side--
		case Right:
			side++
		}
		importance = max(importance, p.bodies[i].person.Importance)
		for _, t := range p.tiesOf[i] {
			if p.ties[t].Bond == Circle {
				circle = min(circle, t)
			}
		}
	}
	side = max(-1, min(1, side))
	return [3]int{side, -side * importance, circle}
}

// rankStep is how many centimetres of a row ahead of the others one row off the height rank is worth:
// found by trying.
const rankStep = 70

// rowFor returns the row for somebody: where those who sit sit, the first row that is not low for
// the most important, elders, children and parents, and otherwise a row near that of the same height rank that is not ahead of the
// others. It returns -1 when no row allows them.
func (b *board) rowFor(i, rank int, fill []int) int {
	body := &b.p.bodies[i]
	ideal := rank * len(b.rows) / len(b.p.placed)
	best, bestPoints := -1, 0
	for r, k := range b.f.kinds {
		if !b.f.allows(body, r) {
			continue
		}
		points := fill[r] + rankStep*abs(r-ideal)
		if k == ChairRow && body.posture[k] == OnChair && !body.seated && b.chairsUsed(r) >= b.p.spec.Space.Chairs {
			points += 2000
		}
		if k.low() != (body.young && rank < len(b.p.placed)/2) && slices.ContainsFunc(b.f.kinds, Kind.low) {
			points += 500
		}
		if body.leads || body.small || body.elder || body.person.Importance == nearest {
			points += 1000 * b.f.grown[r]
		}
		if best < 0 || points < bestPoints {
			best, bestPoints = r, points
		}
	}
	return best
}

// chairsUsed counts who sits on a chair of the row without having to.
func (b *board) chairsUsed(r int) int {
	n := 0
	for _, i := range b.rows[r] {
		if body := &b.p.bodies[i]; body.posture[ChairRow] == OnChair && !body.seated {
			n++
		}
	}
	return n
}

// fillEmpty gives every empty row somebody from the fullest row that can spare one.
func (b *board) fillEmpty() bool {
	for r := range b.rows {
		if len(b.rows[r]) > 0 {
			continue
		}
		from, at := -1, -1
		for s := range b.rows {
			if len(b.rows[s]) < 2 || (from >= 0 && len(b.rows[s]) <= len(b.rows[from])) {
				continue
			}
			for k, i := range b.rows[s] {
				if b.f.allows(&b.p.bodies[i], r) {
					from, at = s, k
				}
			}
		}
		if from < 0 {
			return false
		}
		b.rows[r] = append(b.rows[r], b.rows[from][at])
		b.rows[from] = slices.Delete(b.rows[from], at, at+1)
	}
	return true
}
