package photographs

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// addTo makes a photograph of the one before and whom an indented or "+" line adds.
func (r *Reader) addTo(s *statements.Statement) {
	var before *Photograph
	for k := len(r.Photographs) - 1; k >= 0 && before == nil; k-- {
		if !r.Photographs[k].Dropped && !r.Photographs[k].Statement.Beside(s) {
			before = r.Photographs[k]
		}
	}
	r.Use(s.Line.Number, place.Used)
	p := &Photograph{Statement: s}
	c := r.ScopeOf(s)
	if before != nil {
		p.Set = slices.Clone(before.Set)
		p.All = before.All
		if s.Over != nil && s.Line.Indent > s.Over.Line.Indent && (before.Statement == s.Over || before.Statement.Line.Indent >= s.Line.Indent) && (s.Head.Solo || statements.Collective(s.Over)) {
			p.Set, p.All = r.leading(s.Over), false
		}
		if s.With && !slices.ContainsFunc(s.Phrases, func(ph speech.Phrase) bool { return words.Listed("besides", ph.Key) }) {
			p.Set, p.All = r.beginning(before), false
		}
		for _, i := range p.Set {
			if r.Guests[i].Half == 0 {
				c.Last = i
			}
		}
	}
	r.evaluate(p, s.Terms(), c)
	if before != nil && s.Over != nil && !s.Head.Add && s.Line.Indent > s.Over.Line.Indent && len(p.said) > 0 && len(p.Set) == len(before.Set) {
		p.Set = people.Union(r.leading(s.Over), p.said) // some of those above
	}
	r.put(p, s)
	if s.With {
		p.Grouping.Title = ""
	}
	if before != nil && p.Grouping.Title != "" {
		if p.Grouping.Title = before.Grouping.Title + " + " + p.Grouping.Title; before.Grouping.Title == "" || utf8.RuneCountInString(p.Grouping.Title) > longTitle {
			p.Grouping.Title = ""
		}
	}
}

// beginning are those whom a photograph names before it joins others to them: Ann in "Ann with Bob, and one with Cleo".
func (r *Reader) beginning(p *Photograph) []int {
	terms := p.Statement.Terms()
	n := slices.IndexFunc(terms, func(t *speech.Term) bool { return t.Sep == "+" })
	q := &Photograph{Statement: p.Statement}
	r.evaluate(q, terms[:max(n, 0)], r.ScopeOf(p.Statement))
	return q.Set
}

// leading is whom the photograph of a statement is about: the couple or one of them, or the honoured.
func (r *Reader) leading(s *statements.Statement) []int {
	var out []int
	for _, p := range r.Photographs {
		if p.Statement == s {
			out = slices.DeleteFunc(slices.Clone(p.Set), func(i int) bool { return r.Guests[i].Half == 0 && i != r.Honour })
		}
	}
	return out
}

// partOf puts the people of an indented line into the photograph above it, which it says more of.
func (r *Reader) partOf(s *statements.Statement) {
	r.Use(s.Line.Number, place.Used)
	if len(r.Photographs) == 0 {
		return
	}
	p := r.Photographs[len(r.Photographs)-1]
	if p.Statement != s.Over || s.Over.Open == nil {
		c := r.ScopeOf(s)
		q := &Photograph{Statement: p.Statement}
		terms := append(speech.Without(s.Head.Terms, func(t *speech.Term) bool { return s.Colon && len(s.Tail.Terms) > 0 && t.Kind != speech.Person }), s.Tail.Terms...)
		r.evaluate(q, terms, c)
		p.Set = people.Union(p.Set, q.Set)
	}
	r.Use(s.Line.Number, place.Used, fmt.Sprintf("groupings[%d]", len(r.Base.Groupings)+len(r.Photographs)-1))
}

// edited changes the photographs above as a line says; people who have dropped out are in none.
func (r *Reader) edited(s *statements.Statement) {
	r.Use(s.Line.Number, place.Used)
	c := r.ScopeOf(s)
	for _, ch := range s.Changes {
		if ch.Role != "" {
			r.onlyThese(ch.Role, ch.Terms, ch.Swap)
			continue
		}
		for k, q := range r.Photographs {
			if q.Dropped || !slices.Contains(ch.Labels, q.Statement.Line.Label) && (len(ch.Labels) > 0 || k != len(r.Photographs)-1) {
				continue
			}
			if ch.Whole {
				q.Dropped = true
				if speech.AnyHas(s.Phrases, "absent") && len(r.namedIn(s)) == 0 { // "scrap no. 8, they can't make it"
					r.stayAway(q)
				}
				r.Tell(q.Statement.Line.Number, 1, event.Warning, place.CodeWhichOne, "", wording.Say("list.notUsed", place.Quoted(q.Statement.Line.Text)))
				continue
			}
			for n, t := range ch.Terms {
				r.namesFor(s, t)
				t.Minus = t.Minus || ch.Drop || ch.Swap && n == 0
			}
			if ch.Only {
				q.Set, q.All = nil, false
			}
			r.evaluate(q, ch.Terms, c)
			r.Use(s.Line.Number, place.Used, Field("groupings", len(r.Base.Groupings)+k))
		}
	}
}

