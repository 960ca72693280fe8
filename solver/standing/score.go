package standing

// Points of the objective; doc.go states it.
const (
	centreShare      = 2
	rowBackPoints    = 40
	chairBackPoints  = 8
	leadBackPoints   = 3000
	elderBackPoints  = 1500
	elderEdgePoints  = 1800
	elderYoungPoints = 500
	nearEdgePoints   = 500
	farPoints        = 6
	farMostCM        = 150
	strayPoints      = 3
	strayCM          = 50
	nearBackPoints   = 500
	farCM            = 150
	youngBackPoints  = 1500
	rankBackPoints   = 300
	rankStepPoints   = 40
	alikePoints      = 150
	swayPoints       = 100
	slopePoints      = 8
	aloofCM          = 200
	aloofShare       = 2
	elderRowPoints   = 400
	offPoints        = 10
	farOffPoints     = 30
	offCM            = 30 // where there is no middle place
	betweenPoints    = 1000
	leadRowPoints    = 1500
	couplePoints     = 4
	partedPoints     = 500
	coupleRowCM      = 100
	householdPoints  = 2
	householdRowCM   = 20
	circleShare      = 2
	circleRowPoints  = 10
	sidePoints       = 2
	crossPoints      = 300
	mirrorPoints     = 2
	countPoints      = 20
	middleCM         = 8 // nearer to the middle than this is neither left nor right
	clearCM          = 3
	facePoints       = 12
	faceMostCM       = 40
	hiddenPoints     = 150
	wheelEdgePoints  = 1300
	nearHeadsPoints  = 4
	nearHeadsCM      = 15
	seatEdgePoints   = 150
	childEdgePoints  = 150
	kinEdgePoints    = 400
	childAlonePoints = 1000
	childBackPoints  = 100
	apartPoints      = 4000
	nearlyPoints     = 500
	movedPoints      = 70
	movedCM          = 40
	rowPoints        = 150
	fewRowPoints     = 800
	fewPeople        = 5
	wideCM           = 300
	wideSquareCM     = 120
	unevenCM         = 60
	shortPoints      = 2
	seatedLastPoints = 150
	vainChairPoints  = 300
	escortPoints     = 60
	asidePoints      = 20
	loneRowPoints    = 200
	lonePeople       = 4
	outsidePoints    = 100
	chairPoints      = 500
)

// asides are the places of the middle of a row behind the first: half a place aside it looks between
// the heads in front.
var asides = [...]int{0, standingWidth / 2, -standingWidth / 2}

// NothingInFront is the clearance of a face with nobody in front.
const NothingInFront = 999

// Cost is the objective by part, in points; see the package comment.
type Cost struct {
	Centre, Ties, Sides, Balance, Faces, Dignity, Apart, Moved, Shape int
}

// Total is the sum that the plan minimises.
func (c Cost) Total() int {
	return c.Centre + c.Ties + c.Sides + c.Balance + c.Faces + c.Dignity + c.Apart + c.Moved + c.Shape
}

func (c *Cost) add(d Cost) {
	c.Centre += d.Centre
	c.Ties += d.Ties
	c.Sides += d.Sides
	c.Balance += d.Balance
	c.Faces += d.Faces
	c.Dignity += d.Dignity
	c.Apart += d.Apart
	c.Moved += d.Moved
	c.Shape += d.Shape
}

// board is an arrangement with the costs of its parts, kept up to date row by row. People are numbered
// as in Problem.placed.
type board struct {
	p    *Problem
	f    *formation
	rows [][]int
	// row, x, head and width are by person.
	row, x, head, width []int
	// aside[r] is how far the middle of row r is right of the middle of the picture.
	// Invariant: 0 for the first row, and one of asides for the others.
	aside []int
	// Costs of a row by itself, of the face of each person, and of each tie.
	rowCost  []Cost
	faceCost []int
	tieCost  []int
	// rowWidth and lean (people right less people left) are by row, chairs is used ones.
	rowWidth, lean, chairs []int
	crew                   []crew // by row
}

