package event

import (
	"slices"

	"kinorder.example/server/internal/wording"
)

// Space is the room people have to stand in, in centimetres, and what there is to stand, sit or kneel
// on. The zero value is unlimited room without chairs or steps.
type Space struct {
	WidthCM, DepthCM int  // 100 to 10 000; 0 means no limit
	Ground, Kneeling bool // fit for a row that sits on the ground, or kneels
	Chairs           int  // for a row of chairs; people who need a seat have one anyway
	Steps, StepCM    int  // 0 to 2 steps that can be stood on, and the height of each, 5 to 60
	CameraHeightCM   int  // of the lens; 0 means 160
	CameraDistanceCM int  // from the lens to the first row; 0 means 500
}

// Standing is where everybody is in one photograph, as the camera sees it.
type Standing struct {
	Rows                       []StandingRow // from front to back
	WidthCM, DepthCM, HeightCM int           // of the box around everybody
	Proven                     bool          // no plan is better by the objective of the solver
	// Moves are ids of people who stay from the entry before in the block and have to change place.
	Moves  []string
	Notes  []StandingNote
	Remedy StandingRemedy
	// RemedyChairs is how many chairs RemedyChairs means.
	RemedyChairs int
	// MoreAdults is how many more it takes for every baby to be in arms of its own.
	MoreAdults int
}

// Has reports whether a note is there.
func (s *Standing) Has(n StandingNote) bool {
	return slices.Contains(s.Notes, n)
}

// StandingRow is one row.
type StandingRow struct {
	Places []StandingPlace // from left to right; a held infant follows its holder
	Kind   RowKind
	// AsideCM is how far the middle of the row is right of the middle of the picture, BaseCM how far
	// above the ground the row stands.
	WidthCM, AsideCM, BaseCM int
}

// StandingPlace is where one person is.
type StandingPlace struct {
	Person  string // empty for a guest known by number only
	XCM     int    // right of the middle of the picture
	Posture Posture
	HeadCM  int    // the top of the head above the ground
	HeldBy  string // id of a person, or empty
	Guessed bool   // the height comes from a table for the age band
	WidthCM int    // 0 for a held infant
}

// RowKind says what a row is on, from front to back.
type RowKind int

// The kinds of rows. The zero value is none.
const (
	NoRowKind RowKind = iota
	GroundRow
	KneelingRow
	ChairRow
	PlainRow
	StepRow
	SecondStepRow
)

// Posture is how somebody holds still.
type Posture int

// The postures. The zero value is none.
const (
	NoPosture Posture = iota
	Upright
	OnGround
	Kneeling
	OnChair
	InWheelchair
	OnStep
	OnSecondStep
	Held
)

// StandingNote is something that a standing plan cannot do or asks care for.
type StandingNote int

// The notes. The zero value is none.
const (
	NoStandingNote StandingNote = iota
	TooWide
	TooDeep
	FaceHidden
	WheelchairAlone
	HeightsGuessed
	MindSteps
	MindChairs
)

// StandingRemedy says what would fix a plan.
type StandingRemedy int

// The remedies. The zero value is none.
const (
	NoRemedy StandingRemedy = iota
	RemedyKneel
	RemedyChairs
	RemedyStep
	RemedyTwoSteps
	RemedySplit
	RemedyAbove
)

// RemedyText says what would let people fit, nothing where there is no remedy.
func (s *Standing) RemedyText() wording.Message {
	switch s.Remedy {
	case RemedyKneel:
		return wording.Say("standing.letAFrontRowKneelWhere")
	case RemedyChairs:
		return wording.Say("standing.putAFrontRowOnChairs", s.RemedyChairs)
	case RemedyStep:
		return wording.Say("standing.putABackRowOnA")
	case RemedyTwoSteps:
		return wording.Say("standing.putTwoBackRowsOnSteps")
	case RemedySplit:
		return wording.Say("standing.takeItInTwoPhotographsOr")
	case RemedyAbove:
		if !s.Has(TooWide) && !s.Has(TooDeep) {
			return wording.Say("standing.getUpHigher")
		}
		return wording.Say("standing.takeItFromAbove")
	}
	return wording.Message{}
}
