package web

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/readback"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/wording"
)

const (
	// wishesRoot is the address of the page on which a family wishes.
	wishesRoot = "/wishes"
	// wishStep is the step of a wish that is put on the list.
	wishStep = "wish"
	// longestWish is how many letters a wish may have, mostLines how many lines a family may send at once.
	longestWish, mostLines = 400, 100
)

// wishesView is the page on which a family wishes. It shows nothing of the event but what it is called and its date.
type wishesView struct {
	Title, Date string
	// Closing says when the list closes, in words; Shut that it is closed.
	Closing string
	Shut    bool
	// Text is what was written and could not be taken, Wrong why.
	Text, Wrong string
	Notices     []string
	Wishes      []wishView
}

type wishView struct {
	ID, Text, From string
	State          string // empty while nobody has answered
	taken          bool
}

// wishing lets families in, and nobody else.
func (s *Server) wishing(r *request) (err error) {
	if r.visitor, err = s.visitor(r); err == nil && r.visitor.Wishes == "" {
		return kept.ErrNotYours
	}
	return err
}

func (s *Server) openWishes(r *request) (*response, error) {
	if err := s.wishing(r); err != nil {
		return nil, err
	}
	return s.drawWishes(r, wishesView{Notices: people.Rendered(r.words, s.told.Take(r.visitor.Key, r.URL.Query().Get("told")).notices)})
}

func (s *Server) drawWishes(r *request, v wishesView) (*response, error) {
	about, err := s.options.Desk.About(r.Context(), r.visitor)
	if err != nil {
		return nil, err
	}
	if v.Title = about.Title; about.Date != "" {
		v.Date = r.words.LongDate(about.Date)
	}
	v.Closing, v.Shut = s.closingOf(r.words, about.Closes, about.Zone), s.closed(about.Closes, about.Zone)
	v.Wishes, err = s.wishViews(r, "")
	if err != nil {
		return nil, err
	}
	page := shell{Title: r.words.Say("page.photosYouWouldLike"), Here: wishesRoot, Plain: true, Switched: r.act() == "language"}
	if !v.Shut {
		page.Form = "wish"
	}
	return draw(r.words, "wishes", page, v)
}

// wishViews are the wishes that a visitor sees, the newest last.
func (s *Server) wishViews(r *request, id string) ([]wishView, error) {
	list, err := s.options.Desk.Wishes(r.Context(), r.visitor, id)
	var out []wishView
	for _, w := range list {
		v := wishView{ID: w.ID, Text: w.Text, From: w.From, taken: w.Taken}
		switch {
		case w.Taken:
			v.State = r.words.Say("page.wishIsOnTheList")
		case w.Declined:
			v.State = r.words.Say("page.wishIsNotOnTheList")
		}
		out = append(out, v)
	}
	return out, err
}

// sendWishes keeps what a family wrote. What cannot be taken stays in the field.
func (s *Server) sendWishes(r *request) (*response, error) {
	text := r.form.Get("wishes")
	if r.act() == "language" {
		return s.drawWishes(r, wishesView{Text: text})
	}
	var lines []string
	long := false
	for line := range strings.FieldsFuncSeq(text, func(c rune) bool { return c == '\n' || c == '\r' }) {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, line)
			long = long || len([]rune(line)) > longestWish
		}
	}
	refused := func(words wording.Key, args ...any) (*response, error) {
		out, err := s.drawWishes(r, wishesView{Text: text, Wrong: r.words.Say(words, args...)})
		if err == nil {
			out.status = http.StatusUnprocessableEntity
		}
		return out, err
	}
	about, err := s.options.Desk.About(r.Context(), r.visitor)
	switch {
	case err != nil:
		return nil, err
	case s.closed(about.Closes, about.Zone):
		return refused("page.closedForYou")
	case long:
		return refused("page.wishIsTooLong", longestWish)
	case len(lines) > mostLines:
		return refused("page.tooManyWishes", mostLines)
	case len(lines) == 0:
		return s.lead(r, wishesRoot, nil), nil
	}
	err = s.options.Desk.Wish(r.Context(), r.visitor, lines)
	if errors.Is(err, kept.ErrManyWishes) {
		return refused("page.noMoreWishes")
	}
	if err != nil {
		return nil, err
	}
	r.work.ID = r.visitor.Key // what is told is for this browser
	return s.lead(r, wishesRoot, &told{notices: []wording.Message{wording.Say("page.wishesWereSent", len(lines))}}), nil
}

// familiesView is the page on which whoever plans answers wishes and gives links to families.
type familiesView struct {
	Seat    seat
	Title   string
	Notices []string
	Made    *madeView
	// Local says that no phone gets to the address of the page, CanOpen that phones can be let in.
	Local, CanOpen bool
	New, Answered  []wishView
	Links          []linkView
}

