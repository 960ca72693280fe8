package standing

import "slices"

// cost works the objective out from the package comment, term by term.
func (v *verifier) cost() Cost {
	var c Cost
	for q := range v.plan.Places {
		if v.plan.Places[q].HeldBy < 0 {
			v.costOf(q, &c)
		}
	}
	for r := range v.plan.Rows {
		v.costOfRow(r, &c)
	}
	for _, t := range v.s.Ties {
		c.Ties += v.costOfTie(t)
	}
	for _, pair := range v.s.Apart {
		if v.touch(v.stands(pair[0]), v.stands(pair[1])) {
			c.Apart += 4000
		} else if v.parted(v.stands(pair[0]), v.stands(pair[1])) {
			c.Apart += 500
		}
	}
	right, left, chairs := 0, 0, 0
	for q, at := range v.plan.Places {
		if at.HeldBy >= 0 {
			continue
		}
		if at.XCM > 8 {
			right++
		}
		if at.XCM < -8 {
			left++
		}
		if v.plan.Rows[at.Row].Kind == ChairRow && at.Posture == OnChair && !v.s.People[q].Seat {
			chairs++
		}
	}
	c.Balance += 20 * max(right-left, left-right)
	c.Centre += v.costOfLeadRows()
	c.Shape += v.shape() + 500*max(0, chairs-v.s.Space.Chairs)
	return c
}

// costOf adds what one person costs wherever the others are, and a face that is not clear.
func (v *verifier) costOf(q int, c *Cost) {
	who, at := v.s.People[q], v.plan.Places[q]
	kind := v.plan.Rows[at.Row].Kind
	off := max(at.XCM, -at.XCM)
	grownInFront, chairsInFront := 0, 0
	for _, row := range v.plan.Rows[:at.Row] {
		if row.Kind != GroundRow && row.Kind != KneelingRow {
			grownInFront++
		}
		if row.Kind == ChairRow {
			chairsInFront++
		}
	}
	c.Centre += who.Importance*(40*(grownInFront-chairsInFront)+8*chairsInFront) + v.costOfAside(q, off, grownInFront-chairsInFront)
	if v.young(q) {
		c.Dignity += 100 * grownInFront
	} else if who.Age == Elder && who.Importance < 5 {
		c.Dignity += 400 * grownInFront
	}
	if (who.Importance >= 5 || v.bothSides()) && ((who.Side == Left && at.XCM > 0) || (who.Side == Right && at.XCM < 0)) {
		c.Sides += 2 * off
		if who.Importance == 4 || v.small(q) {
			c.Sides += 300
		}
	}
	switch {
	case kind == GroundRow || kind == KneelingRow:
		if !v.young(q) {
			c.Dignity += 150 + 20*who.Importance
		}
	case kind == ChairRow:
		switch {
		case v.sits(q) || who.Age == Elder || v.small(q):
		case v.escorts(q):
			c.Dignity += 60
		case who.Importance >= 5:
			c.Dignity += 20
		default:
			c.Dignity += 600
		}
	case kind == StandingRow:
		if who.Age == Elder && v.s.Space.Chairs > 0 && !who.Seat && !who.Wheelchair {
			c.Dignity += 120
		}
	case kind >= StepRow:
		c.Dignity += 10
		if who.Age == Elder || v.small(q) {
			c.Dignity += 390
		}
	}
	c.Dignity += v.costOfBehind(q)
	c.Moved += v.costOfMove(q)
	if lack := 3 - at.ClearCM; lack > 0 {
		c.Faces += 12 * min(40, lack)
		if at.ClearCM < 0 {
			c.Faces += 150
		}
	}
}

// back is how far a row is behind the first one for grown-ups, or behind the first when there is none.
func (v *verifier) back(r int) int {
	for _, row := range v.plan.Rows {
		if row.Kind != GroundRow && row.Kind != KneelingRow {
			return v.plan.Rows[r].DistanceCM - row.DistanceCM
		}
	}
	return v.plan.Rows[r].DistanceCM - v.plan.Rows[0].DistanceCM
}

