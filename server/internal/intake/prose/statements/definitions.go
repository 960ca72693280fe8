package statements

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// defines reports whether a line only says who somebody is: "Priya's family: mum Sunita, dad Ravi".
func (r *Reader) defines(k int, s *Statement, ctx Context) bool {
	if k > 0 && !s.Line.After && (r.Statements[k-1].Line.Alias || r.Statements[k-1].equals()) && r.onlyTold(s) && !r.photoBefore(k) {
		return true // "mum ida, dad karl" below "N = nell, me = ann"
	}
	wished := s.Colon && len(s.Head.Terms) == 0 && speech.AnyHas(s.Phrases[:max(0, speech.ColonAt(s.Phrases))], "nice", "must") // "If there's time: Ann with Bob"
	if wished || ctx.photos && s.Line.Indent > ctx.indent || s.Line.First || s.Phrases[0].Has("next") || s.Line.Mark != 0 && r.marked || !r.marked && r.amongWishes(k) {
		return false
	}
	if s.Colon && len(s.Phrases) > 1 && s.Phrases[0].Has("guests") && s.Phrases[1].Key == ":" {
		return true
	}
	below := s.Line.After || k > 0 && (r.Statements[k-1].Kind == Definition || r.Statements[k-1].Kind == Title || r.Statements[k-1].Kind == Heading && s.Colon || r.Statements[k-1].Line.Alias)
	if below && s.Line.Mark == 0 && r.onlyNamed(s) && (r.marked && !speech.AnyHas(s.Phrases, "remark") || r.mostlySubjects()) {
		return true
	}
	if r.tellingBlock(k) {
		return true
	}
	later := false
	for j := k + 1; j < len(r.Statements); j++ {
		later = later || r.Statements[j].Line.Mark != 0 && r.marked || r.Statements[j].Line.Heads > 0 || r.Statements[j].Line.After && len(r.Statements[j].Phrases) < 6
	}
	kin := 0
	for _, list := range [][]*speech.Term{s.Head.Terms, s.Tail.Terms} {
		for _, t := range list {
			if t.Word.Class != "" && (t.Kind == speech.Person || len(t.Names) > 0) || isKin(t) {
				kin++
			}
		}
	}
	if s.Colon && ownerOnly(s.Head) && r.above(k) == nil {
		return (r.marked || later || !r.marked && kin > 1) && kin > 0
	}
	if !r.marked && !later || r.subject(s) && !(len(s.Head.Terms) > 1 && r.dashed(s)) {
		return false
	}
	if s.Colon && len(s.Head.Terms) == 1 && s.Head.Terms[0].Kind == speech.Role {
		return !ctx.said && ctx.level == 0 || r.marked
	}
	return kin > 0 && kin >= len(s.Head.Terms)-1 && r.dashed(s) && (ctx.level == 0 || r.marked) || r.abovePhotos(k) && r.onlyTold(s)
}

// abovePhotos reports whether a line stands before all photographs, and what these have sets them off: a heading or numbers.
func (r *Reader) abovePhotos(k int) bool {
	return !r.photoBefore(k) && slices.ContainsFunc(r.Statements[k+1:], func(s *Statement) bool {
		return headOf(s.Line.Text) == lines.PhotoHead || s.Line.Mark == '#' && r.marked
	})
}

// photoBefore reports whether a photograph stands before a statement.
func (r *Reader) photoBefore(k int) bool {
	return slices.ContainsFunc(r.Statements[:k], func(s *Statement) bool { return s.Kind == Photo })
}

// onlyTold reports whether a line only says who the people are whom it names: "Ann's husband Bo", "cousins Ida, Max and Tim", "Grandpa
// Karl, 91, Ann's father".
func (r *Reader) onlyTold(s *Statement) bool {
	told := 0
	for k, t := range s.Head.Terms {
		switch {
		case t.Kind == speech.Person && t.Word.Class == "" && len(t.Names) == 0 && r.HalfNamed(t.Name) == 0:
		case t.Kind == speech.Person && r.HalfNamed(t.Name) == 0, (t.Kind == speech.Kin || t.Kind == speech.Role) && (len(t.Names) > 0 || k > 0 && t.Owner != nil && t.Sep == ","):
			told++
		default:
			return false
		}
		if t.Sep == "+" || t.Minus {
			return false
		}
	}
	return told > 0 && !s.Colon
}

