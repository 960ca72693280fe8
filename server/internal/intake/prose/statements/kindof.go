package statements

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// kindOf decides what a statement is: by its marks, those of the lines around it, and what it names.
func (r *Reader) kindOf(k int, s *Statement, ctx Context) int {
	if kind := r.guestKind(s); kind >= 0 {
		return kind
	}
	switch {
	case s.then && len(s.Head.Terms) > 0, s.Opens == 0 && len(s.Head.Terms) > 0 && s.has("joinsin") && r.before(k) != nil: // "could Ann and Bob join in as well"
		return Addition
	case s.Line.Ask != 0 || s.Line.Answer > 0:
		return r.formKind(s)
	case s.Line.Names, s.Line.Mark == 0 && r.halvesTell(s), s.Colon && len(s.Tail.Terms) > 0 && words.Listed("aside", s.Phrases[0].Key) && s.Phrases[1].Key == ":": // "key: A = Ann"
		return Definition
	case s.Index == r.Signed && len(s.Phrases) < 9:
		return Title
	case s.Line.Mark == 0 && r.namesBoth(s.Phrases) && r.before(k) == nil && s.tellsWhom():
		return Title
	case s.greets, s.Line.Mark == 0 && r.before(k) == nil && r.saysWho(s):
		return Remark
	case s.Line.Alias && s.Clause && speech.ColonAt(s.Phrases) > 0: // "B = Ann, G = Bob. Ann can't ..."
		return Title
	case s.Clause && r.clauseKind(k, s, ctx) >= 0:
		return r.clauseKind(k, s, ctx)
	case words.IsLegend(s.Line.Raw), r.Greets(s), r.edgeOfLetter(k, s):
		return Remark
	case s.Line.Mark == 0 && s.Phrases[0].Has("couple") && len(s.Phrases) > 1 && s.Phrases[1].Has("verb"), // "The couple are Ann and Bo"
		s.Line.Mark == 0 && speech.SaysHalves(s.Phrases) && Dated(s) && !joins(s): // "bride Ann, groom Bob. 21 Feb, photos at 2"
		return Title
	case s.Line.Alias && s.equals() && (s.Head.Terms[0].Kind == speech.Kin || s.Head.Terms[0].Kind == speech.Role): // "B=Ann MOB=Rita"
		return Definition
	case s.Line.Alias || !r.onlyOne(k, s) && r.isTitle(k, s):
		return Title
	case !r.onlyOne(k, s) && r.isHeading(k, s, ctx):
		return Heading
	case s.remarked() || ctx.Scene && !r.goesOn(k, s) || r.AlwaysCouple(s.Phrases) && r.nobodyElse(s):
		return Remark
	case ctx.Guests:
		return Definition
	case r.isEdit(k, s):
		return Edit
	case r.Forbids(s.Phrases), r.drops(s.Phrases[1+slices.IndexFunc(s.Phrases, func(p speech.Phrase) bool { return p.Key == ":" || p.Key == "-" && p.Gap }):]) && s.Phrases[0].Kind == 'w': // "G + siblings: skip"
		return Remark
	case s.is, s.namesKin(), r.namesAbove(s), s.equals() && !(r.marked && s.Line.Mark != 0 && s.Head.Terms[0].Kind == speech.Role && s.Head.Terms[0].Word.Plural), s.equalsKin(), r.footnote(s), r.describes(s), r.tellsParents(s), r.defines(k, s, ctx):
		return Definition
	}
	if len(s.Head.Terms) > 0 && s.Head.Terms[0].Minus && s.Line.Mark == 0 && r.KeepsApart(s.Phrases) {
		return Definition // "NOT Ann and Tom's sister Bea in one photo"
	}
	if over := r.above(k); over != nil {
		return r.below(s, over)
	}
	if (s.Head.Add || len(s.Head.Terms) > 0 && s.Head.Terms[0].Minus) && (!s.Line.First || s.Phrases[0].Has("add") && strings.HasPrefix(s.Phrases[0].Key, "then ")) && r.before(k) != nil && !r.subject(s) {
		return Addition
	}
	if s.Line.Mark == 0 && !s.Colon && len(s.Head.Terms) == 1 && r.Doubtful(s.Head.Terms[0]) && (len(s.Phrases) < 4 && (s.Line.By != "" || r.marked) || slices.ContainsFunc(s.Phrases, func(p speech.Phrase) bool { return p.Key == "?" || p.Has("greet") || p.Kind == 't' })) {
		return Remark // "Perfect!", "Great, thanks 👍 Any little ones?", "Read 21:47"
	}
	if s.Line.First && s.Line.Mark == 0 && r.chatter(s) || r.isRemark(k, s, ctx) {
		return Remark
	}
	return Photo
}

