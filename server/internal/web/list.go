package web

import (
	_ "embed"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/intake/place"
)

//go:embed assets/example.txt
var exampleList string

// startView is the first page.
type startView struct{ Text string }

func (s *Server) start(*request) (*response, error) {
	return draw("start", shell{Title: "Group photographs in the best order", Step: 1}, startView{})
}

// example shows the first page with a made-up list in it.
func (s *Server) example(*request) (*response, error) {
	return draw("start", shell{Title: "An example", Step: 1}, startView{Text: exampleList})
}

// list answers the form of the first page and of the list itself.
func (s *Server) list(r *request) (*response, error) {
	d, notices, err := readDraft(r.form)
	if err != nil {
		return nil, err
	}
	act, at, _ := strings.Cut(r.form.get("act"), ":")
	index, _ := strconv.Atoi(at)
	d.change(act, index)
	read, err := d.read()
	if err != nil {
		return nil, err
	}
	read.notices = append(notices, read.notices...)
	r.log.count("people", len(read.event.People))
	r.log.count("groupings", len(read.event.Groupings))
	r.log.count("problems", len(read.problems))
	return s.showList(&read, listOptions{act: act, index: index, plan: r.form})
}

// change takes a block or a rule out.
func (d *draft) change(act string, index int) {
	if index < 0 {
		return
	}
	switch {
	case act == "drop-block" && index < len(d.day.Blocks):
		d.day.Blocks = slices.Delete(d.day.Blocks, index, index+1)
	case act == "drop-rule" && index < len(d.day.Rules):
		d.day.Rules = slices.Delete(d.day.Rules, index, index+1)
	}
}

// listOptions say how the page of the list comes up.
type listOptions struct {
	act   string // the button that was pressed
	index int
	// stopped says that a plan was asked for and something has to be mended first.
	stopped bool
	// plan is the form in which a plan made before came back.
	plan posted
}

// listView is the page of the list and the day.
type listView struct {
	Stopped, Ready bool
	Notices        []string
	Summary        string
	Used           string        // what became of the lines of a typed list
	Lines          []lineView    // that have to be mended or looked at
	Hints          []problemView // the rest, by the way
	Whole          []problemView // of the whole list, or of the day
	Errors         int
	Text           string
	Seen           string
	Day            dayView
	Read           readView
	// Carried is a plan that was made before, with what was moved by hand.
	Carried []hiddenField
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

var kindWords = map[event.Severity][2]string{
	event.Error: {"Mend", "mend"}, event.Warning: {"Check", "check"}, event.Info: {"Note", "note"},
}

func viewOf(p intake.Problem) problemView {
	words := kindWords[p.Severity]
	return problemView{Kind: words[0], Class: words[1], Text: p.Text, Field: fieldOf(p.Field), Line: p.Line}
}

func (s *Server) showList(r *reading, o listOptions) (*response, error) {
	v := listView{Stopped: o.stopped, Ready: r.ready(), Notices: r.notices, Text: r.text, Seen: r.seen, Read: readOf(r)}
	for _, name := range []string{"hand", "sheet"} {
		if o.plan.has(name) {
			v.Carried = append(v.Carried, hiddenField{name, o.plan.get(name)})
		}
	}
	v.addProblems(r)
	v.Summary = summaryOf(r.event)
	v.Used = usedOf(r.lines)
	v.Day = dayViewOf(r, o, v.Whole)
	return draw("list", shell{Title: firstOf(r.event.Title, "The list"), Step: 1}, v)
}

// addProblems sorts what is wrong: beside the lines, beside the fields, or above all.
func (v *listView) addProblems(r *reading) {
	lines := strings.Split(r.text, "\n")
	at := map[int]int{}
	rules := map[string]bool{} // what the rules of an event say can be mended in the fields
	for _, a := range event.Check(r.event) {
		rules[a.Code+a.Field+a.Text] = true
	}
	for _, f := range r.faults {
		v.Whole = append(v.Whole, problemView{Kind: "Mend", Class: "mend", Text: f.Text, Field: f.Field})
		v.Errors++
	}
	for _, p := range r.problems {
		view := viewOf(p)
		if p.Line > 0 && !rules[p.Code+p.Field+p.Text] {
			view.Field = "" // it is about how the line is written
		}
		if p.Severity == event.Error {
			v.Errors++
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
	slices.SortStableFunc(v.Lines, func(a, b lineView) int { return a.Number - b.Number })
	for i := range v.Lines {
		if v.Lines[i].Worst == "mend" {
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

// summaryOf counts what was read.
func summaryOf(e event.Event) string {
	taken, emptied := event.Expand(e)
	return fmt.Sprintf("%s, %s", counted1(len(e.People), "person", "people"), counted1(len(taken)+len(emptied), "photograph", "photographs"))
}

// usedOf says what became of the lines of a typed list, so that none is passed over.
func usedOf(lines []intake.Line) string {
	if len(lines) == 0 {
		return ""
	}
	n := map[place.Use]int{}
	for _, l := range lines {
		n[l.Use]++
	}
	words := fmt.Sprintf("Of %s %d used", counted1(len(lines)-n[place.Ruler], "line", "lines"), n[place.Used])
	if n[place.Asked] > 0 {
		words += fmt.Sprintf(", %d asked about", n[place.Asked])
	}
	if n[place.Reported] > 0 {
		words += fmt.Sprintf(", %d not used", n[place.Reported])
	}
	return words + "."
}

func counted1(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// readView shows what was understood, so that nothing that is missing goes unseen.
type readView struct {
	Photographs []photographView
	People      []personView
}

type photographView struct {
	Title, Priority string
	Names           []string
}

type personView struct{ Name, Side, About string }

func readOf(r *reading) readView {
	var v readView
	name := map[string]string{}
	side := map[string]string{}
	for _, s := range r.event.Sides {
		side[s.ID] = firstOf(s.Label, s.ID)
	}
	for _, p := range r.event.People {
		name[p.ID] = firstOf(p.Name, p.ID)
		v.People = append(v.People, personView{name[p.ID], side[p.Side], aboutPerson(p)})
	}
	taken, _ := event.Expand(r.event)
	for _, p := range taken {
		photo := photographView{Title: p.Title, Priority: map[event.Priority]string{event.Must: "must", event.Nice: "if time"}[p.Priority]}
		for _, id := range p.Members {
			photo.Names = append(photo.Names, name[id])
		}
		v.Photographs = append(v.Photographs, photo)
	}
	return v
}

// aboutPerson says what was understood of a person, never the private note.
func aboutPerson(p event.Person) string {
	var parts []string
	add := func(s string) {
		if s != "" {
			parts = append(parts, s)
		}
	}
	add(p.Relation)
	add(map[event.AgeBand]string{event.Elder: "elder", event.Child: "child", event.Infant: "infant"}[p.AgeBand])
	for _, n := range p.Needs {
		add(map[event.Need]string{event.Seat: "needs a seat", event.Wheelchair: "wheelchair", event.StepFree: "no steps", event.Interpreter: "needs an interpreter"}[n])
	}
	if p.SayAs != "" {
		add("say " + p.SayAs)
	}
	if p.PresentFrom != "" {
		add("from " + p.PresentFrom)
	}
	if p.PresentUntil != "" {
		add("until " + p.PresentUntil)
	}
	if p.Absent {
		add("not coming")
	}
	return strings.Join(parts, ", ")
}
