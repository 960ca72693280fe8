package event

import (
	"slices"
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
	// Overrun is by how much the block ends after it is planned to; 0 when it does not.
	Overrun time.Duration
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

// SheetPlace is where an entry stands on a sheet: the block, and its place in the block, from 0.
type SheetPlace struct{ Block, Entry int }

// Entry returns the entry at a place.
func (s *CallSheet) Entry(at SheetPlace) *SheetEntry { return &s.Blocks[at.Block].Entries[at.Entry] }

// Over returns how long after the start of its block an entry is over.
func (e *SheetEntry) Over() time.Duration { return e.Offset + e.Length }

// Wanted lists who is in an entry, then who is at hand for it.
func (e *SheetEntry) Wanted() []string { return slices.Concat(e.StepIn, e.Stay, e.Near) }

// timed reports whether every block with entries has a clock time.
func (s *CallSheet) timed() bool {
	return !slices.ContainsFunc(s.Blocks, func(b SheetBlock) bool { return b.Start.IsZero() && len(b.Entries) > 0 })
}

// InTime lists the entries of a sheet by when they begin, however the blocks stand on it: two
// photographers may be at work at once. Where a block has no clock time nothing says how the blocks
// lie to each other, and entries are listed as they stand.
func (s *CallSheet) InTime() []SheetPlace {
	var out []SheetPlace
	for i := range s.Blocks {
		for k := range s.Blocks[i].Entries {
			out = append(out, SheetPlace{i, k})
		}
	}
	if s.timed() {
		begins := func(at SheetPlace) time.Time { return s.Blocks[at.Block].Start.Add(s.Entry(at).Offset) }
		slices.SortStableFunc(out, func(x, y SheetPlace) int { return begins(x).Compare(begins(y)) })
	}
	return out
}

// Frees says for everybody after which entry of the day they are free to go: of those that they are in
// or at hand for, the one that is over last. Where blocks have no clock times it is in the block that
// releases them, or else in the last one as they stand. Every sheet and page uses this.
func (s *CallSheet) Frees() map[string]SheetPlace {
	timed, released := s.timed(), map[string]int{}
	for i := range s.Blocks {
		for k := range s.Blocks[i].Entries {
			for _, id := range s.Blocks[i].Entries[k].Released {
				released[id] = i
			}
		}
	}
	later := func(id string, x, y SheetPlace) bool {
		if x.Block == y.Block || timed {
			over := func(at SheetPlace) time.Time { return s.Blocks[at.Block].Start.Add(s.Entry(at).Over()) }
			return !over(x).Before(over(y))
		}
		block, said := released[id]
		return !said || block != y.Block
	}
	out := map[string]SheetPlace{}
	for _, at := range s.InTime() {
		for _, id := range s.Entry(at).Wanted() {
			if before, seen := out[id]; !seen || later(id, at, before) {
				out[id] = at
			}
		}
	}
	return out
}
