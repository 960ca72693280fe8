package prose

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

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
			r.Describe(s.head.Terms[0].Guests[0], []speech.Attribute{a})
		}
	}
}
