package main

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/clipperhouse/displaywidth"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
)

// usualWidth is the columns of text where there is no terminal.
const usualWidth = 100

// reading writes what was understood of a list for a person: each line with who is in its photographs, what was set
// aside, what was learned beside them, and what has to be asked.
type reading struct {
	b      strings.Builder
	got    *kinorderv1.ImportResponse
	width  int
	left   int               // columns of the lines as they are written
	next   string            // a heading, written before the first row below it
	given  map[string]string // short names of the couple
	called map[string]bool   // whose relation was told
}

func (p *Program) readingOf(got *kinorderv1.ImportResponse) string {
	r := &reading{got: got, width: p.columns(0), given: make(map[string]string), called: make(map[string]bool)}
	if r.width == 0 {
		r.width = usualWidth
	}
	r.shorten()
	r.photographs()
	r.aside()
	r.learned()
	r.questions()
	return r.b.String()
}

// shorten calls the couple by their first names, when those differ.
func (r *reading) shorten() {
	e := r.got.GetEvent()
	at := slices.IndexFunc(e.GetCircles(), func(c *kinorderv1.Circle) bool { return c.GetId() == "couple" })
	if at < 0 || len(e.GetCircles()[at].GetMembers()) != 2 {
		return
	}
	first := make(map[string]bool)
	for _, p := range e.GetPeople() {
		if slices.Contains(e.GetCircles()[at].GetMembers(), p.GetId()) {
			name, _, _ := strings.Cut(p.GetName(), " ")
			r.given[p.GetId()], first[name] = name, true
		}
	}
	if len(first) < 2 {
		clear(r.given)
	}
}

func (r *reading) photographs() {
	for _, l := range r.got.GetLines() {
		if len(l.GetPhotographs()) > 0 {
			r.left = max(r.left, displaywidth.String(printable(l.GetText())))
		}
	}
	r.left = min(r.left, 2*r.width/5)
	for _, l := range r.got.GetLines() {
		if len(l.GetPhotographs()) == 0 {
			continue
		}
		text := fitted(l.GetText(), r.left)
		number := fmt.Sprintf("%4d", l.GetNumber())
		for _, p := range l.GetPhotographs() {
			pad := strings.Repeat(" ", r.left-displaywidth.String(text))
			r.row(number+"  "+text+pad+"  ", r.left+8, r.who(p))
			number, text = "    ", ""
		}
	}
}

// row writes a text behind a beginning, wrapped at spaces below itself.
func (r *reading) row(begin string, indent int, text string) {
	if r.next != "" {
		fmt.Fprintf(&r.b, "\n%s\n", r.next)
		r.next = ""
	}
	room := max(20, r.width-indent)
	line := ""
	for word := range strings.FieldsSeq(text) {
		if line != "" && displaywidth.String(line)+1+displaywidth.String(word) > room {
			fmt.Fprintf(&r.b, "%s%s\n", begin, line)
			begin, line = strings.Repeat(" ", indent), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	fmt.Fprintf(&r.b, "%s%s\n", begin, line)
}

// fitted is a text in so many columns at most.
func fitted(text string, columns int) string {
	text = printable(strings.Join(strings.Fields(text), " "))
	if displaywidth.String(text) <= columns {
		return text
	}
	for text != "" && displaywidth.String(text) > columns-1 {
		_, size := utf8.DecodeLastRuneInString(text)
		text = text[:len(text)-size]
	}
	return strings.TrimSpace(text) + "…"
}

// who says who is in a photograph.
func (r *reading) who(p *kinorderv1.ImportPhotograph) string {
	names := r.names(p.GetPeople())
	if more := int(p.GetCount()) - len(p.GetPeople()); more > 0 && !p.GetEverybody() {
		names += fmt.Sprintf(" and %d more", more)
	}
	if p.GetEverybody() {
		names = fmt.Sprintf("everybody (%d)", p.GetCount())
		if len(p.GetWithout()) > 0 {
			names = fmt.Sprintf("everybody but %s (%d)", r.names(p.GetWithout()), p.GetCount())
		}
	}
	if len(p.GetEach()) > 0 {
		names = strings.TrimPrefix(names+" + each of: ", " + ") + r.names(p.GetEach())
	}
	switch p.GetPriority() {
	case kinorderv1.Priority_PRIORITY_MUST:
		names += " [must]"
	case kinorderv1.Priority_PRIORITY_NICE:
		names += " [if time]"
	}
	return names
}

// names lists people, each with the relation the first time.
func (r *reading) names(list []*kinorderv1.ImportPerson) string {
	var out []string
	for _, p := range list {
		name := printable(p.GetName())
		switch given := r.given[p.GetId()]; {
		case given != "":
			name = printable(given)
		case p.GetUnnamed():
			name += " (who?)"
		case p.GetRelation() != "" && !r.called[p.GetId()]:
			name += " (" + printable(p.GetRelation()) + ")"
		}
		r.called[p.GetId()] = true
		out = append(out, name)
	}
	return strings.Join(out, ", ")
}

// aside lists the lines of which nothing is used. What is said of several is said once.
func (r *reading) aside() {
	said := ""
	r.next = "Not used"
	for _, l := range r.got.GetLines() {
		if l.GetUse() != kinorderv1.LineUse_LINE_USE_REPORTED {
			continue
		}
		why := strings.Join(l.GetTold(), " ")
		if why == said {
			why = ""
		} else {
			said = why
		}
		r.row(fmt.Sprintf("%4d  ", l.GetNumber()), 6, strings.TrimSpace(printable(l.GetText()+"  "+why)))
	}
}

// learned tells what is known beside who is in the photographs, and which lines say it.
func (r *reading) learned() {
	r.next = "Also understood"
	for _, text := range r.got.GetLearned() {
		r.row("      ", 6, begun(text))
	}
	for _, l := range r.got.GetLines() {
		if l.GetUse() == kinorderv1.LineUse_LINE_USE_REPORTED || len(l.GetPhotographs()) > 0 && len(l.GetTold()) == 0 {
			continue
		}
		what := printable(strings.Join(l.GetTold(), " "))
		if len(l.GetPeople()) > 0 {
			what = strings.TrimSpace(r.names(l.GetPeople()) + "  " + what)
		}
		if what != "" {
			r.row(fmt.Sprintf("%4d  ", l.GetNumber()), 6, what)
		}
	}
}

// begun is a text with a capital.
func begun(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	return printable(string(unicode.ToUpper(first)) + text[size:])
}

func (r *reading) questions() {
	r.next = "Questions"
	for _, q := range r.got.GetQuestions() {
		lines := ""
		if len(q.GetLines()) > 0 {
			lines = fmt.Sprint(q.GetLines()[0])
		}
		text := q.GetText()
		if n := len(q.GetLines()); n > 1 {
			text += fmt.Sprintf(" (lines %s)", strings.Trim(strings.ReplaceAll(fmt.Sprint(q.GetLines()), " ", ", "), "[]"))
		}
		r.row(fmt.Sprintf("%4s  ", lines), 6, printable(text))
		if len(q.GetChoices()) > 0 && q.GetCode() != "STANDS_FOR_SOME" && !strings.Contains(q.GetText(), q.GetChoices()[0]) {
			r.row("      ", 6, printable(strings.Join(q.GetChoices(), " / ")))
		}
	}
}
