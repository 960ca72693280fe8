package web

import (
	_ "embed"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/wording"
)

//go:embed assets/example.txt
var exampleList string

// startView is the first page.
type startView struct {
	Text string
	Seat seat
}

// start shows it; what was typed comes back when its language was changed.
func (s *Server) start(r *request) (*response, error) {
	return r.drawStart("page.groupPhotographsInTheBestOrder", r.form.Get("text"))
}

// example shows the first page with a made-up list in it.
func (s *Server) example(r *request) (*response, error) {
	return r.drawStart("page.anExample", exampleList)
}

func (r *request) drawStart(title wording.Key, text string) (*response, error) {
	return draw(r.words, "start", shell{
		Title: r.words.Say(title), Step: 1, Here: r.seat.at("/start", "/list"), Enter: "read", Switched: r.act() == "language", Seat: r.seat, SignIn: r.canSignIn,
	}, startView{text, r.seat})
}

// act is the button that was pressed.
func (r *request) act() string {
	act, _, _ := strings.Cut(r.form.Get("act"), ":")
	return act
}

// list answers the form of the first page and of the list itself.
func (s *Server) list(r *request) (*response, error) {
	read, err := s.readForm(r, nil)
	if err != nil {
		return nil, err
	}
	act, at, _ := strings.Cut(r.form.Get("act"), ":")
	index, _ := strconv.Atoi(at)
	return s.showList(&read, listOptions{act: act, at: at, index: index, plan: r.form, words: r.words})
}

// readForm reads a form of the list or of the plan, and does what its button says of the list and the day.
func (s *Server) readForm(r *request, house *house) (reading, error) {
	d, notices, err := s.readDraft(r)
	if err != nil {
		return reading{}, err
	}
	act, at, _ := strings.Cut(r.form.Get("act"), ":")
	d.change(act, at)
	d.house = house
	read, err := d.read(r.Context())
	if err == nil {
		err = read.addPhoto(r.Context(), r.words, r.form)
	}
	read.notices = append(notices, read.notices...)
	r.log.count("people", len(read.event.People))
	r.log.count("groupings", len(read.event.Groupings))
	r.log.count("problems", len(read.problems))
	return read, err
}

// change takes a block or a rule out, or sets what matters most.
func (d *draft) change(act, at string) {
	index, err := strconv.Atoi(at)
	switch {
	case act == "use" && slices.Contains(fields.EmphasisNames, at):
		d.day.Emphasis = at
	case err != nil || index < 0:
	case act == "drop-block" && index < len(d.day.Blocks):
		d.day.Blocks = slices.Delete(d.day.Blocks, index, index+1)
	case act == "drop-rule" && index < len(d.day.Rules):
		d.day.Rules = slices.Delete(d.day.Rules, index, index+1)
	}
}

// listOptions say how the page of the list comes up.
type listOptions struct {
	act   string // the button that was pressed
	at    string // what it was for
	index int
	// stopped says that a plan was asked for and something has to be mended first.
	stopped bool
	// plan is the form in which a plan made before came back.
	plan  fields.Posted
	words *wording.Catalogue
	seat  seat
	// closes is the day that the list closes on.
	closes string
}

// listView is the page of the list and the day.
type listView struct {
	Stopped, Ready bool
	Focus          string // the act after which the focus goes on beside its button
	Notices        []string
	Said           string // of what was pressed
	Summary        string
	Bar            string        // in sight at all times
	Used           string        // what became of the lines of a typed list
	Lines          []lineView    // that have to be mended or looked at
	Hints          []problemView // the rest, by the way
	Whole          []problemView // of the whole list, or of the day
	Errors         int
	Doubts         int // what may have been read otherwise than it was meant
	Text           string
	Seen           string
	Day            fields.View
	Told           people.ToldView
	People         people.View
	Adding         people.Adding
	Seat           seat
	Closes         string // the day that the list closes on, as its field has it
	// Carried is a plan that was made before, with what was moved by hand.
	Carried []fields.Hidden
}

// lineView is one line of the list with what is to be said about it.
type lineView struct {
	Number   int
	Text     string
	Problems []problemView
	Worst    string
	Asked    []askedView
	Focus    bool
}

// askedView is a question that can be answered by choosing.
type askedView struct {
	Name, AskedName string
	Written         string
	Candidates      []string
}

// problemView is one thing that is wrong or doubtful.
type problemView struct {
	Kind, Class, Text string
	Field             string // of the page; may be empty
	Line              int
}

var kindWords = map[event.Severity]struct {
	kind  wording.Key
	class string
}{
	event.Error: {"sheet.mend", "mend"}, event.Warning: {"sheet.check", "check"}, event.Info: {"sheet.note", "note"},
}

func viewOf(c *wording.Catalogue, p intake.Problem) problemView {
	words := kindWords[p.Severity]
	return problemView{Kind: c.Say(words.kind), Class: words.class, Text: c.Render(p.Message), Field: fields.Of(p.Field), Line: p.Line}
}

