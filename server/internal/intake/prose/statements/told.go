package statements

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/speech"
)

// isKin reports whether a bracket behind a name says whose kin somebody is: "Ann (mum)".
func isKin(t *speech.Term) bool {
	return t.Kind == speech.Person && len(t.Names) == 1 && t.Names[0].Kind == speech.Kin && len(t.Names[0].Names) == 0
}

// onlyFamily reports whether a heading is a word for a family, of nobody said.
func (r *Reader) onlyFamily(s *Statement) bool {
	return len(s.Head.Terms) == 1 && s.Head.Terms[0].Word.Arg == "family" && s.Head.Terms[0].Owner == nil && len(s.Head.Unknown) == 0
}

// tellsOne reports whether a statement names somebody and says what kin that is, or of one of the couple who their kin are: "Ann (Bo's
// mum)", "Mum: Ann", "Bo: mum Ann, dad Karl".
func (r *Reader) tellsOne(k int) bool {
	if k >= len(r.Statements) {
		return false
	}
	s := r.Statements[k]
	head, tail := s.Head.Terms, s.Tail.Terms
	switch {
	case joins(s) || len(head) == 0:
		return false
	case s.Colon && ownerOnly(s.Head):
		return r.tellsKin(tail)
	case s.Colon:
		return len(head) == 1 && head[0].Kind == speech.Kin && len(tail) > 0 && onlyNames(tail)
	}
	return !r.subject(s) && (isKin(head[0]) || head[0].Kind == speech.Person && (head[0].Word.Class == "kin" || r.describes(s)))
}

// tellingBlock reports whether a line is one of three or more, set off by empty lines, of which each says what kin somebody is, in a list
// that asks for photographs elsewhere.
func (r *Reader) tellingBlock(k int) bool {
	from, end := k, k+1
	for from > 0 && k-from < 40 && !r.Statements[from].Line.After && r.tellsOne(from-1) {
		from--
	}
	for end < len(r.Statements) && end-k < 40 && !r.Statements[end].Line.After && r.tellsOne(end) && r.Effort.Spend(20) {
		end++
	}
	off := from == 0 || r.Statements[from].Line.After || r.Statements[from-1].Kind == Heading
	one := slices.ContainsFunc(r.Statements[from:end], func(s *Statement) bool { return s.Colon || len(s.Head.Terms) > 2 })
	return end-from > 2 && off && !one && r.tellsOne(k) && (end == len(r.Statements) || r.Statements[end].Line.After) && slices.ContainsFunc(r.Statements, r.asksPlainly)
}

// isHonour reports whether a term names whom the day is about.
func (r *Reader) isHonour(t *speech.Term) bool {
	return t.Kind == speech.Person && r.IsHonour(t.Name)
}

// asksBelow reports whether the statements from one on ask for photographs and tell of nobody: two in a row begin with the couple or one
// of them and join others to them, "Ann + Bo with Ann's parents". One alone may do where an empty line follows.
func (r *Reader) asksBelow(k int, alone bool) bool {
	if k >= len(r.Statements) || !r.Effort.Spend(20) || !r.asksPlainly(r.Statements[k]) {
		return false
	}
	if len(r.Statements[k].Head.Terms) > 2 && r.withCouple(r.Statements[k]) {
		return true // "Ann, Bo, Ida, Karl": nobody tells of both
	}
	if k+1 == len(r.Statements) || r.Statements[k+1].Line.After {
		return alone
	}
	return r.asksPlainly(r.Statements[k+1])
}

// asksPlainly reports whether a line begins with the couple or one of them, joins others and says of nobody who that is.
func (r *Reader) asksPlainly(s *Statement) bool {
	terms := s.Head.Terms
	if s.Colon || len(terms) < 2 || !r.subject(s) || r.dashed(s) || s.Clause {
		return false
	}
	open := terms[0].Kind == speech.Couple || r.halfMeant(terms[1]) > 0
	for _, t := range terms[1:] {
		if t.Kind == speech.Person && t.Word.Class != "" {
			return false // "Ann, mum Ida"
		}
		open = open || t.Sep == "+" || t.Sep == "&" || t.Kind != speech.Person && len(t.Names) == 0
	}
	return open
}

// announces reports whether a line says before a colon or dash that photographs follow, of nobody or of the couple behind it:
// "Group photos (2pm, Steps) - Ann & Bo".
func (r *Reader) announces(s *Statement) bool {
	if r.Honour >= 0 && len(s.Head.Terms) > 0 && speech.AnyHas(s.Phrases, "event") && slices.ContainsFunc(s.Phrases, func(p speech.Phrase) bool { return p.Has("photos") && p.Start > s.Head.Terms[0].End }) {
		return true // "XV años Vera: fotos en el atrio"
	}
	labels := func(ts []*speech.Term) bool {
		return !slices.ContainsFunc(ts, func(t *speech.Term) bool { return t.Kind != speech.Label })
	}
	whom := len(s.Head.Terms) == 1 && r.isHonour(s.Head.Terms[0]) || r.namesBoth(s.Phrases) && r.onlyCouple(&Statement{Head: s.Head})
	return len(s.Head.Terms) == 0 || r.bothNamed(&Statement{Head: s.Tail}) && labels(s.Head.Terms) || whom && labels(s.Tail.Terms) // "Ann + Bo: group photos"
}

