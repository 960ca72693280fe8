// Package event holds the domain of kinorder: the people of a day, the group photographs they are
// wanted for, the call sheet that comes out, and the rules an event must obey. It knows no
// transport, file format or storage, and it does not plan.
package event

import (
	"time"

	"kinorder.example/server/internal/wording"
)

// Event is one day as the planner describes it. Until Check has found no Error, nothing about
// it can be relied on: ids may be missing or double and may refer to nothing.
type Event struct {
	Title     string
	Date      string // local date, YYYY-MM-DD
	TimeZone  string // IANA name; empty means UTC
	Sides     []Side
	People    []Person
	Circles   []Circle
	Groupings []Grouping // in the order in which they were asked for
	Blocks    []Block
	Rules     []Rule
	Walks     []Walk
	Pace      Pace
	Weights   Weights
	Emphasis  Emphasis
	// Confidence is the share of days in percent on which safe times are kept; 0 means 80.
	Confidence int
	Fit        Fit
	// Latitude and Longitude are where the day is, in degrees north and east; nil means not known.
	Latitude, Longitude *float64
	Kit                 Kit
}

// Sureness returns the confidence, 80 percent where the event gives none.
func (e Event) Sureness() int {
	if e.Confidence == 0 {
		return usualConfidence
	}
	return e.Confidence
}

// usualConfidence is common practice, no source.
const usualConfidence = 80

// Side is one of the families or groups of an event.
type Side struct {
	ID    string
	Label string
}

// Person is one guest.
type Person struct {
	ID            string
	Name          string   // never split
	Nicknames     []string // what lists may call the person too
	SayAs         string
	Relation      string
	Side          string // id of a side, or empty
	AgeBand       AgeBand
	HeightCM      int // 0 means unknown
	Needs         []Need
	PresentFrom   string // HH:MM or RFC 3339; empty means from the start
	PresentUntil  string // HH:MM or RFC 3339; empty means to the end
	Presence      []Span // when there are several; each lies between the two above
	Interpreter   string // id of the person who interprets, or empty
	Absent        bool
	ReleaseWeight *int // nil means by age band and needs
	PrivateNote   string
}

// Span is a stretch of time in which a person is there.
type Span struct {
	From  string // HH:MM or RFC 3339; empty means from the start
	Until string // HH:MM or RFC 3339; empty means to the end
}

// AgeBand is as much as the order needs to know about age.
type AgeBand int

// The age bands. The zero value is an adult.
const (
	Adult AgeBand = iota
	Elder
	Child
	Infant
)

// Need is something to be ready for.
type Need int

// The needs. The zero value is not a need: Check refuses it.
const (
	NoNeed Need = iota
	Seat
	Wheelchair
	StepFree
	Interpreter
)

// Circle is a named set of people and circles.
type Circle struct {
	ID      string
	Title   string
	Members []string // ids of people or circles
	Leader  string   // id of a person, or empty
}

// Grouping is one wanted group photograph, or with EachOf one for each person of a circle.
type Grouping struct {
	ID          string
	Title       string
	Members     []string // ids of people or circles
	Without     []string // ids of people or circles
	EachOf      string   // id of a circle, or empty
	Priority    Priority
	Blocks      []string // ids of blocks; empty means any
	After       []string // ids of groupings
	NotBefore   string   // HH:MM or RFC 3339
	NotAfter    string   // HH:MM or RFC 3339
	Confirms    []string // ids of rules that the grouping breaks on purpose
	Pin         Pin
	Minutes     *float64 // nil means by the minutes model
	Frames      int      // 0 means by the number of people
	PrivateNote string
}

// Priority says what goes first when time is short.
type Priority int

// The priorities. The zero value is Should.
const (
	Should Priority = iota
	Must
	Nice
)

// Pin holds a grouping at an end of its block.
type Pin int

// The pins. The zero value is anywhere.
const (
	PinNone Pin = iota
	PinFirst
	PinLast
)

// Block is a stretch of time at a place with a photographer.
type Block struct {
	ID           string
	Title        string
	Place        string
	Opens        string // HH:MM or RFC 3339
	Closes       string // HH:MM or RFC 3339; empty means open-ended
	Photographer string
	Capacity     int // 0 means any number
	StepFree     bool
	Light        Light
	// Latitude and Longitude are where the block is; nil means where the event is.
	Latitude, Longitude *float64
	Facing              string // where the camera looks, for Bearing; empty means not known
	Indoors             bool
	StandBackCM         int // how far the camera can stand back from the front row; 0 means as far as is wanted
	Space               Space
}

// Light says how much light there is for group photographs.
type Light int

// The lights. The zero value is good.
const (
	GoodLight Light = iota
	DimLight
)

// Rule says who is kept apart or who goes before whom. Just one of its kinds is given; Check
// refuses none and several.
type Rule struct {
	ID          string // needed where a grouping confirms the rule
	Apart       *Apart
	Turns       *Turns
	Seniority   *Seniority
	PrivateNote string
}

// Turns says that all groupings of one entry are over before any of another begins. Which goes
// first is left to the plan. A grouping with people of several entries stands outside the rule.
type Turns struct {
	People []string // ids of people or circles
}

// Seniority says who goes first in a block: a grouping that holds somebody of an earlier entry comes
// before one that holds only people of later entries.
type Seniority struct {
	People []string // ids of people or circles, the most senior first
}

