package prose

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/speech"
)

func (r *reader) scopeOf(s *statement) *facts.Scope {
	c := &facts.Scope{Side: s.ctx.side, Last: -1}
	lists := [][]*speech.Term{s.head.Terms, s.tail.Terms}
	if s.ctx.lead != nil && !slices.ContainsFunc(s.head.Terms, r.Leads) {
		lists = append(lists, s.ctx.lead)
	}
	for _, list := range lists {
		for _, t := range list {
			switch {
			case t.Kind == speech.Couple:
				c.Couple = true
			case t.Kind == speech.Half:
				c.Halves[r.HalfOf(t.Word.Sex)] = true
			case t.Kind == speech.Person:
				c.Halves[r.HalfNamed(t.Name)] = true
			}
		}
	}
	if s.over != nil {
		o := r.scopeOf(s.over)
		if !c.Couple && !c.Halves[1] && !c.Halves[2] {
			c.Couple, c.Halves = o.Couple, o.Halves
		}
	}
	return c
}
