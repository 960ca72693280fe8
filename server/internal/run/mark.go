package run

import (
	"fmt"
	"time"

	"kinorder.example/server/internal/event"
)

// Kind says what a mark is about.
type Kind int

// The kinds. The zero value is not a kind: CheckMarks refuses it.
const (
	NoKind   Kind = iota
	Started       // a grouping is being called
	Taken         // a grouping is finished
	PutBack       // a grouping is open again: it was not taken after all, or is wanted again
	Skipped       // a grouping is left for later
	Absent        // a person cannot be found
	Arrived       // a person is there
	Gone          // a person has left for good
	Late          // a person comes at a time
	Added         // a grouping is wanted that was not on the list
	Without       // a grouping may be taken without some of its people
	Noted         // a note, for the planner and the lead only
	Undone        // an earlier mark does not count
	Reset         // a block is moved, made longer or shorter, closed or opened again
	Leaving       // a person has to leave at a time
	Joined        // a person is in photographs besides those of the list, and may not be on the list at all
	LeaveOut      // a grouping is not wanted any more
	Changed       // a grouping is taken in another block, or wanted more or less
)

// words are how kinds are stored. They never change.
var words = map[Kind]string{
	Started: "started", Taken: "taken", PutBack: "put_back", Skipped: "skipped", Absent: "absent", Arrived: "arrived",
	Gone: "gone", Late: "late", Added: "added", Without: "without", Noted: "note", Undone: "undone",
	Reset: "block", Leaving: "leaving", Joined: "joined", LeaveOut: "left_out", Changed: "changed",
}

// MarshalText writes the word of a kind.
func (k Kind) MarshalText() ([]byte, error) {
	word, ok := words[k]
	if !ok {
		return nil, fmt.Errorf("run: no kind %d", int(k))
	}
	return []byte(word), nil
}

// UnmarshalText reads the word of a kind.
func (k *Kind) UnmarshalText(text []byte) error {
	for kind, word := range words {
		if word == string(text) {
			*k = kind
			return nil
		}
	}
	return fmt.Errorf("run: no kind of mark %q", text)
}

// Mark is one thing that happened. Which fields count depends on its kind.
type Mark struct {
	// ID is a UUID of version 7 made by the device, so that sending a mark twice does no harm.
	ID   string
	Kind Kind
	// Sequence is its place among the changes of its run. 0 on a device.
	Sequence int64 `json:"-"`
	// At is when it happened, by the server's clock, in whole milliseconds.
	At time.Time
	// DeviceAt is the same by the clock of the device.
	DeviceAt time.Time
	// Received is when the server first had it. Zero on a device that has not sent it yet.
	Received time.Time
	// By is the id of the link with which it was made, or "studio".
	By string `json:",omitempty"`
	// Grouping is the id of a photograph: for Started, Taken, PutBack, Skipped, LeaveOut, Changed and Without.
	Grouping string `json:",omitempty"`
	// Block is where it was started or taken; empty means where the sheet has it. For Reset it is the block
	// itself, with when it opens and is planned to end, zero for when the event has it, whether it is closed, and its
	// place, empty for that of the event. For Changed it is where the grouping is to be taken, empty for where the list has
	// it, and Priority is how much it is wanted, nil for as the list has it.
	Block         string          `json:",omitempty"`
	Opens, Closes time.Time       `json:",omitzero"`
	Closed        bool            `json:",omitempty"`
	Place         string          `json:",omitempty"`
	Priority      *event.Priority `json:",omitempty"`
	// Person is for Absent, Arrived, Gone, Late, Leaving and Joined. For Joined, Name is the name of
	// somebody who is not on the list, and Groupings are all photographs that the person is added to; a mark with
	// neither takes it back. For Arrived of somebody whom the event calls absent, Groupings are those they belong in.
	Person    string   `json:",omitempty"`
	Name      string   `json:",omitempty"`
	Groupings []string `json:",omitempty"`
	// Until is when the person comes, for Late, or has to leave, for Leaving. For Absent the desk notes when they were seen
	// again before it had the mark.
	Until time.Time `json:",omitzero"`
	// Grouped is what is added, for Added.
	Grouped *event.Grouping `json:",omitempty"`
	// People are left out of the grouping, for Without; an empty list takes an earlier one back.
	People []string `json:",omitempty"`
	// Note is for Noted. It is never shown to readers and never logged.
	Note string `json:",omitempty"`
	// Undoes is the id of the mark that does not count any more, for Undone.
	Undoes string `json:",omitempty"`
}

// bring puts somebody whom the event calls absent back into their photographs when they do arrive.
func (m *Mark) bring(e event.Event) {
	if m.Kind == Arrived {
		m.Groupings = Invited(e)[m.Person]
	}
}

// Ref names a run.
type Ref struct{ Event, Run string }

// before sorts marks by the time at which they happened, ties by id.
func before(a, b Mark) int {
	if c := a.At.Compare(b.At); c != 0 {
		return c
	}
	switch {
	case a.ID < b.ID:
		return -1
	case a.ID > b.ID:
		return 1
	}
	return 0
}