// amongWishes reports whether no empty line stands between a line and a photograph before it.
func (r *Reader) amongWishes(k int) bool {
	for j := k; j > 0 && !r.Statements[j].Line.After; j-- {
		if r.Statements[j-1].Kind == Photo {
			return true
		}
	}
	return false
}

// mostlySubjects reports whether most lines begin with the couple or one of them.
func (r *Reader) mostlySubjects() bool {
	n := 0
	for _, s := range r.Statements {
		if r.Effort.Spend(20) && r.subject(s) {
			n++
		}
	}
	return 2*n >= len(r.Statements)
}

// onlyNamed reports whether a line names people by what they are, and who is with them, and asks for nothing: "MOB Suzanne, FOB Dale +
// Jo".
func (r *Reader) onlyNamed(s *Statement) bool {
	n := 0
	for _, t := range s.Head.Terms {
		if t.Kind == speech.Person && t.Word.Class == "" && (n < 2 || t.Sep != "+" && t.Sep != "&") || t.Kind == speech.Couple || t.Kind == speech.Half || t.Kind == speech.All {
			return false
		}
		n++
	}
	return n > 0 && (s.Colon && len(s.Tail.Terms) > 0 && len(speech.OpenTerms(s.Tail.Terms)) == 0 || !slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool { return t.Kind != speech.Person && len(t.Names) == 0 }))
}

// describes reports whether a line is a name and what that person is: "Ruth Adeyemi - grandmother, 84".
func (r *Reader) describes(s *Statement) bool {
	terms := s.Head.Terms
	if s.Colon || len(terms) < 2 || terms[0].Kind != speech.Person || terms[0].Word.Class != "" || r.HalfNamed(terms[0].Name) > 0 || len(s.Head.Unknown) > 0 || s.Line.First {
		return false
	}
	dash := slices.ContainsFunc(s.Phrases, func(p speech.Phrase) bool { return p.Key == "-" && p.Start >= terms[0].End && p.Start < terms[1].Start })
	if r.marked && s.Line.Mark == 0 && len(terms) == 2 && terms[1].Kind == speech.Person && terms[1].Word.Arg == "partner" {
		return true // "Derek, 84, married to Maureen, 82"
	}
	for _, t := range terms[1:] {
		if t.Kind != speech.Kin && t.Kind != speech.Role || t.Word.Plural && t.Word.Arg != "family" || len(t.Names) > 0 || t.Minus || t.Sep == "+" || t.Sep == "&" {
			return false
		}
	}
	return dash
}

// tellsParents reports whether a line without a mark begins with a sentence that names only parents, with a word that no wish has: "Mum is
// Julie and Dad is Steve, Dan's are Lorraine and Mick".
func (r *Reader) tellsParents(s *Statement) bool {
	n := 0
	for _, t := range s.Head.Terms {
		if t.Sep == "." {
			break
		}
		if t.Kind != speech.Person || t.Word.Arg != "parent" {
			return false
		}
		n++
	}
	return n > 1 && s.Line.Mark == 0 && !s.Colon && slices.ContainsFunc(s.Phrases, func(p speech.Phrase) bool { return p.Has("verb") || p.Has("remark") })
}

