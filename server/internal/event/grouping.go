package event

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
	Worth       *float64 // beside others of its priority when time is short; nil means by its people
	Guests      int      // in it beside the people listed
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