// costOfRow adds what depends on neighbours.
func (v *verifier) costOfRow(r int, c *Cost) {
	row := v.plan.Rows[r].People
	n := len(row)
	off, leads := 0, 0
	for _, q := range row {
		if v.s.People[q].Importance >= 5 {
			off, leads = off+v.plan.Places[q].XCM, leads+1
		}
	}
	c.Centre += 10*max(0, between(off, 0)-30*leads) + 30*max(0, between(off, 0)-60*leads) + v.costOfMiddle(row) + v.costOfRank(row)
	c.Sides += v.costOfTilt(row)
	if v.plan.Rows[r].Kind == ChairRow && !slices.ContainsFunc(row, func(q int) bool { return v.sits(q) || v.s.People[q].Age == Elder }) {
		c.Dignity += 300
	}
	for k := range n / 2 {
		c.Balance += 2 * between(v.head(row, k), v.head(row, n-1-k))
	}
	for k := 1; k < n; k++ {
		c.Balance += between(v.head(row, k-1), v.head(row, k))
	}
	for k := range row {
		c.Dignity += v.costOfSeat(row, k) + v.costOfEnd(row, k)
	}
	c.Balance += v.costOfRise(row)
}

// head is how high the head of the one at a place of a row is.
func (v *verifier) head(row []int, k int) int { return v.plan.Places[row[k]].HeadCM }

// costOfSeat is what the one at a place of a row costs who sits there: alone, or beside taller people.
func (v *verifier) costOfSeat(row []int, k int) int {
	n, who, cost := len(row), v.s.People[row[k]], 0
	if who.Wheelchair && v.wheelchairAlone(row, k) {
		cost += 1300
	}
	if !who.Seat && !who.Wheelchair || n == 1 {
		return cost
	}
	var near []int
	if k > 0 {
		near = append(near, between(v.head(row, k), v.head(row, k-1)))
	}
	if k < n-1 {
		near = append(near, between(v.head(row, k), v.head(row, k+1)))
	}
	cost += 4 * max(0, slices.Min(near)-15)
	if n >= 3 && len(near) == 1 && (near[0] > 15) == !who.Wheelchair {
		cost += 150
	}
	return cost
}

// costOfEnd is what the one at a place of a row costs when that is an end of it.
func (v *verifier) costOfEnd(row []int, k int) int {
	n, q := len(row), row[k]
	if n < 3 || k > 0 && k < n-1 {
		return 0
	}
	beside := row[1]
	if k > 0 {
		beside = row[k-1]
	}
	could := slices.ContainsFunc(row[1:n-1], v.free)
	others := slices.DeleteFunc(slices.Clone(row), func(q int) bool { return v.s.People[q].Importance >= 5 })
	switch who := v.s.People[q]; {
	case v.young(q) && v.related(q, beside):
		if v.small(q) && slices.ContainsFunc(row, v.free) {
			return 400
		}
	case v.young(q) && could && !v.young(beside):
		return 1000
	case v.young(q):
		return 150
	case who.Age == Elder && who.Importance < 5 && (could || len(others) == 1):
		return 1800
	case who.Age == Elder && who.Importance < 5 && slices.ContainsFunc(row[1:n-1], func(q int) bool { return v.young(q) && !v.sits(q) }):
		return 500
	case who.Importance == 4 && v.free(q) && v.distant() && v.s.People[beside].Importance < 5:
		return 500
	}
	return 0
}

// costOfRise is what heights cost that rise away from the middle.
func (v *verifier) costOfRise(row []int) int {
	n, cost := len(row), 0
	for k := 1; k < n; k++ {
		left, right := row[k-1], row[k]
		one, other := v.s.People[left], v.s.People[right]
		if !v.plain(left) || !v.plain(right) || !one.ByHeight || !other.ByHeight || one.HeightCM == 0 || other.HeightCM == 0 {
			continue
		}
		switch rise := v.head(row, k) - v.head(row, k-1); {
		case 2*k < n && rise < 0:
			cost -= 8 * rise
		case 2*k > n && rise > 0:
			cost += 8 * rise
		}
	}
	return cost
}

// wheelchairAlone says that nobody, or at the end of three and more only somebody far taller, is beside the one at a place.
func (v *verifier) wheelchairAlone(row []int, k int) bool {
	n := len(row)
	if n == 1 {
		return v.placed() > 1
	}
	left := k > 0 && (k < n-1 || between(v.head(row, k), v.head(row, k-1)) <= 15)
	right := k < n-1 && (k > 0 || between(v.head(row, k), v.head(row, k+1)) <= 15)
	return n >= 3 && !left && !right
}

// placed counts the people who are not held.
func (v *verifier) placed() int {
	n := 0
	for _, at := range v.plan.Places {
		if at.HeldBy < 0 {
			n++
		}
	}
	return n
}