// dashed reports whether " - " follows kin or an owner: "Groom - Mum Helen".
func (r *Reader) dashed(s *Statement) bool {
	for i := 1; i < len(s.Phrases); i++ {
		if s.Phrases[i].Key == "-" && s.Phrases[i].Gap {
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
func (r *Reader) footnote(s *Statement) bool {
	return !r.marked && s.Line.Bullet == "*" && len(s.Head.Terms) == 1 && s.Head.Terms[0].Kind == speech.Person && !r.subject(s)
}

// equals reports whether a line only says who is meant by a word: "BIL = Nate".
func (s *Statement) equals() bool {
	at := speech.ColonAt(s.Phrases)
	if at < 0 || s.Phrases[at].Key != "=" || len(s.Head.Terms) != 1 || len(s.Tail.Terms) == 0 {
		return false
	}
	t, named := s.Head.Terms[0], s.Tail.Terms[0]
	return t.Kind == speech.Kin || t.Kind == speech.Role || t.Kind == speech.Label && t.Line == 0 || t.Kind == speech.Person && named.Kind == speech.Person && named.Name == t.Name // "R = Rosie"
}

// equalsKin reports whether a line says what several are: "Ann + Bob = Tom's parents", "Flo + Kit = her sister & brother".
func (s *Statement) equalsKin() bool {
	at := speech.ColonAt(s.Phrases)
	head, tail := s.Head.Terms, s.Tail.Terms
	return at > 0 && s.Phrases[at].Key == "=" && len(head) > 0 && len(tail) > 0 && (len(tail) == len(head) || len(tail) == 1 && tail[0].Word.Plural) &&
		!slices.ContainsFunc(head, func(t *speech.Term) bool { return t.Kind != speech.Person || t.Word.Class != "" }) &&
		!slices.ContainsFunc(tail, func(t *speech.Term) bool { return t.Kind != speech.Kin || len(t.Names) > 0 }) && tail[0].Owner != nil
}

// wroteList reports whether a clause tells who wrote a list: "the first one is what Mum wrote".
func wroteList(s *Statement) bool {
	return slices.ContainsFunc(s.Phrases, func(p speech.Phrase) bool { return words.Listed("wrote", p.Key) })
}

// appose takes names behind kin for theirs; in "Four generations: Nana Ida, my mother, myself" each is another.
func (r *Reader) appose(s *Statement, c *facts.Scope) {
	chain := slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool { return t.Line == 'g' })
	if s.Head.Terms = r.Apposed(s.Head.Terms, c); !chain {
		s.Tail.Terms = r.Apposed(s.Tail.Terms, c)
	}
}

// sameOwner takes kin before an equals sign, of whom nobody is said to be whose, for those of whom the sign before it in the line tells:
// "Tom's mum = Vera, dad = Leo", "B mum = Ida. Nan = Joan".
func (r *Reader) sameOwner(s *Statement) {
	n := len(r.Statements)
	equal := func(p speech.Phrase) bool { return p.Key == "=" || p.Key == ":" }
	if n == 0 || r.Statements[n-1].Index != s.Index || !slices.ContainsFunc(r.Statements[n-1].Phrases, equal) || !slices.ContainsFunc(s.Phrases, equal) || len(s.Head.Terms) != 1 || len(r.Statements[n-1].Head.Terms) == 0 {
		return
	}
	before, t := r.Statements[n-1].Head.Terms[0], s.Head.Terms[0]
	switch {
	case t.Word.Class != "kin" || t.Owner != nil:
	case before.Word.Class == "kin":
		t.Owner = before.Owner // of "Ann's parents: Rita, Gil. Brother: Max", too
	case before.Kind == speech.Person && r.HalfNamed(before.Name) > 0 && len(r.Statements[n-1].Head.Terms) > 1:
		t.Owner = &speech.Owner{Name: before.Name}
	}
}

// learnEqual relates those before an equals sign as the kin behind it says, and returns whose kin that is.
func (r *Reader) learnEqual(s *Statement, c *facts.Scope) {
	head, tail := s.Head.Terms, s.Tail.Terms
	for k, t := range head {
		w := tail[min(k, len(tail)-1)]
		if w.Owner == nil {
			w.Owner = tail[0].Owner
		}
		if i := r.Who(t); i >= 0 {
			t.Guests = []int{i}
			r.RelateAs(t, w, r.Owners(w, c))
			r.Describe(i, w.Attrs)
		}
	}
}

// namesKin reports whether a line only tells the name of kin: "my dad is called Karl".
func (s *Statement) namesKin() bool {
	return len(s.Head.Terms) == 1 && len(s.Tail.Terms) == 0 && s.Head.Terms[0].Kind == speech.Person && s.Head.Terms[0].Word.Class == "kin" && slices.ContainsFunc(s.Phrases, func(p speech.Phrase) bool { return words.Listed("called", p.Key) || words.Listed("is", p.Key) })
}

// namesAbove takes "that's Ida and Karl" for the names of the kin of the line above, one for each: "us with mum and dad".
func (r *Reader) namesAbove(s *Statement) bool {
	if s.At == 0 || len(s.Phrases) < 2 || !words.Listed("namely", s.Phrases[0].Key) || r.Statements[s.At-1].Line.By != s.Line.By {
		return false
	}
	above := r.Statements[s.At-1]
	open := speech.Without(above.Head.Terms, func(t *speech.Term) bool { return t.Kind != speech.Kin || t.Word.Plural || len(t.Names) > 0 || t.Minus })
	if len(open) == 0 || len(open) != len(s.Head.Terms) || slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool { return t.Kind != speech.Person || t.Word.Class != "" }) {
		return false
	}
	for k, t := range open {
		if i := r.Who(s.Head.Terms[k]); i >= 0 {
			r.Relate(i, t.Word, r.Owners(t, r.ScopeOf(above)))
		}
	}
	return true
}

// halfMeant is the half of the couple that a term is, or 0.
func (r *Reader) halfMeant(t *speech.Term) int {
	if t.Kind == speech.Half {
		return r.HalfOf(t.Word.Sex)
	}
	return r.HalfNamed(t.Name)
}

// headsKin is the half of the couple whose kin a line has right below it, one a line, or 0: "Bride: Ann" over "Mother: Ida" and
// "Father: Karl", "Bride" over "Ida - mum" and "Karl - dad".
func (r *Reader) headsKin(s *Statement) int {
	terms := slices.Concat(s.Head.Terms, s.Tail.Terms)
	if s.Line.Mark != 0 || len(terms) == 0 || len(terms) > 2 || len(s.Phrases) > 5 || len(s.Head.Unknown)+len(s.Tail.Unknown) > 0 || r.halfMeant(terms[0]) == 0 || r.halfMeant(terms[0]) != r.halfMeant(terms[len(terms)-1]) {
		return 0
	}
	for k := range 2 {
		if s.At+k+1 >= len(r.Statements) {
			return 0
		}
		o := r.Statements[s.At+k+1]
		if kin := len(o.Phrases) > 2 && o.Phrases[0].Has("kin") && (o.Phrases[1].Key == ":" || o.Phrases[1].Key == "-"); o.Line == s.Line || o.Line.After || !kin && (!r.tellsOne(s.At+k+1) || slices.ContainsFunc(o.Head.Terms, func(t *speech.Term) bool { return t.Owner != nil })) {
			return 0
		}
	}
	return r.halfMeant(terms[0])
}

// teamLed takes a first word that is no given name for a group whose people follow a colon, where whoever leads it stands beside it:
// "Minis w/ coach Ann: Leo, Mia", "Sharks, coach Ann - Leo, Mia".
func (r *Reader) teamLed(head, tail []*speech.Term) bool {
	if len(head) < 2 || head[0].Kind != speech.Person || head[0].Word.Class != "" || head[0].Rank != "" || startsGiven(head[0]) || r.HalfNamed(head[0].Name) > 0 || r.IsHonour(head[0].Name) || len(tail) < 2 || slices.ContainsFunc(tail, func(t *speech.Term) bool { return t.Kind != speech.Person }) {
		return false
	}
	led := func(t *speech.Term) bool { return t.Word.Class == "role" || t.Rank != "" }
	if !led(head[1]) && (head[1].Sep != "+" || r.Couple[0] >= 0) || slices.ContainsFunc(head[1:], func(t *speech.Term) bool { return t.Kind != speech.Person || t.Word.Class == "kin" }) {
		return false
	}
	head[0].Kind = speech.Label
	return true
}

// teamDashed takes a dash for a colon behind a team and who leads it, and behind "Parejas", which are partners of nobody.
func (r *Reader) teamDashed(s *Statement, at int) bool {
	head, tail := r.Parse(s.Phrases[:at], false), r.Parse(s.Phrases[at+1:], false)
	pairs := len(head.Terms) == 1 && head.Terms[0].Word.Arg == "partner" && head.Terms[0].Word.Plural && head.Terms[0].Owner == nil && len(facts.Pairs(tail.Terms)) > 1
	if len(head.Unknown) > 0 || !pairs && !r.teamLed(head.Terms, tail.Terms) {
		return false
	}
	s.Head, s.Tail, s.Colon, s.Body = head, tail, true, tail.Terms
	return true
}
