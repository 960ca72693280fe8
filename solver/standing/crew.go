package standing

import "slices"

// crew counts people of a row: leads are whom the day is about, grown are no children, small ones could give an elder
// their place, sitters are for whom chairs are meant, loose could stand anywhere, hides stand before the leads. Least is the least importance of the loose, near
// counts those of each, tilt is by how many more of the nearest are of the right side, and sway by how many more stand
// on the right. Off is how far the leads are
// off the middle together, between how many of the loose and of others stand between two of them, since how many have
// come since the last lead.
type crew struct {
	leads, grown, elders, sitters, small, loose, hides, least, tilt, sway int
	near                                                                  [leadingImportance]int
	off                                                                   int
	between, since                                                        [2]int
}

func (c *crew) count(q *body, k Kind, x int) {
	if !q.young {
		c.grown++
	}
	switch {
	case q.leads:
		if c.leads > 0 {
			c.between[0] += c.since[0]
			c.between[1] += c.since[1]
		}
		c.leads, c.since = c.leads+1, [2]int{}
		c.off += x
	case q.looseIn(k):
		c.countLoose(q.person, x)
	case !q.ofLead:
		c.since[1]++
	}
	if q.seated || q.person.Age == Elder {
		c.sitters++
	}
	if q.small && !q.leads {
		c.small++
	}
	if q.elder && !q.seated {
		c.elders++
	}
	if !q.leads && !q.young && !q.seated && (k >= StandingRow || k == ChairRow && q.looseIn(k)) {
		c.hides++
	}
}

// escort lets those of a couple sit beside whoever of them has to.
func (p *Problem) escort(couple []int) {
	if !slices.ContainsFunc(couple, func(i int) bool { return p.bodies[i].seated }) {
		return
	}
	for _, i := range couple {
		if b := &p.bodies[i]; b.loose {
			b.escorts = true
			b.unfit[ChairRow] = escortPoints
		}
	}
}

// withChildren finds the small children of each tie, and those of both of a couple. Where one of a couple is neither a parent
// nor as near as one, and no child is with them, they stand side by side.
func (p *Problem) withChildren() {
	for _, t := range p.ties {
		var inner, small, grown []int
		for i := range p.bodies {
			q, member := &p.bodies[i], slices.Contains(t.Members, i)
			switch {
			case t.Bond == Couple && q.small && !member && !slices.ContainsFunc(t.Members, func(m int) bool { return !p.kin[i][m] }):
				inner = append(inner, i)
			case t.Bond != Household || !member:
			case q.small:
				small = append(small, i)
			case !q.young:
				grown = append(grown, i)
			}
		}
		near := !slices.ContainsFunc(t.Members, func(i int) bool { return p.bodies[i].person.Importance < distant })
		p.inner, p.small, p.grown = append(p.inner, inner), append(p.small, small), append(p.grown, grown)
		p.frames = append(p.frames, t.Bond != Couple || near || len(inner) > 0)
	}
}

// looseIn says that somebody in a row of a kind could as well stand elsewhere: whoever sits beside the other half of a
// couple could not.
func (q *body) looseIn(k Kind) bool { return q.loose && !(q.escorts && k == ChairRow) }

func (c *crew) countLoose(who Person, x int) {
	c.loose++
	c.since[0]++
	c.least = min(c.least, who.Importance)
	c.near[who.Importance]++
	if who.Importance == nearest {
		c.tilt += [...]int{Left: -1, NoSide: 0, Right: 1}[who.Side]
		if x > middleCM {
			c.sway++
		} else if x < -middleCM {
			c.sway--
		}
	}
}

// rank is who is nearer to the middle than whom: relatives before friends.
func (q Person) rank() int {
	if q.Kin {
		return max(1, q.Importance)
	}
	return q.Importance
}

// behindPoints is what it costs whom the day is about, those near them, elders and children to be in row r behind the
// rows in front of it.
func (b *board) behindPoints(r int) int {
	here := &b.crew[r]
	hides, grown, least := false, false, leadingImportance
	for s := range r {
		ahead := &b.crew[s]
		hides = hides || ahead.hides > 0
		if !b.f.kinds[s].low() { // an elder can't take a place on the ground
			grown, least = grown || ahead.grown > 0, min(least, ahead.least)
		}
	}
	points := 0
	if hides {
		points += leadBackPoints * here.leads
	}
	if grown {
		points += youngBackPoints * here.small
	}
	if least < leadingImportance {
		points += elderBackPoints * here.elders
	}
	for rank := least + 1; rank < leadingImportance; rank++ {
		points += rankBackPoints * rank * here.near[rank]
	}
	return points
}

// backPoints is what it costs somebody that a row is in front.
func (q *body) backPoints() int {
	switch {
	case q.young:
		return childBackPoints
	case q.elder:
		return elderRowPoints
	}
	return 0
}

// slope is what it costs that the outer of two neighbours is the taller one, where both stand by their heights, and the
// nearer one to whom the day is about, where both could stand anywhere. More is how many more places of the row are to
// the right of the two than to their left: which side of the middle they are on.
func (b *board) slope(left, right, more int) (rise, rank int) {
	if more == 0 {
		return 0, 0
	}
	inner, outer := &b.p.bodies[left], &b.p.bodies[right]
	up := b.head[right] - b.head[left]
	if more > 0 {
		inner, outer, up = outer, inner, -up
	}
	if inner.slopes && outer.slopes {
		rise = slopePoints * max(0, up)
	}
	if inner.loose && outer.loose {
		rank = rankStepPoints * max(0, outer.person.rank()-inner.person.rank())
	}
	return rise, rank
}

// edgePoints is what it costs that somebody is at the end of row r of three and more, beside another.
func (b *board) edgePoints(r, i, beside int) int {
	q := &b.p.bodies[i]
	order := b.rows[r]
	k := b.f.kinds[r]
	inside := b.crew[r].loose // who could take their place
	for _, j := range [...]int{order[0], order[len(order)-1]} {
		if b.p.bodies[j].looseIn(k) {
			inside--
		}
	}
	switch {
	case q.elder && (inside > 0 || len(order) == b.crew[r].leads+1):
		return elderEdgePoints
	case q.elder && slices.ContainsFunc(order[1:len(order)-1], func(j int) bool { return b.p.bodies[j].young && !b.p.bodies[j].seated }):
		return elderYoungPoints
	case q.looseIn(k) && q.person.Importance == nearest && b.p.lesser && !b.p.bodies[beside].leads:
		return nearEdgePoints
	case q.small && b.p.kin[i][beside] && b.crew[r].loose > 0:
		return kinEdgePoints
	case !q.young || b.p.kin[i][beside]:
		return 0
	case inside > 0 && !b.p.bodies[beside].young:
		return childAlonePoints
	}
	return childEdgePoints
}
