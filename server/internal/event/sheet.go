package event

import (
	"time"

	"kinorder.example/server/internal/wording"
)

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
	Why      wording.Message
	Priority Priority // of the grouping; one that must be taken is what a planner has to hear of
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