func (s *Server) showList(r *reading, o listOptions) (*response, error) {
	v := listView{Stopped: o.stopped, Focus: o.act, Ready: r.ready(), Notices: people.Rendered(o.words, r.notices), Text: r.text, Seen: r.seen, Seat: o.seat, Closes: o.closes}
	if o.act == "add-photo" || o.act == "suggest" { // said where somebody looks who pressed far below
		v.Said, v.Notices = strings.Join(v.Notices, " "), nil
	}
	for _, name := range []string{"hand", "sheet"} {
		if o.plan.Has(name) && o.seat.Root == "" {
			v.Carried = append(v.Carried, fields.Hidden{Name: name, Value: o.plan.Get(name)})
		}
	}
	v.addProblems(o.words, r)
	said := r.said
	said.Problems = slices.DeleteFunc(slices.Clone(r.problems), func(p intake.Problem) bool { // some of the list are solved by now
		return p.Line == 0 && fields.Of(p.Field) != ""
	})
	v.Told = people.ToldOf(o.words, said, r.event, r.lines, r.Over, o.act, o.at)
	v.Carried = append(v.Carried, r.Over.Hidden()...)
	v.Adding = people.AddingOf(o.words, r.event, r.ticked, o.act)
	v.People = people.Of(o.words, r.said.Event, r.event, r.Over, o.at, o.act)
	v.Summary = o.words.Render(people.SummaryOf(r.event))
	v.Bar = people.Bar(o.words, r.event, r.ready(), r.errors())
	v.Used = o.words.Render(people.UsedOf(r.lines))
	faults := map[string][]string{}
	for _, p := range v.Whole {
		if p.Field != "" {
			faults[p.Field] = append(faults[p.Field], p.Text)
		}
	}
	v.Day = fields.ViewOf(r.day, r.names.Order, fields.Shown{Words: o.words, Act: o.act, Index: o.index, Faults: faults})
	return draw(o.words, "list", shell{
		Title: firstOf(r.event.Title, o.words.Say("page.theList")), Step: 1, Here: o.seat.at("/list", "/list"), Enter: "read",
		Switched: o.act == "language", Seat: o.seat,
	}, v)
}

// addProblems sorts what is wrong: beside the lines, beside the fields, or above all.
func (v *listView) addProblems(c *wording.Catalogue, r *reading) {
	lines := strings.Split(r.text, "\n")
	at := map[int]int{}
	rules := map[string]bool{} // what the rules of an event say can be mended in the fields
	for _, a := range check.Event(r.event) {
		rules[a.Code+a.Field+a.Text()] = true
	}
	for _, f := range r.faults {
		v.Whole = append(v.Whole, problemView{Kind: c.Say("sheet.mend"), Class: "mend", Text: c.Render(f.Message), Field: f.Field})
		v.Errors++
	}
	for _, p := range r.problems {
		view := viewOf(c, p)
		read := !rules[p.Code+p.Field+p.Text()] // it is about how the list is written, or was read
		if p.Line > 0 && read {
			view.Field = ""
		}
		switch {
		case p.Severity == event.Error:
			v.Errors++
		case p.Severity == event.Warning && read:
			v.Doubts++
		}
		switch {
		case p.Severity == event.Info:
			v.Hints = append(v.Hints, view)
		case view.Field != "" || p.Line < 1 || p.Line > len(lines):
			v.Whole = append(v.Whole, view)
		default:
			i, known := at[p.Line]
			if !known {
				i = len(v.Lines)
				at[p.Line] = i
				v.Lines = append(v.Lines, lineView{Number: p.Line, Text: lines[p.Line-1], Worst: "check"})
			}
			v.Lines[i].add(view)
			v.Lines[i].ask(p)
		}
	}
	for _, l := range r.lines {
		if _, said := at[l.Number]; !said && (l.Use == place.Asked || l.Use == place.Reported) {
			v.Doubts++
		}
	}
	slices.SortStableFunc(v.Lines, func(a, b lineView) int { return a.Number - b.Number })
	for i := range v.Lines { // unless the button that was pressed has a place of its own
		if v.Lines[i].Worst == "mend" && slices.Contains([]string{"", "read", "plan", "go"}, v.Focus) {
			v.Lines[i].Focus = true
			break
		}
	}
}

// Rows is how many rows of the page a line takes, on a phone at most.
func (l *lineView) Rows() int { return min(1+len([]rune(l.Text))/40, 8) }

// ask adds the question of a problem that can be answered by choosing.
func (l *lineView) ask(p intake.Problem) {
	if p.Written == "" || len(p.Candidates) == 0 || !strings.Contains(l.Text, p.Written) {
		return
	}
	k := len(l.Asked)
	l.Asked = append(l.Asked, askedView{
		Name: fmt.Sprintf("answer.%d.%d", l.Number, k), AskedName: fmt.Sprintf("asked.%d.%d", l.Number, k),
		Written: p.Written, Candidates: p.Candidates,
	})
}

func (l *lineView) add(p problemView) {
	l.Problems = append(l.Problems, p)
	if p.Class == "mend" {
		l.Worst = "mend"
	}
}
