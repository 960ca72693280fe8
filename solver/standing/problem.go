package standing

import (
	"errors"
	"slices"
)

// Limits of a problem.
const (
	MaxPeople = 200
	// MaxArms is the greatest rank of Arms.
	MaxArms = 100
	// ExactPeople is the largest number of placed people for which a plan is searched exactly.
	ExactPeople = 8
	// leadingImportance is the least importance of those around whom everybody stands.
	leadingImportance = 5
	// nearest is the importance of those who stand alike on both sides: parents.
	nearest = leadingImportance - 1
	// distant is the importance below which somebody is no parent and no partner of one.
	distant = nearest - 1
	// smallCM is the height below which a child is hidden behind any grown-up. Common practice, no source.
	smallCM = 145
)

// ErrInvalid is wrapped by every error of NewProblem.
var ErrInvalid = errors.New("invalid standing problem")

// Age is an age band.
type Age uint8

// The age bands.
const (
	Adult Age = iota
	Elder
	Child
	Infant
)

// Side is where somebody belongs, as the camera sees it.
type Side uint8

// The sides.
const (
	NoSide Side = iota
	Left
	Right
)

// Person is one of the people of the grouping.
type Person struct {
	// HeightCM is the stature in shoes, 40 to 230; 0 means unknown, and the middle of a published
	// table for the age band is taken.
	HeightCM int
	Age      Age
	Side     Side
	// Importance is 0 for most, up to 4 for those nearest to whom the day is about (4 for parents), and 5 to 10 for these.
	Importance int
	// Kin says that somebody is family, and so nearer to the middle than friends are.
	Kin bool
	// ByHeight is for attendants: those of known height fall from the middle of a row to its ends.
	ByHeight bool
	// Unnamed is for guests known by number only: nobody gives them an infant.
	Unnamed bool
	// Seat and Wheelchair are needs; StepFree says that steps are out of the question.
	Seat, Wheelchair, StepFree bool
}

// Bond is how close people of a tie want to be.
type Bond uint8

// The bonds.
const (
	Couple Bond = iota
	Household
	Circle
)

// Tie is a set of people who belong together.
type Tie struct {
	Bond Bond
	// Members are indices of people, at least two, each once.
	Members []int
}

// Space is the room there is.
type Space struct {
	// WidthCM and DepthCM are the limits of the place, 100 to 10 000; 0 means none. The depth is
	// from the front of the first row to the back of the last.
	WidthCM, DepthCM int
	// Ground and Kneeling allow such a row.
	Ground, Kneeling bool
	// Chairs is how many chairs there are for a row of them, 0 to 200. Somebody who needs a seat has
	// one anyhow.
	Chairs int
	// Steps is how many steps can be stood on, 0 to 2, and StepCM the height of each, 5 to 60.
	Steps, StepCM int
	// CameraHeightCM is the height of the lens, 30 to 600, and CameraDistanceCM its distance from
	// the first row, 100 to 10 000; 0 means 160 and 500.
	CameraHeightCM, CameraDistanceCM int
}

// Spot is where somebody was in the picture before.
type Spot struct {
	Present bool
	Posture Posture
	XCM     int
	// BackCM is how far they were behind the first row that is not low, below 0 in front of it: a low
	// row that comes or goes moves nobody else.
	BackCM int
}

// Arms is how far somebody is from being the one to hold an infant: 0 for its parents, to MaxArms.
type Arms struct{ Infant, Holder, Rank int }

// Spec describes one grouping for NewProblem.
type Spec struct {
	People []Person
	Ties   []Tie
	// Apart are pairs of people who must not be neighbours.
	Apart [][2]int
	// Arms say in whose arms an infant belongs; of a pair without one the ties decide, of several the last counts.
	Arms  []Arms
	Space Space
	// Before holds the spots in the picture before, one for each person, or is empty.
	Before []Spot
}

