package photographs

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/wording"
)

// ofOthers reports whether a statement beside photographs that have bullets or numbers may say how much these are wanted: "The one
// with Gran is the most important", "If we run late, drop the choir".
func (r *Reader) ofOthers(s *statements.Statement) bool {
	return r.Marked() && s.Line.Mark == 0 && s.Line.Ask == 0 && s.Line.Answer == 0 && s.Line.Cells == nil &&
		(s.Kind == statements.Remark || s.Kind == statements.Definition && s.Colon && !s.Context.Guests || s.Clause && s.Kind == statements.Photo) && r.wanted(r.OfLine(s)) != event.Should && len(r.Taken[s.Line.Number]) == 0
}

// wanted is the priority that statements of a line say.
func (r *Reader) wanted(all []*statements.Statement) event.Priority {
	for _, s := range all {
		for _, p := range speech.Flat(s.Phrases) {
			if prio, ok := priorityOf(&p); ok && !r.NameLike(&p) {
				return prio
			}
		}
	}
	return event.Should
}

// favoured gives photographs the priority that statements about them say, found by who is in them; a statement that names those of no
// other photograph asks for one of its own.
func (r *Reader) favoured(later []*statements.Statement) {
	for _, s := range r.Statements { // once more: those without names are known now
		r.Line = s.Line
		r.neverTogether(s, true)
		r.turns(s)
	}
	told := make(map[int]bool)
	for _, s := range later {
		r.Line = s.Line
		found := r.toldOf(s)
		told[s.Index] = told[s.Index] || len(found) > 0
		for _, p := range found {
			p.Grouping.Priority = r.wanted(r.OfLine(s))
			r.took(s, s.Phrases, wording.Say("%s: %s", strings.TrimSpace(p.Statement.Line.Text), wording.Say(priorityWords[p.Grouping.Priority])))
		}
	}
	for _, s := range later {
		r.Line = s.Line
		switch {
		case told[s.Index]:
			r.Use(s.Line.Number, place.Used)
		case s.Kind == statements.Photo:
			r.wish(s)
		case s.Kind == statements.Definition:
			r.Use(s.Line.Number, place.Used)
			r.rules(s)
		default:
			r.asideLine(s)
		}
	}
}

// toldOf are the photographs whose people a statement names: all of them, those between commas, or one by one.
func (r *Reader) toldOf(s *statements.Statement) []*Photograph {
	terms := s.Terms()
	one := make([][]*speech.Term, len(terms))
	for k := range terms {
		one[k] = terms[k : k+1]
	}
	for _, groups := range [][][]*speech.Term{{terms}, betweenCommas(s), one} {
		var out []*Photograph
		missing := false
		for _, g := range groups {
			ids, all, some := r.whom(g, r.ScopeOf(s))
			if !some {
				continue
			}
			found := r.photographsOf(ids, all)
			missing = missing || len(found) == 0
			out = append(out, found...)
		}
		if len(out) > 0 && !missing {
			return out
		}
	}
	return nil
}

// betweenCommas are the terms of a statement as commas divide them.
func betweenCommas(s *statements.Statement) [][]*speech.Term {
	out := [][]*speech.Term{nil}
	terms := s.Terms()
	for _, p := range s.Phrases {
		for len(terms) > 0 && terms[0].Start < p.Start {
			out[len(out)-1], terms = append(out[len(out)-1], terms[0]), terms[1:]
		}
		if p.Key == "," {
			out = append(out, nil)
		}
	}
	out[len(out)-1] = append(out[len(out)-1], terms...)
	return out
}

// whom are those whom terms name and the list knows; all for everybody.
func (r *Reader) whom(terms []*speech.Term, c *facts.Scope) (ids []int, all, some bool) {
	for _, t := range terms {
		var of []int
		switch t.Kind {
		case speech.Person:
			of = r.Find(t.Name)
		case speech.Kin, speech.Role:
			of = r.ResolveKin(t, c)
		case speech.Couple:
			of = r.Principals()
		case speech.Half:
			of = []int{r.Couple[max(0, r.HalfOf(t.Word.Sex)-1)]}
		case speech.All:
			all = true
		case speech.Label:
			for i := range r.Guests {
				if !r.Effort.Spend(5) {
					return nil, false, false
				}
				key := people.LabelKey(t.Text)
				if given := people.LabelKey(r.Guests[i].Given); r.Guests[i].Unnamed && (given == key || strings.HasPrefix(given, key+" ")) {
					of = append(of, i)
				}
			}
			of = people.Union(of, r.Groups[people.LabelKey(t.Text)])
		}
		ids = people.Union(ids, slices.DeleteFunc(slices.Clone(of), func(i int) bool { return i < 0 }))
	}
	return ids, all, all || len(ids) > 0
}

// photographsOf are the photographs of just these, else the one whose others than the couple are these.
func (r *Reader) photographsOf(ids []int, all bool) []*Photograph {
	same := func(a, b []int) bool { return len(less(a, b))+len(less(b, a)) == 0 }
	for _, leave := range [][]int{nil, r.Principals()} {
		var out []*Photograph
		if !r.Effort.Spend(30 * len(r.Photographs)) {
			return nil
		}
		for _, p := range r.Photographs {
			others := less(ids, leave)
			if !p.Dropped && p.All == all && (all && len(less(ids, r.Principals())) == 0 || !all && len(others) > 0 && same(less(p.Set, leave), others)) {
				out = append(out, p)
			}
		}
		if len(out) == 1 {
			return out
		}
	}
	return nil
}
