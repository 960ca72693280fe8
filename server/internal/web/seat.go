package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/wording"
)

// seat is where a page is among what is kept: nowhere, at a new event, or at one that has an address.
type seat struct {
	// Signed says that somebody is signed in, Studio that all events are theirs.
	Signed, Studio bool
	// Root is what the addresses of the event begin with; empty where nothing is kept. Version is the one shown.
	Root    string
	Version int64
	Kept    bool // it has been kept before
	// Aside is the key of what was written while somebody else changed the event, and waits for a choice.
	Aside string
	// Undo and Redo say that there is a step to take back, and one that was taken back. Planned says that there is a
	// plan of what is written, Saved when it was saved.
	Undo, Redo, Planned bool
	Saved               string
	// Closing says when the list closes, in words; Shut that it is closed for the visitor.
	Closing string
	Shut    bool
	// PhonesShut says that phones of a running day do not get in, and that the visitor may let them.
	PhonesShut bool
	// Wishes is how many wishes of families nobody has answered.
	Wishes int
}

// at is the address of a page, where it is kept and where not.
func (s seat) at(else_, kept string) string {
	if s.Root == "" {
		return else_
	}
	return s.Root + kept
}

// seatOf is the seat of a page of some work.
func seatOf(c *wording.Catalogue, v kept.Visitor, w kept.Work) seat {
	s := seat{Signed: true, Studio: v.Studio, Root: newRoot, Planned: w.Planned}
	if w.ID != "" {
		s.Root, s.Version, s.Kept, s.Undo, s.Redo = eventRoot+w.ID, w.Version, true, w.Back > 0, w.Forth > 0
		s.Saved = c.Say("page.savedAt", c.Clock(w.At.Local()))
	}
	return s
}

const (
	newRoot   = "/new"
	eventRoot = "/events/"
)

// keptDraft is all that a planner wrote and decided, as it is kept.
type keptDraft struct {
	Text   string
	Seen   string           `json:",omitempty"`
	HasDay bool             `json:",omitempty"`
	Day    fields.Day       `json:",omitzero"`
	Hand   *handState       `json:",omitempty"`
	Sheet  *event.CallSheet `json:",omitempty"`
	House  *house           `json:",omitempty"`
	people.Over
}

// draftIn reads what is kept. An event that came in another way is written out, to be gone on with.
func draftIn(w kept.Work) keptDraft {
	var d keptDraft
	if w.Draft == "" || json.Unmarshal([]byte(w.Draft), &d) != nil {
		if w.ID == "" {
			return keptDraft{}
		}
		return keptDraft{Text: string(yamlOf(w.Event))}
	}
	return d
}

func (d keptDraft) encoded() (string, error) {
	raw, err := json.Marshal(d)
	return string(raw), err
}

// empty says that nothing was written yet.
func (d keptDraft) empty() bool { return strings.TrimSpace(d.Text) == "" }

// under puts what is kept under what a form says. What a page does not show is not in its form.
func (d keptDraft) under(p fields.Posted) (fields.Posted, error) {
	values := url.Values{}
	under := draft{text: d.Text, seen: d.Seen, hasDay: d.HasDay, day: d.Day, Over: d.Over}.hidden()
	if p.Has("day") {
		under = under[:1] // the text: all of the day was on the page, and a box that is not ticked is not sent
	}
	if d.Hand != nil && d.Sheet != nil {
		plan, err := hiddenPlan(*d.Hand, *d.Sheet)
		if err != nil {
			return p, err
		}
		under = append(under, plan...)
	}
	for _, f := range under {
		values.Set(f.Name, f.Value)
	}
	for name, list := range p.Values {
		if name != "hand" && name != "sheet" {
			values[name] = list
		}
	}
	return fields.Posted{Values: values, File: p.File, Bytes: p.Bytes}, nil
}

// sit brings what the address of a request names: the newest version, or the one that its form was made from.
func (s *Server) sit(r *request) error {
	var err error
	if id := r.PathValue("id"); id != "" {
		if r.work, err = s.options.Desk.Work(r.Context(), r.visitor, id, 0); err != nil {
			return err
		}
	}
	s.seated(r)
	if r.work.ID == "" {
		return nil
	}
	wishes, err := s.options.Desk.Wishes(r.Context(), r.visitor, r.work.ID)
	for _, w := range wishes {
		if !w.Taken && !w.Declined {
			r.seat.Wishes++
		}
	}
	return err
}

// seated puts a request at what its address names.
func (s *Server) seated(r *request) {
	r.seat = seatOf(r.words, r.visitor, r.work)
	r.seat.PhonesShut = kept.PhonesShut(s.options.Network, r.visitor)
	r.seat.Closing, r.seat.Shut = s.closingOf(r.words, r.work.Closes, r.work.Event.TimeZone), s.shut(r)
}

// made is the version that the form of a request was made from: what its page did not show is of that one.
func (s *Server) made(r *request) (kept.Work, error) {
	of, _ := strconv.ParseInt(firstOf(r.form.Line("of"), r.form.Line("version")), 10, 64)
	if of == 0 || of == r.work.Version {
		return r.work, nil
	}
	w, err := s.options.Desk.Work(r.Context(), r.visitor, r.work.ID, of)
	if errors.Is(err, kept.ErrGone) {
		return r.work, nil
	}
	return w, err
}

// signed has somebody signed in who plans.
func (s *Server) signed(r *request) (err error) {
	if r.visitor, err = s.visitor(r); err == nil && (r.visitor.Wishes != "" || r.visitor.Couple != "") {
		return kept.ErrNotYours
	}
	return err
}

