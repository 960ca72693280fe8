package prose

import "slices"

// isHeading reports whether lines below belong under a line.
func (r *reader) isHeading(k int, s *statement, ctx context) bool {
	next := r.next(k)
	switch {
	case s.l.heads > 0:
		return true
	case next == nil || s.l.from != "":
		return false
	case s.colon && len(s.tail.terms)+len(s.tail.lost)+len(s.tail.attrs) == 0 && colonAt(s.ph) == len(s.ph)-1:
		return !r.fillsBelow(s, next)
	case s.colon:
		return false
	}
	has := func(class string) bool { return slices.ContainsFunc(s.ph, func(p phrase) bool { return p.has(class) }) }
	short := len(s.ph) <= 7
	named := slices.ContainsFunc(s.head.terms, func(t *term) bool { return t.kind == person && r.halfNamed(t.name) == 0 || len(t.sub) > 0 })
	joined := len(s.head.terms) > 1
	if s.l.mark != 0 {
		return next.l.indent > s.l.indent && next.l.mark != 0 && r.selfContained(k, s)
	}
	if r.marked {
		if next.l.mark != 0 || next.l.indent > s.l.indent {
			return !named || has("photos") || has("guests") || has("side")
		}
		return short && !named && !joined && (s.l.after || has("photos") || has("guests") || has("side"))
	}
	if !named && short && !joined && has("side") && !r.subject(s) {
		return true
	}
	if named || !s.l.after || next.l.after && !has("guests") && !has("photos") {
		return false
	}
	switch {
	case has("guests") && !has("half") && short, has("photos") && short && !(has("half") || has("couple")):
		return true
	case len(s.head.terms) == 0:
		return short || has("event")
	case !joined && short && !r.subject(s):
		t := s.head.terms[0]
		return has("side") || t.kind == kinTerm && t.w.arg == "family" || t.kind == role && r.loudOrTitle(s) || t.kind == label && r.loudOrTitle(s)
	}
	return has("side") && short && !r.subject(s)
}

// loudOrTitle reports whether all words of a line begin with capitals.
func (r *reader) loudOrTitle(s *statement) bool {
	return !slices.ContainsFunc(r.tokens[s.i], func(t token) bool { return t.kind == 'w' && cased(t.text) && !t.cap && len(t.text) > 3 })
}

// fillsBelow reports whether the lines below name who is in the photograph that a line with a colon asks for.
func (r *reader) fillsBelow(s, next *statement) bool {
	return false
}

// selfContained reports whether the lines below one are photographs of their own, and not what it adds to: each
// has its subject itself.
func (r *reader) selfContained(k int, s *statement) bool {
	n, own := 0, 0
	for j := k + 1; j < len(r.stmts) && r.stmts[j].l.indent > s.l.indent; j++ {
		n++
		if c := r.stmts[j]; len(c.head.terms) > 1 && r.subject(c) {
			own++
		}
	}
	return n > 0 && own == n
}

// guestsBelow reports whether people stand one by one under a heading, and photographs under one of their own further
// down.
func (r *reader) guestsBelow(k int) bool {
	one := false
	for j := k + 1; j < len(r.stmts) && r.m.Spend(20); j++ {
		s := r.stmts[j]
		switch {
		case r.isHeading(j, s, context{}):
			if slices.ContainsFunc(s.ph, func(p phrase) bool { return p.has("photos") }) {
				return one
			}
		case len(s.head.terms) != 1 || s.head.terms[0].kind != person:
			return false
		default:
			one = true
		}
	}
	return false
}
