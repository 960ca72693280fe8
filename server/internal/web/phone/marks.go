package phone

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/weigh"
	"kinorder.example/server/internal/wording"
)

// markJSON is a mark as the page and the server exchange it. Times are milliseconds since 1970 in UTC;
// the page sends those of the device, the server those by its own clock.
type markJSON struct {
	ID       string     `json:"id"`
	Kind     string     `json:"kind"`
	At       int64      `json:"at"`
	Sequence int64      `json:"sequence,omitempty"` // from the server only
	Grouping string     `json:"grouping,omitempty"`
	Block    string     `json:"block,omitempty"`
	Person   string     `json:"person,omitempty"`
	Until    int64      `json:"until,omitempty"`
	Opens    int64      `json:"opens,omitempty"`
	Closes   int64      `json:"closes,omitempty"`
	Closed   bool       `json:"closed,omitempty"`
	Place    string     `json:"place,omitempty"`
	Name     string     `json:"name,omitempty"`
	Joins    []string   `json:"groupings,omitempty"`
	Grouped  *addedJSON `json:"grouped,omitempty"`
	People   []string   `json:"people,omitempty"`
	Note     string     `json:"note,omitempty"`
	Undoes   string     `json:"undoes,omitempty"`
	// By is the link with which it was made. Only the server says so, and not to readers.
	By string `json:"by,omitempty"`
}

// addedJSON is a grouping that is wanted on the spot. Members are people.
type addedJSON struct {
	ID      string   `json:"id"`
	Title   string   `json:"title"`
	Members []string `json:"members"`
	Must    bool     `json:"must,omitempty"`
}

// markList is what a phone sends.
type markList struct {
	// Device is the time on the clock of the device when it sent them, in milliseconds.
	Device int64      `json:"device"`
	Marks  []markJSON `json:"marks"`
}

// maxDecoded is the most bytes that marks come to once they are decoded. As many as one request may bring, with notes,
// come to 2 MiB.
const maxDecoded = 4 << 20

// readMarks reads what a phone sends. Its errors are errForm, errTooLarge and *run.InvalidError, which
// names the faulty marks.
func readMarks(body io.Reader) (time.Time, []run.Mark, error) {
	content, err := io.ReadAll(body)
	if err != nil {
		return time.Time{}, nil, formError(err)
	}
	var list markList
	if _, err := weigh.JSON(content, list, maxDecoded); errors.Is(err, weigh.ErrTooMuch) {
		return time.Time{}, nil, errTooLarge
	}
	d := json.NewDecoder(bytes.NewReader(content))
	d.DisallowUnknownFields()
	if err := d.Decode(&list); err != nil {
		return time.Time{}, nil, formError(err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return time.Time{}, nil, formError(err)
	}
	if len(list.Marks) > run.MaxAtOnce {
		return time.Time{}, nil, &run.InvalidError{Faults: []event.Advice{{
			Code: event.CodeTooMany, Severity: event.Error, Field: "marks",
			Message: wording.Said(fmt.Sprintf("holds %d marks, and %d is the most: send the rest in another call", len(list.Marks), run.MaxAtOnce)),
		}}}
	}
	var faults []event.Advice
	out := make([]run.Mark, 0, len(list.Marks))
	for i, j := range list.Marks {
		m, err := j.mark()
		if err != nil {
			faults = append(faults, event.Advice{
				Code: event.CodeUnknownValue, Severity: event.Error, Field: fmt.Sprintf("marks[%d].kind", i), Message: wording.Said("is not a kind of mark"),
			})
		}
		out = append(out, m)
	}
	if len(faults) > 0 {
		return time.Time{}, nil, &run.InvalidError{Faults: faults}
	}
	return event.Instant(list.Device), out, nil
}

// formError tells what is too large from what cannot be read.
func formError(err error) error {
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return errTooLarge
	case errors.Is(err, os.ErrDeadlineExceeded):
		return errSlow
	}
	return errForm
}

// mark translates; what its ids refer to is for package run to judge.
func (j markJSON) mark() (run.Mark, error) {
	m := run.Mark{
		ID: j.ID, At: event.Instant(j.At), Grouping: j.Grouping, Block: j.Block, Person: j.Person, Until: event.Instant(j.Until),
		People: j.People, Note: j.Note, Undoes: j.Undoes, Opens: event.Instant(j.Opens), Closes: event.Instant(j.Closes), Closed: j.Closed, Place: j.Place,
		Name: j.Name, Groupings: j.Joins,
	}
	if g := j.Grouped; g != nil {
		m.Grouped = &event.Grouping{ID: g.ID, Title: g.Title, Members: g.Members}
		if g.Must {
			m.Grouped.Priority = event.Must
		}
	}
	return m, m.Kind.UnmarshalText([]byte(j.Kind))
}

// markView is the other way.
func markView(m run.Mark) markJSON {
	kind, err := m.Kind.MarshalText()
	if err != nil {
		kind = nil // a mark without a kind counts for nothing, here as there
	}
	j := markJSON{
		ID: m.ID, Kind: string(kind), At: event.Millis(m.At), Sequence: m.Sequence, Grouping: m.Grouping, Block: m.Block, Person: m.Person, Until: event.Millis(m.Until),
		People: m.People, Note: m.Note, Undoes: m.Undoes, Opens: event.Millis(m.Opens), Closes: event.Millis(m.Closes), Closed: m.Closed, Place: m.Place,
		Name: m.Name, Joins: m.Groupings,
		By: m.By,
	}
	if g := m.Grouped; g != nil {
		j.Grouped = &addedJSON{ID: g.ID, Title: g.Title, Members: g.Members, Must: g.Priority == event.Must}
	}
	return j
}

// kept is the answer when marks are kept for good.
type kept struct {
	Sequence int64 `json:"sequence"`
}

// marks takes what a phone ticked. When it answers without error the marks are on disk.
func (p *Page) marks(_ http.ResponseWriter, r *request) (any, error) {
	if err := r.allowMarks(); err != nil && !r.grant.Reads() {
		return nil, err
	}
	device, marks, err := readMarks(r.Body)
	if err != nil {
		return nil, err
	}
	if r.grant.Reads() && slices.ContainsFunc(marks, func(m run.Mark) bool { return m.Kind != run.Arrived && m.Kind != run.Leaving }) {
		return nil, errForbidden // whoever fetches people says who is here and who leaves, and nothing else
	}
	ref, err := r.run()
	if err != nil {
		return nil, err
	}
	sequence, err := p.o.Desk.Mark(r.Context(), ref, r.grant.By(), device, marks)
	if err != nil {
		return nil, err
	}
	return kept{sequence}, nil
}
