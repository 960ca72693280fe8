package prose

import (
	"regexp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/kin"
)

// keepWords keeps what a line of guests says that somebody is, as it is written.
func (r *reader) keepWords(i int, t *speech.Term) {
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

// said takes words behind a name that are no kin for what somebody is: "Zoë - friend".
func (r *reader) said(terms []*speech.Term) []*speech.Term {
	if r.Line.Part != lines.GuestLine || len(terms) < 2 || terms[0].Kind != speech.Person {
		return terms
	}
	out := terms[:1:1]
	for _, t := range terms[1:] {
		if i := r.who(terms[0]); t.Kind == speech.Label && len(t.Names) == 0 && i >= 0 {
			r.keepWords(i, t)
			r.describe(i, t.Attrs)
			continue
		} else if t.Kind == speech.Role && t.Word.Arg == "party" && len(t.Names) == 0 && i >= 0 {
			r.keepWords(i, t)
		}
		out = append(out, t)
	}
	return out
}

// sayingOf is the kin that a line of guests says first.
func (r *reader) sayingOf(s *statement) string {
	if s.l.Part != lines.GuestLine {
		return ""
	}
	for _, t := range s.head.Terms {
		if t.Kind == speech.Kin && t.Word.Arg != "family" {
			return t.Word.Arg
		}
	}
	return ""
}

// namesake finds whom a line of guests means among those of one name: whoever is that kin, else somebody new.
func (r *reader) namesake(t *speech.Term, ids []int) (int, bool) {
	if r.Line.Part != lines.GuestLine || r.saying == "" || len(ids) == 0 {
		return 0, false
	}
	for _, i := range ids {
		g := &r.Guests[i]
		if g.Base || g.Half > 0 || len(g.Relations) == 0 || g.Line == r.Line.Number || names.Plain(g.Given) != names.Plain(t.Name) || g.Relations[0].Word.Arg == r.saying {
			return i, g.Line == r.Line.Number || len(ids) > 1 && len(g.Relations) > 0 && g.Relations[0].Word.Arg == r.saying
		}
	}
	return r.enterAs(t), true
}

// house says that the people of a line of guests come together: "Hadi & Rim", but not "Hadi, Rim".
func (r *reader) house(s *statement) {
	if s.l.Part != lines.GuestLine || s.ctx.role != nil || s.colon {
		return
	}
	var ids []int
	joined := false
	for _, t := range s.head.Terms {
		if t.Kind != speech.Person || len(t.Guests) == 0 {
			continue
		}
		ids = append(ids, t.Guests[0])
		joined = joined || t.Sep == "&"
	}
	if !joined || len(ids) > 8 {
		return
	}
	for _, i := range ids {
		if r.Guests[i].House == 0 {
			r.Guests[i].House = ids[0] + 1
		}
	}
}

// houseOf takes a line below "Each family:" as one: "Linda & Greg + Emma, Noah", a couple and their children.
func (r *reader) houseOf(s *statement) {
	var two []int
	terms := append(slices.Clone(s.head.Terms), s.tail.Terms...)
	young := slices.ContainsFunc(terms, speech.HasAge)
	for _, t := range terms {
		switch {
		case t.Kind != speech.Person || len(t.Guests) == 0:
		case len(two) == 0, len(two) == 1 && !speech.HasAge(t) && (t.Sep == "&" || t.Sep == "," && young):
			two = append(two, t.Guests[0])
			if len(two) == 2 {
				r.Relate(two[1], words.Word{Class: "kin", Arg: "partner"}, two[:1])
			}
		case t.Word.Class == "" && (speech.HasAge(t) || t.Sep == "+" || !young):
			r.Relate(t.Guests[0], words.Word{Class: "kin", Arg: "child"}, two[:1])
		}
	}
}

// keepLost keeps words of a line of guests that mean nothing known as a note on the first who is named.
func (r *reader) keepLost(s *statement) {
	if s.l.Part != lines.GuestLine || len(s.head.Terms) == 0 || len(s.head.Terms[0].Guests) == 0 {
		return
	}
	for _, list := range [][]speech.Attribute{s.head.Unknown, s.tail.Unknown} {
		for _, a := range list {
			a.Class = "note"
			r.describe(s.head.Terms[0].Guests[0], []speech.Attribute{a})
		}
	}
}
