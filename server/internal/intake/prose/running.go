package prose

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
)

// tells reports whether words of running text tell of people and ask for no photograph: they have a verb, and join
// nobody to the couple.
func (r *reader) tells(ph []speech.Phrase) bool {
	verb := false
	has := func(class string) bool {
		return slices.ContainsFunc(ph, func(p speech.Phrase) bool { return p.Has(class) })
	}
	if has("all") && (has("next") || has("last")) { // "Last one is everybody"
		return false
	}
	for k := range ph {
		p := &ph[k]
		if r.NameLike(p) {
			continue
		}
		verb = verb || p.Has("verb") || p.Has("need") || p.Has("absent") || p.Has("dead")
		if p.Has("couple") || p.Has("all") || p.Has("half") && !p.Possessive {
			for _, at := range []int{k - 1, k + 1} {
				if at >= 0 && at < len(ph) && (ph[at].Has("with") || ph[at].Key == "+") {
					return false
				}
			}
		}
	}
	return verb
}

// sentence reports whether a whole line is a sentence that tells something, with its point.
func (r *reader) sentence(p piece) bool {
	last := p.tokens[len(p.tokens)-1].Key
	return p.opens == 0 && (last == "." || last == "!") && r.tells(r.Phrases(p.tokens))
}

// leadIn leaves out the verbs of a wish before its people: "Last one is everybody", "could we start with".
func (r *reader) leadIn(ph []speech.Phrase) []speech.Phrase {
	var out []speech.Phrase
	for k := range ph {
		p := &ph[k]
		if r.NameLike(p) || p.Has("kin") || p.Has("role") || p.Has("group") || p.Has("all") || p.Has("half") || p.Has("couple") && !p.Has("verb") {
			return append(out, ph[k:]...)
		}
		if !p.Has("verb") && !p.Has("remark") || p.Has("self") || p.Has("of") || p.Has("and") || p.Has("with") || p.Has("fill") {
			out = append(out, *p)
		}
	}
	return ph
}

// told parses what tells of people: of those whom it says who they are, or who are known.
func (r *reader) told(ph []speech.Phrase) speech.Parsed {
	out := r.Parse(slices.DeleteFunc(slices.Clone(ph), func(p speech.Phrase) bool {
		return !r.NameLike(&p) && !p.Has("with") && !p.Has("and") && !p.Has("of") && !p.Has("need") && !p.Has("absent") && speech.MainClass(&p) != "kin" &&
			(p.Has("verb") || p.Has("remark") || p.Has("prep") || p.Has("next"))
	}), false)
	out.Terms = speech.Without(r.Apposed(out.Terms, &facts.Scope{Last: -1}), func(t *speech.Term) bool {
		return t.Kind == speech.Couple || t.Kind == speech.All || t.Kind == speech.Label || t.Word.Arg == "family" && len(t.Names) == 0 || t.Kind == speech.Person && t.Word.Class == "" && t.Owner == nil && len(t.Names) == 0 && len(r.Find(t.Name)) == 0
	})
	out.Unknown = nil
	return out
}

// clauseKind is what a piece of running text is.
func (r *reader) clauseKind(k int, s *statement) int {
	has := func(class string) bool {
		return slices.ContainsFunc(s.ph, func(p speech.Phrase) bool { return p.Has(class) })
	}
	people := len(s.head.Terms) + len(s.tail.Terms)
	switch {
	case s.opens == 0 && (has("apart") || has("near") && has("not")):
		return remark
	case s.tells && people > 0, s.opens == 0 && people > 0 && r.listed(k, s):
		return definition
	case s.tells, people == 0 && (s.opens == 0 || len(r.topic(s)) == 0):
		return remark
	case s.opens == 0 && people > 0 && len(s.head.Terms) > 0 && !s.head.Solo && !slices.ContainsFunc(allTerms(s), func(t *speech.Term) bool { return t.Kind != speech.Couple }) && (has("remark") || has("verb") || s.head.Terms[0].Sep == "+"):
		return remark // "we also want", "you plan this with us"
	case s.opens != 0, people > 1 && slices.ContainsFunc(allTerms(s), func(t *speech.Term) bool { return t.Kind == speech.All || r.Leads(t) }):
		return photo
	}
	return -1
}

