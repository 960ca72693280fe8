package prose

import (
	"slices"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// chatCouple takes the couple from those who write: the two who say "us" and "my mum", else the one who does and whom
// they write to or name most.
func (r *reader) chatCouple() bool {
	var all, own []string
	for i := range r.Lines {
		by := r.Lines[i].By
		if by == "" {
			continue
		}
		if !slices.Contains(all, by) {
			all = append(all, by)
		}
		if !slices.Contains(own, by) && r.ofThemselves(r.Heads(i)) {
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
func (r *reader) ofThemselves(ph []speech.Phrase) bool {
	for k := range ph {
		next, before := speech.Phrase{}, speech.Phrase{}
		if k+1 < len(ph) {
			next = ph[k+1]
		}
		if k > 0 {
			before = ph[k-1]
		}
		joined := next.Has("with") || next.Has("and") || next.Key == "+" || next.Key == "&" || before.Has("with") || before.Has("and") || before.Key == "+" || before.Key == "&"
		if (ph[k].Has("my") || ph[k].Has("our")) && (next.Has("kin") || next.Has("role")) || ph[k].Has("self") && joined || ph[k].SaysUs() && joined {
			return true
		}
	}
	return false
}

// adds reports whether a message only adds people to the photograph before: "+ Jonno", "Ken goes in that one too".
func (r *reader) adds(s *statement) bool {
	terms := allTerms(s)
	if len(terms) == 0 || s.ph[len(s.ph)-1].Key == "?" || slices.ContainsFunc(terms, func(t *speech.Term) bool {
		return t.Kind == speech.Couple || t.Kind == speech.All || t.Kind == speech.Half || t.Kind == speech.Same || t.Kind == speech.Person && r.HalfNamed(t.Name) > 0
	}) {
		return false
	}
	there := slices.ContainsFunc(s.ph, func(p speech.Phrase) bool { return p.Has("there") })
	return there || !r.wishful(s) && (s.ph[0].Key == "+" || s.ph[0].Has("and") || s.ph[0].Has("with"))
}

// wishful reports whether a message says that it wants a photograph: "one of", "a big one", "pic with".
func (r *reader) wishful(s *statement) bool {
	return slices.ContainsFunc(s.ph, func(p speech.Phrase) bool { return p.Has("wish") || p.Has("photos") })
}

// chatter reports whether a message without a number is no wish: it names nobody, or one without a word that it is
// wanted; of somebody else than the couple, unless it names them or everybody.
func (r *reader) chatter(s *statement) bool {
	terms := allTerms(s)
	whole := slices.ContainsFunc(terms, func(t *speech.Term) bool {
		return t.Kind == speech.All || t.Kind == speech.Couple || t.Kind == speech.Half || t.Kind == speech.Same
	})
	switch {
	case len(terms) == 0:
		return true
	case r.Couple[0] >= 0 && r.HalfNamed(s.l.By) == 0 && len(r.Find(s.l.By)) == 0:
		return !whole
	case s.ph[len(s.ph)-1].Key == "?" && !r.wishful(s), r.tells(s.ph) && !r.wishful(s):
		return true
	case !s.head.Solo && !slices.ContainsFunc(terms, func(t *speech.Term) bool { return !r.Leads(t) }):
		return s.ph[0].Has("greet") || s.ph[len(s.ph)-1].Key == "?"
	case slices.ContainsFunc(s.ph, func(p speech.Phrase) bool { return p.Has("edit") && !p.Has("with") && !p.Has("add") }) && !whole:
		return true
	case !r.marked:
		return false
	}
	return len(terms) < 2 && !r.wishful(s) && !slices.ContainsFunc(terms, func(t *speech.Term) bool { return t.Kind == speech.All })
}
