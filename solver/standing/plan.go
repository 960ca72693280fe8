package standing

import "slices"

// Warning is something a plan could not do, or asks care for.
type Warning uint8

const (
	// TooWide and TooDeep: the rows do not fit the space.
	TooWide Warning = iota
	TooDeep
	// FaceHidden: somebody's face is behind somebody else.
	FaceHidden
	// ApartBroken: two people to be kept apart are neighbours.
	ApartBroken
	// WheelchairAlone: a wheelchair is at the end of a row of three or alone in a row.
	WheelchairAlone
	// HeightsGuessed: heights come from tables; look before you place.
	HeightsGuessed
	// MindSteps: people stand on steps: mind the edge, the usual cautions apply.
	MindSteps
	// MindChairs: chairs are wanted: steady, on level ground, nobody stands on one.
	MindChairs
)

// String gives the warning in plain words.
func (w Warning) String() string {
	return [...]string{
		TooWide:         "the rows are wider than the space",
		TooDeep:         "the rows are deeper than the space",
		FaceHidden:      "a face is hidden behind the row in front",
		ApartBroken:     "people to be kept apart are neighbours",
		WheelchairAlone: "a wheelchair is alone or at the end of a row",
		HeightsGuessed:  "some heights are guessed from tables by age; adjust by eye",
		MindSteps:       "people stand on steps: mind the edge",
		MindChairs:      "chairs are needed: on level ground, and nobody stands on one",
	}[w]
}

// Place is where one person is.
type Place struct {
	// Row counts from 0 in front, Order from 0 at the left as the camera sees it.
	Row, Order int
	// XCM is the middle of the person, in centimetres right of the middle of the picture.
	XCM     int
	Posture Posture
	// HeadCM is the top of the head above the ground, WidthCM the room taken in the row.
	HeadCM, WidthCM int
	// ClearCM is by how much the face is clear of everybody in front; below 0 it is hidden, and
	// NothingInFront says that nobody is.
	ClearCM int
	// HeldBy is the person who holds this one, or -1. A held infant has the row, order and x of
	// the holder and no width.
	HeldBy int
	// Guessed says that the height comes from a table.
	Guessed bool
}

// Row is one row of a plan.
type Row struct {
	Kind Kind
	// People are those with a place in the row, from left to right.
	People []int
	// AsideCM is how far the middle of the row is right of the middle of the picture: 0, or half a
	// place to one side so that it looks between the heads in front.
	AsideCM int
	// WidthCM is the width of the row, DistanceCM how far it is from the camera, BaseCM how far
	// above the ground it stands.
	WidthCM, DistanceCM, BaseCM int
}

// Plan is an arrangement of everybody.
type Plan struct {
	// Rows are from front to back.
	Rows []Row
	// Places are by person.
	Places []Place
	Cost   Cost
	// Exact says that no plan costs less.
	Exact bool
	// WidthCM, DepthCM and HeightCM are the box around everybody.
	WidthCM, DepthCM, HeightCM int
	// MoreArms is how many more grown-ups it takes for each infant to be in arms of its own, and not in those of an elder
	// who has to sit unless a parent is there.
	MoreArms int
	// Warnings are in the order of their constants.
	Warnings []Warning
}

// Spots returns the plan as the Before of the next grouping with the same numbering of people.
func (p Plan) Spots() []Spot {
	front := max(0, slices.IndexFunc(p.Rows, func(r Row) bool { return !r.Kind.low() }))
	out := make([]Spot, len(p.Places))
	for q, at := range p.Places {
		out[q] = Spot{
			Present: true, Posture: at.Posture, XCM: at.XCM, BackCM: p.Rows[at.Row].DistanceCM - p.Rows[front].DistanceCM,
		}
	}
	return out
}

// Moved says whether somebody who was at a spot is somewhere else at another: in another posture, or
// more than 40 cm to the side, to the front or to the back.
func (s Spot) Moved(to Spot) bool {
	return s.Posture != to.Posture || abs(s.XCM-to.XCM) > movedCM || abs(s.BackCM-to.BackCM) > movedCM
}

func (b *board) plan() Plan {
	p := b.p
	out := Plan{Places: make([]Place, len(p.spec.People)), Cost: b.cost(), DepthCM: b.f.depth, MoreArms: p.moreArms}
	guessed := false
	for r, k := range b.f.kinds {
		row := Row{Kind: k, AsideCM: b.aside[r], WidthCM: b.rowWidth[r], DistanceCM: b.f.distance[r]}
		switch s := b.p.spec.Space; k {
		case StepRow:
			row.BaseCM = s.StepCM
		case SecondStepRow:
			row.BaseCM = 2 * s.StepCM
		}
		for order, i := range b.rows[r] {
			q := p.placed[i]
			at := Place{
				Row: r, Order: order, XCM: b.x[i], Posture: p.bodies[i].posture[k], HeadCM: b.head[i],
				WidthCM: b.width[i], ClearCM: b.clearance(i), HeldBy: -1,
			}
			_, at.Guessed = p.spec.People[q].stature()
			guessed = guessed || at.Guessed
			out.Places[q] = at
			row.People = append(row.People, q)
			out.HeightCM = max(out.HeightCM, at.HeadCM)
		}
		out.WidthCM = max(out.WidthCM, row.WidthCM+2*abs(row.AsideCM))
		out.Rows = append(out.Rows, row)
	}
	for q, h := range p.holder {
		if h < 0 {
			continue
		}
		at := out.Places[h]
		at.Posture, at.WidthCM, at.HeldBy = Held, 0, h
		at.HeadCM -= heldHeadCM
		_, at.Guessed = p.spec.People[q].stature()
		out.Places[q] = at
	}
	out.Warnings = b.warnings(&out, guessed)
	return out
}

func (b *board) warnings(plan *Plan, guessed bool) []Warning {
	s := &b.p.spec.Space
	var has [MindChairs + 1]bool
	has[TooWide] = s.WidthCM > 0 && plan.WidthCM > s.WidthCM
	has[TooDeep] = s.DepthCM > 0 && plan.DepthCM > s.DepthCM
	has[ApartBroken] = b.p.apartInArms || slices.ContainsFunc(b.p.apart, b.apartBroken)
	has[HeightsGuessed] = guessed
	for _, at := range plan.Places {
		has[FaceHidden] = has[FaceHidden] || at.ClearCM < 0
		has[MindSteps] = has[MindSteps] || at.Posture == OnStep || at.Posture == OnSecondStep
		has[MindChairs] = has[MindChairs] || at.Posture == OnChair
	}
	for _, row := range b.rows {
		for at, i := range row {
			has[WheelchairAlone] = has[WheelchairAlone] || b.p.bodies[i].person.Wheelchair && b.wheelAlone(row, at)
		}
	}
	var out []Warning
	for w, yes := range has {
		if yes {
			out = append(out, Warning(w))
		}
	}
	return out
}
