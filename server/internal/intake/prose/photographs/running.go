package photographs

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
)

// topical are the people of the topic.
func (r *Reader) topical(s *statements.Statement) []int {
	var out []int
	cur := r.Line
	for _, o := range r.Topic(s) {
		q := &Photograph{Statement: o}
		r.evaluate(q, o.Terms(), r.ScopeOf(o))
		out = people.Union(less(q.Set, r.Principals()), out)
	}
	r.Line = cur
	return out
}

// meant is whom a pronoun stands for: those of the topic or of the photograph before, or the last one of that sex.
func (r *Reader) meant(p *Photograph, t *speech.Term) []int {
	if t.Word.Plural {
		if t.Word.Arg == "2" && r.Couple[0] >= 0 && len(r.topical(p.Statement)) != 2 && (t.Sep == "+" || len(p.Set) == 0) && len(less(p.Set, r.Principals())) == len(p.Set) && (!p.Statement.Clause || len(r.Photographs) == 0 || r.WriterID() >= 0) {
			return r.Couple[:] // by who is not of the couple: "the two of them with Liam"
		}
		if n := len(r.Photographs); t.Each && n > 0 {
			return less(r.Photographs[n-1].Set, r.Principals()) // "with each of them"
		}
		if !p.Statement.Clause || len(less(p.Set, r.Principals())) > 0 {
			return nil // "Ann with Bob, the two of them"
		}
		if ids := r.topical(p.Statement); len(ids) > 0 {
			return ids
		}
		if n := len(r.Photographs); n > 0 {
			return less(r.Photographs[n-1].Set, r.Principals())
		}
		return nil
	}
	for k := p.Statement.At - 1; k >= 0 && r.Statements[k].Line == p.Statement.Line && r.Effort.Spend(50); k-- {
		o := r.Statements[k]
		q := &Photograph{Statement: o}
		r.evaluate(q, speech.Without(o.Terms(), func(t *speech.Term) bool {
			return t.Kind == speech.Pronoun || t.Kind == speech.Same || t.Kind == speech.All
		}), r.ScopeOf(o))
		for n := len(q.Set) - 1; n >= 0; n-- {
			if g := &r.Guests[q.Set[n]]; g.Half == 0 && (g.Sex == t.Word.Sex || g.Sex == 0) {
				return q.Set[n : n+1]
			}
		}
	}
	if h := r.HalfOf(t.Word.Sex); h > 0 && r.Couple[0] >= 0 {
		return []int{r.Couple[h-1]}
	}
	return nil
}

// namesFor puts a name for "him" in a change that says who: "Ann can't stay, do that one without her".
func (r *Reader) namesFor(s *statements.Statement, t *speech.Term) {
	for k := len(s.Phrases) - 1; k >= 0 && t.Kind == speech.Pronoun && !t.Word.Plural; k-- {
		if ph := &s.Phrases[k]; ph.End <= t.Start && r.NameLike(ph) && !ph.Possessive {
			if ids := r.Find(ph.Text); len(ids) == 1 && (r.Guests[ids[0]].Sex == t.Word.Sex || r.Guests[ids[0]].Sex == 0) {
				t.Kind, t.Name, t.Word = speech.Person, ph.Text, words.Word{}
			}
		}
	}
}

// unsaid adds to a photograph of running text whom it does not say: the couple whom "one with Mum" is of, and those of
// the topic in "one with both of us".
func (r *Reader) unsaid(p *Photograph) {
	s := p.Statement
	if s.Opens == 0 || p.All || len(r.Principals()) == 0 {
		return
	}
	if n := len(r.Photographs); n > 0 && s.Opens == 'w' && r.Photographs[n-1].Statement.Line == s.Line && !r.Photographs[n-1].All && words.Listed("besides", s.Phrases[len(s.Phrases)-1-min(1, len(s.Phrases)-1)*ended(s)].Key) {
		p.Set = people.Union(r.Photographs[n-1].Set, p.Set) // "one with Mum, then one with Theo as well"
	}
	if len(p.Set) > 0 && len(less(p.Set, r.Principals())) == 0 && (s.Opens == 'w' || !s.Head.Solo) {
		p.Set = people.Union(p.Set, r.topical(s))
	}
	switch leading := slices.ContainsFunc(s.Terms(), r.Leads); {
	case s.Opens == 'w' && !leading:
		p.Set = people.Union(r.Principals(), p.Set)
	case s.Opens == 'w' && r.Author > 0 && !s.Head.Solo && len(less(p.Set, r.Principals())) > 0:
		p.Set = people.Union([]int{r.Couple[r.Author-1]}, p.Set) // "I'd love one with Mum and Theo"
	}
}

// ended is 1 where a mark ends a statement.
func ended(s *statements.Statement) int {
	if s.Phrases[len(s.Phrases)-1].Kind == 'p' {
		return 1
	}
	return 0
}

// together reports whether "all together" means those whom the clause or the topic names, and no guests beside them.
func (r *Reader) together(p *Photograph, c *facts.Scope) bool {
	return len(less(p.Set, r.Principals())) > 1 || p.Statement.Opens != 0 && (c.Couple || c.Halves[1] || c.Halves[2]) && len(r.Topic(p.Statement)) > 0
}
