package web

import (
	"html/template"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/web/proxy"
	"kinorder.example/server/internal/web/qrcode"
	"kinorder.example/server/internal/wording"
)

// linkMade is a link that was just made. Its secret is kept nowhere, so it is shown now or never.
type linkMade struct {
	Role, Title, Secret string
	// Opens is what the page of the day opens with: the part of the address that follows the secret.
	Opens string
}

// sendView is the page from which a plan is sent and its day begun.
type sendView struct {
	Seat    seat
	Title   string
	Notices []string
	Studio  bool
	// Sent says when the crew was sent a plan, Stale that this is another one by now.
	Sent         string
	Stale, Begun bool
	// By is who with a link has changed something since the studio planned or sent it last.
	By    string
	Made  *madeView
	Crew  []choiceView
	Links []linkView
	// Local says that no phone gets to the address of the page, CanOpen that phones can be let in.
	Local, CanOpen bool
	Trust          *madeView
	Fingerprint    []string
}

// madeView is an address to give away.
type madeView struct {
	ID, Title, Address string
	QR                 template.HTML
}

type linkView struct {
	ID, Title, Role, Until string
	Ended                  bool
}

// crewRoles are those for whom there is a button, with the role of their link.
var crewRoles = []struct {
	Value, role string
	text        wording.Key
}{
	{"lead", kept.LeadLink, "page.leadPhotographer"}, {"second", kept.LeadLink, "page.secondPhotographer"},
	{"caller", kept.ReaderLink, "page.caller"}, {"finder", kept.ReaderLink, "page.finder"}, {"planner", kept.PlannerLink, "page.planner"},
}

// openSend shows to whom a plan can be sent; without a plan there is nothing to send.
func (s *Server) openSend(r *request) (*response, error) {
	_, plan, ok, err := s.sendable(r)
	if err != nil {
		return nil, err
	}
	if !ok {
		return s.lead(r, r.seat.Root, nil), nil
	}
	crew, err := s.options.Desk.Crew(r.Context(), r.visitor, r.work.ID)
	if err != nil {
		return nil, err
	}
	t := s.told.Take(r.work.ID, r.URL.Query().Get("told"))
	v := sendView{Seat: r.seat, Title: s.titleOf(r), Notices: people.Rendered(r.words, t.notices), Studio: r.visitor.Studio, Begun: crew.Begun}
	if crew.Plan != nil {
		v.Sent, v.Stale = stamp(r.words, crew.Sent), !kept.SamePlan(*crew.Plan, plan)
	}
	if v.By, err = s.changedBy(r, crew); err != nil {
		return nil, err
	}
	base, local := s.base(r)
	v.Local, v.CanOpen = local, s.canOpen(r, local)
	if v.Made, err = s.given(r, t.link); err != nil {
		return nil, err
	}
	if a := s.authority(); a != nil && !local {
		if v.Trust, err = r.address("trust", "", base+trustPath); err != nil {
			return nil, err
		}
		v.Fingerprint = a.Fingerprint()
	}
	for _, c := range crewRoles {
		v.Crew = append(v.Crew, choiceView{c.Value, r.words.Say(c.text)})
	}
	for _, l := range slices.Backward(crew.Links) {
		view := linkView{ID: l.ID, Title: l.Title, Role: r.words.Say(roleWords[l.Role]), Ended: l.Ended}
		if !l.Expires.IsZero() {
			view.Until = r.words.LongDate(l.Expires.Local().Format(time.DateOnly))
		}
		v.Links = append(v.Links, view)
	}
	return draw(r.words, "send", shell{Title: r.words.Say("page.sendAndBegin"), Step: 3, Here: r.seat.Root + "/send", Plain: true, Seat: r.seat}, v)
}

// roleWords say what a link of each role is for.
var roleWords = map[string]wording.Key{kept.LeadLink: "page.linkMarks", kept.ReaderLink: "page.linkReads", kept.PlannerLink: "page.linkPlans", kept.FamilyLink: "page.linkWishes", kept.CoupleLink: "page.linkCouple"}

// canOpen says that phones can be let in, where only this machine gets to the page.
func (s *Server) canOpen(r *request, local bool) bool {
	return local && s.options.Network != nil && r.visitor.Studio
}

// given is the address of a link that was just made; nil when there is none.
func (s *Server) given(r *request, l linkMade) (*madeView, error) {
	if l.Secret == "" {
		return nil, nil
	}
	base, local := s.base(r)
	path := "/enter#"
	if l.Role == kept.LeadLink || l.Role == kept.ReaderLink {
		path = "/day/#"
	}
	v, err := r.address("made", l.Title, base+path+l.Secret+l.Opens)
	if err == nil && local { // no camera gets there
		v.QR = ""
	}
	return v, err
}

// address is one to give away, drawn.
func (r *request) address(id, title, address string) (*madeView, error) {
	drawn, err := qrcode.SVG(address, r.words.Say("page.qrOf", firstOf(title, r.words.Say("page.trustThisServer"))))
	return &madeView{id, title, address, drawn}, err
}

// sendable reads the plan of an event; false when there is none of what is written.
func (s *Server) sendable(r *request) (event.Event, event.CallSheet, bool, error) {
	d := draftIn(r.work)
	read, err := s.readKept(r, d)
	if err != nil {
		return event.Event{}, event.CallSheet{}, false, err
	}
	_, plan, ok := d.planOf(read.event)
	return read.event, plan, ok && read.ready(), nil
}

