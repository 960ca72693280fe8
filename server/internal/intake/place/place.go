// Package place says where in a file something stands that the planner should look at, and what became of its lines.
package place

import "kinorder.example/server/internal/event"

// Problem is something in a file that is wrong or doubtful.
type Problem struct {
	event.Advice
	Line   int // from 1; 0 means the whole file
	Column int // in characters from 1; 0 means the whole line

	// Written is what stands there and is asked about; empty when the question is not about words.
	Written string
	// Candidates are what Written may be meant to be, the closest first: words that can stand in
	// its place.
	Candidates []string
}

// Use says what became of a line.
type Use int

// The uses. There is no other: a line with anything on it is one of them.
const (
	Used     Use = iota // it is in the event, as a person, a grouping or what holds for others
	Asked               // at least one thing on it has to be answered before it can be used in full
	Reported            // nothing on it is in the event, and a Problem says so
	Ruler               // it has no word on it, or it is a comment
)

// Line is what became of one line of a file.
type Line struct {
	Number int // from 1
	Use    Use
	Fields []string // places in the event that it went to, for example "groupings[3]"
	Text   string   // as written; of a row its cells
}
