package prose

import (
	"slices"

	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
)

// unheard are the lines, by index, that name kin and were not used, in a reading that doesn't know the names of kin in its photographs:
// sooner than a remark they say who is who.
func (r *reader) unheard() map[int]bool {
	if r.nameless() < 2 {
		return nil
	}
	unused := make(map[int]bool)
	for _, p := range r.Problems {
		if p.Code == place.CodeNotUsed {
			unused[p.Line] = true
		}
	}
	out := make(map[int]bool)
	for _, s := range r.Statements {
		if s.Kind == statements.Remark && !s.Context.Scene && !speech.AnyHas(s.Phrases, "absent", "dead", "minus", "greet") && unused[s.Line.Number] && namesKin(s.Head.Terms, s.Tail.Terms) {
			out[s.Index] = true
		}
	}
	return out
}

// namesKin reports whether words of kin or a role stand with names, on one side of a colon or with it between.
func namesKin(head, tail []*speech.Term) bool {
	person := func(t *speech.Term) bool { return t.Kind == speech.Person }
	open := func(t *speech.Term) bool { return t.Kind == speech.Kin || t.Kind == speech.Role }
	told := func(t *speech.Term) bool { return person(t) && t.Word.Class != "" || open(t) && len(t.Names) > 0 }
	return slices.ContainsFunc(slices.Concat(head, tail), told) || slices.ContainsFunc(head, open) && slices.ContainsFunc(tail, person) || slices.ContainsFunc(head, person) && slices.ContainsFunc(tail, open)
}

// nameless is how many entries stand for people whose names the reading doesn't know.
func (r *reader) nameless() int {
	n := 0
	for i := range r.Guests {
		if r.Guests[i].Unnamed && !r.Guests[i].Never {
			n++
		}
	}
	return n
}
