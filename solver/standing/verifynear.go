package standing

import "slices"

// plain says that somebody is a grown-up for whom no place is too low: no elder, nobody the day is about, nobody who sits.
func (v *verifier) plain(q int) bool {
	who := v.s.People[q]
	return who.Age == Adult && who.Importance < 5 && !v.sits(q)
}

// free says that somebody plain sits beside no other half of a couple that has to.
func (v *verifier) free(q int) bool {
	return v.plain(q) && !(v.escorts(q) && v.plan.Rows[v.plan.Places[q].Row].Kind == ChairRow)
}

// escorts says that the other half of a couple with somebody plain has to sit.
func (v *verifier) escorts(q int) bool {
	return v.plain(q) && slices.ContainsFunc(v.s.Ties, func(t Tie) bool {
		same := func(m int) bool { return v.stands(m) == q }
		return t.Bond == Couple && slices.ContainsFunc(t.Members, same) && slices.ContainsFunc(t.Members, func(m int) bool { return v.sits(v.stands(m)) })
	})
}

func (v *verifier) sits(q int) bool { return v.s.People[q].Seat || v.s.People[q].Wheelchair }

func between(a, b int) int { return max(a-b, b-a) }

// costOfAside is what it costs that somebody is off the middle, as a parent also behind rows that stand, or as a friend beside
// family near it.
func (v *verifier) costOfAside(q, off, standing int) int {
	who := v.s.People[q]
	cost := who.Importance * off / 2
	switch {
	case who.Importance == 4:
		cost += 6*min(150, max(0, off-150)) + 500*standing
	case v.plain(q) && !who.Kin && !who.Unnamed && who.Importance == 0 && v.family():
		cost += max(0, 200-off) / 2
	}
	return cost
}

// family says that somebody who is not held is kin of those whom the day is about.
func (v *verifier) family() bool {
	for q, who := range v.s.People {
		if who.Kin && v.plan.Places[q].HeldBy < 0 {
			return true
		}
	}
	return false
}

// distant says that there is somebody plain who is neither a parent of whom the day is about nor the partner of one.
func (v *verifier) distant() bool {
	for q, who := range v.s.People {
		if v.plain(q) && who.Importance < 3 {
			return true
		}
	}
	return false
}

// small says that somebody is a child whom any grown-up hides.
func (v *verifier) small(q int) bool {
	h := v.s.People[q].HeightCM
	return v.young(q) && h < 145 // 0 is a child or an infant of the table, smaller than that
}

// costOfBehind is what it costs somebody whom the day is about or who is near them, an elder or a child, that others are
// in front.
func (v *verifier) costOfBehind(q int) int {
	who := v.s.People[q]
	giver, stands, grown, lesser := false, false, false, false
	for other, at := range v.plan.Places {
		if at.HeldBy >= 0 || at.Row >= v.plan.Places[q].Row || v.young(other) {
			continue
		}
		kind := v.plan.Rows[at.Row].Kind
		if kind == GroundRow || kind == KneelingRow {
			continue
		}
		grown = true
		if v.free(other) {
			giver, stands = true, true
			lesser = lesser || v.s.People[other].Importance < who.Importance
		} else if kind != ChairRow && !v.sits(other) && v.s.People[other].Importance < 5 {
			stands = true
		}
	}
	switch {
	case who.Importance >= 5:
		if stands {
			return 3000
		}
	case who.Age == Elder && !v.sits(q):
		if giver {
			return 1500
		}
	case v.small(q) && grown:
		return 1500
	case v.free(q) && lesser:
		return 300 * who.Importance
	}
	return 0
}

// rank is how near to the middle somebody is to be: relatives of no importance as those of 1.
func (v *verifier) rank(q int) int {
	if who := v.s.People[q]; !who.Kin || who.Importance > 0 {
		return who.Importance
	}
	return 1
}

// stands returns the person whose place counts: the holder of a held infant.
func (v *verifier) stands(q int) int {
	if h := v.plan.Places[q].HeldBy; h >= 0 {
		return h
	}
	return q
}

// parted says that two of one row have one neighbour in common, whom the day is not about.
func (v *verifier) parted(one, other int) bool {
	row := v.plan.Rows[v.plan.Places[one].Row].People
	at, end := slices.Index(row, one), slices.Index(row, other)
	return end >= 0 && between(at, end) == 2 && v.s.People[row[(at+end)/2]].Importance < 5
}

// costOfMiddle is what it costs that others stand between those whom the day is about. One other alone with them is
// welcome there, and so are their own children.
func (v *verifier) costOfMiddle(row []int) int {
	first, last, leads := -1, -1, 0
	for k, q := range row {
		if v.s.People[q].Importance >= 5 {
			if first < 0 {
				first = k
			}
			last, leads = k, leads+1
		}
	}
	if first < 0 {
		return 0
	}
	cost := 0
	for _, q := range row[first:last] {
		switch {
		case v.s.People[q].Importance >= 5:
		case v.free(q):
			cost += 1000
		case len(row) > leads+1 && !(v.young(q) && v.ofLead(q)):
			cost += 1000
		}
	}
	return cost
}

// costOfLeadRows is what it costs that those whom the day is about are in several rows.
func (v *verifier) costOfLeadRows() int {
	rows := map[int]bool{}
	for q, who := range v.s.People {
		if who.Importance >= 5 && v.plan.Places[q].HeldBy < 0 {
			rows[v.plan.Places[q].Row] = true
		}
	}
	return 1500 * max(0, len(rows)-1)
}