func newBoard(p *Problem, f *formation) *board {
	n, r := len(p.placed), len(f.kinds)
	return &board{
		p: p, f: f, rows: make([][]int, r), aside: make([]int, r),
		row: make([]int, n), x: make([]int, n), head: make([]int, n), width: make([]int, n),
		rowCost: make([]Cost, r), faceCost: make([]int, n), tieCost: make([]int, len(p.ties)),
		rowWidth: make([]int, r), lean: make([]int, r), chairs: make([]int, r), crew: make([]crew, r),
	}
}

// scoreAll computes every part.
func (b *board) scoreAll() int {
	for r := range b.rows {
		b.place(r)
		b.scoreRow(r)
	}
	for r := range b.rows {
		b.scoreFaces(r)
	}
	for t := range b.p.ties {
		b.tieCost[t] = b.scoreTie(t)
	}
	return b.total()
}

// place sets the places of a row from its order.
func (b *board) place(r int) {
	k := b.f.kinds[r]
	total := 0
	for _, i := range b.rows[r] {
		b.width[i] = b.p.bodies[i].width[k]
		total += b.width[i]
	}
	b.rowWidth[r] = total
	at := b.aside[r] - total/2
	for _, i := range b.rows[r] {
		b.row[i], b.head[i] = r, b.p.bodies[i].head[k]
		b.x[i] = at + b.width[i]/2
		at += b.width[i]
	}
}

// scoreRow computes what a row costs by itself.
func (b *board) scoreRow(r int) {
	var c Cost
	k, order := b.f.kinds[r], b.rows[r]
	lean, chairs := 0, 0
	crew := crew{least: leadingImportance}
	for _, i := range order {
		q, x := &b.p.bodies[i], b.x[i]
		crew.count(q, k, x)
		if w := q.person.Importance; w > 0 {
			c.Centre += w*abs(x)/centreShare + w*b.f.behind[r]
			if w == nearest {
				c.Centre += farPoints*min(farMostCM, max(0, abs(x)-farCM)) + nearBackPoints*b.f.standing[r]
			}
		} else if q.aloof && b.p.family {
			c.Centre += max(0, aloofCM-abs(x)) / aloofShare
		}
		switch {
		case q.person.Side == Left && x > 0, q.person.Side == Right && x < 0:
			c.Sides += sidePoints * abs(x)
			if q.person.Importance == nearest || q.small {
				c.Sides += crossPoints
			}
		}
		c.Dignity += q.unfit[k]
		c.Dignity += q.backPoints() * b.f.grown[r]
		if q.before.Present && q.before.Moved(Spot{Posture: q.posture[k], XCM: x, BackCM: b.f.back[r]}) {
			c.Moved += movedPoints
		}
		if x > middleCM {
			lean++
		} else if x < -middleCM {
			lean--
		}
		if k == ChairRow && q.posture[k] == OnChair && !q.seated {
			chairs++
		}
	}
	if k == ChairRow && crew.sitters == 0 {
		c.Dignity += vainChairPoints
	}
	between := crew.between[0]
	if len(order) > crew.leads+1 { // a grandmother alone with a couple is between them
		between += crew.between[1]
	}
	c.Centre += offPoints*max(0, abs(crew.off)-offCM*crew.leads) + farOffPoints*max(0, abs(crew.off)-2*offCM*crew.leads) + betweenPoints*between
	c.Sides += alikePoints*abs(crew.tilt) + swayPoints*abs(crew.sway)
	b.lean[r], b.chairs[r], b.crew[r] = lean, chairs, crew
	b.scoreNeighbours(r, &c)
	b.rowCost[r] = c
}

