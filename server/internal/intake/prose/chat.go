package prose

import (
	"slices"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// chatCouple takes the couple from those who write: the two who say "us" and "my mum", else the one who does and whom
// they write to or name most.
func (r *reader) chatCouple() bool {
	var all, own []string
	for i := range r.lines {
		by := r.lines[i].By
		if by == "" {
			continue
		}
		if !slices.Contains(all, by) {
			all = append(all, by)
		}
		if !slices.Contains(own, by) && r.ofThemselves(r.heads(i)) {
			own = append(own, by)
		}
	}
	switch {
	case len(own) == 2:
		r.setCouple(own[0], own[1], 0)
	case len(own) != 1:
		return false
	default:
		other := r.partnerNamed(own[0])
		for _, by := range all {
			if by != own[0] && len(all) == 2 && other == "" && r.says("us") && !r.works(by) {
				other = by
			}
		}
		if other == "" {
			return false
		}
		r.setCouple(own[0], other, 0)
	}
	return true
}

// works reports whether the name of a sender says that photographs are their work: "Foto Martín".
func (r *reader) works(by string) bool {
	return slices.ContainsFunc(names.Words(by), func(w string) bool {
		return slices.ContainsFunc(words.Find(w), func(w words.Word) bool { return w.Class == "wish" || w.Class == "photos" || w.Class == "key" })
	})
}

// ofThemselves reports whether words ask for a photograph of those who wrote them: "us with", "me +", "my mum".
func (r *reader) ofThemselves(ph []phrase) bool {
	for k := range ph {
		next, before := phrase{}, phrase{}
		if k+1 < len(ph) {
			next = ph[k+1]
		}
		if k > 0 {
			before = ph[k-1]
		}
		joined := next.has("with") || next.has("and") || next.Key == "+" || next.Key == "&" || before.has("with") || before.has("and") || before.Key == "+" || before.Key == "&"
		if (ph[k].has("my") || ph[k].has("our")) && (next.has("kin") || next.has("role")) || ph[k].has("self") && joined || ph[k].saysUs() && joined {
			return true
		}
	}
	return false
}

// saysUs reports whether a phrase is a word by which the couple speak of themselves.
func (p *phrase) saysUs() bool {
	w, ok := p.word("couple")
	return ok && w.Arg == "us"
}

// adds reports whether a message only adds people to the photograph before: "+ Jonno", "Ken goes in that one too".
func (r *reader) adds(s *statement) bool {
	terms := allTerms(s)
	if len(terms) == 0 || s.ph[len(s.ph)-1].Key == "?" || slices.ContainsFunc(terms, func(t *term) bool {
		return t.kind == couple || t.kind == all || t.kind == half || t.kind == same || t.kind == person && r.HalfNamed(t.name) > 0
	}) {
		return false
	}
	there := slices.ContainsFunc(s.ph, func(p phrase) bool { return p.has("there") })
	return there || !r.wishful(s) && (s.ph[0].Key == "+" || s.ph[0].has("and") || s.ph[0].has("with"))
}

// wishful reports whether a message says that it wants a photograph: "one of", "a big one", "pic with".
func (r *reader) wishful(s *statement) bool {
	return slices.ContainsFunc(s.ph, func(p phrase) bool { return p.has("wish") || p.has("photos") })
}

// chatter reports whether a message without a number is no wish: it names nobody, or one without a word that it is
// wanted; of somebody else than the couple, unless it names them or everybody.
func (r *reader) chatter(s *statement) bool {
	terms := allTerms(s)
	whole := slices.ContainsFunc(terms, func(t *term) bool { return t.kind == all || t.kind == couple || t.kind == half || t.kind == same })
	switch {
	case len(terms) == 0:
		return true
	case r.Couple[0] >= 0 && r.HalfNamed(s.l.By) == 0 && len(r.Find(s.l.By)) == 0:
		return !whole
	case s.ph[len(s.ph)-1].Key == "?" && !r.wishful(s), r.tells(s.ph) && !r.wishful(s):
		return true
	case !s.head.solo && !slices.ContainsFunc(terms, func(t *term) bool { return !r.leads(t) }):
		return s.ph[0].has("greet") || s.ph[len(s.ph)-1].Key == "?"
	case slices.ContainsFunc(s.ph, func(p phrase) bool { return p.has("edit") && !p.has("with") && !p.has("add") }) && !whole:
		return true
	case !r.marked:
		return false
	}
	return len(terms) < 2 && !r.wishful(s) && !slices.ContainsFunc(terms, func(t *term) bool { return t.kind == all })
}
