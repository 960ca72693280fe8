package standing

import "slices"

// Posture is how somebody holds still.
type Posture uint8

// The postures.
const (
	Standing Posture = iota
	OnGround
	Kneeling
	OnChair
	InWheelchair
	OnStep       // standing on a step
	OnSecondStep // standing on the step above it
	Held         // in somebody's arms
)

// Kind is the kind of a row. The order is that from front to back.
type Kind uint8

// The kinds of rows.
const (
	GroundRow Kind = iota
	KneelingRow
	ChairRow
	StandingRow
	StepRow
	SecondStepRow
	kinds
)

// low says that a row is meant for children in front of everybody.
func (k Kind) low() bool { return k == GroundRow || k == KneelingRow }

// posture is that of a grown-up in a row of the kind.
func (k Kind) posture() Posture {
	return [kinds]Posture{OnGround, Kneeling, OnChair, Standing, OnStep, OnSecondStep}[k]
}

// depthCM is how far the next row stands behind: common practice, no source (published advice for
// standing rows is 60 to 90 cm, itself without a source). Chairs and crossed legs take more.
func (k Kind) depthCM() int {
	return [kinds]int{85, 75, 95, 70, 60, 60}[k]
}

// costs is what it takes to set such a row up, in points.
func (k Kind) cost() int {
	return [kinds]int{60, 60, 60, 0, 90, 120}[k]
}

// Body measures in centimetres or thousandths of stature. ANSUR is Gordon et al., 2012 Anthropometric
// Survey of U.S. Army Personnel (NATICK/TR-15/007), recomputed from its public data; a sample
// younger and fitter than wedding guests.
const (
	// Mean stature of adults: 175.9 and 161.9 cm for US men and women of 20 and over (NCHS, Vital
	// and Health Statistics 3(39), 2016); the model does not ask which.
	adultCM = 169
	// Elders are taken as 3 cm shorter: common practice, no source.
	elderCM = 166
	// Median stature at 7 years, the middle of childhood: 122.0 and 121.8 cm for boys and girls
	// (CDC growth charts, 2000).
	childCM = 122
	// Median at 2 years: 86.5 and 85.0 cm (the same).
	infantCM = 86

	// Sitting height is 0.523 and 0.526 of stature in ANSUR men and women.
	sittingPermille = 525
	// Somebody kneeling upright loses the leg below the knee: popliteal height is 0.245 and
	// 0.238 of stature in ANSUR men and women.
	kneelingPermille = 758
	// The seat of a chair and of a wheelchair: common practice, no source.
	chairCM, wheelchairCM = 45, 50

	// The eyes are 11.4 and 10.9 cm below the top of the head (ANSUR, seated) and half-way down
	// the face: common practice, no source, for the latter.
	faceCM, childFaceCM = 22, 20
	// The shoulders are 31.5 and 29.3 cm below the top of the head (ANSUR, stature less acromial
	// height). Those of children are scaled: common practice.
	shoulderCM, childShoulderCM = 30, 24
	// A held infant's chin is this far below the holder's head: common practice, no source.
	heldFaceCM = 50
	// The top of a held infant's head is at the holder's chin.
	heldHeadCM = 24

	// Half a head in front and half a face behind it: breadths of about 16 cm, from memory.
	headReachCM = 17
	// Half a face beside a shoulder.
	faceReachCM = 8
)

// Widths from elbow to elbow, even so that middles are whole. Bideltoid breadth is 51.0 and 45.0 cm
// in ANSUR men and women and says little about height (correlation 0.31 and 0.36), so it is one number;
// forearm to forearm when seated is 58.0 and 49.5. The others: common practice, no source.
const (
	standingWidth   = 50
	chairWidth      = 56
	kneelingWidth   = 60
	groundWidth     = 70
	wheelchairWidth = 74
	holdingExtra    = 8
	childWidth      = 34 // the least
	// A child's shoulders scaled from an adult's share of stature, with room to stand: common
	// practice, no source.
	childWidthPermille = 320
)

// stature returns the height in centimetres and whether it comes from a table.
func (q Person) stature() (int, bool) {
	if q.HeightCM > 0 {
		return q.HeightCM, false
	}
	return [...]int{Adult: adultCM, Elder: elderCM, Child: childCM, Infant: infantCM}[q.Age], true
}

// headCM returns the height of the top of the head above the ground.
func headCM(stature int, posture Posture, stepCM int) int {
	switch posture {
	case OnGround:
		return stature * sittingPermille / 1000
	case Kneeling:
		return stature * kneelingPermille / 1000
	case OnChair:
		return chairCM + stature*sittingPermille/1000
	case InWheelchair:
		return wheelchairCM + stature*sittingPermille/1000
	case OnStep:
		return stature + stepCM
	case OnSecondStep:
		return stature + 2*stepCM
	default:
		return stature
	}
}