// scoreNeighbours adds what depends on who is beside whom and opposite whom.
func (b *board) scoreNeighbours(r int, c *Cost) {
	order := b.rows[r]
	last := len(order) - 1
	for at, i := range order {
		q := &b.p.bodies[i]
		if other := order[last-at]; at < last-at {
			c.Balance += mirrorPoints * abs(b.head[i]-b.head[other])
		}
		if at < last {
			next := order[at+1]
			rise, rank := b.slope(i, next, last-2*at-1)
			c.Balance += abs(b.head[i]-b.head[next]) + rise
			c.Centre += rank
		}
		edge := at == 0 || at == last
		if q.person.Wheelchair && b.wheelAlone(order, at) {
			c.Dignity += wheelEdgePoints
		}
		if q.seated && last > 0 {
			near := NothingInFront
			if at > 0 {
				near = abs(b.head[i] - b.head[order[at-1]])
			}
			if at < last {
				near = min(near, abs(b.head[i]-b.head[order[at+1]]))
			}
			c.Dignity += nearHeadsPoints * max(0, near-nearHeadsCM)
			if edge && last >= 2 && (near > nearHeadsCM) != q.person.Wheelchair {
				c.Dignity += seatEdgePoints
			}
		}
		if edge && last >= 2 {
			beside := order[1]
			if at == last {
				beside = order[last-1]
			}
			c.Dignity += b.edgePoints(r, i, beside)
		}
	}
}

// wheelAlone says that the wheelchair at a place of a row is alone in it, or at the end of three and more beside somebody
// whose head is far above.
func (b *board) wheelAlone(row []int, at int) bool {
	last := len(row) - 1
	switch {
	case last == 0:
		return len(b.p.placed) > 1
	case last == 1 || at > 0 && at < last:
		return false
	}
	return abs(b.head[row[at]]-b.head[row[max(1, at-1)]]) > nearHeadsCM
}

// scoreFaces computes what the faces of a row lack of being clear, and returns their sum.
func (b *board) scoreFaces(r int) int {
	sum := 0
	for _, i := range b.rows[r] {
		b.faceCost[i] = faceCost(b.clearance(i))
		sum += b.faceCost[i]
	}
	return sum
}

func faceCost(clearance int) int {
	if clearance >= clearCM {
		return 0
	}
	points := facePoints * min(faceMostCM, clearCM-clearance)
	if clearance < 0 {
		points += hiddenPoints
	}
	return points
}

// clearance returns by how many centimetres the line from the camera to the chin of a person passes
// over everybody in front.
func (b *board) clearance(i int) int {
	r := b.row[i]
	far := b.f.distance[r]
	lens := b.p.spec.Space.CameraHeightCM
	chin := b.head[i] - b.p.bodies[i].face
	least := NothingInFront
	for front := range r {
		near := b.f.distance[front]
		x := b.x[i] * near / far
		sight := lens + (chin-lens)*near/far
		row := b.rows[front]
		for at := firstReach(b, row, x); at < len(row); at++ {
			j := row[at]
			off := b.x[j] - x
			if off > wheelchairWidth {
				break
			}
			off = abs(off)
			switch {
			case off < headReachCM:
				least = min(least, sight-b.head[j])
			case off < b.width[j]/2+faceReachCM:
				least = min(least, sight-b.head[j]+b.p.bodies[j].shoulder)
			}
		}
	}
	return least
}

// firstReach returns the first place of a row that can reach x: nobody is wider than a wheelchair
// with somebody held.
func firstReach(b *board, row []int, x int) int {
	low, high := 0, len(row)
	for low < high {
		half := (low + high) / 2
		if b.x[row[half]] < x-wheelchairWidth {
			low = half + 1
		} else {
			high = half
		}
	}
	return low
}

// total sums the parts kept by scoreAll and by moves.
func (b *board) total() int { return b.totalBesideFaces() + b.totalFaces() }

func (b *board) totalBesideFaces() int {
	t := b.whole().Total()
	for r := range b.rows {
		t += b.rowCost[r].Total()
	}
	for _, v := range b.tieCost {
		t += v
	}
	return t
}

func (b *board) totalFaces() int {
	t := 0
	for _, v := range b.faceCost {
		t += v
	}
	return t
}

// cost sums the same by part.
func (b *board) cost() Cost {
	c := b.whole()
	for r := range b.rows {
		c.add(b.rowCost[r])
	}
	for _, v := range b.faceCost {
		c.Faces += v
	}
	for _, v := range b.tieCost {
		c.Ties += v
	}
	return c
}
