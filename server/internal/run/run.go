package run

import (
	"time"

	"kinorder.example/server/internal/planning"
)

// Run is one going through of a call sheet.
type Run struct {
	Ref Ref
	// Number rises with every sheet and run of the event, whatever the clock says.
	Number int64
	// Sheet is the id of the sheet it began with, Version that of the event it is about.
	Sheet   string
	Version int64
	Created time.Time
	// Sequence counts its changes.
	Sequence int64
}

// Plan is what is left to do, as it was planned last.
type Plan = planning.Outlook

// Changes are what happened to a run after a sequence.
//
// Invariant: Marks hold every mark between the sequence asked for and that of the Run.
type Changes struct {
	Run   Run
	Marks []Mark
	// LastMark is the sequence of the run's last mark, new or not; 0 when it has none.
	LastMark int64
	// Plan is nil when it has not changed. Planned is the sequence at which it was kept, 0 when there
	// is none yet; Covers is the sequence up to which it heeds the marks.
	Plan            *Plan
	Planned, Covers int64
}
