package prose

import (
	"regexp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/kin"
)

// onlySaid reports whether words behind a name say what that person is, and name nobody.
func (r *reader) onlySaid(p parsed) bool {
	return !slices.ContainsFunc(p.terms, func(t *term) bool { return t.kind == person })
}

// keepWords keeps what a line of guests says that somebody is, as it is written.
func (r *reader) keepWords(i int, t *term) {
	g := &r.Guests[i]
	if r.Line.Part != lines.GuestLine || t.kind == person || g.Relation != "" || t.text == "" || t.w.Arg == "family" || g.Half > 0 && t.kind != half {
		return
	}
	s, e := t.s, t.e
	if t.own != nil && s <= len(r.Line.Text) {
		s = 0
		for _, at := range saidAfter.FindAllStringIndex(r.Line.Text[:t.s], -1) {
			s = at[1]
		}
	}
	if s > e || e > len(r.Line.Text) {
		return
	}
	text := strings.TrimSpace(r.Line.Text[s:e])
	if t.w.Plural && t.own == nil {
		text = kin.Singular(text)
	}
	g.Relation = place.Clip(text)
}

// saidAfter is what stands before words of kin with their owner: "Jonas - Leïla's husband".
var saidAfter = regexp.MustCompile(`\s+[-–—]+\s+|[,;:，、؛،(（]`)

// said takes words behind a name that are no kin for what somebody is: "Zoë - friend".
func (r *reader) said(terms []*term) []*term {
	if r.Line.Part != lines.GuestLine || len(terms) < 2 || terms[0].kind != person {
		return terms
	}
	out := terms[:1:1]
	for _, t := range terms[1:] {
		if i := r.who(terms[0]); t.kind == label && len(t.sub) == 0 && i >= 0 {
			r.keepWords(i, t)
			r.describe(i, t.attrs)
			continue
		} else if t.kind == role && t.w.Arg == "party" && len(t.sub) == 0 && i >= 0 {
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
	for _, t := range s.head.terms {
		if t.kind == kinTerm && t.w.Arg != "family" {
			return t.w.Arg
		}
	}
	return ""
}

// namesake finds whom a line of guests means among those of one name: whoever is that kin, else somebody new.
func (r *reader) namesake(t *term, ids []int) (int, bool) {
	if r.Line.Part != lines.GuestLine || r.saying == "" || len(ids) == 0 {
		return 0, false
	}
	for _, i := range ids {
		g := &r.Guests[i]
		if g.Base || g.Half > 0 || len(g.Relations) == 0 || g.Line == r.Line.Number || names.Plain(g.Given) != names.Plain(t.name) || g.Relations[0].Word.Arg == r.saying {
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
	for _, t := range s.head.terms {
		if t.kind != person || len(t.who) == 0 {
			continue
		}
		ids = append(ids, t.who[0])
		joined = joined || t.sep == "&"
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
	terms := append(slices.Clone(s.head.terms), s.tail.terms...)
	young := slices.ContainsFunc(terms, hasAge)
	for _, t := range terms {
		switch {
		case t.kind != person || len(t.who) == 0:
		case len(two) == 0, len(two) == 1 && !hasAge(t) && (t.sep == "&" || t.sep == "," && young):
			two = append(two, t.who[0])
			if len(two) == 2 {
				r.Relate(two[1], words.Word{Class: "kin", Arg: "partner"}, two[:1])
			}
		case t.w.Class == "" && (hasAge(t) || t.sep == "+" || !young):
			r.Relate(t.who[0], words.Word{Class: "kin", Arg: "child"}, two[:1])
		}
	}
}

// keepLost keeps words of a line of guests that mean nothing known as a note on the first who is named.
func (r *reader) keepLost(s *statement) {
	if s.l.Part != lines.GuestLine || len(s.head.terms) == 0 || len(s.head.terms[0].who) == 0 {
		return
	}
	for _, list := range [][]attr{s.head.lost, s.tail.lost} {
		for _, a := range list {
			a.class = "note"
			r.describe(s.head.terms[0].who[0], []attr{a})
		}
	}
}
