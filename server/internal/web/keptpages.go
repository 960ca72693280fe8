package web

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/wording"
)

// yamlOf writes an event out to be gone on with.
func yamlOf(e event.Event) []byte { return intake.WriteYAML(e, nil) }

// stamp writes a day and a time.
func stamp(c *wording.Catalogue, t time.Time) string {
	t = t.Local()
	return c.LongDate(t.Format(time.DateOnly)) + c.Say(wording.KeyListSeparator) + c.Clock(t)
}

// first is the first page: the events of whoever is signed in, or where to put a list in.
func (s *Server) first(r *request) (*response, error) {
	if s.options.Desk == nil {
		return s.start(r)
	}
	if err := s.signed(r); errors.Is(err, kept.ErrSignIn) {
		return s.start(r)
	} else if err != nil {
		return nil, err
	}
	return s.events(r)
}

// eventsView is the list of events.
type eventsView struct {
	Events  []eventView
	Search  bool
	Sought  string
	Studio  bool
	Notices []string
}

type eventView struct {
	Root, Title, Date, State, Open string
}

// searchFrom is from how many events on there is a field to search.
const searchFrom = 11

// events lists the events of whoever is signed in.
func (s *Server) events(r *request) (*response, error) {
	list, err := s.options.Desk.List(r.Context(), r.visitor)
	if err != nil {
		return nil, err
	}
	v := eventsView{Search: len(list) >= searchFrom, Sought: strings.TrimSpace(r.URL.Query().Get("q")), Studio: r.visitor.Studio}
	v.Notices = rendered(r.words, s.told.Of(r.work.ID, r.URL.Query().Get("told")).notices)
	today := s.options.Now().Local().Format(time.DateOnly)
	for _, l := range list {
		e := eventView{Root: eventRoot + l.ID, Title: firstOf(l.Title, l.Label, r.words.Say("page.untitled"))}
		if e.Date = l.Date; l.Date != "" {
			e.Date = r.words.LongDate(l.Date)
		}
		if v.Search && !strings.Contains(strings.ToLower(e.Title+" "+e.Date+" "+l.Date), strings.ToLower(v.Sought)) {
			continue
		}
		state := wording.Key("page.stateCollecting")
		e.Open = e.Root
		switch {
		case l.Date != "" && l.Date < today:
			state = "page.stateDone"
		case l.Begun:
			state = "page.stateBegun"
		case l.Planned:
			state = "page.statePlanned"
		}
		if l.Planned {
			e.Open = e.Root + "/plan"
		}
		e.State = r.words.Say(state)
		v.Events = append(v.Events, e)
	}
	return draw(r.words, "events", shell{
		Title: r.words.Say("page.yourEvents"), Here: "/", Plain: true, Seat: seat{Signed: true, Studio: r.visitor.Studio},
	}, v)
}

// enterView is the page where somebody signs in.
type enterView struct{ Wrong string }

// enter signs a browser in by the ticket in its address, or shows where to.
func (s *Server) enter(r *request) (*response, error) {
	ticket := r.URL.Query().Get("ticket")
	if ticket == "" {
		return s.drawEnter(r, "")
	}
	_, cookie, err := s.options.Desk.Enter(r.Context(), r.from(), ticket)
	switch {
	case err == nil:
		setCookie(r.header, r, cookie)
	case s.signed(r) != nil:
		return s.drawEnter(r, r.words.Say("page.ticketIsUsed"))
	}
	return s.lead(r, "/", nil), nil
}

func (s *Server) drawEnter(r *request, wrong string) (*response, error) {
	return draw(r.words, "enter", shell{Title: r.words.Say("page.signIn"), Here: "/enter", Plain: true}, enterView{wrong})
}

// entered signs a browser in by what was typed. An address of a link counts as its secret.
func (s *Server) entered(r *request) (*response, error) {
	secret := r.form.Line("secret")
	if at := strings.LastIndexByte(secret, '#'); at >= 0 {
		secret = secret[at+1:]
	}
	v, cookie, err := s.options.Desk.Enter(r.Context(), r.from(), secret)
	wrong := map[error]wording.Key{kept.ErrSecret: "page.opensNothing", kept.ErrDayLink: "page.linkIsForTheDay"}
	for known, words := range wrong {
		if errors.Is(err, known) {
			out, err := s.drawEnter(r, r.words.Say(words))
			if err == nil {
				out.status = http.StatusForbidden
			}
			return out, err
		}
	}
	if err != nil {
		return nil, err
	}
	setCookie(r.header, r, cookie)
	if !v.Studio {
		return s.lead(r, eventRoot+v.Event, nil), nil
	}
	return s.lead(r, "/", nil), nil
}

// leave signs a browser out.
func (s *Server) leave(r *request) (*response, error) {
	setCookie(r.header, r, "")
	return s.lead(r, "/enter", nil), nil
}

// historyView is what was done to an event.
type historyView struct {
	Seat  seat
	Title string
	Steps []historyStep
}

type historyStep struct {
	What, By, At string
	Version      int64
	Now          bool
}

var stepWords = map[string]wording.Key{
	typing: "page.stepList", "list": "page.stepList", "plan": "page.stepPlan", "hand": "page.stepHand", "undo": "page.stepUndo",
	"redo": "page.stepRedo", "back": "page.stepBack", "duplicate": "page.stepDuplicate",
}