// Walk says how long it takes to walk between two places, either way.
type Walk struct {
	From    string // the place of a block
	To      string // the place of a block
	Minutes int
}

// Apart names people to be kept apart.
type Apart struct {
	People []string // ids of people or circles
	Scope  ApartScope
	Until  string // HH:MM or RFC 3339
}

// ApartScope says where people are kept apart.
type ApartScope int

// The scopes. The zero value is Frame.
const (
	Frame ApartScope = iota
	Neighbours
	InBlock
)

// Emphasis picks what the order favours.
type Emphasis int

// The emphases. The zero value is Balanced.
const (
	Balanced Emphasis = iota
	FewestSteps
	EarlyRelease
)

// Fit says what has to be inside a block for its groupings to fit.
type Fit int

// The fits. The zero value is Likely.
const (
	Likely Fit = iota
	Safe
)

// Pace holds the seconds of the minutes model that differ from the defaults; nil means default.
type Pace struct {
	SettleSeconds     *int
	PerStepInSeconds  *int
	PerStepOutSeconds *int
	FreshSeconds      *int
	Arrange           []ArrangePoint // empty means the default table
	PerFrameSeconds   *int
	ElderSeconds      *int
	ChildSeconds      *int
	InfantSeconds     *int
	WheelchairSeconds *int
	Frames            []FramesPoint // empty means as many as blinks ask for
	FramesConfidence  *int          // percent
	SlotSpreadPercent *int          // of the time of one grouping
	DaySpreadPercent  *int          // of a whole day
}

// ArrangePoint says how long it takes to place a number of newcomers.
type ArrangePoint struct{ Newcomers, Seconds int }

// FramesPoint says how many frames are taken from a number of people upwards.
type FramesPoint struct{ People, Frames int }

// Weights holds the weights of the cost that differ from the defaults; nil means default.
type Weights struct {
	Step          *int
	ReleaseAdult  *int
	ReleaseChild  *int
	ReleaseInfant *int
	ReleaseElder  *int
	ReleaseNeed   *int
	Idle          *int
}

// Severity says how much a problem or an advice matters.
type Severity int

// The severities, from least to most.
const (
	Info Severity = iota
	Warning
	Error
)

// Advice is something the planner should know or has to mend. Its text never holds a private note
// and names people only as the event's own readers may see them.
type Advice struct {
	Code     string // stable, in capitals
	Severity Severity
	Text     string          // in English
	Message  wording.Message // the same, for every language
	Subjects []string        // ids
	Field    string          // place in the event, for example "groupings[3].members[1]"; may be empty
}

// CallSheet is the ordered result. It holds ids, never a private note.
type CallSheet struct {
	Blocks  []SheetBlock
	LeftOut []LeftOut
	People  []PersonTimes // in the order of the event
	Totals  Totals
	Advice  []Advice
}

// SheetBlock is the order of one block.
type SheetBlock struct {
	Block   string    // id; empty when the event has no blocks
	Start   time.Time // zero when the block has no clock time
	Length  time.Duration
	StepIns int
	Entries []SheetEntry
	// SafeLength is from Start to the finish that is kept on as many days as the event's confidence
	// says; 0 when it is not known.
	SafeLength time.Duration
	// Light is nil indoors, without a clock time, and where place or time zone are not known.
	Light *BlockLight
}

// SheetEntry is one grouping in its place.
type SheetEntry struct {
	Grouping string
	Title    string
	Offset   time.Duration // from the start of the block
	Length   time.Duration // changeover included
	Wait     time.Duration // before Offset everybody waits this long for people or for a time
	StepIn   []string      // ids of people, as the next four
	StepOut  []string
	Stay     []string
	Released []string
	Standby  []string
	Near     []string // people who are at hand without being in the frame, such as an interpreter
	Frames   int
	// SafeOffset is from the start of the block to the start that is kept on as many days as the
	// event's confidence says; 0 when it is not known.
	SafeOffset time.Duration
	// Standing is where everybody is; nil unless it was asked for.
	Standing *Standing
	// BlinksLikely says that no sensible number of frames makes one without a blink likely.
	BlinksLikely bool
	Lens         *EntryLens // nil without a kit
}

// LeftOut is a grouping that is not taken, and why.
type LeftOut struct {
	Grouping string
	Reason   string          // in English
	Why      wording.Message // the same, for every language
	Priority Priority        // of the grouping; one that must be taken is what a planner has to hear of
}

// PersonTimes says when one person is needed.
type PersonTimes struct {
	Person    string
	Call      time.Time // zero when the block has no clock time
	Release   time.Time
	TimesIn   int
	Idle      time.Duration
	Groupings int
}

// Totals sums up a sheet.
type Totals struct {
	Groupings        int
	StepIns          int
	RequestedStepIns int
	FloorStepIns     int
	FloorReached     bool // some order is known that needs just FloorStepIns
	Length           time.Duration
	Cost             int64
	Bound            int64
	Proven           bool
	SolveTime        time.Duration
}

// Gap returns (Cost - Bound) / Cost, and 0 when the order is proven or costs nothing.
func (t Totals) Gap() float64 {
	if t.Proven || t.Cost <= 0 {
		return 0
	}
	return float64(t.Cost-t.Bound) / float64(t.Cost)
}
