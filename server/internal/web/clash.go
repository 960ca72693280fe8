package web

import (
	"crypto/rand"
	"errors"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/wording"
)

// clashView shows two versions that were made at the same time.
type clashView struct {
	Seat         seat
	Key, Page    string
	At, By       string
	Mine, Theirs sideView
	Shut         bool // the list is closed for whoever looks
}

// sideView is one of them, as far as it differs.
type sideView struct {
	Text  []sideLine
	Day   []string
	Order []string
}

// sideLine is a line of a list; Only says that the other list has none like it.
type sideLine struct {
	Text string
	Only bool
}

// linesApart marks the lines of a list that another one has not.
func linesApart(a, b string) []sideLine {
	var out []sideLine
	other := strings.Split(b, "\n")
	for _, l := range strings.Split(a, "\n") {
		out = append(out, sideLine{l, !slices.Contains(other, l)})
	}
	return out
}

// window is the key of the window that a form came from, for what is set aside.
var window = regexp.MustCompile(`^[A-Z0-9]{10,40}$`)

// setAside keeps what was written while somebody else changed the event, and returns its key.
func (s *Server) setAside(r *request, mine keptDraft, e event.Event) (string, error) {
	w, err := workOf(r.work, "", mine, e)
	if err != nil {
		return "", err
	}
	key := r.form.Line("aside")
	if !window.MatchString(key) {
		key = rand.Text()
	}
	return key, s.options.Desk.SetAside(r.Context(), r.visitor, key, w)
}

// beside says that what was written cannot be kept as a version, and is set aside.
func beside(err error) bool { return errors.Is(err, kept.ErrClash) || errors.Is(err, kept.ErrClosed) }

// both is the address of the page where somebody chooses.
func (r *request) both(key string) string {
	q := url.Values{"mine": {key}}
	if strings.HasSuffix(r.URL.Path, "/plan") {
		q.Set("page", "plan")
	}
	return r.seat.Root + "/clash?" + q.Encode()
}

// orClash sets aside what was written where somebody else changed the event in between, and leads to the page of both.
// What was pressed on a plan whose list is closed is not written, and refused.
func (s *Server) orClash(r *request, mine keptDraft, e event.Event, err error) (*response, error) {
	if !beside(err) || errors.Is(err, kept.ErrClosed) && !r.sent.Has("day") {
		return nil, err
	}
	key, err := s.setAside(r, mine, e)
	if err != nil {
		return nil, err
	}
	return s.lead(r, r.both(key), nil), nil
}

// keepChange keeps what a form of the list comes to. Where somebody else changed the event in between, and here only other
// fields of people and photos were changed, these go over what is newest: each says what it showed.
func (s *Server) keepChange(r *request, what string, was, d keptDraft, e event.Event) error {
	err := s.keep(r, what, d, e)
	now := draftIn(r.work)
	if !errors.Is(err, kept.ErrClash) || d.Text != was.Text || fingerprint(d.Day) != fingerprint(was.Day) || people.Overlap(was.Over, d.Over, now.Over) {
		return err
	}
	if r.form, err = now.under(fields.Posted{Values: people.Fields(r.sent.Values)}); err != nil {
		return err
	}
	read, d, err := s.readChanged(r, now)
	if err != nil {
		return err
	}
	r.form.Values.Set("version", strconv.FormatInt(r.work.Version, 10))
	return s.keep(r, what, d, read.event)
}

// waiting has a page say that something was set aside and waits for a choice.
func (s *Server) waiting(r *request) error {
	if r.work.ID == "" {
		return nil
	}
	list, err := s.options.Desk.Asides(r.Context(), r.visitor, r.work.ID)
	if i := slices.IndexFunc(list, func(a kept.Aside) bool { return !a.Settled }); i >= 0 {
		r.seat.Aside = list[i].Key
	}
	return err
}

// openClash shows what was set aside beside what is kept.
func (s *Server) openClash(r *request) (*response, error) {
	q := r.URL.Query()
	a, err := s.options.Desk.Aside(r.Context(), r.visitor, r.work.ID, q.Get("mine"))
	if errors.Is(err, kept.ErrGone) || err == nil && a.Settled {
		return s.lead(r, r.pageOf(q.Get("page"), r.work), nil), nil
	}
	if err != nil {
		return nil, err
	}
	now, mine, theirs := r.work, draftIn(a.Work), draftIn(r.work)
	v := clashView{Seat: r.seat, Key: a.Key, Page: q.Get("page"), At: stamp(r.words, now.At), By: now.By, Shut: s.shut(r)}
	if mine.Text != theirs.Text {
		v.Mine.Text, v.Theirs.Text = linesApart(mine.Text, theirs.Text), linesApart(theirs.Text, mine.Text)
	}
	v.Mine.Day, v.Theirs.Day = apart(dayLines(r.words, mine, a.Work.Event.Sides), dayLines(r.words, theirs, r.work.Event.Sides))
	if x, y := orderLines(mine), orderLines(theirs); !slices.Equal(x, y) {
		v.Mine.Order, v.Theirs.Order = x, y
	}
	return draw(r.words, "clash", shell{Title: r.words.Say("page.changedElsewhereTitle"), Seat: v.Seat}, v)
}