// ofLead says that a couple or household holds somebody and one whom the day is about.
func (v *verifier) ofLead(q int) bool {
	for other, who := range v.s.People {
		if who.Importance >= 5 && v.plan.Places[other].HeldBy < 0 && v.related(q, other) {
			return true
		}
	}
	return false
}

// costOfRank is what it costs that somebody is farther out than one who is less near to whom the day is about.
func (v *verifier) costOfRank(row []int) int {
	n, cost := len(row), 0
	for k := 1; k < n; k++ {
		if v.plain(row[k-1]) && v.plain(row[k]) {
			switch up := v.rank(row[k]) - v.rank(row[k-1]); {
			case 2*k < n && up < 0:
				cost -= 40 * up
			case 2*k > n && up > 0:
				cost += 40 * up
			}
		}
	}
	return cost
}

// bothSides says that each side has somebody of importance below 5 who is not held.
func (v *verifier) bothSides() bool {
	has := map[Side]bool{}
	for q, who := range v.s.People {
		if who.Importance < 5 && v.plan.Places[q].HeldBy < 0 {
			has[who.Side] = true
		}
	}
	return has[Left] && has[Right]
}

// costOfMove is what it costs that somebody was elsewhere in the grouping before.
func (v *verifier) costOfMove(q int) int {
	if len(v.s.Before) == 0 {
		return 0
	}
	was, at := v.s.Before[q], v.plan.Places[q]
	aside, back := at.XCM-was.XCM, v.back(at.Row)-was.BackCM
	if was.Present && (was.Posture != at.Posture || aside > 40 || aside < -40 || back > 40 || back < -40) {
		return 70
	}
	return 0
}

// costOfTilt is what it costs that parents of one side outnumber those of the other in a row, and that more stand on one
// side of its middle.
func (v *verifier) costOfTilt(row []int) int {
	left, right, sway := 0, 0, 0
	for _, q := range row {
		who := v.s.People[q]
		if !v.free(q) || who.Importance != 4 {
			continue
		}
		switch x := v.plan.Places[q].XCM; {
		case x > 8:
			sway++
		case x < -8:
			sway--
		}
		switch {
		case !v.bothSides():
		case who.Side == Left:
			left++
		case who.Side == Right:
			right++
		}
	}
	return 150*between(left, right) + 100*between(sway, 0)
}

// moreArms counts the infants who are not in arms that are free for them.
func (v *verifier) moreArms() int {
	ranks := map[[2]int]int{} // the last that is said counts
	for _, a := range v.s.Arms {
		ranks[[2]int{a.Infant, a.Holder}] = a.Rank
	}
	parent := make([]bool, len(v.s.People))
	for pair, rank := range ranks {
		parent[pair[0]] = parent[pair[0]] || rank == 0
	}
	more := 0
	for h, who := range v.s.People {
		held, orphans := 0, 0
		for q, at := range v.plan.Places {
			if at.HeldBy == h {
				held++
				if !parent[q] {
					orphans++
				}
			}
		}
		switch {
		case held > 0 && orphans == held && who.Age == Elder && v.sits(h):
			more += held
		case held > 1:
			more += held - 1
		}
	}
	return more
}

// freeArms is somebody who holds nobody and could hold an infant, or -1. Nobody has to whom the day is about, who sits, or
// whom a rule keeps from it.
func (v *verifier) freeArms(infant int) int {
	for h, who := range v.s.People {
		if (who.Age == Adult || who.Age == Elder) && who.Importance < 5 && !who.Unnamed && !v.sits(h) && !v.holds(h) && !v.apart(infant, h) {
			return h
		}
	}
	return -1
}

// crowded says that a second infant is in the same arms.
func (v *verifier) crowded(infant int) bool {
	for q, at := range v.plan.Places {
		if q != infant && at.HeldBy == v.plan.Places[infant].HeldBy {
			return true
		}
	}
	return false
}

// childOfBoth says that somebody who is not held is a small child of both of a couple.
func (v *verifier) childOfBoth(q int, t Tie) bool {
	return t.Bond == Couple && v.plan.Places[q].HeldBy < 0 && v.small(q) &&
		!slices.ContainsFunc(t.Members, func(m int) bool { return v.stands(m) == q || !v.related(q, v.stands(m)) })
}

// sideBySide says of a couple that one is neither a parent nor as near as one, and that no small child is theirs.
func (v *verifier) sideBySide(t Tie) bool {
	for q := range v.s.People {
		if v.childOfBoth(q, t) {
			return false
		}
	}
	return t.Bond == Couple && slices.ContainsFunc(t.Members, func(m int) bool { return v.s.People[v.stands(m)].Importance < 3 })
}

// costOfStrays is what it costs that small children of a household are more than a place away from all of its grown-ups.
func (v *verifier) costOfStrays(home map[int]Place) int {
	cost := 0
	for q, at := range home {
		if !v.small(q) {
			continue
		}
		var gaps []int
		for other, place := range home {
			if !v.young(other) {
				gaps = append(gaps, between(at.XCM, place.XCM)-(at.WidthCM+place.WidthCM)/2)
			}
		}
		if len(gaps) > 0 {
			cost += 3 * max(0, slices.Min(gaps)-50)
		}
	}
	return cost
}
