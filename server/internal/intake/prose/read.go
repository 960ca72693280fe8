// Package prose reads lists as people type them into a message. DEVELOPERS.md, "How a list is read", has the
// design: lines, tokens, phrases, what the whole list says of who is who, the kind of each line, and only then
// photographs, each from its own line and the roster. What it cannot tell it asks; it never makes a guest of a
// word that it does not know, and drops nothing in silence.
package prose

import (
	"maps"
	"slices"
	"strings"
	"time"

	"golang.org/x/text/unicode/norm"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/couple"
	"kinorder.example/server/internal/intake/prose/letters"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/photographs"
	"kinorder.example/server/internal/intake/prose/questions"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/wording"
)

// reader reads one list.
type reader struct {
	photographs.Reader
	told map[int]answer // lines that answer questions, by index
}

// Read reads a list. base is an event whose people, circles and sides the list may refer to; its
// groupings come first. The content is UTF-8; problems say where. What it returns when m is used up is worth
// nothing.
// A day without a year is the next one from today on; the zero time has it asked for.
func Read(m *effort.Meter, content string, base event.Event, today time.Time) place.Result {
	r := newReader(m, base)
	r.Today = today
	out := r.read(content)
	for range 2 { // what answers say is known to all lines when the list is read again, which may have others asked
		told := r.answers()
		if len(told) == len(r.told) {
			break
		}
		r = newReader(m, base)
		r.Today, r.told = today, told
		out = r.read(content)
	}
	if telling := r.unheard(); len(telling) > 0 && m.Spares() {
		second := newReader(m, base)
		second.Today, second.told, second.Telling = today, r.told, telling
		if again := second.read(content); m.Err() == nil && 2*second.nameless() <= r.nameless() {
			return again
		}
	}
	return out
}

func (r *reader) read(content string) place.Result {
	// A long list is refused before anything is made of each of its lines.
	if len(content) > place.MaxContent || strings.Count(content, "\n") >= place.MaxLines {
		r.Tell(1, 0, event.Error, place.CodeTooLong, "", wording.Say("list.listIsLongerThanLinesOr", place.MaxLines, place.MaxContent>>10))
		return r.result()
	}
	r.Lines = lines.Split(norm.NFC.String(content))
	r.Formal = len(r.Base.People) > 0
	r.clean()
	r.setAside()
	r.takeApart()
	questions.Find(r.Speech())
	r.GuestLines()
	couple.Find(r.Speech())
	r.SectionWriters()
	for n := range 2 { // names that are learned last are known to all lines the second time
		r.Again = n > 0
		r.ParseLines()
		r.Sections()
		for range 2 {
			for _, s := range r.Statements {
				r.Learn(s)
			}
			r.learnAnswers()
		}
		r.OfWriter()
		who := r.Writer() // as all of the list says, from its first line on
		r.WhoWrites = func() int { return who }
	}
	r.Day()
	r.Make()
	r.tellTaken()
	r.finish(true)
	return r.result()
}

// takeApart makes tokens of all lines and finds what letters mean in them.
func (r *reader) takeApart() {
	r.TakeApart()
	letters.Find(r.Speech())
}

func newReader(m *effort.Meter, base event.Event) *reader {
	r := &reader{Reader: photographs.Reader{Taken: make(map[int][]wording.Message), Heard: make(map[[2]int]bool)}}
	*r.Speech() = speech.New(people.New(m, base))
	r.WhoWrites = r.Writer
	r.fromBase()
	return r
}

// clean looks for characters that no list has, and for lines that are too long to be one.
func (r *reader) clean() {
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Blank {
			continue
		}
		if l.Ruler {
			r.Use(l.Number, place.Ruler)
			continue
		}
		if n := len([]rune(l.Text)); n > place.MaxLine {
			r.Tell(l.Number, 1, event.Error, place.CodeTooLong, "", wording.Say("list.lineHasCharactersFarMoreThan", n))
			r.Use(l.Number, place.Reported)
			l.Ruler = true
			continue
		}
		if at := strings.IndexFunc(l.Text, place.Invisible); at >= 0 {
			r.Tell(l.Number, l.Column(at), event.Warning, place.CodeNotUsed, "", wording.Say("list.invisibleCharacterStandsHere"))
			wipe := func(c rune) rune {
				if place.Invisible(c) {
					return ' '
				}
				return c
			}
			l.Text = strings.Map(wipe, l.Text)
			for k := range l.Cells {
				l.Cells[k] = strings.Map(wipe, l.Cells[k])
			}
		}
	}
}

// result puts everything into the order of the lines.
func (r *reader) result() place.Result {
	var lines []int
	for i := range r.Lines {
		if !r.Lines[i].Blank {
			lines = append(lines, r.Lines[i].Number)
		}
	}
	out := r.Result(r.Event, lines)
	for k := range out.Lines {
		if n := out.Lines[k].Number; n <= len(r.Lines) && r.Lines[n-1].Number == n {
			out.Lines[k].Text = r.Lines[n-1].Shown()
		}
	}
	out.Language = r.Main
	return out
}

// tellTaken says of each line what was taken from it.
func (r *reader) tellTaken() {
	for _, line := range slices.Sorted(maps.Keys(r.Taken)) {
		r.Tell(line, 1, event.Info, place.CodeTakenAs, "", wording.Say("list.takenFromIt", wording.Semicolons(r.Taken[line]...)))
	}
}