// tellsWhom reports whether a line that names both of the couple says that they marry or that the photographs are for them: "I'm Ida. Ann
// und Bob heiraten am 5. Mai", "hier die Bilder für Ann und Bob".
func (s *Statement) tellsWhom() bool {
	tells := s.Opens == 0 && (s.Clause || s.has("iam"))
	if s.has("weds") {
		return tells || !joins(s)
	}
	return tells && !joins(s) && s.has("photos") && (s.has("for") || s.has("of"))
}

// goesOn reports whether a line below a scene is still one of the photographs: it has the next number, or a mark and everybody in it:
// "15. Couple with Ann" below "GOLDEN HOUR", "* everyone on the steps" below "Leaving church".
func (r *Reader) goesOn(k int, s *Statement) bool {
	if before := slices.IndexFunc(r.Statements[:k], func(o *Statement) bool { return o.Kind == Photo && o.Line.Mark == '#' }); s.Line.Mark == '#' {
		return before >= 0
	}
	return s.Line.Mark != 0 && len(s.Head.Terms) > 0 && s.Head.Terms[0].Kind == speech.All
}

// onlyOne reports whether a line asks for one of the couple alone, or both: "Bride alone". "JUST ME" right above bullets heads them,
// if the first names others or begins with that one.
func (r *Reader) onlyOne(k int, s *Statement) bool {
	if !s.Head.Solo || s.Colon || len(s.Head.Terms) != 1 || !r.Leads(s.Head.Terms[0]) || s.Line.Heads > 0 {
		return false
	}
	next := r.next(k)
	if s.Line.Mark != 0 || !s.Line.After || next == nil || next.Line.Mark == 0 || next.Line.After || len(next.Head.Terms) == 0 {
		return true
	}
	one := r.halfMeant(s.Head.Terms[0])
	return one == 0 || r.subject(next) && one != r.halfMeant(next.Head.Terms[0])
}

// subject reports whether a line begins with the couple, one of them or everybody.
func (r *Reader) subject(s *Statement) bool {
	if len(s.Head.Terms) == 0 {
		return false
	}
	t := s.Head.Terms[0]
	return t.Kind == speech.Couple || t.Kind == speech.Half || t.Kind == speech.All || t.Kind == speech.Person && r.HalfNamed(t.Name) > 0
}

// nobodyElse reports whether a line names nobody but the couple.
func (r *Reader) nobodyElse(s *Statement) bool {
	return len(s.Tail.Terms) == 0 && !slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool {
		return t.Kind != speech.Couple && t.Kind != speech.Half && (t.Kind != speech.Person || r.HalfNamed(t.Name) == 0)
	})
}

