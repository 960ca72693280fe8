package web

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/web/upload"
	"kinorder.example/server/internal/wording"
)

// draft is all that a planner has written so far. It lives in the form of the page.
type draft struct {
	text string
	day  fields.Day
	// hasDay says that the fields of the day were on the page. Until then they come from the list.
	hasDay bool
	// seen tells what the list said about the day when it was read last.
	seen string
	// room is the memory that reading the list takes from.
	room intake.Room
	// house is what a studio brings from its other events, where the list says nothing of it. Nil is nothing.
	house *house
	// Over is what was decided on the page over what the list says.
	people.Over
}

// house is what stays the same from event to event and has no fields on the page.
type house struct {
	Pace       event.Pace
	Weights    event.Weights
	Kit        event.Kit
	Confidence int
	Fit        event.Fit
}

// furnish puts it into an event that says nothing of it.
func (h *house) furnish(e *event.Event) {
	if h == nil {
		return
	}
	if reflect.ValueOf(e.Pace).IsZero() {
		e.Pace = h.Pace
	}
	if reflect.ValueOf(e.Weights).IsZero() {
		e.Weights = h.Weights
	}
	if reflect.ValueOf(e.Kit).IsZero() {
		e.Kit = h.Kit
	}
	e.Confidence, e.Fit = cmp.Or(e.Confidence, h.Confidence), cmp.Or(e.Fit, h.Fit)
}

// reading is a draft with what it comes to.
type reading struct {
	draft
	event    event.Event
	names    fields.Directory
	problems []intake.Problem // in the order of the list, then those about fields
	lines    []intake.Line    // of a typed list: what became of each
	said     intake.Reading   // what the list alone says
	faults   []fields.Fault
	notices  []wording.Message
	ticked   people.Photo // of a photo that is not on the list
}

// ready says that the event can be planned.
func (r *reading) ready() bool { return r.errors() == 0 && r.text != "" }

// errors counts what has to be fixed.
func (r *reading) errors() int {
	n := len(r.faults)
	for _, p := range r.problems {
		if p.Severity == event.Error {
			n++
		}
	}
	return n
}

// readDraft reads a draft from a form: the list, changed by what was mended beside its lines, and the
// fields. An uploaded file takes the place of the list.
func (s *Server) readDraft(r *request) (draft, []wording.Message, error) {
	p := r.form
	d := draft{text: p.Get("text"), seen: p.Get("seen"), hasDay: p.Has("day"), room: s.options.Memory.Files}
	var notices []wording.Message
	if p.File != nil {
		text, notice, taken, err := upload.Text(r.Context(), p.File, d.room)
		if err != nil {
			return draft{}, nil, err
		}
		if taken {
			d.text = text
		}
		if !notice.Empty() {
			notices = append(notices, notice)
		}
	} else {
		d.text, notices = fields.Mend(d.text, p)
	}
	if d.hasDay {
		d.day = fields.ReadDay(p)
	}
	d.Over = people.Read(p)
	return d, notices, nil
}

// listTime is how long reading a list may take. It takes two seconds of a core at most, so that more says that
// the machine is busy.
const listTime = 20 * time.Second

// listed reads a list alone.
func (d draft) listed(ctx context.Context, text string) (intake.Reading, error) {
	return intake.ReadFile(ctx, []byte(text), intake.Options{Room: d.room, Today: time.Now().UTC()})
}

// read reads the list and puts the fields of the day over what it says.
func (d draft) read(ctx context.Context) (reading, error) {
	r := reading{draft: d}
	ctx, cancel := context.WithTimeoutCause(ctx, listTime, fields.ErrCrowded)
	defer cancel()
	got, err := d.listed(ctx, d.text)
	if err != nil {
		return reading{}, err
	}
	e, problems := got.Event, got.Problems
	r.said = got
	listed := fields.NewDirectory(e)
	said := fields.DayOf(e, listed)
	if !d.hasDay {
		r.day, r.hasDay = said, true
	} else if r.day.Follow(said, d.seen) {
		r.notices = append(r.notices, wording.Say("page.listSaysSomethingNewAboutThe"))
	}
	r.seen = said.Seen()
	d.house.furnish(&e)
	r.event = e
	r.Over, r.faults = d.Apply(&r.event, got.Lines)
	r.names = fields.NewDirectory(r.event).Or(listed)
	r.faults = append(r.faults, r.day.Apply(&r.event, r.names)...)
	r.lines = r.Settle(&r.event, got.Lines)
	got.Lines = r.lines
	if len(r.faults) > 0 || !r.Over.Empty() || fingerprint(r.day) != fingerprint(said) {
		if problems, err = recheck(ctx, e, r.event, got); err != nil {
			return reading{}, err
		}
	}
	r.problems = problems
	return r, nil
}

// recheck brings the problems of a list up to date with an event that was changed since: those that
// no longer hold go, and new ones come.
func recheck(ctx context.Context, before, after event.Event, got intake.Reading) ([]intake.Problem, error) {
	key := func(a event.Advice) string { return a.Code + "\x00" + a.Field + "\x00" + a.Text() }
	was, is := map[string]bool{}, map[string]bool{}
	advice, err := check.Within(ctx, before)
	if err != nil {
		return nil, err
	}
	for _, a := range advice {
		was[key(a)] = true
	}
	checked, err := check.Within(ctx, after)
	if err != nil {
		return nil, err
	}
	for _, a := range checked {
		is[key(a)] = true
	}
	var out []intake.Problem
	for _, p := range got.Problems {
		if k := key(p.Advice); !was[k] || is[k] {
			out = append(out, p)
		}
	}
	if unreadable(before) {
		return out, nil // what the rules say of an empty event follows from that
	}
	for _, a := range checked {
		if !was[key(a)] {
			out = append(out, intake.Problem{Advice: a, Line: lineOf(a.Field, got.Lines)})
		}
	}
	return out, nil
}

// lineOf returns the line of a typed list that a place in the event came from, 0 when there is none.
func lineOf(field string, lines []intake.Line) int {
	for _, l := range lines {
		for _, f := range l.Fields {
			if field == f || strings.HasPrefix(field, f+".") {
				return l.Number
			}
		}
	}
	return 0
}

// unreadable says that nothing of a list could be read.
func unreadable(e event.Event) bool { return len(e.People) == 0 && len(e.Groupings) == 0 }

// fingerprint tells one state of something from another.
func fingerprint(v any) string {
	raw, err := json.Marshal(v)
	if err != nil {
		panic(fmt.Sprintf("web: %T: %v", v, err)) // types of this package, which can be marshalled
	}
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:12])
}

// hidden lists the fields of a draft for a page that does not show them.
func (d draft) hidden() []fields.Hidden {
	out := []fields.Hidden{{Name: "text", Value: d.text}}
	return slices.Concat(out, d.hiddenDay(), d.Over.Hidden())
}

func (d draft) hiddenDay() []fields.Hidden {
	if !d.hasDay {
		return nil
	}
	return slices.Concat([]fields.Hidden{{Name: "day", Value: "1"}, {Name: "seen", Value: d.seen}}, d.day.Hidden())
}
