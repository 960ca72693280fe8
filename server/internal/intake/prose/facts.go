package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// ledger is what is learned of people while a list is read.
type ledger struct {
	talk
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
		r.giveRole(s.head.terms, s.ctx.role, c)
	}
	if s.kind == part && s.over != nil {
		r.learnPart(s, c)
		return
	}
	if !c.def || s.tells {
		s.head.terms, s.tail.terms = r.apposed(s.head.terms, c), r.apposed(s.tail.terms, c)
	}
	r.learnBelow(s)
	head := s.head.terms
	r.saying = r.sayingOf(s)
	if s.colon && len(s.tail.terms) > 0 {
		r.fill(s, c)
	}
	if c.def {
		head = r.described(r.said(head), c)
	}
	r.learnTerms(head, c)
	r.learnTerms(s.tail.terms, c)
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
	if s.over == nil || !r.again {
		return
	}
	for _, t := range s.over.head.terms {
		if t.kind != kinTerm || t.w.Arg != "family" || t.own == nil || t.own.name == "" || r.HalfNamed(t.own.name) > 0 {
			continue
		}
		key := names.Plain(t.own.name)
		for _, x := range append(slices.Clone(s.head.terms), s.tail.terms...) {
			for _, y := range append([]*term{x}, x.sub...) {
				if y.kind == person && r.HalfNamed(y.name) == 0 {
					r.Groups[key] = people.Union(r.Groups[key], r.Find(y.name))
				}
			}
		}
	}
}