// isTitle reports whether a line says what the list is, or who the couple are.
func (r *Reader) isTitle(k int, s *Statement) bool {
	if s.Line.Mark != 0 && s.Line.Mark != 't' || s.Line.First || s.openEnded() {
		return false
	}
	if s.Colon && len(s.Phrases) > 2 && s.Phrases[1].Key == ":" {
		if w, ok := s.Phrases[0].Word("key"); ok && (w.Arg == "date" || w.Arg == "time" || w.Arg == "place" || w.Arg == "photographer" || w.Arg == "zone") {
			return true
		}
		if w, ok := s.Phrases[0].Word("key"); ok && (w.Arg != "bride" && w.Arg != "groom" || r.Couple[0] >= 0) && !s.Phrases[0].Has("kin") && !(s.Phrases[0].Has("half") && r.tellsKin(s.Tail.Terms)) {
			return true
		}
		if (s.Phrases[0].Has("half") || s.Phrases[0].Has("couple")) && r.onlyCouple(s) {
			return true
		}
	}
	first := 0
	for j := range k {
		if r.Statements[j].Line != s.Line {
			first++
		}
		if r.Statements[j].Kind == Photo || r.Statements[j].Kind == Definition {
			return false
		}
	}
	if first > 2 || slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool { return t.Kind == speech.All }) {
		return first == 0 && s.has("event") && s.has("photos") && r.IsHonour(s.Phrases[0].Text) // "Mia's bat mitzvah photos, everyone at the synagogue by 8"
	}
	if s.Line.Heads > 0 {
		return first == 0
	}
	other := slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool {
		return !(t.Kind == speech.Couple || t.Kind == speech.Person && (r.HalfNamed(t.Name) > 0 || r.IsHonour(t.Name)) || t.Kind == speech.Half || t.Kind == speech.Kin && t.Word.Arg == "family" || t.Kind == speech.Label)
	})
	if first == 0 && speech.SaysHalves(s.Phrases) && !other && slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool { return t.Kind == speech.Person }) {
		return true
	}
	if s.Line.Mark == 0 && s.has("event") && r.namesBoth(s.Phrases) && !joins(s) {
		return true // "Here is the list for the wedding of my daughter Ann and Bob"
	}
	if r.tellsHours(s) || Dated(s) && (r.bothNamed(s) || r.coupleFirst(s) || len(s.Head.Terms) < 2 && len(s.Tail.Terms) == 0 && !joins(s)) { // "Sat 12 September"
		return true
	}
	about := r.About(s.Phrases)
	if first == 0 && s.Colon && (about && len(s.Tail.Terms) < 4 && !other && r.announces(s) || r.onlyWe(s)) {
		return true
	}
	next := r.next(k)
	if s.Line.Mark == 0 && r.onlyCouple(s) && (r.marked || k > 0 && r.Statements[k-1].Kind == Title) &&
		!(k > 0 && !s.has("half") && s.Line.After && next != nil && !next.Line.After && next.Line.Mark == 0 && r.namesBoth(r.Statements[k-1].Phrases)) { // the first of the photos below a title that names both
		return true
	}
	if n := len(s.Head.Terms); first == 0 && !s.Colon && n == 3 && (!other || r.coupleFirst(s) && !startsGiven(s.Head.Terms[2])) && s.Head.Terms[2].Sep == "," && s.Head.Terms[2].Owner == nil && next != nil && next.Line.After {
		return true // "Rosie & Theo - families", "Rosie & Theo, Hartwell Barn"
	}
	if first == 0 && !s.Colon && (about || r.onlyCouple(s)) && (s.Line.After || k == 0) {
		return next == nil || next.Line.After || next.Told || about || next.Line.Mark != 0 || next.Line.Heads > 0 || Dated(next)
	}
	return about && !other && len(s.Head.Terms) < 4 && !s.Colon && (r.marked || first == 0 || !r.subject(s)) && !sided(s)
}

// Dated reports whether a line tells a day: "13 June", "June 13th", "13.6.2027".
func Dated(s *Statement) bool {
	for k := 1; k < len(s.Phrases); k++ {
		if speech.DayInFigures(s.Phrases, k-1) > 0 {
			return true
		}
		a, b := &s.Phrases[k-1], &s.Phrases[k]
		if k > 1 && (a.Has("of") || a.Key == ".") { // "18 de septiembre", "4. Juli"
			a = &s.Phrases[k-2]
		}
		if facts.DayOf(a) > 0 && (b.Has("month") || b.Key == "月" && k+1 < len(s.Phrases) && facts.DayOf(&s.Phrases[k+1]) > 0) || a.Has("month") && facts.DayOf(b) > 0 {
			return true
		}
	}
	return false
}