// widthCM returns the room somebody takes in a row.
func widthCM(stature int, young bool, posture Posture, holds bool) int {
	w := standingWidth
	switch posture {
	case OnGround:
		w = groundWidth
	case Kneeling:
		w = kneelingWidth
	case OnChair:
		w = chairWidth
	case InWheelchair:
		w = wheelchairWidth
	}
	if young && posture != InWheelchair {
		grown := w
		w = max(childWidth, stature*childWidthPermille/1000) + grown - standingWidth
		w = min(w+w%2, grown)
	}
	if holds {
		w += holdingExtra
	}
	return w
}

// Ranks of whom Arms say nothing of, by their closest tie with the infant, and what comes on top of a rank. A child holds
// an infant only where there is no grown-up.
var tieRanks = [...]int{Couple: 10, Household: 10, Circle: 30, Circle + 1: 50}

const (
	armsFull   = 150 // for each infant that they hold already
	armsNeeded = 130 // an elder who has to sit
	armsElder  = 3   // either of the two
	armsOfLead = 200 // the day is about them, and the infant is not of theirs
)

// holdInfants gives every infant to somebody who isn't kept apart from it nor from an infant in the same arms, then to
// whom it belongs to by arms, else by ties, then to the tallest where all are children, then to the first. Everybody
// holds one before anybody holds two, and parents choose first; whoever is with another chooses once more, as those who
// came later may have left arms that are free for this one only. An infant with a chair of its own has a place like a
// child, and so has one that is with infants only.
func (p *Problem) holdInfants() {
	people := p.spec.People
	p.holder = slices.Repeat([]int{-1}, len(people))
	arms := make([]int, len(people))
	said := p.armsSaid()
	holds := Child
	for _, who := range people {
		if (who.Age == Adult || who.Age == Elder) && !who.Unnamed {
			holds = Elder
		}
	}
	for round := range 3 {
		for q, who := range people {
			was := p.holder[q]
			if who.Age != Infant || who.Seat || who.Wheelchair || was >= 0 && (round < 2 || arms[was] == 1) {
				continue
			}
			if was >= 0 {
				arms[was]--
			}
			best, bestRank := -1, [3]int{}
			for h, holder := range people {
				if holder.Age > holds || holder.Unnamed {
					continue
				}
				rank := [3]int{p.keptApart(q, h), p.armsRank(q, h, said) + armsFull*arms[h], 0}
				if holder.Age == Child {
					stature, _ := holder.stature()
					rank[2] = -stature
				}
				if best < 0 || slices.Compare(rank[:], bestRank[:]) < 0 {
					best, bestRank = h, rank
				}
			}
			if best >= 0 && (round > 0 || bestRank[0] == 0 && bestRank[1] <= armsElder) {
				p.holder[q] = best
				arms[best]++
			}
		}
	}
	p.moreArms = p.countMoreArms(arms, said)
}

// armsSaid is what arms and ties say of each infant with each of the others; what arms say goes before.
func (p *Problem) armsSaid() [][]int {
	said := make([][]int, len(p.spec.People))
	for q, who := range p.spec.People {
		if who.Age == Infant {
			said[q] = slices.Repeat([]int{tieRanks[Circle+1]}, len(said))
		}
	}
	for _, t := range p.spec.Ties {
		for _, infant := range t.Members {
			if said[infant] == nil {
				continue
			}
			for _, h := range t.Members {
				said[infant][h] = min(said[infant][h], tieRanks[t.Bond])
			}
		}
	}
	for _, a := range p.spec.Arms {
		if said[a.Infant] != nil {
			said[a.Infant][a.Holder] = a.Rank
		}
	}
	return said
}

// countMoreArms counts the infants who are in the arms of somebody who holds another, or of an elder who has to sit
// without a parent there.
func (p *Problem) countMoreArms(arms []int, said [][]int) int {
	more := 0
	for h, n := range arms {
		own := n > 0 && p.spec.People[h].Age == Elder && p.mustSit(h)
		for infant, ranks := range said {
			own = own && (p.holder[infant] != h || !slices.Contains(ranks, 0))
		}
		switch {
		case own:
			more += n
		case n > 1:
			more += n - 1
		}
	}
	return more
}

func (p *Problem) mustSit(q int) bool { return p.spec.People[q].Seat || p.spec.People[q].Wheelchair }

// armsRank is how far somebody is from being the one to hold an infant.
func (p *Problem) armsRank(infant, h int, said [][]int) int {
	who := p.spec.People[h]
	rank := said[infant][h]
	if rank > tieRanks[Household] { // others than near the middle
		rank += who.Importance
	}
	if who.Importance >= leadingImportance && rank > tieRanks[Household] {
		rank += armsOfLead
	}
	switch {
	case p.mustSit(h) && who.Age == Elder:
		rank += armsNeeded
	case p.mustSit(h) || who.Age == Elder:
		rank += armsElder
	}
	return rank
}

// keptApart is 2 when an infant must not be with somebody, 1 when not with another infant in their arms, else 0.
func (p *Problem) keptApart(q, h int) int {
	worst := 0
	for _, pair := range p.spec.Apart {
		switch other := pair[0] + pair[1] - q; {
		case pair[0] != q && pair[1] != q:
		case other == h:
			worst = 2
		case p.holder[other] == h:
			worst = max(worst, 1)
		}
	}
	return worst
}
