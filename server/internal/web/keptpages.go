package web

import (
	"errors"
	"net/http"
	"slices"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/wording"
)

// yamlOf writes an event out to be gone on with.
func yamlOf(e event.Event) []byte { return intake.WriteYAML(e, nil) }

// stamp writes a day and a time.
func stamp(c *wording.Catalogue, t time.Time) string {
	t = t.Local()
	return c.Facts(c.LongDate(t.Format(time.DateOnly)), c.Clock(t))
}

// first is the first page: the events of whoever is signed in, or where to put a list in.
func (s *Server) first(r *request) (*response, error) {
	if s.options.Desk == nil {
		return s.start(r)
	}
	if err := s.signed(r); errors.Is(err, kept.ErrSignIn) {
		return s.start(r)
	} else if at := home(r.visitor); errors.Is(err, kept.ErrNotYours) {
		return s.lead(r, at, nil), nil
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
	Closing                        string // from when on the list is closed
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
	v.Notices = people.Rendered(r.words, s.told.Of(r.work.ID, r.URL.Query().Get("told")).notices)
	today := s.today("")
	for _, l := range list {
		e := eventView{Root: eventRoot + l.ID, Title: firstOf(l.Title, l.Label, r.words.Say("page.untitled"))}
		if e.Date = l.Date; l.Date != "" {
			e.Date = r.words.LongDate(l.Date)
		}
		if e.Closing = s.closingOf(r.words, l.Closes, l.Zone); l.Date != "" && l.Date < today {
			e.Closing = ""
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
		if v.Search && !strings.Contains(strings.ToLower(e.Title+" "+e.Date+" "+l.Date+" "+e.State+" "+e.Closing), strings.ToLower(v.Sought)) {
			continue
		}
		v.Events = append(v.Events, e)
	}
	return draw(r.words, "events", shell{
		Title: r.words.Say("page.yourEvents"), Here: "/", Plain: true, Seat: seat{Signed: true, Studio: r.visitor.Studio, PhonesShut: kept.PhonesShut(s.options.Network, r.visitor)},
	}, v)
}

// enterView is the page where somebody signs in.
type enterView struct{ Wrong string }

// enter signs a browser in by the ticket in its address, or shows where to.
func (s *Server) enter(r *request) (*response, error) {
	ticket := r.URL.Query().Get("ticket")
	if ticket == "" {
		wrong := r.words.Render(s.told.Of("", r.URL.Query().Get("told")).refused)
		out, err := s.drawEnter(r, wrong)
		if err == nil && wrong != "" {
			out.status = http.StatusForbidden
		}
		return out, err
	}
	_, cookie, err := s.options.Desk.Enter(r.Context(), r.from(), ticket)
	switch {
	case err == nil:
		setCookie(r.header, r, cookie)
	case s.signed(r) != nil:
		out, err := s.drawEnter(r, r.words.Say("page.ticketIsUsed"))
		if err == nil {
			out.status = http.StatusOK // an address that is opened again is no attempt to get in
		}
		return out, err
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
		secret, _, _ = strings.Cut(secret[at+1:], "&")
	}
	v, cookie, err := s.options.Desk.Enter(r.Context(), r.from(), secret)
	wrong := map[error]wording.Key{kept.ErrSecret: "page.opensNothing", kept.ErrDayLink: "page.linkIsForTheDay"}
	for known, words := range wrong {
		if errors.Is(err, known) {
			return s.lead(r, "/enter", &told{refused: wording.Say(words)}), nil
		}
	}
	if err != nil {
		return nil, err
	}
	setCookie(r.header, r, cookie)
	return s.lead(r, home(v), nil), nil
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
	What, Said string // what was done, and of what
	By, At     string
	Version    int64
	Aside      string // the key of what is no version
	Now        bool
}

var stepWords = map[string]wording.Key{
	typing: "page.stepList", "list": "page.stepList", "plan": "page.stepPlan", "hand": "page.stepHand", "undo": "page.stepUndo",
	"redo": "page.stepRedo", "back": "page.stepBack", "aside": "page.stepAside", "closed": "page.stepClosed", "opened": "page.stepOpened", "duplicate": "page.stepDuplicate",
	wishStep: "page.stepWish", coupleStep: "page.stepCouple",
}

// history lists what was done.
func (s *Server) history(r *request) (*response, error) {
	list, err := s.options.Desk.Steps(r.Context(), r.visitor, r.work.ID)
	if err != nil {
		return nil, err
	}
	v := historyView{Seat: r.seat, Title: s.titleOf(r)}
	for _, w := range list {
		word, said := stepOf(w.What)
		words, known := stepWords[word]
		if !known {
			words = "page.stepOther"
		}
		v.Steps = append(v.Steps, historyStep{What: r.words.Say(words), Said: said, By: w.By, At: stamp(r.words, w.At), Version: w.Version, Now: w.Version == r.work.Version})
	}
	aside, err := s.options.Desk.Asides(r.Context(), r.visitor, r.work.ID)
	if err != nil {
		return nil, err
	}
	for _, a := range aside {
		step := historyStep{What: r.words.Say("page.stepSetAside"), By: a.By, At: stamp(r.words, a.At), Aside: a.Key}
		at := slices.IndexFunc(list, func(w kept.Work) bool { return w.At.Before(a.At) })
		if at < 0 {
			at = len(list)
		}
		list = slices.Insert(list, at, a.Work) // so that both stay in step
		v.Steps = slices.Insert(v.Steps, at, step)
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