// EndsRange reports whether another time stands before one: "3.15-4.15", "4 pm to 4.45 pm".
func EndsRange(ph []speech.Phrase, k int) bool {
	if k < 2 || ph[k-1].Key != "-" && !ph[k-1].Has("to") && !ph[k-1].Has("until") && !words.Listed("range", ph[k-1].Key) {
		return false
	}
	return speech.TimeAt(ph, k-2) != "" || k > 2 && ph[k-2].Has("ampm") && speech.TimeAt(ph, k-3) != ""
}

// tellsHours reports whether a line says from when to when, perhaps where, and nothing of people: "3.15 to 4 pm, rose garden".
func (r *Reader) tellsHours(s *Statement) bool {
	return s.Line.Mark == 0 && !s.Colon && Spans(s.Phrases) && len(s.Head.Terms) < 3 && !joins(s) && !slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool {
		return t.Kind != speech.Person || r.HalfNamed(t.Name) > 0 || len(r.Find(t.Name)) > 0
	})
}

// Spans reports whether a line says from when to when.
func Spans(ph []speech.Phrase) bool {
	for k := range ph {
		if speech.TimeAt(ph, k) != "" && EndsRange(ph, k) {
			return true
		}
	}
	return false
}

// joins reports whether a line adds somebody to others: "with", "+".
func joins(s *Statement) bool {
	return slices.ContainsFunc(s.Phrases, func(p speech.Phrase) bool { return p.Has("with") || p.Key == "+" })
}

// openEnded reports whether a line ends where others have to follow: "Me and Tom with", "Bride +".
func (s *Statement) openEnded() bool {
	end := len(s.Phrases) - 1
	for end > 0 && (s.Phrases[end].Kind == 'p' || s.Phrases[end].Open) {
		end--
	}
	return end > 0 && s.Phrases[end].Has("with") || end >= 0 && s.Phrases[len(s.Phrases)-1].Key == "+"
}

// bothNamed reports whether a line names both of the couple, and joins nobody to them.
func (r *Reader) bothNamed(s *Statement) bool {
	var named [3]bool
	for _, list := range [][]*speech.Term{s.Head.Terms, s.Tail.Terms} {
		for _, t := range list {
			if t.Kind != speech.Person || t.Sep == "+" || t.Word.Class != "" {
				return false
			}
			named[r.HalfNamed(t.Name)] = true
		}
	}
	return named[1] && named[2]
}

// coupleFirst reports whether a line names both of the couple and behind a mark only words that nothing says to be people: "Ann Lind
// + Bob Moe / Fri 22 May / Thornlea Barn".
func (r *Reader) coupleFirst(s *Statement) bool {
	t := s.Head.Terms
	return len(t) == 3 && r.HalfNamed(t[0].Name) > 0 && r.HalfNamed(t[1].Name) > 0 && t[2].Kind == speech.Person && t[2].Word.Class == "" && (t[2].Sep == "/" || t[2].Sep == "," || t[2].Sep == ";") && r.SeenOnce(t[2].Name)
}

// startsGiven reports whether a name begins with one that is often given.
func startsGiven(t *speech.Term) bool {
	_, given := words.Given(words.Key(strings.Fields(t.Name)[0]))
	return given
}

func sided(s *Statement) bool {
	return speech.AnyHas(s.Phrases, "side", "guests")
}

// onlyCouple reports whether a line names both of the couple and nobody else.
func (r *Reader) onlyCouple(s *Statement) bool {
	found, half := 0, false
	for _, list := range [][]*speech.Term{s.Head.Terms, s.Tail.Terms} {
		for _, t := range list {
			switch {
			case t.Kind == speech.Person && r.HalfNamed(t.Name) > 0:
				found++
			case t.Kind == speech.Half:
				half = true
			case t.Kind == speech.Couple:
			default:
				return false
			}
		}
	}
	return found == 2 || found == 1 && (s.Colon || half)
}