// listed reports whether a piece only says of whom the next ones want photographs: "his parents Ann and Bob. One of all
// of them".
func (r *reader) listed(k int, s *statement) bool {
	next := k + 1
	for next < len(r.stmts) && r.stmts[next].i == s.i && r.stmts[next].opens == 0 && len(allTerms(r.stmts[next])) == 0 {
		next++ // "I'd love"
	}
	if next >= len(r.stmts) || r.stmts[next].i != s.i || r.stmts[next].opens == 0 || len(s.ph) > 0 && s.ph[0].Has("next") {
		return false
	}
	return !slices.ContainsFunc(allTerms(s), func(t *speech.Term) bool { return t.Kind == speech.All || t.Kind == speech.Same || r.Leads(t) })
}

// topic is whom the pieces before one tell of, nearest first: those right before, or before the photographs of them.
func (r *reader) topic(s *statement) []*statement {
	var out []*statement
	for k := s.at - 1; k >= 0 && r.stmts[k].i == s.i; k-- {
		o := r.stmts[k]
		switch {
		case o.kind == definition:
			out = append(out, o)
		case o.kind == photo && len(out) > 0, o.kind == photo && o.opens == 0:
			return out
		}
	}
	return out
}

// topical are the people of the topic.
func (r *reader) topical(s *statement) []int {
	var out []int
	cur := r.Line
	for _, o := range r.topic(s) {
		q := &photograph{s: o}
		r.evaluate(q, allTerms(o), r.scopeOf(o))
		out = people.Union(less(q.set, r.Couple[:]), out)
	}
	r.Line = cur
	return out
}

// meant is whom a pronoun stands for: those of the topic or of the photograph before, or the last one of that sex.
func (r *reader) meant(p *photograph, t *speech.Term) []int {
	if t.Word.Plural {
		if !p.s.clause || len(less(p.set, r.Couple[:])) > 0 {
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
	for k := p.s.at - 1; k >= 0 && r.stmts[k].l == p.s.l && r.Effort.Spend(50); k-- {
		o := r.stmts[k]
		q := &photograph{s: o}
		r.evaluate(q, speech.Without(allTerms(o), func(t *speech.Term) bool {
			return t.Kind == speech.Pronoun || t.Kind == speech.Same || t.Kind == speech.All
		}), r.scopeOf(o))
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
	if s.opens == 0 || p.all || r.Couple[0] < 0 {
		return
	}
	if len(p.set) > 0 && len(less(p.set, r.Couple[:])) == 0 && (s.opens == 'w' || !s.head.Solo) {
		p.set = people.Union(p.set, r.topical(s))
	}
	switch leading := slices.ContainsFunc(allTerms(s), r.Leads); {
	case s.opens == 'w' && !leading:
		p.set = people.Union(r.Couple[:], p.set)
	case s.opens == 'w' && r.Author > 0 && len(less(p.set, r.Couple[:])) > 0:
		p.set = people.Union([]int{r.Couple[r.Author-1]}, p.set) // "I'd love one with Mum and Theo"
	}
}

// together reports whether "all together" means those whom the clause or the topic names, and no guests beside them.
func (r *reader) together(p *photograph, c *facts.Scope) bool {
	return len(less(p.set, r.Couple[:])) > 1 || p.s.opens != 0 && (c.Couple || c.Halves[1] || c.Halves[2]) && len(r.topic(p.s)) > 0
}

// ofLine are the statements of the line of one.
func (r *reader) ofLine(s *statement) []*statement {
	from, to := s.at, s.at+1
	for from > 0 && r.stmts[from-1].l == s.l {
		from--
	}
	for to < len(r.stmts) && r.stmts[to].l == s.l {
		to++
	}
	return r.stmts[from:to]
}

// ofOneSide takes "on Tom's side his sisters" for the sisters alone.
func ofOneSide(terms []*speech.Term) []*speech.Term {
	for k := len(terms) - 2; k >= 0; k-- {
		t, next := terms[k], terms[k+1]
		if t.Kind != speech.Kin || t.Word.Arg != "family" || t.Owner == nil || t.Owner.Pronoun != "" || next.Owner == nil || next.Owner.Pronoun == "" || next.Word.Class != "kin" {
			continue
		}
		for _, x := range terms[k+1:] {
			if x.Owner != nil && x.Owner.Pronoun == next.Owner.Pronoun && x.Word.Arg != "partner" {
				x.Owner = t.Owner
			}
		}
		terms = slices.Concat(terms[:k], terms[k+1:])
	}
	return terms
}