// history lists what was done.
func (s *Server) history(r *request) (*response, error) {
	list, err := s.options.Desk.Steps(r.Context(), r.visitor, r.work.ID)
	if err != nil {
		return nil, err
	}
	v := historyView{Seat: r.seat, Title: s.titleOf(r)}
	for _, w := range list {
		words, known := stepWords[w.What]
		if !known {
			words = "page.stepOther"
		}
		v.Steps = append(v.Steps, historyStep{r.words.Say(words), w.By, stamp(r.words, w.At), w.Version, w.Version == r.work.Version})
	}
	return draw(r.words, "history", shell{Title: r.words.Say("page.history"), Here: r.seat.Root + "/history", Plain: true, Seat: r.seat}, v)
}

// titleOf is what to call the event of a request.
func (s *Server) titleOf(r *request) string {
	return firstOf(r.work.Event.Title, r.work.Label, r.words.Say("page.untitled"))
}

// askDelete asks whether to delete an event, remove does.
func (s *Server) askDelete(r *request) (*response, error) {
	if !r.visitor.Studio {
		return nil, kept.ErrNotYours
	}
	return draw(r.words, "delete", shell{Title: r.words.Say("page.deleteEvent"), Here: r.seat.Root + "/delete", Plain: true, Seat: r.seat},
		historyView{Seat: r.seat, Title: s.titleOf(r)})
}

func (s *Server) remove(r *request, _ keptDraft) (*response, error) {
	title := s.titleOf(r)
	if err := s.options.Desk.Delete(r.Context(), r.visitor, r.work.ID); err != nil {
		return nil, err
	}
	s.told.Forget(r.work.ID)
	r.work = kept.Work{}
	return s.lead(r, "/", &told{notices: []wording.Message{wording.Say("page.wasDeleted", wording.Curly(title))}}), nil
}

// clashView shows two versions that were made at the same time.
type clashView struct {
	Seat         seat
	Action       string
	At, By       string
	Mine, Theirs sideView
	Hidden       []fields.Hidden
}

// sideView is one of them, as far as it differs.
type sideView struct {
	Text  string
	Day   []string
	Order []string
}

// orClash shows both versions where somebody else changed the event in between.
func (s *Server) orClash(r *request, mine keptDraft, err error) (*response, error) {
	if !errors.Is(err, kept.ErrClash) {
		return nil, err
	}
	now, err := s.options.Desk.Work(r.Context(), r.visitor, r.work.ID, 0)
	if err != nil {
		return nil, err
	}
	theirs := draftIn(now)
	if a, _ := mine.encoded(); a == now.Draft { // the same was sent twice
		return s.lead(r, r.seat.Root+strings.TrimPrefix(r.URL.Path, r.seat.Root), nil), nil
	}
	v := clashView{Seat: seatOf(r.words, r.visitor, now), Action: r.URL.Path, At: stamp(r.words, now.At), By: now.By}
	if mine.Text != theirs.Text {
		v.Mine.Text, v.Theirs.Text = mine.Text, theirs.Text
	}
	v.Mine.Day, v.Theirs.Day = apart(dayLines(r.words, mine.Day), dayLines(r.words, theirs.Day))
	if a, b := orderLines(mine), orderLines(theirs); !slices.Equal(a, b) {
		v.Mine.Order, v.Theirs.Order = a, b
	}
	of := firstOf(r.sent.Line("of"), r.sent.Line("version"))
	for name, values := range r.sent.Values {
		if slices.Contains([]string{"version", "of", "hand", "sheet"}, name) || r.sent.File != nil && name == "text" {
			continue
		}
		for _, value := range values {
			v.Hidden = append(v.Hidden, fields.Hidden{Name: name, Value: value})
		}
	}
	if r.sent.File != nil {
		v.Hidden = append(v.Hidden, fields.Hidden{Name: "text", Value: mine.Text})
	}
	v.Hidden = append(v.Hidden, fields.Hidden{Name: "of", Value: of}, fields.Hidden{Name: "version", Value: strconv.FormatInt(now.Version, 10)})
	slices.SortStableFunc(v.Hidden, func(a, b fields.Hidden) int { return strings.Compare(a.Name, b.Name) })
	out, err := draw(r.words, "clash", shell{Title: r.words.Say("page.changedElsewhereTitle"), Seat: v.Seat}, v)
	if err == nil {
		out.status = http.StatusConflict
	}
	return out, err
}

// dayLines writes the day in lines that can be compared.
func dayLines(c *wording.Catalogue, d fields.Day) []string {
	out := []string{}
	for _, f := range d.Hidden() {
		if f.Value != "" && !strings.HasSuffix(f.Name, ".id") && f.Name != "emphasis" && !strings.HasPrefix(f.Name, "block.") && !strings.HasPrefix(f.Name, "rule.") {
			out = append(out, f.Value)
		}
	}
	if words, ok := emphasisWords[d.Emphasis]; ok {
		out = append(out, c.Say(words[0]))
	}
	for i, b := range d.Blocks {
		out = append(out, c.Say("check.block2", i+1)+c.Say(wording.KeyColon)+" "+aboutBlock(c, b))
	}
	for _, r := range d.Rules {
		out = append(out, strings.Join(r.Who, c.Say(wording.KeyListSeparator)))
	}
	return out
}

// apart leaves of two lists what is in one only.
func apart(a, b []string) ([]string, []string) {
	only := func(x, y []string) []string {
		return slices.DeleteFunc(slices.Clone(x), func(s string) bool { return slices.Contains(y, s) })
	}
	return only(a, b), only(b, a)
}

// orderLines are the titles of a plan in their order.
func orderLines(d keptDraft) []string {
	if d.Sheet == nil {
		return nil
	}
	var out []string
	for _, b := range d.Sheet.Blocks {
		for _, e := range b.Entries {
			out = append(out, e.Title)
		}
	}
	return out
}