// next is the statement of the next line, and before the photograph above.
func (r *Reader) next(k int) *Statement {
	for j := k + 1; j < len(r.Statements); j++ {
		if r.Statements[j].Line != r.Statements[k].Line {
			return r.Statements[j]
		}
	}
	return nil
}

func (r *Reader) before(k int) *Statement {
	for j := k - 1; j >= 0 && r.Effort.Spend(1); j-- {
		if r.Statements[j].Beside(r.Statements[k]) {
			continue
		}
		switch r.Statements[j].Kind {
		case Photo:
			return r.Statements[j]
		case Heading, Title:
			return nil
		}
	}
	return nil
}

// above is the photograph that a deeper line belongs to.
func (r *Reader) above(k int) *Statement {
	s := r.Statements[k]
	if k == 0 {
		return nil
	}
	for j := k - 1; j >= 0; j-- {
		o := r.Statements[j]
		if o.Line == s.Line {
			continue
		}
		if o.Line.After && o.Line.Indent > s.Line.Indent || s.Line.After && s.Line.Mark == 0 {
			return nil
		}
		if o.Line.Indent < s.Line.Indent {
			if o.Kind == Photo || o.Kind == Addition {
				return o
			}
			return nil
		}
		if o.Kind == Heading || o.Kind == Title {
			return nil
		}
	}
	return nil
}

// below decides what a line is that is indented below a photograph.
func (r *Reader) below(s, over *Statement) int {
	if s.Phrases[0].Has("and") && len(s.Head.Terms) > 0 {
		return Addition
	}
	bare := slices.ContainsFunc(over.Head.Terms, func(t *speech.Term) bool {
		return (t.Kind == speech.Kin || t.Kind == speech.Role) && len(t.Names) == 0 && t.Word.Plural
	})
	named := slices.ContainsFunc(over.Head.Terms, func(t *speech.Term) bool {
		return t.Kind == speech.Label && len(t.Names) == 0 && len(r.Groups[people.LabelKey(t.Text)]) == 0 || t.Kind == speech.Role && t.Word.Plural
	})
	if s.Colon || r.fills(s, over) || bare && !s.Head.Add && (!r.subject(s) || len(s.Head.Terms) == 1) && s.Line.Mark == 0 || (named || bare) && !s.Head.Add && s.Line.Bullet != over.Line.Bullet && Plainly(s.Head.Terms) && !r.subject(s) {
		return Part
	}
	if r.subject(s) && len(s.Head.Terms) > 1 {
		return Photo
	}
	if len(s.Head.Terms) == 0 {
		return Remark
	}
	return Addition
}

// isEdit reports whether a line changes others: "scrap no. 4", "Lou has dropped out".
func (r *Reader) isEdit(k int, s *Statement) bool {
	if at := slices.IndexFunc(s.Phrases, func(p speech.Phrase) bool { return words.Listed("condition", p.Key) }); at >= 0 && at < 3 {
		return false // "if Ann has to work do that one without her": nobody knows yet
	}
	s.Changes = r.changes(s)
	if c, ok := r.roleChange(s.Phrases); ok && len(s.Changes) == 0 && s.Line.Mark == 0 && r.before(k) != nil {
		s.Changes = []change{c}
	}
	if len(s.Changes) == 0 && s.Line.First && s.Line.Mark == 0 && r.before(k) != nil && r.adds(s) {
		s.Changes = []change{{Terms: r.peopleOf(s.Phrases)}}
	}
	return len(s.Changes) > 0 || s.Line.First && speech.AnyHas(s.Phrases, "absent")
}

// AlwaysCouple reports whether a line says that the couple is in all photographs.
func (r *Reader) AlwaysCouple(ph []speech.Phrase) bool {
	couple, in := false, false
	for k := range ph {
		couple = couple || ph[k].Has("couple") || ph[k].Has("self") || words.Listed("we", ph[k].Key) || r.InCouple(ph[k].Text)
		w, always := ph[k].Word("always")
		in, couple = in || always, couple || always && w.Arg == "us"
		if ph[k].Open && r.AlwaysCouple(ph[k].Inside) {
			return true
		}
	}
	return couple && in
}