// base is the address that others come by; local when only this machine does.
func (s *Server) base(r *request) (base string, local bool) {
	host, _, err := net.SplitHostPort(r.Host)
	if err != nil {
		host = r.Host
	}
	ip := net.ParseIP(strings.Trim(host, "[]"))
	local = host == "localhost" || strings.HasSuffix(host, ".localhost") || ip != nil && ip.IsLoopback()
	if s.options.Network != nil && local {
		if at := s.options.Network.At(); len(at) > 0 {
			return at[0], false
		}
	}
	return proxy.Address(r.Request), local
}

// send does what a button of that page says.
func (s *Server) send(r *request, _ keptDraft) (*response, error) {
	e, plan, ok, err := s.sendable(r)
	if err != nil {
		return nil, err
	}
	if !ok {
		return s.lead(r, r.seat.Root, nil), nil
	}
	act, what, _ := strings.Cut(r.form.Get("act"), ":")
	t := &told{}
	ctx, desk := r.Context(), s.options.Desk
	if r.seat.Shut {
		return nil, kept.ErrClosed
	}
	if act == "send" || act == "link" || act == "begin" {
		crew, err := desk.Crew(ctx, r.visitor, r.work.ID)
		by := ""
		if err == nil {
			by, err = s.changedBy(r, crew)
		}
		if err == nil && (act == "send" || crew.Plan == nil || by == "") {
			err = desk.Send(ctx, r.visitor, r.work, plan)
		}
		if err != nil {
			return nil, err
		}
	}
	switch act {
	case "send":
		t.notices = []wording.Message{wording.Say("page.planWasSent")}
	case "link":
		t.link, err = s.makeLink(r, e, what)
	case "end":
		t.notices = []wording.Message{wording.Say("page.linkWasEnded")}
		err = desk.Unlink(ctx, r.visitor, r.work.ID, what)
	case "open":
		t.notices, err = s.letIn(r)
	case "begin":
		secret, err := desk.Here(ctx, r.visitor, r.work.ID, r.words.Say("page.thisBrowser"))
		if err != nil {
			return nil, err
		}
		return &response{status: http.StatusSeeOther, kind: "text/plain; charset=utf-8", to: "/day/?language=" + r.words.Tag() + "#" + secret}, nil
	default:
		return nil, fields.ErrForm
	}
	if err != nil {
		return nil, err
	}
	return s.lead(r, r.seat.Root+"/send", t), nil
}

// changedBy is who with a link changed an event last, since the studio planned it or sent what the crew has. What it came
// to is sent when somebody says so, and not by the way.
func (s *Server) changedBy(r *request, crew kept.Crew) (string, error) {
	list, err := s.options.Desk.Steps(r.Context(), r.visitor, r.work.ID)
	by := ""
	for _, w := range list {
		if w.Studio && (strings.HasPrefix(w.What, "plan") || strings.HasPrefix(w.What, "hand")) || crew.Plan != nil && !w.At.After(crew.Sent) {
			break
		}
		if by == "" && !w.Studio {
			by = firstOf(w.By, r.words.Say("page.planner"))
		}
	}
	return by, err
}

// letIn lets phones in.
func (s *Server) letIn(r *request) ([]wording.Message, error) {
	if s.options.Network == nil || !r.visitor.Studio {
		return nil, kept.ErrNotYours
	}
	if s.options.Network.Open() != nil { // the reason is in the log
		return []wording.Message{wording.Say("page.couldNotBeOpened")}, nil
	}
	if len(s.options.Network.At()) == 0 {
		return []wording.Message{wording.Say("page.noNetworkNow")}, nil
	}
	return nil, nil
}

// phonesBack lets phones in again from whatever page says that they are shut out.
func (s *Server) phonesBack(r *request) (*response, error) {
	notices, err := s.letIn(r)
	if to := r.form.Line("to"); len(notices) == 0 && strings.HasPrefix(to, eventRoot) {
		return s.lead(r, to, nil), err
	}
	return s.lead(r, "/", &told{notices: notices}), err
}

// linkLasts is how long a link is good; until some days after the event if that is later.
const linkLasts = 30 * 24 * time.Hour

// makeLink makes a link for one of the crew.
func (s *Server) makeLink(r *request, e event.Event, whose string) (linkMade, error) {
	for _, c := range crewRoles {
		if c.Value != whose {
			continue
		}
		l, err := s.linkFor(r, e, c.role, c.text)
		if at := kept.SecondBlock(e); whose == "second" && at != "" {
			l.Opens = "&block=" + url.QueryEscape(at)
		} else if whose == "finder" {
			l.Opens = "&as=finder"
		}
		return l, err
	}
	return linkMade{}, fields.ErrForm
}

// linkFor makes a link of a role. Its title is the name in the form, if there is one, with what they do.
func (s *Server) linkFor(r *request, e event.Event, role string, words wording.Key) (linkMade, error) {
	expires := s.options.Now().Add(linkLasts)
	if day, err := time.ParseInLocation(time.DateOnly, e.Date, time.Local); err == nil && day.AddDate(0, 0, 4).After(expires) {
		expires = day.AddDate(0, 0, 4)
	}
	title := []rune(r.words.Say(words))
	if name := r.form.Line("for"); name != "" {
		title = []rune(r.words.Facts(name, string(title)))
	}
	l := kept.Link{Role: role, Title: string(title[:min(len(title), 200)]), Expires: expires}
	secret, err := s.options.Desk.Link(r.Context(), r.visitor, r.work.ID, l)
	return linkMade{Role: l.Role, Title: l.Title, Secret: secret}, err
}
