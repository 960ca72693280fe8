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
	"kinorder.example/server/internal/web/phone/wire"
	"kinorder.example/server/internal/weigh"
	"kinorder.example/server/internal/wording"
)

// markList is what a phone sends.
type markList struct {
	// Device is the time on the clock of the device when it sent them, in milliseconds.
	Device int64       `json:"device"`
	Marks  []wire.Mark `json:"marks"`
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
		if j.Grouped != nil {
			j.Grouped.Whole = nil // the page says no more than it asks for
		}
		m, err := j.Mark()
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

// kept is the answer when marks are kept for good.
type kept struct {
	Sequence int64 `json:"sequence"`
}

// mayTell is what whoever fetches people says: who is here, who leaves and who cannot be found.
var mayTell = []run.Kind{run.Arrived, run.Leaving, run.Absent}

// marks takes what a phone ticked. When it answers without error the marks are on disk.
func (p *Page) marks(_ http.ResponseWriter, r *request) (any, error) {
	if err := r.allowMarks(); err != nil && !r.grant.Reads() {
		return nil, err
	}
	device, marks, err := readMarks(r.Body)
	if err != nil {
		return nil, err
	}
	if r.grant.Reads() && slices.ContainsFunc(marks, func(m run.Mark) bool { return !slices.Contains(mayTell, m.Kind) }) {
		return nil, errForbidden
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
