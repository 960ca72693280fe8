// Package typed reads lists as people type them into a message: one photograph a line, names and
// relations in their own words, people declared by a list of guests or simply by being named. What it
// cannot tell it asks; it never drops a line in silence and never chooses between two people.
package typed

import (
	"strings"

	"golang.org/x/text/unicode/norm"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/roster"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// reader reads one list.
type reader struct {
	*roster.Roster
	lines []line
	place.Notes

	declared bool // there is a list of guests: names that are not on it are asked about
	dry      bool // names are only gathered, nothing is changed or asked
	gathered []gathered
	stands   map[string]int // words that stand for several people, by the person that stands for them
	named    []int          // people declared by being named
	last     []int          // people of the grouping before
	lastIDs  []string
	homes    map[int]mark // where a person was first named
	groups   int          // groupings of the base
	base     int          // people of the base
	// topLevel says that people are declared by what holds for the whole list, where they are called
	// by a part of their names; provisional are those who were.
	topLevel    bool
	provisional map[int][]string // by the words of their names
	pending     []span           // words of the current line for its private note
	current     *line
	coupleID    string // of the circle of the couple, once it is needed
	overflow    bool   // the list is longer than an event can be
	number      int    // of people that the words of the list say, for those who stand for them
	saying      string // the relation that the line gives to those it declares
	side        string // of the section that is read
}

// weight is the effort of a text in characters: others than ASCII take much longer to fold.
func weight(text string) int {
	if kin.IsASCII(text) {
		return len(text)
	}
	return 4 * len(text)
}

// reads says which line is being read.
func (r *reader) reads(l *line) {
	r.current = l
	r.Effort.At(l.number)
}

// The effort of taking a character of a line apart, of looking several entries up as one, and of finding out
// what an entry is that nobody is called by.
const (
	lineEffort   = 60
	joinedEffort = 200
	entryEffort  = 1500
)

// mark is a place in the list.
type mark struct{ line, column int }

// gathered is a name of which nobody is known yet.
type gathered struct {
	name string
	mark
	on       *line
	namesake bool // one of "Mr & Mrs Vance": not the other
}

// Read reads a list. base is an event whose people, circles and sides the list may refer to; its
// groupings come first. The content is UTF-8; problems say where. What it returns when m is used up is worth
// nothing.
func Read(m *effort.Meter, content string, base event.Event) place.Result {
	r := newReader(m, base)
	content = norm.NFC.String(content)
	r.lines = split(content)
	if len(content) > place.MaxContent || len(r.lines) > place.MaxLines {
		r.report(mark{1, 0}, event.Error, place.CodeTooLong, "", wording.Say("list.listIsLongerThanLinesOr", place.MaxLines, place.MaxContent>>10))
		for _, l := range r.lines {
			if !l.blank {
				r.Use(l.number, place.Reported)
			}
		}
		return r.result()
	}
	r.clean()
	sections := r.sections()
	r.topLevel = true
	r.day(sections)
	r.topLevel = false
	r.declare(sections)
	r.LinkOwners()
	r.gather(sections)
	r.define(sections)
	r.photographs(sections)
	if len(r.Event.Groupings) == 0 {
		r.report(mark{1, 0}, event.Error, place.CodeNoPhotographs, "", wording.Say("list.noLineAsksForAPhotograph"))
	}
	return r.result()
}

func newReader(m *effort.Meter, base event.Event) *reader {
	return &reader{
		Roster: roster.New(base, m), homes: make(map[int]mark),
		stands: make(map[string]int), declared: len(base.People) > 0, groups: len(base.Groupings),
		base: len(base.People), provisional: make(map[int][]string),
	}
}

// clean looks for characters that no list has, and for lines that are too long to be one.
func (r *reader) clean() {
	for i := range r.lines {
		l := &r.lines[i]
		if l.blank {
			continue
		}
		if l.ruler {
			r.Use(l.number, place.Ruler)
			continue
		}
		if n := len([]rune(l.text)); n > place.MaxLine {
			r.report(mark{l.number, 1}, event.Error, place.CodeTooLong, "", wording.Say("list.lineHasCharactersFarMoreThan", n))
			r.Use(l.number, place.Reported)
			l.ruler = true
			continue
		}
		if at := strings.IndexFunc(l.text, place.Invisible); at >= 0 {
			l.text = strings.Map(func(c rune) rune {
				if place.Invisible(c) {
					return ' '
				}
				return c
			}, l.text)
			r.report(mark{l.number, l.cut(at, len(l.text)).col}, event.Warning, place.CodeNotUsed, "", wording.Say("list.invisibleCharacterStandsHere"))
			l.span = l.cut(0, len(l.text))
		}
	}
}

// report adds a problem.
func (r *reader) report(at mark, severity event.Severity, code, written string, m wording.Message, candidates ...string) {
	if r.dry {
		return
	}
	r.Report(at.line, at.column, severity, code, written, m, candidates...)
}

// result puts everything into the order of the lines.
func (r *reader) result() place.Result {
	var lines []int
	for _, l := range r.lines {
		if !l.blank {
			lines = append(lines, l.number)
		}
	}
	return r.Result(r.Event, lines)
}

// full reports whether the list has more people or photographs than an event can hold; then the line
// is not read.
func (r *reader) full(l *line) bool {
	if !r.Effort.Spend(lineEffort * (10 + weight(l.text))) {
		return true
	}
	if len(r.Event.People) <= event.MaxPeople && len(r.Event.Groupings) <= event.MaxPhotographs {
		return false
	}
	if !r.dry {
		r.Use(l.number, place.Reported)
		if !r.overflow {
			r.report(mark{l.number, 1}, event.Error, event.CodeTooMany, "", wording.Say("list.fromThisLineOnTheList", event.MaxPeople, event.MaxPhotographs))
		}
		r.overflow = true
	}
	return true
}

// Closest is the roster's, for questions that are still listed.
func (r *reader) Closest(text string, n int) []int {
	if r.dry || r.Full() {
		return nil
	}
	return r.Roster.Closest(text, n)
}

// at is the place of a span in the current line.
func (r *reader) at(s span) mark { return mark{r.current.number, s.col} }

// few lists people for a sentence.
func (r *reader) few(people []int) wording.Arg {
	return wording.Comma(shortened(r.Names(people), wording.Said)...)
}

// shortened makes messages of names, of the first ones when there are many.
func shortened(names []string, write func(string) wording.Message) []wording.Message {
	var out []wording.Message
	for _, n := range names[:min(place.MostNamed, len(names))] {
		out = append(out, write(n))
	}
	if more := len(names) - place.MostNamed; more > 0 {
		out = append(out, wording.Say(wording.KeyMore, more))
	}
	return out
}

// either writes candidates into a sentence: A, B or C.
func either(candidates []string) wording.Arg {
	return wording.Or(shortened(candidates, func(c string) wording.Message { return wording.Say("%s", place.Quoted(c)) })...)
}
