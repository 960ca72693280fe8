package event

import (
	"kinorder.example/server/internal/wording"
)

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

// Ages from which somebody is an elder, and up to which a child and an infant. Common practice, no source.
const (
	elderFrom   = 70
	childUntil  = 12
	infantUntil = 1
)

// AgeBandAt returns the band of an age in whole years.
func AgeBandAt(years int) AgeBand {
	switch {
	case years >= elderFrom:
		return Elder
	case years <= infantUntil:
		return Infant
	case years <= childUntil:
		return Child
	}
	return Adult
}

// Need is something to be ready for.
type Need int

// The needs. The zero value is not a need: check.Event refuses it.
const (
	NoNeed Need = iota
	Seat
	Wheelchair
	StepFree
	Interpreter
)

// Named writes a person for a sentence.
func (p Person) Named() wording.Message { return wording.Say("%s", Quoted(p.Name)) }
