package prose

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// ledger is what is learned of people while a list is read.
type ledger struct {
	speech.Reader
	saying string // the kin that the current line says first
}

// learn takes what a statement says of who is who into the roster.
func (r *reader) learn(s *statement) {
	if s.kind == remark || s.kind == heading || s.kind == edit || !r.Effort.Spend(100) {
		return
	}
	r.Line = s.l
	c := r.scopeOf(s)
	c.def = s.kind == definition
	if s.kind == definition && s.ctx.guests {
		r.Declared = true
	}
	if s.kind == title {
		return
	}
	if h := r.halfOfHead(s); c.def && h != nil {
		c.default_ = h
	}
	if s.ctx.role != nil && c.def {
		r.giveRole(s.head.Terms, s.ctx.role, c)
	}
	if s.kind == part && s.over != nil {
		r.learnPart(s, c)
		return
	}
	if !c.def || s.tells {
		s.head.Terms, s.tail.Terms = r.apposed(s.head.Terms, c), r.apposed(s.tail.Terms, c)
	}
	r.learnBelow(s)
	head := s.head.Terms
	r.saying = r.sayingOf(s)
	if s.colon && len(s.tail.Terms) > 0 {
		r.fill(s, c)
	}
	if c.def {
		head = r.described(r.said(head), c)
	}
	r.learnTerms(head, c)
	r.learnTerms(s.tail.Terms, c)
	if s.ctx.houses && s.kind == photo && s.l.Indent > s.ctx.indent {
		r.houseOf(s)
	}
	if c.def {
		r.attributes(s)
		r.house(s)
		r.keepLost(s)
	}
	r.saying = ""
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

// described takes kin and roles that follow names in a list of guests as what those are: "Rosa Benali - grandmother",
// "Hadi & Rim - uncle and aunt". What is left are the names.
func (r *reader) described(terms []*speech.Term, c *scope) []*speech.Term {
	if len(terms) < 2 || terms[0].Kind != speech.Person || terms[0].Word.Class != "" {
		return terms
	}
	var named, kin []*speech.Term
	for _, t := range terms {
		switch {
		case t.Kind == speech.Person && len(kin) == 0:
			named = append(named, t)
		case (t.Kind == speech.Kin || t.Kind == speech.Role) && len(t.Names) == 0:
			kin = append(kin, t)
		case t.Kind == speech.Half && len(named) == 1:
			return terms
		default:
			return terms
		}
	}
	for k, t := range kin {
		of := named
		if len(kin) == len(named) && len(kin) > 1 {
			of = named[k : k+1]
		}
		if t.Word.Arg == "family" && t.Owner != nil { // "Amara's side"
			for _, x := range of {
				if r.who(x) < 0 {
					continue
				}
				if ids, ok := r.ownedBy(t.Owner, c); ok && len(ids) == 1 && r.Guests[r.who(x)].Half == 0 {
					r.Guests[r.who(x)].SideOf = r.Guests[ids[0]].Half
					if r.Line.Part == lines.GuestLine && r.Guests[ids[0]].Half == 0 { // no side without a couple
						r.describe(r.who(x), []speech.Attribute{{Class: "note", Text: r.span(t), Start: t.Start, End: t.End}})
					}
				}
			}
			continue
		}
		for _, x := range of {
			i := r.who(x)
			if i < 0 {
				continue
			}
			r.describe(i, t.Attrs)
			r.keepWords(i, t)
			inner := *c
			inner.last = -1
			if t.Kind == speech.Role {
				r.give(i, t.Word, t.Owner, &inner)
			} else {
				r.Relate(i, t.Word, r.owners(t, &inner))
			}
		}
	}
	return named
}

// learnPart puts the people of a line below a photograph into its words that have no names.
func (r *reader) learnPart(s *statement, c *scope) {
	open := speech.OpenTerms(s.over.head.Terms)
	if s.over.open != nil {
		open = []*speech.Term{s.over.open}
	}
	terms := append(slices.Clone(s.head.Terms), s.tail.Terms...)
	if len(open) == 0 || len(terms) == 0 {
		r.learnTerms(terms, c)
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
			if x.Kind == speech.Person && x.Word.Arg != "partner" && r.who(x) >= 0 {
				x.Guests = []int{r.who(x)}
				r.relateAs(x, s.head.Terms[0], r.owners(t, c))
			}
		}
		terms = s.tail.Terms
	}
	more.Names = terms
	r.Line = s.l
	r.distribute([]*speech.Term{&more}, terms, r.scopeOf(s.over))
	t.Names = append(t.Names, terms...)
}

