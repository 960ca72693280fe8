package facts

import (
	"regexp"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// keepWords keeps what a line of guests says that somebody is, as it is written.
func (r *Reader) keepWords(i int, t *speech.Term) {
	g := &r.Guests[i]
	if r.Line.Part != lines.GuestLine || t.Kind == speech.Person || g.Relation != "" || t.Text == "" || t.Word.Arg == "family" || g.Half > 0 && t.Kind != speech.Half {
		return
	}
	s, e := t.Start, t.End
	if t.Owner != nil && s <= len(r.Line.Text) {
		s = 0
		for _, at := range saidAfter.FindAllStringIndex(r.Line.Text[:t.Start], -1) {
			s = at[1]
		}
	}
	if s > e || e > len(r.Line.Text) {
		return
	}
	text := strings.TrimSpace(r.Line.Text[s:e])
	if t.Word.Plural && t.Owner == nil {
		text = kin.Singular(text)
	}
	g.Relation = place.Clip(text)
}

// saidAfter is what stands before words of kin with their owner: "Jonas - Leïla's husband".
var saidAfter = regexp.MustCompile(`\s+[-–—]+\s+|[,;:，、؛،(（]`)

// Said takes words behind a name that are no kin for what somebody is: "Zoë - friend".
func (r *Reader) Said(terms []*speech.Term) []*speech.Term {
	if r.Line.Part != lines.GuestLine || len(terms) < 2 || terms[0].Kind != speech.Person {
		return terms
	}
	out := terms[:1:1]
	for _, t := range terms[1:] {
		if i := r.Who(terms[0]); t.Kind == speech.Label && len(t.Names) == 0 && i >= 0 {
			r.keepWords(i, t)
			r.Describe(i, t.Attrs)
			continue
		} else if t.Kind == speech.Role && t.Word.Arg == "party" && len(t.Names) == 0 && i >= 0 {
			r.keepWords(i, t)
		}
		out = append(out, t)
	}
	return out
}

var needsOf = map[string]event.Need{"wheelchair": event.Wheelchair, "seat": event.Seat, "stepfree": event.StepFree, "interpreter": event.Interpreter}

// Describe keeps what is said of a person: age, needs, absence, times, notes.
func (r *Reader) Describe(i int, attrs []speech.Attribute) {
	g := &r.Guests[i]
	for k := range attrs {
		a := &attrs[k]
		switch a.Class {
		case "need":
			if n := needsOf[a.Arg]; n != event.NoNeed && !slices.Contains(g.Needs, n) {
				g.Needs = append(g.Needs, n)
			}
		case "say":
			g.SayAs = a.Text
		case "nick":
			if !slices.Contains(g.Nicknames, a.Text) && a.Text != g.Given {
				g.Nicknames = append(g.Nicknames, a.Text)
				r.Call(i, a.Text)
			}
		case "absent":
			g.Absent = true
		case "dead":
			g.Never = true
		case "years":
			if a.Arg == "" || g.Age < 0 {
				r.AgeIn(g, a.Num)
			}
		case "months", "weeks":
			g.AgeBand, g.Age = event.Infant, 0
			if a.Class == "months" && a.Num >= 24 {
				r.AgeIn(g, a.Num/12)
			}
		case "elder":
			g.AgeBand = event.Elder
		case "child":
			if g.AgeBand == event.Adult {
				g.AgeBand = event.Child
			}
		case "infant":
			g.AgeBand = event.Infant
		case "from", "until":
			if at := TimeAfter(attrs[k+1:]); at != "" {
				if a.Class == "from" {
					g.PresentFrom = at
				} else {
					g.PresentUntil = at
				}
			}
		case "time":
			if g.PresentFrom == "" && g.PresentUntil == "" && slices.ContainsFunc(attrs, func(b speech.Attribute) bool { return b.Class == "note" && strings.Contains(b.Text, "late") }) {
				g.PresentFrom = a.Arg
			}
		case "note":
			if a.Text != "" && !strings.Contains(g.PrivateNote, a.Text) {
				if g.PrivateNote != "" {
					g.PrivateNote += "; "
				}
				g.PrivateNote += a.Text
				r.At(a.Start, event.Info, place.CodeKeptAsNote, a.Text, wording.Say("list.keptAsNotes", place.Quoted(a.Text)))
			}
		}
	}
}
