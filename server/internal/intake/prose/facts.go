package prose

import (
	"cmp"
	"slices"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
)

// learn takes what a statement says of who is who into the roster.
func (r *reader) learn(s *statement) {
	if s.kind == remark || s.kind == heading || s.kind == edit || !r.Effort.Spend(100) {
		return
	}
	r.Line = s.l
	c := r.scopeOf(s)
	c.Definition = s.kind == definition
	if s.kind == definition && s.ctx.guests {
		r.Declared = true
	}
	if s.kind == title {
		return
	}
	if h := r.halfOfHead(s); c.Definition && h != nil {
		c.Default = h
	}
	if s.ctx.role != nil && c.Definition {
		r.giveRole(s.head.Terms, s.ctx.role, c)
	}
	if s.kind == part && s.over != nil {
		r.learnPart(s, c)
		return
	}
	if !c.Definition || s.tells {
		s.head.Terms, s.tail.Terms = r.Apposed(s.head.Terms, c), r.Apposed(s.tail.Terms, c)
	}
	r.learnBelow(s)
	head := s.head.Terms
	r.Saying = r.sayingOf(s)
	if s.colon && len(s.tail.Terms) > 0 {
		r.fill(s, c)
	}
	if c.Definition {
		head = r.Described(r.Said(head), c)
	}
	r.LearnTerms(head, c)
	r.LearnTerms(s.tail.Terms, c)
	if s.ctx.houses && s.kind == photo && s.l.Indent > s.ctx.indent {
		r.houseOf(s)
	}
	if c.Definition {
		r.attributes(s)
		r.house(s)
		r.keepLost(s)
	}
	r.Saying = ""
}

// learnBelow takes whoever is named below a photograph of a family that nobody has the name of for that family.
func (r *reader) learnBelow(s *statement) {
	if s.over == nil || !r.Again {
		return
	}
	for _, t := range s.over.head.Terms {
		if t.Kind != speech.Kin || t.Word.Arg != "family" || t.Owner == nil || t.Owner.Name == "" || r.HalfNamed(t.Owner.Name) > 0 {
			continue
		}
		key := names.Plain(t.Owner.Name)
		for _, x := range append(slices.Clone(s.head.Terms), s.tail.Terms...) {
			for _, y := range append([]*speech.Term{x}, x.Names...) {
				if y.Kind == speech.Person && r.HalfNamed(y.Name) == 0 {
					r.Groups[key] = people.Union(r.Groups[key], r.Find(y.Name))
				}
			}
		}
	}
}

// learnPart puts the people of a line below a photograph into its words that have no names.
func (r *reader) learnPart(s *statement, c *facts.Scope) {
	open := speech.OpenTerms(s.over.head.Terms)
	if s.over.open != nil {
		open = []*speech.Term{s.over.open}
	}
	terms := append(slices.Clone(s.head.Terms), s.tail.Terms...)
	if len(open) == 0 || len(terms) == 0 {
		r.LearnTerms(terms, c)
		return
	}
	t := open[len(open)-1]
	s.over.open = t
	more := *t
	if s.head.Owner != nil && len(s.head.Terms) == 0 {
		more.Owner = s.head.Owner
	}
	if s.colon && len(s.head.Terms) == 1 && len(s.tail.Terms) > 0 && s.head.Terms[0].Kind == speech.Kin {
		for _, x := range s.tail.Terms {
			if x.Kind == speech.Person && x.Word.Arg != "partner" && r.Who(x) >= 0 {
				x.Guests = []int{r.Who(x)}
				r.RelateAs(x, s.head.Terms[0], r.Owners(t, c))
			}
		}
		terms = s.tail.Terms
	}
	more.Names = terms
	r.Line = s.l
	r.Distribute([]*speech.Term{&more}, terms, r.scopeOf(s.over))
	t.Names = append(t.Names, terms...)
}

// giveRole gives people below "Bridesmaids:" that role.
func (r *reader) giveRole(terms []*speech.Term, what *speech.Term, c *facts.Scope) {
	for _, t := range terms {
		if t.Kind == speech.Person && t.Word.Class == "" {
			t.Word = what.Word
			t.Owner = cmp.Or(t.Owner, what.Owner)
		}
	}
}

// halfOfHead is whose people a definition names: the owner before its colon or dash.
func (r *reader) halfOfHead(s *statement) []int {
	if len(s.head.Terms) == 0 {
		return nil
	}
	t := s.head.Terms[0]
	if !s.colon && !r.dashed(s) {
		return nil
	}
	c := &facts.Scope{Last: -1}
	switch {
	case t.Kind == speech.Kin && t.Word.Arg == "family" && t.Owner != nil:
		if ids, ok := r.OwnedBy(t.Owner, c); ok {
			return ids
		}
	case t.Kind == speech.Half && r.Couple[0] >= 0 && r.HalfOf(t.Word.Sex) > 0:
		return []int{r.Couple[r.HalfOf(t.Word.Sex)-1]}
	case t.Kind == speech.Person && r.HalfNamed(t.Name) > 0:
		return []int{r.Couple[r.HalfNamed(t.Name)-1]}
	case t.Kind == speech.Couple && r.Couple[0] >= 0:
		return r.Couple[:]
	}
	return nil
}

// fill puts what stands behind a colon into the words before it that have no names yet.
func (r *reader) fill(s *statement, c *facts.Scope) {
	if len(s.tail.Terms) == 0 {
		return
	}
	open := speech.OpenTerms(s.head.Terms)
	if len(open) > 0 && !(s.kind == definition && ownerOnly(s.head)) {
		end := slices.IndexFunc(s.tail.Terms, func(t *speech.Term) bool { return t.Sep == "." })
		if end < 0 {
			end = len(s.tail.Terms)
		}
		open[len(open)-1].Names = append(open[len(open)-1].Names, s.tail.Terms[:end]...)
		s.tail.Terms = s.tail.Terms[end:]
	}
}