// giveRole gives people below "Bridesmaids:" that role.
func (r *reader) giveRole(terms []*speech.Term, what *speech.Term, c *scope) {
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
	c := &scope{last: -1}
	switch {
	case t.Kind == speech.Kin && t.Word.Arg == "family" && t.Owner != nil:
		if ids, ok := r.ownedBy(t.Owner, c); ok {
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
func (r *reader) fill(s *statement, c *scope) {
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

// learnTerms takes terms in their order.
func (r *reader) learnTerms(terms []*speech.Term, c *scope) {
	for k, t := range terms {
		if !r.Effort.Spend(40) {
			return
		}
		r.learnTerm(terms, k, t, c)
	}
}

func (r *reader) learnTerm(terms []*speech.Term, k int, t *speech.Term, c *scope) {
	if t.Owner != nil && t.Word.Class == "kin" && t.Word.Arg != "partner" && t.Word.Arg != "child" {
		c.carry = t.Owner
	}
	switch t.Kind {
	case speech.Person:
		if r.HalfNamed(t.Name) > 0 {
			r.passBracket(terms, k, c)
		}
		r.learnPerson(t, c)
	case speech.Kin, speech.Role, speech.Label:
		if len(t.Names) > 0 {
			r.distribute(targets(terms, k), t.Names, c)
			return
		}
		if t.Kind == speech.Kin && t.Word.Arg != "family" && !t.Word.Plural && c.def && r.ownName(t) {
			t.Guests = []int{r.entry(t, r.owners(t, c))}
		}
		if t.Kind == speech.Kin && len(t.Guests) == 0 && !t.Word.Plural {
			if ids := r.resolveKin(t, c); len(ids) == 1 {
				r.describe(ids[0], t.Attrs)
				if r.Guests[ids[0]].Half == 0 {
					c.last = ids[0]
				}
			}
		}
	case speech.Couple, speech.Half:
		r.passBracket(terms, k, c)
	}
}

// passBracket gives the names in a bracket behind one of the couple to the role or kin before: "bridesmaids with me (Ann,
// Bea)".
func (r *reader) passBracket(terms []*speech.Term, k int, c *scope) {
	t := terms[k]
	if len(t.Names) == 0 || k == 0 || !slices.ContainsFunc(t.Names, func(x *speech.Term) bool { return x.Kind == speech.Person }) {
		return
	}
	if ts := targets(terms, k-1); len(ts) > 0 && ts[0].Kind != speech.Couple && len(ts[0].Names) == 0 && (ts[0].Kind == speech.Role || ts[0].Kind == speech.Kin) {
		r.distribute(ts, t.Names, c)
		ts[len(ts)-1].Names, t.Names = t.Names, nil
	}
}

// ownName reports whether a word of kin is used as a name: "Nani", "Granda".
func (r *reader) ownName(t *speech.Term) bool {
	switch t.Word.Arg {
	case "grandparent", "greatgrandparent", "parent", "aunt":
		return true
	}
	return false
}

func (r *reader) learnPerson(t *speech.Term, c *scope) int {
	before := len(r.Guests)
	i := r.who(t)
	if i < 0 {
		return i
	}
	if len(r.Guests) > before && r.Declared && !c.def && t.Word.Class == "" {
		r.At(t.Start, event.Warning, place.CodeAddedPerson, t.Text, wording.Say("list.notInTheListOfGuests", place.Quoted(r.Guests[i].Name)))
	}
	t.Guests = []int{i}
	g := &r.Guests[i]
	switch {
	case t.Word.Class == "kin":
		r.Relate(i, t.Word, r.owners(t, c))
	case t.Word.Class == "role":
		r.give(i, t.Word, t.Owner, c)
	}
	r.describe(i, t.Attrs)
	if g.Half == 0 {
		if c.def && g.SideOf == 0 && len(c.default_) == 1 {
			g.SideOf = r.Guests[c.default_[0]].Half
		}
		if c.def && g.SideOf == 0 && c.side > 0 {
			g.SideOf = c.side
		}
		if t.Word.Arg != "partner" && t.Word.Arg != "child" || c.last < 0 && t.Word.Arg == "partner" {
			c.last = i
		}
	}
	if len(t.Names) == 0 {
		return i
	}
	if r.Guests[i].Half > 0 && !c.def {
		return i
	}
	inner := &scope{last: i, side: c.side, def: c.def}
	for _, x := range t.Names {
		r.keepWords(i, x)
		switch {
		case r.Line.Part == lines.GuestLine && x.Kind == speech.Person && words.Cased(x.Name) != words.Cased(t.Name): // "Samir Haddad (سمير)"
			r.describe(i, []speech.Attribute{{Class: "nick", Text: x.Name}})
		case x.Kind == speech.Person && x.Word.Class == "" && !x.Minus && t.Word.Arg == "grandparent" && len(t.Names) == 1 && !strings.Contains(t.Name, " ") && len(r.Find(x.Name)) == 0:
			r.Call(i, x.Name) // "Granny Coombe (Enid, 88)"
			r.describe(i, x.Attrs)
		case x.Kind == speech.Person && x.Word.Class == "" && !x.Minus:
			x.Word = words.Word{Class: "kin", Arg: "partner"}
			r.learnPerson(x, inner)
			inner.last = i
		case x.Kind == speech.Person:
			r.learnPerson(x, inner)
		case x.Kind == speech.Kin && t.Word.Class == "" && x.Owner == nil && !x.Word.Plural && x.Word.Arg != "partner" && x.Word.Arg != "child":
			r.Relate(i, x.Word, r.owners(x, c))
		case x.Kind == speech.Kin && x.Owner != nil && !x.Word.Plural:
			if ids, ok := r.ownedBy(x.Owner, c); ok {
				r.Relate(i, x.Word, ids)
			}
		case x.Kind == speech.Role && !x.Word.Plural:
			r.give(i, x.Word, x.Owner, c)
		}
	}
	return i
}

// give gives somebody a role, on the side that is said or usual for it.
func (r *reader) give(i int, w words.Word, o *speech.Owner, c *scope) {
	side := 0
	if o != nil {
		if ids, ok := r.ownedBy(o, c); ok && len(ids) == 1 {
			side = r.Guests[ids[0]].Half
		}
	}
	if side == 0 {
		if side = c.subject(); side == 0 && w.Side != 0 {
			side = r.HalfOf(w.Side)
		}
	}
	g := &r.Guests[i]
	h := people.Held{Arg: w.Arg, Text: names.Plain(w.Text), Side: side}
	if w.Plural && (w.Sex == 0 || w.Sex == g.Sex) {
		h.One = words.Singular(w, g.Sex)
	}
	if !slices.Contains(g.Roles, h) {
		g.Roles = append(g.Roles, h)
	}
	if w.Arg == "flowergirl" || w.Arg == "bearer" {
		if g.AgeBand == event.Adult && !g.Base {
			g.AgeBand = event.Child
		}
	}
	if g.Sex == 0 {
		g.Sex = w.Sex
	}
}
