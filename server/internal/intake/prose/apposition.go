package prose

import "slices"

// appose takes a name and what that person is, with only a comma between them, for one: "best man, Nobby", "Yasmine,
// Sofiane's wife". Only when the whole list is known can that be told from two people.
func (p *parser) appose() {
	if !p.r.again {
		return
	}
	terms := p.out.terms
	for k := 0; k+1 < len(terms); k++ {
		a, b := terms[k], terms[k+1]
		if b.sep != "," && b.sep != " " || a.minus != b.minus {
			continue
		}
		end := k + 2
		for a.w.plural && end < len(terms) && p.r.plain(terms[end]) && (terms[end].sep == "," || terms[end].sep == "&") {
			end++
		}
		switch {
		case end < len(terms) && terms[end].sep == "," && !a.w.plural:
		case p.r.unfilled(a) && p.r.plain(b) && (a.own != nil && a.w.plural == (end > k+2) || a.kind == role || a.sep == "+" || a.sep == "&") && p.r.unheld(a, terms[k+1:end]):
			a.sub = append(a.sub, terms[k+1:end]...)
			terms = slices.Delete(terms, k+1, end)
		case k > 0 && p.r.plain(a) && p.r.unfilled(b) && !b.w.plural && b.own != nil && b.own.pron == "" && p.r.unheld(b, terms[k:k+1]):
			a.sub = append(a.sub, b)
			terms = slices.Delete(terms, k+1, k+2)
		}
	}
	p.out.terms = terms
}

// plain is a person of whom nothing but the name is said.
func (r *reader) plain(t *term) bool {
	return t.kind == person && t.w.class == "" && len(t.sub) == 0 && r.halfNamed(t.name) == 0
}

// unfilled are words of kin or a role without a name.
func (r *reader) unfilled(t *term) bool {
	return (t.kind == kinTerm && t.w.arg != "family" && t.w.arg != "partner" || t.kind == kinTerm && t.own != nil && t.w.arg == "partner" || t.kind == role) && len(t.sub) == 0 && !t.each
}

// unheld reports whether nobody is known to be what words of kin say, or just those who are named beside them, who
// are known as nothing else.
func (r *reader) unheld(t *term, people []*term) bool {
	known := r.resolveKin(t, &scope{last: -1})
	for _, x := range people {
		ids := r.find(x.name, "")
		switch {
		case len(ids) > 1:
			return false
		case len(ids) == 1 && slices.Contains(known, ids[0]):
			known = less(known, ids)
		case len(ids) == 1 && len(r.guests[ids[0]].rels) > 0 && t.kind == kinTerm:
			return false
		}
	}
	return len(known) == 0
}