// related says that a couple or household holds both, held infants counting for their holders.
func (v *verifier) related(a, b int) bool {
	for _, t := range v.s.Ties {
		if t.Bond == Circle {
			continue
		}
		var hasA, hasB bool
		for _, m := range t.Members {
			hasA = hasA || v.stands(m) == a
			hasB = hasB || v.stands(m) == b
		}
		if hasA && hasB {
			return true
		}
	}
	return false
}

func (v *verifier) costOfTie(t Tie) int {
	at := map[int]Place{}
	for _, m := range t.Members {
		at[v.stands(m)] = v.plan.Places[v.stands(m)]
	}
	if len(at) < 2 {
		return 0
	}
	fills := map[int]int{}
	var rows, lefts, rights []int
	for _, place := range at {
		fills[place.Row] += place.WidthCM
		rows = append(rows, place.Row)
		lefts = append(lefts, place.XCM-place.WidthCM/2)
		rights = append(rights, place.XCM+place.WidthCM/2)
	}
	fullest := 0
	for _, w := range fills {
		fullest = max(fullest, w)
	}
	inside, split := fullest, 0
	for q, who := range v.s.People {
		place := v.plan.Places[q]
		_, member := at[q]
		if who.Importance >= 5 && place.HeldBy < 0 && !member && fills[place.Row] > 0 &&
			slices.Min(lefts) < place.XCM && place.XCM < slices.Max(rights) {
			if v.sideBySide(t) {
				split = 500
			} else {
				inside += place.WidthCM * 3 / 4
			}
		}
		if !member && v.childOfBoth(q, t) && fills[place.Row] > 0 && slices.Min(lefts) < place.XCM && place.XCM < slices.Max(rights) {
			inside += place.WidthCM
		}
	}
	gap := max(0, slices.Max(rights)-slices.Min(lefts)-inside)
	between := slices.Max(rows) - slices.Min(rows)
	switch t.Bond {
	case Couple:
		return 4*gap + 400*between + split
	case Household:
		return 2*gap + 40*max(0, between-1) + v.costOfStrays(at)
	default:
		return gap/2 + 10*max(0, between-1)
	}
}

// touch says that two people are neighbours: side by side, or in rows behind each other with shoulders
// that overlap.
func (v *verifier) touch(a, b int) bool {
	if a == b {
		return false
	}
	p, q := v.plan.Places[a], v.plan.Places[b]
	switch p.Row - q.Row {
	case 0:
		return p.Order-q.Order == 1 || q.Order-p.Order == 1
	case 1, -1:
		return 2*max(p.XCM-q.XCM, q.XCM-p.XCM) < p.WidthCM+q.WidthCM
	default:
		return false
	}
}

func (v *verifier) shape() int {
	points := 150 * (len(v.plan.Rows) - 1)
	for r, row := range v.plan.Rows {
		points += map[Kind]int{GroundRow: 60, KneelingRow: 60, ChairRow: 60, StandingRow: 0, StepRow: 90, SecondStepRow: 120}[row.Kind]
		if row.AsideCM != 0 {
			points += 20
		}
		if lack := v.plan.WidthCM/2 - row.WidthCM; row.Kind >= StandingRow && lack > 0 {
			points += 2 * lack
		}
		if len(row.People) == 1 && (v.placed() >= 4 || v.placed() >= 2 && !v.sits(row.People[0])) {
			points += 200
		}
		if r == 0 {
			continue
		}
		front := v.plan.Rows[r-1]
		if front.Kind == StandingRow && row.Kind == StandingRow && v.placed() <= 5 {
			points += 800
		}
		uneven := front.WidthCM - row.WidthCM
		if front.Kind >= StandingRow && uneven < 0 {
			uneven = -uneven
		}
		if uneven > 60 {
			points += uneven - 60
		}
	}
	if last := v.plan.Rows[len(v.plan.Rows)-1]; last.Kind == ChairRow && slices.ContainsFunc(last.People, func(q int) bool {
		return !v.sits(q) && v.s.People[q].Age != Elder && !v.escorts(q)
	}) {
		points += 150
	}
	if wide := v.plan.WidthCM - 300; wide > 0 {
		points += wide + wide*wide/120
	}
	if limit := v.s.Space.WidthCM; limit > 0 {
		points += 100 * max(0, v.plan.WidthCM-limit)
	}
	if limit := v.s.Space.DepthCM; limit > 0 {
		points += 100 * max(0, v.plan.DepthCM-limit)
	}
	return points
}
