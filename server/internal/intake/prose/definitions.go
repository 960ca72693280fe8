package prose

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/speech"
)

// defines reports whether a line only says who somebody is: "Priya's family: mum Sunita, dad Ravi".
func (r *reader) defines(k int, s *statement, ctx context) bool {
	if s.l.First || s.l.Mark != 0 && r.marked {
		return false
	}
	if s.colon && len(s.ph) > 1 && s.ph[0].Has("guests") && s.ph[1].Key == ":" {
		return true
	}
	if s.l.Mark == 0 && (r.marked && !slices.ContainsFunc(s.ph, func(p speech.Phrase) bool { return p.Has("remark") }) || r.mostlySubjects()) && r.onlyNamed(s) && (s.l.After || k > 0 && (r.stmts[k-1].kind == definition || r.stmts[k-1].l.Alias)) {
		return true
	}
	later := false
	for j := k + 1; j < len(r.stmts); j++ {
		later = later || r.stmts[j].l.Mark != 0 && r.marked || r.stmts[j].l.Heads > 0 || r.stmts[j].l.After && len(r.stmts[j].ph) < 6
	}
	kin := 0
	for _, list := range [][]*speech.Term{s.head.Terms, s.tail.Terms} {
		for _, t := range list {
			if t.Word.Class != "" && (t.Kind == speech.Person || len(t.Names) > 0) {
				kin++
			}
		}
	}
	if s.colon && ownerOnly(s.head) {
		return (r.marked || later || !r.marked && kin > 1) && kin > 0
	}
	if !r.marked && !later || r.subject(s) && !(len(s.head.Terms) > 1 && r.dashed(s)) {
		return false
	}
	if s.colon && len(s.head.Terms) == 1 && s.head.Terms[0].Kind == speech.Role {
		return !ctx.said && ctx.level == 0 || r.marked
	}
	return kin > 0 && kin >= len(s.head.Terms)-1 && r.dashed(s) && (ctx.level == 0 || r.marked)
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
	for _, t := range s.head.Terms {
		if t.Kind == speech.Person && t.Word.Class == "" || t.Kind == speech.Couple || t.Kind == speech.Half || t.Kind == speech.All {
			return false
		}
		n++
	}
	return n > 0 && (s.colon && len(s.tail.Terms) > 0 || !slices.ContainsFunc(s.head.Terms, func(t *speech.Term) bool { return t.Kind != speech.Person && len(t.Names) == 0 }))
}

// describes reports whether a line is a name and what that person is: "Ruth Adeyemi - grandmother, 84".
func (r *reader) describes(s *statement) bool {
	terms := s.head.Terms
	if s.colon || len(terms) < 2 || terms[0].Kind != speech.Person || terms[0].Word.Class != "" || r.HalfNamed(terms[0].Name) > 0 || len(s.head.Unknown) > 0 || s.l.First {
		return false
	}
	dash := slices.ContainsFunc(s.ph, func(p speech.Phrase) bool { return p.Key == "-" && p.Start >= terms[0].End && p.Start < terms[1].Start })
	for _, t := range terms[1:] {
		if t.Kind != speech.Kin && t.Kind != speech.Role || t.Word.Plural && t.Word.Arg != "family" || len(t.Names) > 0 || t.Minus || t.Sep == "+" || t.Sep == "&" {
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
func ownerOnly(p speech.Parsed) bool {
	for _, t := range p.Terms {
		if !(t.Kind == speech.Kin && t.Word.Arg == "family" && len(t.Names) == 0 || t.Kind == speech.Half || t.Kind == speech.Person && len(t.Names) == 0) {
			return false
		}
	}
	return len(p.Terms) == 1 || len(p.Terms) == 0 && len(p.Unknown) == 0
}

// footnote reports whether a line behind a star, in a list that has no bullets, tells of one person.
func (r *reader) footnote(s *statement) bool {
	return !r.marked && s.l.Bullet == "*" && len(s.head.Terms) == 1 && s.head.Terms[0].Kind == speech.Person && !r.subject(s)
}

// equals reports whether a line only says who is meant by a word: "BIL = Nate".
func (s *statement) equals() bool {
	at := speech.ColonAt(s.ph)
	if at < 0 || s.ph[at].Key != "=" || len(s.head.Terms) != 1 || len(s.tail.Terms) == 0 {
		return false
	}
	k := s.head.Terms[0].Kind
	return k == speech.Kin || k == speech.Role || k == speech.Label
}
