// Package wire has the forms in which the page of the day and whoever plans for it exchange marks and plans, and what
// plans on the phone itself while there is no signal (Core). Times are milliseconds since 1970 in UTC. It knows neither
// browsers nor servers.
package wire

import (
	"reflect"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
)

// Mark is a mark as the page and the server exchange it: the page sends times of the device, the server those by its own
// clock.
type Mark struct {
	ID       string   `json:"id"`
	Kind     string   `json:"kind"`
	At       int64    `json:"at"`
	Sequence int64    `json:"sequence,omitempty"` // from the server only
	Grouping string   `json:"grouping,omitempty"`
	Block    string   `json:"block,omitempty"`
	Person   string   `json:"person,omitempty"`
	Until    int64    `json:"until,omitempty"`
	Opens    int64    `json:"opens,omitempty"`
	Closes   int64    `json:"closes,omitempty"`
	Closed   bool     `json:"closed,omitempty"`
	Place    string   `json:"place,omitempty"`
	Priority string   `json:"priority,omitempty"` // empty for as the list has it
	Name     string   `json:"name,omitempty"`
	Joins    []string `json:"groupings,omitempty"`
	Grouped  *Added   `json:"grouped,omitempty"`
	People   []string `json:"people,omitempty"`
	Note     string   `json:"note,omitempty"`
	Undoes   string   `json:"undoes,omitempty"`
	// By is the link with which it was made. Only the server says so, and not to readers.
	By string `json:"by,omitempty"`
}

// priorities are the words for them, by their numbers.
var priorities = []string{event.Should: "should", event.Must: "must", event.Nice: "nice"}

// Added is a grouping that is wanted on the spot. Members are people.
type Added struct {
	ID      string   `json:"id"`
	Title   string   `json:"title"`
	Members []string `json:"members"`
	Must    bool     `json:"must,omitempty"`
	// Whole is what the server has of it where that is more: calls can say more than the page.
	Whole *event.Grouping `json:"whole,omitempty"`
}

func (g Added) grouping() *event.Grouping {
	if g.Whole != nil {
		return g.Whole
	}
	out := &event.Grouping{ID: g.ID, Title: g.Title, Members: g.Members}
	if g.Must {
		out.Priority = event.Must
	}
	return out
}

// Mark translates; what its ids refer to is for package run to judge.
func (j Mark) Mark() (run.Mark, error) {
	m := run.Mark{
		ID: j.ID, At: event.Instant(j.At), Grouping: j.Grouping, Block: j.Block, Person: j.Person, Until: event.Instant(j.Until),
		People: j.People, Note: j.Note, Undoes: j.Undoes, Opens: event.Instant(j.Opens), Closes: event.Instant(j.Closes), Closed: j.Closed, Place: j.Place,
		Name: j.Name, Groupings: j.Joins,
	}
	if g := j.Grouped; g != nil {
		m.Grouped = g.grouping()
	}
	if at := slices.Index(priorities, j.Priority); at >= 0 {
		m.Priority = new(event.Priority(at))
	}
	return m, m.Kind.UnmarshalText([]byte(j.Kind))
}

// MarkOf is the other way.
func MarkOf(m run.Mark) Mark {
	kind, err := m.Kind.MarshalText()
	if err != nil {
		kind = nil // a mark without a kind counts for nothing, here as there
	}
	j := Mark{
		ID: m.ID, Kind: string(kind), At: event.Millis(m.At), Sequence: m.Sequence, Grouping: m.Grouping, Block: m.Block, Person: m.Person, Until: event.Millis(m.Until),
		People: m.People, Note: m.Note, Undoes: m.Undoes, Opens: event.Millis(m.Opens), Closes: event.Millis(m.Closes), Closed: m.Closed, Place: m.Place,
		Name: m.Name, Joins: m.Groupings,
		By: m.By,
	}
	if m.Priority != nil {
		j.Priority = priorities[*m.Priority]
	}
	if g := m.Grouped; g != nil {
		j.Grouped = &Added{ID: g.ID, Title: g.Title, Members: g.Members, Must: g.Priority == event.Must}
		if !reflect.DeepEqual(j.Grouped.grouping(), g) {
			j.Grouped.Whole = g
		}
	}
	return j
}
