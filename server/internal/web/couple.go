package web

import (
	"errors"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/wording"
)

const (
	// coupleRoot is the address of the couple's page.
	coupleRoot = "/couple"
	// coupleStep is the step of what they changed.
	coupleStep = "couple"
)

// coupleView is the page on which a couple says who its people are and what it would like. It shows no private note, no
// rule of somebody else's, no problem of the list and no link.
type coupleView struct {
	Title, Date string
	Shut        bool
	Notices     []string
	Said        string // of what was pressed
	Photos      []people.PhotoView
	Count       string // of photos and minutes
	Over        bool   // they are more than there is time for
	People      people.View
	Adding      people.Adding
	Names       []string
	Scopes      []fields.Choice
	Apart       []apartView
}

// apartView is a rule of theirs.
type apartView struct{ ID, Text string }

// coupled lets couples in, and nobody else.
func (s *Server) coupled(r *request) (err error) {
	if r.visitor, err = s.visitor(r); err == nil && r.visitor.Couple == "" {
		return kept.ErrNotYours
	}
	return err
}

// ofCouple brings the newest version of their event.
func (s *Server) ofCouple(r *request) (d keptDraft, give func(), err error) {
	if r.work, err = s.options.Desk.Work(r.Context(), r.visitor, r.visitor.Couple, 0); err != nil {
		return d, nil, err
	}
	s.seated(r)
	give, err = s.options.Memory.Requests.Take(r.Context(), int64(len(r.work.Draft))*perPlanned)
	return draftIn(r.work), give, err
}

func (s *Server) openCouple(r *request) (*response, error) {
	if err := s.coupled(r); err != nil {
		return nil, err
	}
	d, give, err := s.ofCouple(r)
	if err != nil {
		return nil, err
	}
	defer give()
	read, err := s.readKept(r, d)
	if err != nil {
		return nil, err
	}
	t := s.told.Of(r.work.ID, r.URL.Query().Get("told"))
	act, at, _ := strings.Cut(t.act, ":")
	for _, what := range []string{"person", "photo"} {
		if which := r.URL.Query().Get(what); which != "" {
			act, at = what, which
		}
	}
	photos := people.ReadOf(r.words, read.event)
	photos.Casting(read.event, act, at)
	v := coupleView{Title: s.titleOf(r), Shut: r.seat.Shut, Notices: people.Rendered(r.words, t.notices), Photos: photos.Photographs,
		People: people.Of(r.words, read.said.Event, read.event, read.Over, at, act).Shared(), Names: fields.NewDirectory(read.event).Order}
	if act == "add-photo" || act == "suggest" { // said where somebody looks who pressed far below
		v.Said, v.Notices = strings.Join(v.Notices, " "), nil
	}
	if v.Adding = people.AddingOf(r.words, read.event, t.ticked, act); read.event.Date != "" {
		v.Date = r.words.LongDate(read.event.Date)
	}
	v.Scopes = fields.ScopeChoices(r.words, "neighbours")[:2]
	for _, rule := range read.day.Rules {
		if strings.HasPrefix(rule.ID, fields.CoupleRule) {
			v.Apart = append(v.Apart, apartView{rule.ID, strings.Join(rule.Who, r.words.Say("sheet.listSeparator"))})
		}
	}
	v.Count, v.Over = people.TimeOf(r.words, read.event)
	page := shell{Title: r.words.Say("page.yourPhotos"), Here: coupleRoot, Plain: true, Switched: act == "language",
		Seat: seat{Signed: true, Closing: r.seat.Closing, Shut: r.seat.Shut}}
	if !v.Shut {
		page.Form, page.Enter = "couple", "person-done"
	}
	return draw(r.words, "couple", page, v)
}

// changeCouple does what a button of that page says, over whatever is newest: a field says what it showed, so that nothing
// that somebody else changed is put back.
func (s *Server) changeCouple(r *request) (*response, error) {
	d, give, err := s.ofCouple(r)
	if err != nil {
		return nil, err
	}
	defer give()
	if r.seat.Shut {
		return nil, kept.ErrClosed
	}
	act, at, _ := strings.Cut(r.form.Line("act"), ":")
	r.sent = ofPage(r.form)
	if r.form, err = d.under(r.sent); err != nil {
		return nil, err
	}
	read, d, err := s.readChanged(r, d)
	if err != nil {
		return nil, err
	}
	rules := slices.Clone(read.day.Rules)
	known := func(who string) bool { return slices.Contains(read.names.Order, who) }
	if who := []string{r.sent.Line("apart.0"), r.sent.Line("apart.1")}; act == "apart" && known(who[0]) && known(who[1]) && who[0] != who[1] && len(rules) < event.MaxRules {
		rules = append(rules, fields.Rule{ID: fields.CoupleRule + strconv.FormatInt(r.work.Version, 10), Kind: fields.KindApart, Scope: r.sent.Line("apart.scope"), Who: who})
	} else if act == "together" {
		rules = slices.DeleteFunc(rules, func(x fields.Rule) bool { return x.ID == at && strings.HasPrefix(x.ID, fields.CoupleRule) })
	}
	var notices []wording.Message
	ticked := read.ticked
	for _, m := range read.notices {
		switch m.Key {
		case "page.photoWasAdded":
			notices = append(notices, wording.Say("page.coupleAdded"))
		case "page.tickWhoIsInIt":
			notices = append(notices, m)
		case "page.photoIsNotRead", "page.wishNeedsATypedList":
			notices = append(notices, wording.Say("page.coupleNotAdded"))
		}
	}
	if len(rules) != len(d.Day.Rules) {
		d.Day.Rules = rules
		if read, err = s.readKept(r, d); err != nil {
			return nil, err
		}
	}
	r.form.Values.Set("version", strconv.FormatInt(r.work.Version, 10))
	if err := s.keep(r, coupleStep, d, read.event); errors.Is(err, kept.ErrClash) {
		notices = []wording.Message{wording.Say("page.changedElsewhere")}
	} else if err != nil {
		return nil, err
	}
	to := coupleRoot
	if act == "person" || act == "photo" {
		to += "?" + url.Values{act: {at}}.Encode()
	}
	return s.lead(r, to, &told{notices: notices, act: r.sent.Line("act"), ticked: ticked}), nil
}

// coupleActs are the buttons of their page that say something of the list.
var coupleActs = []string{"person", "person-done", "photo", "photo-done", "add-photo", "suggest"}

// ofPage leaves of a form what their page has: who sends another one changes nothing by it.
func ofPage(p fields.Posted) fields.Posted {
	out := fields.Posted{Values: url.Values{}, Bytes: p.Bytes}
	for name, list := range p.Values {
		if people.Shares(name) || strings.HasPrefix(name, "apart.") || name == "lang" {
			out.Values[name] = list
		}
	}
	act, _, _ := strings.Cut(p.Line("act"), ":")
	if slices.Contains(coupleActs, act) || act == "language" {
		out.Values["act"] = p.Values["act"]
	}
	return out
}