// Problem is a validated, immutable Spec. It is safe for use by several goroutines.
type Problem struct {
	spec Spec
	// holder[p] is the person who holds p, or -1.
	holder []int
	// moreArms is how many infants are in arms that are not free for them.
	moreArms int
	// placed are the people who have a place of their own; everything below and the search
	// number people by their position in it.
	placed []int
	bodies []body
	ties   []Tie
	tiesOf [][]int
	// inner[t] are small children of both of couple t, and frames[t] says that those whom the day is about may stand between
	// the people of tie t.
	inner  [][]int
	frames []bool
	// small[t] and grown[t] are the small children and the grown-ups of household t.
	small, grown [][]int
	apart        [][2]int
	// apartOf[i] holds the pairs of apart that i is in.
	apartOf [][]int
	// apartInArms says that an infant is in the arms of somebody whom it is kept apart from, or of who holds such an infant.
	apartInArms bool
	// leaders are those around whom everybody stands.
	leaders []int
	// family says that somebody is kin of those whom the day is about.
	family bool
	// lesser says that somebody could stand anywhere who is neither a parent of these nor the partner of one.
	lesser bool
	// kin[i][j] says that a couple or household holds both.
	kin [][]bool
}

// body is a placed person, with what each kind of row makes of them.
type body struct {
	person         Person
	young, holds   bool
	seated         bool // has to sit
	leads          bool // the day is about them
	elder, loose   bool // loose: a grown-up who is neither, and does not have to sit
	small          bool // a child who is hidden behind grown-ups
	anybody        bool // a grown-up of whom nothing is known: exchanging two of these changes nothing
	aloof          bool // loose, and a friend beside family
	escorts        bool // loose, and half of a couple with somebody who has to sit: may sit beside them
	ofLead         bool // a child of the household of somebody whom the day is about
	slopes         bool // loose, of known height, and to stand by it
	face, shoulder int
	before         Spot
	posture        [kinds]Posture
	head, width    [kinds]int
	unfit          [kinds]int
	never          [kinds]bool
}

// NewProblem validates a description and computes what the search needs. The description is copied.
// Its errors wrap ErrInvalid, name every field that is wrong and say what would be right.
func NewProblem(in Spec) (*Problem, error) {
	if err := in.validate(); err != nil {
		return nil, err
	}
	p := &Problem{spec: in.clone()}
	if p.spec.Space.CameraHeightCM == 0 {
		p.spec.Space.CameraHeightCM = 160
	}
	if p.spec.Space.CameraDistanceCM == 0 {
		p.spec.Space.CameraDistanceCM = 500
	}
	p.holdInfants()
	dense := make([]int, len(in.People))
	for q := range in.People {
		dense[q] = -1
		if p.holder[q] < 0 {
			dense[q] = len(p.placed)
			p.placed = append(p.placed, q)
		}
	}
	for _, q := range p.placed {
		if p.spec.People[q].Importance >= leadingImportance {
			p.leaders = append(p.leaders, len(p.bodies))
		}
		p.bodies = append(p.bodies, p.newBody(q))
		b := &p.bodies[len(p.bodies)-1]
		p.lesser = p.lesser || b.loose && b.person.Importance < distant
		p.family = p.family || b.person.Kin
	}
	p.dropLoneSide()
	p.link(dense)
	return p, nil
}

func (s Spec) clone() Spec {
	out := s
	out.People = slices.Clone(s.People)
	out.Ties = slices.Clone(s.Ties)
	for i := range out.Ties {
		out.Ties[i].Members = slices.Clone(out.Ties[i].Members)
	}
	out.Apart = slices.Clone(s.Apart)
	out.Arms = slices.Clone(s.Arms)
	out.Before = slices.Clone(s.Before)
	return out
}

// dropLoneSide forgets the sides of all but the most important when only one side is there: the
// relatives of one of a couple stand around both.
func (p *Problem) dropLoneSide() {
	var has [Right + 1]bool
	for i := range p.bodies {
		if q := p.bodies[i].person; q.Importance < leadingImportance {
			has[q.Side] = true
		}
	}
	if has[Left] && has[Right] {
		return
	}
	for i := range p.bodies {
		if q := &p.bodies[i].person; q.Importance < leadingImportance {
			q.Side = NoSide
		}
	}
}

