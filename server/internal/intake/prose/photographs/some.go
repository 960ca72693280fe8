package photographs

import (
	"slices"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
)

// someOfAll takes everybody of whom more is said for some, whom the list does not name: "everyone who was born in Volos", and
// not "everyone who is here".
func someOfAll(s *statements.Statement) {
	for _, t := range s.Head.Terms {
		if t.Kind != speech.All || t.Owner != nil {
			continue
		}
		at := slices.IndexFunc(s.Head.Attrs, func(a speech.Attribute) bool {
			if a.Class != "note" || a.Start <= t.Start || a.Start > t.End+1 {
				return false
			}
			in := names.Words(a.Text)
			return len(in) > 2 && words.Listed("who of all", in[0]) && !slices.ContainsFunc(in, func(w string) bool { return words.Listed("present", w) })
		})
		if at < 0 {
			continue
		}
		a := s.Head.Attrs[at]
		t.Kind, t.Text, t.End, t.Word = speech.Label, s.Line.Text[t.Start:a.End], a.End, words.Word{}
		s.Head.Attrs = slices.Delete(s.Head.Attrs, at, at+1)
	}
}

// ownFamily reports whether a line asks for the family of one of the couple and no more, who is in it then: "Lia's family", "Lia's
// family without kids".
func (r *Reader) ownFamily(s *statements.Statement, group []*speech.Term, c *facts.Scope) bool {
	t := group[0]
	if s.Colon || s.Head.Solo || t.Owner == nil || t.Word.Arg != "family" || len(t.Names) > 0 || slices.ContainsFunc(group[1:], func(x *speech.Term) bool { return !x.Minus }) {
		return false
	}
	of := r.Owners(t, c)
	return len(of) == 1 && r.Guests[of[0]].Half > 0
}

// whatTheyAre leaves out words for several at the end that only say what those named before are: "Ann & Bea, sisters only".
func (r *Reader) whatTheyAre(s *statements.Statement, terms []*speech.Term) []*speech.Term {
	last := len(terms) - 1
	if !s.Head.Solo || last < 2 {
		return terms
	}
	t := terms[last]
	if t.Kind != speech.Kin || !t.Word.Plural || t.Owner != nil || t.Sep != "," || t.Minus || len(t.Names) > 0 || slices.ContainsFunc(terms[:last], func(x *speech.Term) bool { return x.Kind != speech.Person && x.Kind != speech.Half || x.Minus }) {
		return terms
	}
	return terms[:last]
}

// onlyTheirs reports whether words for a family find nobody but one of the couple who has its last name, so that its people are not
// named: "the whole Lind clan".
func (r *Reader) onlyTheirs(t *speech.Term, ids []int) bool {
	return t.Kind == speech.Kin && t.Word.Arg == "family" && !t.Minus && !slices.ContainsFunc(ids, func(i int) bool { return r.Guests[i].Half == 0 })
}

// onlyKin reports whether a bracket holds nothing but words of kin for several.
func onlyKin(sub []*speech.Term) bool {
	return !slices.ContainsFunc(sub, func(t *speech.Term) bool {
		return t.Kind != speech.Kin || len(t.Names) > 0 || !t.Word.Plural && t.Word.Arg != "grandparent"
	})
}