// home is the first page of a visitor.
func home(v kept.Visitor) string {
	switch {
	case v.Wishes != "":
		return wishesRoot
	case v.Couple != "":
		return coupleRoot
	case v.Studio:
		return "/"
	}
	return eventRoot + v.Event
}

// shown answers the address of a page of what is kept.
func (s *Server) shown(name string, a answer) http.Handler {
	return s.page(name, func(r *request) (*response, error) {
		if err := s.signed(r); err != nil {
			return nil, err
		}
		leave, ok := s.places.Take(gate.Share{Of: "from " + r.from(), Most: mostOfOne}, gate.Share{Of: "answered", Most: mostAtOnce})
		if !ok {
			return nil, fields.ErrCrowded
		}
		defer leave()
		if err := s.sit(r); err != nil {
			return nil, err
		}
		give, err := s.options.Memory.Requests.Take(r.Context(), int64(len(r.work.Draft))*perPlanned)
		if err != nil {
			return nil, err
		}
		defer give()
		return a(r)
	})
}

// changed answers a form of what is kept; keptDraft is that of the version that the form was made from.
func (s *Server) changed(name string, a func(*request, keptDraft) (*response, error)) http.Handler {
	return s.form(name, func(r *request) (*response, error) {
		if err := s.sit(r); err != nil {
			return nil, err
		}
		of, err := s.made(r)
		if err != nil {
			return nil, err
		}
		d := draftIn(of)
		r.sent = r.form
		if r.form, err = d.under(r.form); err != nil {
			return nil, err
		}
		give, err := s.lend(r.Context(), r.form)
		if err != nil {
			return nil, err
		}
		defer give()
		return a(r, d)
	}, s.signed)
}

// typing is the step of text that is kept while it is typed; such steps in a row are one.
const (
	typing   = "typing"
	typedFor = 10 * time.Minute
)

// workOf is the version that what was written would make.
func workOf(now kept.Work, what string, d keptDraft, e event.Event) (kept.Work, error) {
	raw, err := d.encoded()
	planned := d.Hand != nil && d.Hand.madeOf == fingerprintOf(e)
	if planned {
		e = d.Hand.in(e, *d.Sheet)
	}
	return kept.Work{ID: now.ID, Version: now.Version, What: what, Label: labelOf(e, d.Text), Back: now.Version, Planned: planned, Event: e, Draft: raw}, err
}

// keep keeps what was written as a step. What is there already is no step. ErrClash when somebody else changed it.
func (s *Server) keep(r *request, what string, d keptDraft, e event.Event) error {
	now := r.work
	next, err := workOf(now, what, d, e)
	if err != nil {
		return err
	}
	if next.Draft == now.Draft && now.ID != "" {
		return nil
	}
	switch {
	case now.ID == "":
		next.Back = 0
		r.work, err = s.options.Desk.Begin(r.Context(), r.visitor, next)
	case !r.seat.Shut && r.form.Line("version") != strconv.FormatInt(now.Version, 10):
		return kept.ErrClash
	default:
		was := now
		if word, _ := stepOf(now.What); now.Mine && word == typing && what == typing && s.options.Now().Sub(now.At) < typedFor {
			next.Instead, next.Back = true, now.Back
			if was, err = s.options.Desk.Work(r.Context(), r.visitor, now.ID, now.Back); err != nil {
				was = now // it is too old to be kept
			}
		}
		if _, said := stepOf(what); said == "" {
			next.What += stepMark + changesOf(r.words, draftIn(was), d, e.Sides)
		}
		r.work, err = s.commit(r, next)
	}
	if err == nil {
		s.seated(r)
	}
	return err
}

// labelOf is what to call an event without a title: those whom it is about, else how its list begins.
func labelOf(e event.Event, text string) string {
	var names []string
	about := e.Honour
	for _, c := range e.Circles {
		if c.ID == "couple" && len(about) == 0 {
			about = c.Members
		}
	}
	for _, p := range e.People {
		if slices.Contains(about, p.ID) && p.Name != "" {
			names = append(names, p.Name)
		}
	}
	if len(names) > 0 {
		return strings.Join(names, " + ")
	}
	for line := range strings.Lines(text) {
		if !intake.IsTyped(text) {
			break // the head of a table says nothing
		}
		if line = strings.TrimSpace(line); line != "" {
			if r := []rune(line); len(r) > 60 {
				return string(r[:60]) + "…"
			}
			return line
		}
	}
	return ""
}

// told is what a page says once, at the address to which its form led.
type told struct {
	notices       []wording.Message
	said, refused wording.Message
	act           string // the button that was pressed, with what it was for
	stopped       bool
	link          linkMade
	ticked        people.Photo // what was ticked of a photo that is not on the list
}

// lead leads to an address, in the language of the page.
func (s *Server) lead(r *request, path string, t *told) *response {
	path, query, _ := strings.Cut(path, "?")
	q, _ := url.ParseQuery(query) // one of ours
	if lang := firstOf(r.form.Line("lang"), r.URL.Query().Get("lang")); lang != "" {
		q.Set("lang", lang)
	}
	if t != nil {
		q.Set("told", s.told.Put(r.work.ID, s.options.Now(), *t))
	}
	if len(q) > 0 {
		path += "?" + q.Encode()
	}
	return &response{status: http.StatusSeeOther, kind: "text/plain; charset=utf-8", to: path}
}

// planOf is the plan that is kept of what is read; false when there is none, or an old one.
func (d keptDraft) planOf(e event.Event) (handState, event.CallSheet, bool) {
	if d.Hand == nil || d.Sheet == nil || d.Hand.madeOf != fingerprintOf(e) || len(planning.OrdersOf(*d.Sheet)) == 0 {
		return handState{}, event.CallSheet{}, false
	}
	return *d.Hand, *d.Sheet, true
}