func (p *Problem) newBody(q int) body {
	who := p.spec.People[q]
	stature, guessed := who.stature()
	b := body{
		person: who,
		young:  who.Age == Child || who.Age == Infant,
		holds:  slices.Contains(p.holder, q),
		seated: who.Seat || who.Wheelchair,
		leads:  who.Importance >= leadingImportance,
		face:   faceCM, shoulder: shoulderCM,
	}
	if len(p.spec.Before) > 0 {
		b.before = p.spec.Before[q]
	}
	b.small = b.young && stature < smallCM
	b.elder = who.Age == Elder && !b.leads
	b.loose = !b.young && !b.elder && !b.leads && !b.seated
	b.anybody = who == (Person{Unnamed: who.Unnamed}) && !b.before.Present && !b.holds
	b.aloof = b.loose && !who.Kin && !who.Unnamed && who.Importance == 0
	b.slopes = b.loose && who.ByHeight && !guessed
	if b.young {
		b.face, b.shoulder = childFaceCM, childShoulderCM
	}
	if b.holds {
		b.face = heldFaceCM
	}
	for k := range kinds {
		b.posture[k] = who.postureIn(k, stature)
		b.head[k] = headCM(stature, b.posture[k], p.spec.Space.StepCM)
		b.width[k] = widthCM(stature, b.young, b.posture[k], b.holds)
		b.unfit[k] = who.unfit(k, p.spec.Space.Chairs > 0, b.small)
		switch k {
		case GroundRow, KneelingRow:
			b.never[k] = b.seated || b.holds || who.Age == Elder
		case StepRow, SecondStepRow:
			b.never[k] = b.seated || b.holds || who.StepFree
		}
	}
	return b
}

// postureIn returns the posture in a row of a kind. Children stand where that brings their heads
// closer to those of the grown-ups in the row.
func (q Person) postureIn(k Kind, stature int) Posture {
	usual := k.posture()
	switch {
	case q.Wheelchair:
		return InWheelchair
	case q.Seat:
		return OnChair
	case (q.Age == Child || q.Age == Infant) && (k.low() || k == ChairRow):
		row := headCM(adultCM, usual, 0)
		if abs(stature-row) < abs(headCM(stature, usual, 0)-row) {
			return Standing
		}
	}
	return usual
}

// unfit returns the points for what does not suit a person in a row of a kind: common practice, no
// source.
func (q Person) unfit(k Kind, chairs, small bool) int {
	young := q.Age == Child || q.Age == Infant
	points := 0
	switch k {
	case GroundRow, KneelingRow:
		if !young {
			points += 150 + 20*q.Importance
		}
	case ChairRow: // sitting down and getting up takes time and is for those who like to sit
		switch {
		case q.Seat || q.Wheelchair || q.Age == Elder || small:
		case q.Importance >= leadingImportance:
			points += 20
		default:
			points += 600
		}
	case StandingRow:
		if q.Age == Elder && chairs && !q.Seat && !q.Wheelchair {
			points += 120
		}
	case StepRow, SecondStepRow:
		switch {
		case q.Age == Elder:
			points += 400
		case small:
			points += 400
		default:
			points += 10
		}
	}
	return points
}

// link numbers ties and pairs by placed people. Infants count where they are held.
func (p *Problem) link(dense []int) {
	n := len(p.placed)
	p.tiesOf, p.apartOf = make([][]int, n), make([][]int, n)
	p.kin = make([][]bool, n)
	for i := range p.kin {
		p.kin[i] = make([]bool, n)
	}
	where := func(q int) int {
		if h := p.holder[q]; h >= 0 {
			q = h
		}
		return dense[q]
	}
	for _, t := range p.spec.Ties {
		var members []int
		for _, q := range t.Members {
			members = append(members, where(q))
		}
		slices.Sort(members)
		members = slices.Compact(members)
		if t.Bond != Circle {
			for _, i := range members {
				for _, j := range members {
					p.kin[i][j] = true
					if p.bodies[i].young && p.bodies[j].leads {
						p.bodies[i].ofLead = true
					}
				}
			}
		}
		if len(members) < 2 {
			continue
		}
		if t.Bond == Couple {
			p.escort(members)
		}
		for _, i := range members {
			p.tiesOf[i] = append(p.tiesOf[i], len(p.ties))
			p.bodies[i].anybody = false
		}
		p.ties = append(p.ties, Tie{Bond: t.Bond, Members: members})
	}
	p.withChildren()
	for _, pair := range p.spec.Apart {
		a, b := where(pair[0]), where(pair[1])
		if a == b { // in each other's arms, as there is nobody else: the plan warns of it
			p.apartInArms = true
			continue
		}
		p.apartOf[a] = append(p.apartOf[a], len(p.apart))
		p.apartOf[b] = append(p.apartOf[b], len(p.apart))
		p.bodies[a].anybody, p.bodies[b].anybody = false, false
		p.apart = append(p.apart, [2]int{a, b})
	}
}