// namedIn are those whom a line names.
func (r *Reader) namedIn(s *statements.Statement) []*speech.Term {
	return speech.Without(s.Terms(), func(t *speech.Term) bool { return t.Kind != speech.Person })
}

// stayAway has those of a photograph who are in no other in none.
func (r *Reader) stayAway(q *Photograph) {
	for _, i := range q.Set {
		if g := &r.Guests[i]; g.Half == 0 && i != r.Honour && !slices.ContainsFunc(r.Photographs, func(o *Photograph) bool {
			return o != q && !o.Dropped && !o.All && (slices.Contains(o.Set, i) || slices.Contains(o.Each, i))
		}) {
			g.Never = true
		}
	}
}

// onlyThese takes a role from all but those named, and these out of the photographs above that ask for it. In a swap the first named
// alone loses it to the others.
func (r *Reader) onlyThese(role string, named []*speech.Term, swap bool) {
	var stay []int
	if swap {
		c := &facts.Scope{Last: -1}
		for _, q := range r.Photographs {
			if slices.ContainsFunc(q.Statement.Terms(), func(t *speech.Term) bool { return t.Word.Class == "role" && t.Word.Arg == role }) && !q.Dropped {
				r.evaluate(q, named[1:], c)
			}
		}
		stay = slices.DeleteFunc(r.Holders(words.Word{Class: "role", Arg: role}, 0), func(i int) bool { return slices.Contains(r.Find(named[0].Name), i) })
		named = named[1:]
	}
	for _, t := range named {
		stay = append(stay, r.Find(t.Name)...)
	}
	for i := range r.Guests {
		has := func(h people.Held) bool { return h.Arg == role }
		if slices.Contains(stay, i) || !slices.ContainsFunc(r.Guests[i].Roles, has) {
			continue
		}
		r.Guests[i].Roles = slices.DeleteFunc(r.Guests[i].Roles, has)
		for _, q := range r.Photographs {
			if slices.ContainsFunc(q.Statement.Terms(), func(t *speech.Term) bool { return t.Word.Class == "role" && t.Word.Arg == role }) {
				q.Set = slices.DeleteFunc(slices.Clone(q.Set), func(j int) bool { return j == i })
			}
		}
	}
}

// asideLine lists a line that asks for no photograph.
func (r *Reader) asideLine(s *statements.Statement) {
	if words.IsLegend(s.Line.Raw) || r.Greets(s) {
		r.Use(s.Line.Number, place.Used)
		return
	}
	r.rules(s)
	if s.Clause && len(s.Terms()) == 0 && slices.ContainsFunc(r.OfLine(s), func(o *statements.Statement) bool { return o.Kind == statements.Photo }) {
		return
	}
	if len(r.Taken[s.Line.Number]) > 0 {
		r.Use(s.Line.Number, place.Used)
		r.unheard(s)
		return
	}
	if r.Couple[0] >= 0 && (r.Guests[r.Couple[0]].Line == s.Line.Number || r.Guests[r.Couple[1]].Line == s.Line.Number) {
		r.Use(s.Line.Number, place.Used) // it names the couple
		return
	}
	r.Use(s.Line.Number, place.Reported)
	if slices.ContainsFunc(r.Problems, func(p place.Problem) bool { return p.Line == s.Line.Number && p.Code == place.CodeNotUsed }) {
		return // said already
	}
	if len(s.Phrases) > 0 && s.Phrases[0].Has("note") {
		r.Tell(s.Line.Number, 1, event.Info, place.CodeNotUsed, "", wording.Say("list.aNote"))
		return
	}
	r.Tell(s.Line.Number, 1, event.Warning, place.CodeNotUsed, "", wording.Say("list.readsLikeARemarkAndNot"))
}

// wishWords are words of a sentence that may ask for a photograph.
var wishWords = regexp.MustCompile(`(?i)photo|picture|\bpics?\b|\bshots?\b|foto|bild|صور|照|拍`)

// unheard lists sentences of a line that may ask for a photograph, when only others of the line gave something.
func (r *Reader) unheard(s *statements.Statement) {
	for _, ph := range r.Told(speech.Flat(s.Phrases)) {
		text := strings.TrimSpace(s.Line.Text[ph[0].Start:ph[len(ph)-1].End])
		if !r.Heard[[2]int{s.Line.Number, ph[0].Start}] && wishWords.MatchString(text) {
			r.At(ph[0].Start, event.Warning, place.CodeNotUsed, "", wording.Say("list.notUsed", place.Quoted(text)))
		}
	}
}