func (s *Server) families(r *request) (*response, error) {
	crew, err := s.options.Desk.Crew(r.Context(), r.visitor, r.work.ID)
	if err != nil {
		return nil, err
	}
	all, err := s.wishViews(r, r.work.ID)
	if err != nil {
		return nil, err
	}
	t := s.told.Take(r.work.ID, r.URL.Query().Get("told"))
	v := familiesView{Seat: r.seat, Title: s.titleOf(r), Notices: people.Rendered(r.words, t.notices)}
	text := draftIn(r.work).Text
	for _, w := range all {
		if w.State == "" || w.taken && lineIn(text, w.Text) == 0 { // or was taken out again
			v.New = append(v.New, w)
		} else {
			v.Answered = append(v.Answered, w)
		}
	}
	for _, l := range slices.Backward(crew.Links) {
		if l.Role == kept.FamilyLink || l.Role == kept.CoupleLink {
			v.Links = append(v.Links, linkView{ID: l.ID, Title: firstOf(l.Title, r.words.Say("page.family")), Role: r.words.Say(roleWords[l.Role]), Ended: l.Ended})
		}
	}
	_, v.Local = s.base(r)
	v.CanOpen = s.canOpen(r, v.Local)
	if v.Made, err = s.given(r, t.link); err != nil {
		return nil, err
	}
	return draw(r.words, "families", shell{Title: r.words.Say("page.familiesWishes"), Here: r.seat.Root + "/wishes", Plain: true, Seat: r.seat}, v)
}

// answerFamilies does what a button of that page says.
func (s *Server) answerFamilies(r *request, _ keptDraft) (*response, error) {
	act, what, _ := strings.Cut(r.form.Get("act"), ":")
	t := &told{}
	var err error
	switch act {
	case "link":
		t.link, err = s.linkFor(r, r.work.Event, kept.FamilyLink, "page.family")
	case "couple":
		t.link, err = s.linkFor(r, r.work.Event, kept.CoupleLink, "page.forCouple")
	case "end":
		t.notices = []wording.Message{wording.Say("page.linkWasEnded")}
		err = s.options.Desk.Unlink(r.Context(), r.visitor, r.work.ID, what)
	case "open":
		t.notices, err = s.letIn(r)
	case "decline":
		t.notices, err = s.declineWish(r, what)
	case "take":
		t.notices, err = s.takeWish(r, what)
	default:
		err = fields.ErrForm
	}
	if err != nil {
		return nil, err
	}
	return s.lead(r, r.seat.Root+"/wishes", t), nil
}

// takeWish puts a wish on the list, below the last line that asks for a photograph: what stands at the end of a list may
// be of another kind. It says who was understood to be in it.
func (s *Server) takeWish(r *request, id string) ([]wording.Message, error) {
	list, err := s.options.Desk.Wishes(r.Context(), r.visitor, r.work.ID)
	if err != nil {
		return nil, err
	}
	at := slices.IndexFunc(list, func(w kept.Wish) bool { return w.ID == id })
	if at < 0 {
		return nil, kept.ErrGone
	}
	d := draftIn(r.work) // the newest: whatever was written meanwhile stays
	wish := list[at]
	if line := lineIn(d.Text, wish.Text); line > 0 { // pressed twice, or by two
		return []wording.Message{wording.Say("page.wishWasTaken", line)}, s.options.Desk.Answer(r.Context(), r.visitor, r.work.ID, id, true)
	}
	if !d.empty() && !intake.IsTyped(d.Text) {
		return []wording.Message{wording.Say("page.wishNeedsATypedList")}, nil
	}
	before, err := s.readKept(r, d)
	if err != nil {
		return nil, err
	}
	line := people.Below(d.Text, before.said)
	d.Text = people.Insert(d.Text, line, wish.Text)
	read, err := s.readKept(r, d)
	if err != nil {
		return nil, err
	}
	r.form.Values.Set("version", strconv.FormatInt(r.work.Version, 10))
	if err := s.keep(r, wishStep, d, read.event); errors.Is(err, kept.ErrClash) {
		return []wording.Message{wording.Say("page.changedElsewhere")}, nil
	} else if err != nil {
		return nil, err
	}
	said := wording.Key("page.wishIsNoPhoto")
	for _, l := range readback.Of(read.said).Lines {
		if l.Number == line+1 && len(l.Photographs) > 0 {
			said = "page.wishWasTaken"
		}
	}
	return []wording.Message{wording.Say(said, line+1)}, s.options.Desk.Answer(r.Context(), r.visitor, r.work.ID, id, true)
}

// lineIn is the line of a list that a wish is, from 1; 0 for none.
func lineIn(text, wish string) int {
	return 1 + slices.IndexFunc(strings.Split(text, "\n"), func(l string) bool { return strings.TrimSpace(l) == wish })
}

// declineWish leaves a wish off the list. One that is on it is taken out there, where everybody sees it.
func (s *Server) declineWish(r *request, id string) ([]wording.Message, error) {
	list, err := s.options.Desk.Wishes(r.Context(), r.visitor, r.work.ID)
	if err != nil {
		return nil, err
	}
	text := draftIn(r.work).Text
	for _, w := range list {
		if line := lineIn(text, w.Text); w.ID == id && w.Taken && line > 0 {
			return []wording.Message{wording.Say("page.wishWasTaken", line)}, nil
		}
	}
	return nil, s.options.Desk.Answer(r.Context(), r.visitor, r.work.ID, id, false)
}
