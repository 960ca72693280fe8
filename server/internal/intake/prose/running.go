package prose

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
)

// topical are the people of the topic.
func (r *reader) topical(s *statements.Statement) []int {
	var out []int
	cur := r.Line
	for _, o := range r.Topic(s) {
		q := &photograph{s: o}
		r.evaluate(q, statements.AllTerms(o), r.ScopeOf(o))
		out = people.Union(less(q.set, r.Couple[:]), out)
	}
	r.Line = cur
	return out
}

// meant is whom a pronoun stands for: those of the topic or of the photograph before, or the last one of that sex.
func (r *reader) meant(p *photograph, t *speech.Term) []int {
	if t.Word.Plural {
		if !p.s.Clause || len(less(p.set, r.Couple[:])) > 0 {
			return nil // "Ann with Bob, the two of them"
		}
		if ids := r.topical(p.s); len(ids) > 0 {
			return ids
		}
		if n := len(r.photos); n > 0 {
			return less(r.photos[n-1].set, r.Couple[:])
		}
		return nil
	}
	for k := p.s.At - 1; k >= 0 && r.Statements[k].Line == p.s.Line && r.Effort.Spend(50); k-- {
		o := r.Statements[k]
		q := &photograph{s: o}
		r.evaluate(q, speech.Without(statements.AllTerms(o), func(t *speech.Term) bool {
			return t.Kind == speech.Pronoun || t.Kind == speech.Same || t.Kind == speech.All
		}), r.ScopeOf(o))
		for n := len(q.set) - 1; n >= 0; n-- {
			if g := &r.Guests[q.set[n]]; g.Half == 0 && (g.Sex == t.Word.Sex || g.Sex == 0) {
				return q.set[n : n+1]
			}
		}
	}
	if h := r.HalfOf(t.Word.Sex); h > 0 && r.Couple[0] >= 0 {
		return []int{r.Couple[h-1]}
	}
	return nil
}

// unsaid adds to a photograph of running text whom it does not say: the couple whom "one with Mum" is of, and those of
// the topic in "one with both of us".
func (r *reader) unsaid(p *photograph) {
	s := p.s
	if s.Opens == 0 || p.all || r.Couple[0] < 0 {
		return
	}
	if len(p.set) > 0 && len(less(p.set, r.Couple[:])) == 0 && (s.Opens == 'w' || !s.Head.Solo) {
		p.set = people.Union(p.set, r.topical(s))
	}
	switch leading := slices.ContainsFunc(statements.AllTerms(s), r.Leads); {
	case s.Opens == 'w' && !leading:
		p.set = people.Union(r.Couple[:], p.set)
	case s.Opens == 'w' && r.Author > 0 && len(less(p.set, r.Couple[:])) > 0:
		p.set = people.Union([]int{r.Couple[r.Author-1]}, p.set) // "I'd love one with Mum and Theo"
	}
}

// together reports whether "all together" means those whom the clause or the topic names, and no guests beside them.
func (r *reader) together(p *photograph, c *facts.Scope) bool {
	return len(less(p.set, r.Couple[:])) > 1 || p.s.Opens != 0 && (c.Couple || c.Halves[1] || c.Halves[2]) && len(r.Topic(p.s)) > 0
}