// pageOf is the address of the plan where somebody came from there and there is one, else that of the list.
func (r *request) pageOf(page string, w kept.Work) string {
	if page == "plan" && w.Planned {
		return r.seat.Root + "/plan"
	}
	return r.seat.Root
}

// choose goes on with one of both. What is set aside and not chosen stays in the history.
func (s *Server) choose(r *request, _ keptDraft) (*response, error) {
	key, page := r.form.Line("mine"), r.form.Line("page")
	a, err := s.options.Desk.Aside(r.Context(), r.visitor, r.work.ID, key)
	if err != nil {
		return nil, err
	}
	if a.Settled { // a page that was shown before the choice
		return s.lead(r, r.pageOf(page, r.work), nil), nil
	}
	if r.form.Line("act") == "mine" {
		if r.form.Line("version") != strconv.FormatInt(r.work.Version, 10) { // it was changed once more: look again
			return s.lead(r, r.seat.Root+"/clash?"+url.Values{"mine": {key}, "page": {page}}.Encode(), nil), nil
		}
		return s.takeBack(r, a, page)
	}
	return s.lead(r, r.pageOf(page, r.work), nil), s.options.Desk.Settle(r.Context(), r.visitor, r.work.ID, key)
}

// takeBack goes on with what was set aside. That is a step.
func (s *Server) takeBack(r *request, a kept.Aside, page string) (*response, error) {
	_, err := s.commit(r, again(r.work, a.Work, "aside"))
	if errors.Is(err, kept.ErrClash) {
		return s.lead(r, r.seat.Root+"/clash?"+url.Values{"mine": {a.Key}, "page": {page}}.Encode(), nil), nil
	}
	if err != nil {
		return nil, err
	}
	return s.lead(r, r.pageOf(page, a.Work), nil), s.options.Desk.Settle(r.Context(), r.visitor, r.work.ID, a.Key)
}

// dayLines writes the day in lines that can be compared.
func dayLines(c *wording.Catalogue, draft keptDraft, sides []event.Side) []string {
	out, d := draft.Told(c, sides), draft.Day
	for _, p := range draft.Priorities {
		out = append(out, c.Say(fields.PriorityWords[p.Name])+c.Say("sheet.colon")+" "+p.Title)
	}
	for _, f := range d.Hidden() {
		if f.Value != "" && !strings.HasSuffix(f.Name, ".id") && f.Name != "emphasis" && !strings.HasPrefix(f.Name, "block.") && !strings.HasPrefix(f.Name, "rule.") {
			out = append(out, f.Value)
		}
	}
	if words, ok := fields.EmphasisWords[d.Emphasis]; ok {
		out = append(out, c.Say(words[0]))
	}
	for i, b := range d.Blocks {
		out = append(out, c.Say("check.block2", i+1)+c.Say("sheet.colon")+" "+fields.AboutBlock(c, b))
	}
	for _, r := range d.Rules {
		out = append(out, fields.AboutRule(c, r))
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

// stepMark stands between the word of a step and what it changed, for people.
const stepMark = "\x1f"

func stepOf(what string) (word, said string) {
	word, said, _ = strings.Cut(what, stepMark)
	return word, said
}

// mostTold is how much of what a step changed its row tells, longestTold how many letters.
const mostTold, longestTold = 3, 200

// changesOf says in a few words what a step changed of the list and the day.
func changesOf(c *wording.Catalogue, was, is keptDraft, sides []event.Side) string {
	if !was.HasDay {
		was.Day = is.Day // it was that of the list
	}
	gone, out := apart(dayLines(c, was, sides), dayLines(c, is, sides))
	lines := func(mark, a, b string) (found []string) {
		for _, l := range linesApart(a, b) {
			if l.Only && strings.TrimSpace(l.Text) != "" {
				found = append(found, mark+strings.TrimSpace(l.Text))
			}
		}
		return found
	}
	if out = append(out, lines("+ ", is.Text, was.Text)...); len(out) == 0 {
		for _, g := range gone {
			out = append(out, "− "+g)
		}
		out = append(out, lines("− ", was.Text, is.Text)...)
	}
	if len(out) > mostTold {
		out = append(out[:mostTold], "…")
	}
	text := []rune(strings.Join(out, " · "))
	return string(text[:min(len(text), longestTold)])
}