// tellsKin reports whether terms are people by name, one of them with what they are, and joins nobody but one who is told to
// another: "Gran Ida + Grandad Karl".
func (r *Reader) tellsKin(terms []*speech.Term) bool {
	told := false
	toldOf := func(t *speech.Term) bool { return t.Kind == speech.Person && t.Word.Class != "" }
	for k, t := range terms {
		if t.Sep == "+" && !(k > 0 && toldOf(t) && toldOf(terms[k-1])) || t.Minus || t.Kind != speech.Person && len(t.Names) == 0 || t.Kind == speech.Couple || t.Kind == speech.All || t.Kind == speech.Person && r.HalfNamed(t.Name) > 0 {
			return false
		}
		told = told || t.Word.Class != "" || isKin(t)
	}
	return told
}

// longAbove reports whether a line that joins people stands below a heading of several words, which is hardly one of guests: "Service people
// before anyone else".
func (r *Reader) longAbove(k int) bool {
	return k > 0 && r.Statements[k-1].Kind == Heading && len(r.Statements[k-1].Phrases) > 3 && joins(r.Statements[k])
}

// emptyHeadings takes what stands over nothing at the end of a list, or below such a line and names nobody, for what it asks
// for: "Everyone who was born here", "The neighbours".
func (r *Reader) emptyHeadings() {
	for k := len(r.Statements) - 1; k >= 0; k-- {
		s := r.Statements[k]
		last := k+1 == len(r.Statements)
		told := s.Kind == Heading && (s.Line.Heads > 0 || s.has("photos") || s.has("guests") && len(s.Phrases) < 4 || !last && (r.loudOrTitle(s) || r.Statements[k+1].Line.After))
		if s.Kind != Heading && (s.Kind != Definition || s.Line.Part != 0 || namesAnyone(s.Terms())) || s.Colon || len(s.Head.Terms) == 0 || told {
			return
		}
		s.Kind = Photo
	}
}

// namesAnyone reports whether one of those who are told of has a name.
func namesAnyone(terms []*speech.Term) bool {
	return slices.ContainsFunc(terms, func(t *speech.Term) bool {
		return t.Kind == speech.Person || t.Kind == speech.Half || t.Kind == speech.Couple || namesAnyone(t.Names)
	})
}

// onlyWe reports whether a line names both of the couple and says behind a colon nothing of others: "Ann & Bo: who we want together".
func (r *Reader) onlyWe(s *Statement) bool {
	return len(s.Head.Terms) == 2 && r.bothNamed(&Statement{Head: s.Head}) && !slices.ContainsFunc(s.Tail.Terms, func(t *speech.Term) bool { return t.Kind != speech.Couple })
}

// halvesTell reports whether a line names only the couple or one of them, and in a bracket their kin: "Bride = Ann (mum Ida, dad Karl)".
func (r *Reader) halvesTell(s *Statement) bool {
	told := false
	for _, t := range s.Terms() {
		if r.halfMeant(t) == 0 {
			return false
		}
		told = told || len(t.Names) > 0 && r.tellsKin(t.Names)
	}
	return told
}

// ownerBefore is whose kin the last clause of the line told of that says whose: "Ann's mum - Ida, dad - Karl; siblings - Max, Pia".
func (r *Reader) ownerBefore(s *Statement) []int {
	for k := s.At - 1; k >= 0 && r.Statements[k].Line == s.Line; k-- {
		o := r.Statements[k]
		if h := r.halfOfHead(o); h != nil {
			return h
		}
		if len(o.Head.Terms) > 0 && o.Head.Terms[0].Owner != nil && o.Head.Terms[0].Word.Class == "kin" {
			if ids, ok := r.OwnedBy(o.Head.Terms[0].Owner, &facts.Scope{Last: -1}); ok && len(ids) == 1 && r.Guests[ids[0]].Half > 0 {
				return ids
			}
		}
	}
	return nil
}

// ofOneHalf reports whether a line names only one of the couple, or what is theirs: "Bride", "Ann's group", "Ann & Ann's family".
func (r *Reader) ofOneHalf(s *Statement) bool {
	one := 0
	for _, t := range s.Head.Terms {
		h := r.halfMeant(t)
		if o := t.Owner; h == 0 && o != nil && o.Half != 0 {
			h = r.HalfOf(o.Half)
		} else if h == 0 && o != nil {
			h = r.HalfNamed(o.Name)
		}
		if h == 0 || one > 0 && h != one || t.Kind == speech.Kin && t.Word.Arg != "family" {
			return false
		}
		one = h
	}
	return one > 0 && len(s.Head.Unknown) == 0
}

// withCouple reports whether a line begins with both of the couple and names others.
func (r *Reader) withCouple(s *Statement) bool {
	terms := s.Head.Terms
	return !s.Colon && len(terms) > 1 && terms[0].Kind == speech.Couple || len(terms) > 2 && r.halfMeant(terms[0])+r.halfMeant(terms[1]) == 3
}

// sideBehind reports whether a bracket at the end of a line says whose it is: "The Moes (Ann's side)", "Family (Ann)".
func (r *Reader) sideBehind(s *Statement) bool {
	n := len(s.Phrases) - 1
	return n >= 0 && s.Phrases[n].Open && (speech.AnyHas(s.Phrases[n].Inside, "side") || r.sideInBracket(s) > 0)
}
