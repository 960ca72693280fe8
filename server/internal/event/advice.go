package event

import (
	"kinorder.example/server/internal/wording"
)

// Severity says how much a problem or an advice matters.
type Severity int

// The severities, from least to most.
const (
	Info Severity = iota
	Warning
	Error
)

// Advice is something the planner should know or has to fix. Its text never holds a private note
// and names people only as the event's own readers may see them.
type Advice struct {
	Code     string // stable, in capitals
	Severity Severity
	Message  wording.Message
	Subjects []string // ids
	Field    string   // place in the event, for example "groupings[3].members[1]"; may be empty
}

// Tell makes an advice.
func Tell(s Severity, code, field string, subjects []string, m wording.Message) Advice {
	return Advice{Code: code, Severity: s, Message: m, Subjects: subjects, Field: field}
}

// Text returns what the advice says in English.
func (a Advice) Text() string { return a.Message.String() }