// described takes kin and roles that follow names in a list of guests as what those are: "Rosa Benali - grandmother",
// "Hadi & Rim - uncle and aunt". What is left are the names.
func (r *reader) described(terms []*term, c *scope) []*term {
	if len(terms) < 2 || terms[0].kind != person || terms[0].w.Class != "" {
		return terms
	}
	var named, kin []*term
	for _, t := range terms {
		switch {
		case t.kind == person && len(kin) == 0:
			named = append(named, t)
		case (t.kind == kinTerm || t.kind == role) && len(t.sub) == 0:
			kin = append(kin, t)
		case t.kind == half && len(named) == 1:
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
		if t.w.Arg == "family" && t.own != nil { // "Amara's side"
			for _, x := range of {
				if r.who(x) < 0 {
					continue
				}
				if ids, ok := r.ownedBy(t.own, c); ok && len(ids) == 1 && r.Guests[r.who(x)].Half == 0 {
					r.Guests[r.who(x)].SideOf = r.Guests[ids[0]].Half
					if r.Line.Part == lines.GuestLine && r.Guests[ids[0]].Half == 0 { // no side without a couple
						r.describe(r.who(x), []attr{{class: "note", text: r.span(t), s: t.s, e: t.e}})
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
			r.describe(i, t.attrs)
			r.keepWords(i, t)
			inner := *c
			inner.last = -1
			if t.kind == role {
				r.give(i, t.w, t.own, &inner)
			} else {
				r.Relate(i, t.w, r.owners(t, &inner))
			}
		}
	}
	return named
}

// learnPart puts the people of a line below a photograph into its words that have no names.
func (r *reader) learnPart(s *statement, c *scope) {
	open := openTerms(s.over.head.terms)
	if s.over.open != nil {
		open = []*term{s.over.open}
	}
	terms := append(slices.Clone(s.head.terms), s.tail.terms...)
	if len(open) == 0 || len(terms) == 0 {
		r.learnTerms(terms, c)
		return
	}
	t := open[len(open)-1]
	s.over.open = t
	more := *t
	if s.head.own != nil && len(s.head.terms) == 0 {
		more.own = s.head.own
	}
	if s.colon && len(s.head.terms) == 1 && len(s.tail.terms) > 0 && s.head.terms[0].kind == kinTerm {
		for _, x := range s.tail.terms {
			if x.kind == person && x.w.Arg != "partner" && r.who(x) >= 0 {
				x.who = []int{r.who(x)}
				r.relateAs(x, s.head.terms[0], r.owners(t, c))
			}
		}
		terms = s.tail.terms
	}
	more.sub = terms
	r.Line = s.l
	r.distribute([]*term{&more}, terms, r.scopeOf(s.over))
	t.sub = append(t.sub, terms...)
}

// giveRole gives people below "Bridesmaids:" that role.
func (r *reader) giveRole(terms []*term, what *term, c *scope) {
	for _, t := range terms {
		if t.kind == person && t.w.Class == "" {
			t.w = what.w
			t.own = firstOwner(t.own, what)
		}
	}
}

// halfOfHead is whose people a definition names: the owner before its colon or dash.
func (r *reader) halfOfHead(s *statement) []int {
	if len(s.head.terms) == 0 {
		return nil
	}
	t := s.head.terms[0]
	if !s.colon && !r.dashed(s) {
		return nil
	}
	c := &scope{last: -1}
	switch {
	case t.kind == kinTerm && t.w.Arg == "family" && t.own != nil:
		if ids, ok := r.ownedBy(t.own, c); ok {
			return ids
		}
	case t.kind == half && r.Couple[0] >= 0 && r.HalfOf(t.w.Sex) > 0:
		return []int{r.Couple[r.HalfOf(t.w.Sex)-1]}
	case t.kind == person && r.HalfNamed(t.name) > 0:
		return []int{r.Couple[r.HalfNamed(t.name)-1]}
	case t.kind == couple && r.Couple[0] >= 0:
		return r.Couple[:]
	}
	return nil
}

// fill puts what stands behind a colon into the words before it that have no names yet.
func (r *reader) fill(s *statement, c *scope) {
	if len(s.tail.terms) == 0 {
		return
	}
	open := openTerms(s.head.terms)
	if len(open) > 0 && !(s.kind == definition && ownerOnly(s.head)) {
		end := slices.IndexFunc(s.tail.terms, func(t *term) bool { return t.sep == "." })
		if end < 0 {
			end = len(s.tail.terms)
		}
		open[len(open)-1].sub = append(open[len(open)-1].sub, s.tail.terms[:end]...)
		s.tail.terms = s.tail.terms[end:]
	}
}

// openTerms are the words for several people or a role that have no names.
func openTerms(terms []*term) []*term {
	var out []*term
	for _, t := range terms {
		if (t.kind == kinTerm || t.kind == role || t.kind == label) && len(t.sub) == 0 && !t.minus && !(t.w.Arg == "partner" && t.w.Plural) {
			out = append(out, t)
		}
	}
	return out
}

// learnTerms takes terms in their order.
func (r *reader) learnTerms(terms []*term, c *scope) {
	for k, t := range terms {
		if !r.Effort.Spend(40) {
			return
		}
		r.learnTerm(terms, k, t, c)
	}
}

func (r *reader) learnTerm(terms []*term, k int, t *term, c *scope) {
	if t.own != nil && t.w.Class == "kin" && t.w.Arg != "partner" && t.w.Arg != "child" {
		c.carry = t.own
	}
	switch t.kind {
	case person:
		if r.HalfNamed(t.name) > 0 {
			r.passBracket(terms, k, c)
		}
		r.learnPerson(t, c)
	case kinTerm, role, label:
		if len(t.sub) > 0 {
			r.distribute(targets(terms, k), t.sub, c)
			return
		}
		if t.kind == kinTerm && t.w.Arg != "family" && !t.w.Plural && c.def && r.ownName(t) {
			t.who = []int{r.entry(t, r.owners(t, c))}
		}
		if t.kind == kinTerm && len(t.who) == 0 && !t.w.Plural {
			if ids := r.resolveKin(t, c); len(ids) == 1 {
				r.describe(ids[0], t.attrs)
				if r.Guests[ids[0]].Half == 0 {
					c.last = ids[0]
				}
			}
		}
	case couple, half:
		r.passBracket(terms, k, c)
	}
}

// passBracket gives the names in a bracket behind one of the couple to the role or kin before: "bridesmaids with me (Ann,
// Bea)".
func (r *reader) passBracket(terms []*term, k int, c *scope) {
	t := terms[k]
	if len(t.sub) == 0 || k == 0 || !slices.ContainsFunc(t.sub, func(x *term) bool { return x.kind == person }) {
		return
	}
	if ts := targets(terms, k-1); len(ts) > 0 && ts[0].kind != couple && len(ts[0].sub) == 0 && (ts[0].kind == role || ts[0].kind == kinTerm) {
		r.distribute(ts, t.sub, c)
		ts[len(ts)-1].sub, t.sub = t.sub, nil
	}
}

// ownName reports whether a word of kin is used as a name: "Nani", "Granda".
func (r *reader) ownName(t *term) bool {
	switch t.w.Arg {
	case "grandparent", "greatgrandparent", "parent", "aunt":
		return true
	}
	return false
}

func (r *reader) learnPerson(t *term, c *scope) int {
	before := len(r.Guests)
	i := r.who(t)
	if i < 0 {
		return i
	}
	if len(r.Guests) > before && r.Declared && !c.def && t.w.Class == "" {
		r.At(t.s, event.Warning, place.CodeAddedPerson, t.text, wording.Say("list.notInTheListOfGuests", place.Quoted(r.Guests[i].Name)))
	}
	t.who = []int{i}
	g := &r.Guests[i]
	switch {
	case t.w.Class == "kin":
		r.Relate(i, t.w, r.owners(t, c))
	case t.w.Class == "role":
		r.give(i, t.w, t.own, c)
	}
	r.describe(i, t.attrs)
	if g.Half == 0 {
		if c.def && g.SideOf == 0 && len(c.default_) == 1 {
			g.SideOf = r.Guests[c.default_[0]].Half
		}
		if c.def && g.SideOf == 0 && c.side > 0 {
			g.SideOf = c.side
		}
		if t.w.Arg != "partner" && t.w.Arg != "child" || c.last < 0 && t.w.Arg == "partner" {
			c.last = i
		}
	}
	if len(t.sub) == 0 {
		return i
	}
	if r.Guests[i].Half > 0 && !c.def {
		return i
	}
	inner := &scope{last: i, side: c.side, def: c.def}
	for _, x := range t.sub {
		r.keepWords(i, x)
		switch {
		case r.Line.Part == lines.GuestLine && x.kind == person && words.Cased(x.name) != words.Cased(t.name): // "Samir Haddad (سمير)"
			r.describe(i, []attr{{class: "nick", text: x.name}})
		case x.kind == person && x.w.Class == "" && !x.minus && t.w.Arg == "grandparent" && len(t.sub) == 1 && !strings.Contains(t.name, " ") && len(r.Find(x.name)) == 0:
			r.Call(i, x.name) // "Granny Coombe (Enid, 88)"
			r.describe(i, x.attrs)
		case x.kind == person && x.w.Class == "" && !x.minus:
			x.w = words.Word{Class: "kin", Arg: "partner"}
			r.learnPerson(x, inner)
			inner.last = i
		case x.kind == person:
			r.learnPerson(x, inner)
		case x.kind == kinTerm && t.w.Class == "" && x.own == nil && !x.w.Plural && x.w.Arg != "partner" && x.w.Arg != "child":
			r.Relate(i, x.w, r.owners(x, c))
		case x.kind == kinTerm && x.own != nil && !x.w.Plural:
			if ids, ok := r.ownedBy(x.own, c); ok {
				r.Relate(i, x.w, ids)
			}
		case x.kind == role && !x.w.Plural:
			r.give(i, x.w, x.own, c)
		}
	}
	return i
}

// give gives somebody a role, on the side that is said or usual for it.
func (r *reader) give(i int, w words.Word, o *owner, c *scope) {
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
