package prose

import (
	"slices"
)

// defines reports whether a line only says who somebody is: "Priya's family: mum Sunita, dad Ravi".
func (r *reader) defines(k int, s *statement, ctx context) bool {
	if s.l.First || s.l.Mark != 0 && r.marked {
		return false
	}
	if s.colon && len(s.ph) > 1 && s.ph[0].has("guests") && s.ph[1].Key == ":" {
		return true
	}
	if s.l.Mark == 0 && (r.marked && !slices.ContainsFunc(s.ph, func(p phrase) bool { return p.has("remark") }) || r.mostlySubjects()) && r.onlyNamed(s) && (s.l.After || k > 0 && (r.stmts[k-1].kind == definition || r.stmts[k-1].l.Alias)) {
		return true
	}
	later := false
	for j := k + 1; j < len(r.stmts); j++ {
		later = later || r.stmts[j].l.Mark != 0 && r.marked || r.stmts[j].l.Heads > 0 || r.stmts[j].l.After && len(r.stmts[j].ph) < 6
	}
	kin := 0
	for _, list := range [][]*term{s.head.terms, s.tail.terms} {
		for _, t := range list {
			if t.w.Class != "" && (t.kind == person || len(t.sub) > 0) {
				kin++
			}
		}
	}
	if s.colon && ownerOnly(s.head) {
		return (r.marked || later || !r.marked && kin > 1) && kin > 0
	}
	if !r.marked && !later || r.subject(s) && !(len(s.head.terms) > 1 && r.dashed(s)) {
		return false
	}
	if s.colon && len(s.head.terms) == 1 && s.head.terms[0].kind == role {
		return !ctx.said && ctx.level == 0 || r.marked
	}
	return kin > 0 && kin >= len(s.head.terms)-1 && r.dashed(s) && (ctx.level == 0 || r.marked)
}

// mostlySubjects reports whether most lines begin with the couple or one of them.
func (r *reader) mostlySubjects() bool {
	n := 0
	for _, s := range r.stmts {
		if r.subject(s) {
			n++
		}
	}
	return 2*n >= len(r.stmts)
}

// onlyNamed reports whether a line names people by what they are and asks for nothing: "MOB Suzanne, FOB Dale".
func (r *reader) onlyNamed(s *statement) bool {
	n := 0
	for _, t := range s.head.terms {
		if t.kind == person && t.w.Class == "" || t.kind == couple || t.kind == half || t.kind == all {
			return false
		}
		n++
	}
	return n > 0 && (s.colon && len(s.tail.terms) > 0 || !slices.ContainsFunc(s.head.terms, func(t *term) bool { return t.kind != person && len(t.sub) == 0 }))
}

// describes reports whether a line is a name and what that person is: "Ruth Adeyemi - grandmother, 84".
func (r *reader) describes(s *statement) bool {
	terms := s.head.terms
	if s.colon || len(terms) < 2 || terms[0].kind != person || terms[0].w.Class != "" || r.HalfNamed(terms[0].name) > 0 || len(s.head.lost) > 0 || s.l.First {
		return false
	}
	dash := slices.ContainsFunc(s.ph, func(p phrase) bool { return p.Key == "-" && p.Start >= terms[0].e && p.Start < terms[1].s })
	for _, t := range terms[1:] {
		if t.kind != kinTerm && t.kind != role || t.w.Plural && t.w.Arg != "family" || len(t.sub) > 0 || t.minus || t.sep == "+" || t.sep == "&" {
			return false
		}
	}
	return dash
}

// dashed reports whether " - " follows kin or an owner: "Groom - Mum Helen".
func (r *reader) dashed(s *statement) bool {
	for i := 1; i < len(s.ph); i++ {
		if s.ph[i].Key == "-" && s.ph[i].Gap {
			return i < 5
		}
	}
	return false
}

// ownerOnly reports whether words only say whose people follow: "Bride's family:", "Bride:".
func ownerOnly(p parsed) bool {
	for _, t := range p.terms {
		if !(t.kind == kinTerm && t.w.Arg == "family" && len(t.sub) == 0 || t.kind == half || t.kind == person && len(t.sub) == 0) {
			return false
		}
	}
	return len(p.terms) == 1 || len(p.terms) == 0 && len(p.lost) == 0
}

// footnote reports whether a line behind a star, in a list that has no bullets, tells of one person.
func (r *reader) footnote(s *statement) bool {
	return !r.marked && s.l.Bullet == "*" && len(s.head.terms) == 1 && s.head.terms[0].kind == person && !r.subject(s)
}

// equals reports whether a line only says who is meant by a word: "BIL = Nate".
func (s *statement) equals() bool {
	at := colonAt(s.ph)
	if at < 0 || s.ph[at].Key != "=" || len(s.head.terms) != 1 || len(s.tail.terms) == 0 {
		return false
	}
	k := s.head.terms[0].kind
	return k == kinTerm || k == role || k == label
}
