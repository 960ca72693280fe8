package run

import (
	"time"

	"kinorder.example/server/internal/planning"
)

// Run is one going through of a call sheet.
type Run struct {
	Ref Ref
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
type Changes struct {
	Run   Run
	Marks []Mark
	// LastMark is the sequence of the last of Marks; 0 when there are none.
	LastMark int64
	// Plan is nil when it has not changed. Covers is the sequence up to which it heeds the marks.
	Plan   *Plan
	Covers int64
}
