// Package statements takes a list as statements, a line, cell or sentence each, and says what each is: a heading and what
// holds below it, a definition, a photograph, what is to change in others, a remark. It learns who is who from them and
// makes no photographs.
package statements

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/plain"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// Reader is a list as statements.
type Reader struct {
	facts.Reader
	Statements []*Statement
	Telling    map[int]bool // lines, by index, that say who is who, as a first reading found out
	flows      bool         // the list is a letter
	marked     bool         // photographs have bullets or numbers
	SideLabels [3]string    // as headings write them
	heads      []int        // who is named first of each household
}

// Statement is a line, or a cell or sentence of one, with what it is.
type Statement struct {
	Line     *lines.Line
	Index    int // of the line
	off      int // where it begins in the line
	Kind     int
	Phrases  []speech.Phrase
	Head     speech.Parsed // before a colon, or all of it
	Tail     speech.Parsed // behind it
	Colon    bool
	Context  Context
	Over     *Statement     // that an indented line belongs to
	Body     []*speech.Term // what stands behind a colon
	Open     *speech.Term   // that lines below it name
	side     int            // a column's
	At       int            // of the statement
	Clause   bool           // one of several of a paragraph
	Opens    byte           // what stands before a clause: 'w' "one with", 'o' "a photo of"
	is       bool           // "are" stands for a colon: "Bridesmaids are Ann and Bea"
	tells    bool           // a clause that asks for nothing
	then     bool           // it differs from the photograph before it in the line
	With     bool           // it begins with who else is in it: "with Ann"
	Told     bool           // a clause of a line that says who somebody is
	saysWho  int            // its kind, if it says so itself
	greets   bool           // a clause that is a greeting: "Hi Jo!", or wants none: "don't worry about a picture of everyone"
	requests bool           // it asks for what it names: "can we have"

	Changes []change // that it wants in other photographs
}

// The kinds of statements.
const (
	Remark = iota
	Title
	Heading
	Definition
	Photo
	Addition // adds to the photograph before
	Part     // says who is in the photograph before
	Edit
)

// Context is what headings say of the lines below them.
type Context struct {
	Side     int // of the couple, 0 both or not said
	said     bool
	Guests   bool   // who is who
	photos   bool   // photographs, as a heading says
	section  bool   // of guests
	beside   bool   // the heading stands on the line
	Clock    string // when those below are taken: "13:15 - STABLE YARD"
	Scene    bool   // no group photographs
	Priority event.Priority
	Ranked   bool
	role     *speech.Term   // what the people below are: "Bridesmaids:"
	houses   bool           // each line is a family: "Individual families:"
	Lead     []*speech.Term // who is in all photographs below: "Bride & groom with:"
	level    int
	indent   int
	column   int // that the heading stands over, 0 over all
}

// Beside reports whether statements stand in different columns, so that neither refers to the other.
func (s *Statement) Beside(o *Statement) bool { return s.side > 0 && o.side > 0 && s.side != o.side }

// ParseLines parses all lines.
func (r *Reader) ParseLines() {
	clear(r.Statements) // so that those of the first time need no memory the second
	r.Statements = r.Statements[:0]
	r.flows = r.flowing()
	marks, unmarked := 0, 0
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Blank || l.Ruler || l.Struck || r.Effort.Err() != nil {
			continue
		}
		r.Line = l
		if l.Above != nil {
			s := &Statement{Line: l.Above, Index: i, saysWho: Heading}
			r.fillIn(s, words.Tokenize(l.Above.Text))
			r.Statements, r.Line = append(r.Statements, s), l
		}
		if l.Mark != 0 {
			marks++
		} else {
			unmarked++
		}
		if len(l.Cells) > 1 {
			r.cellStatements(i)
			continue
		}
		whole := r.Tokens[i]
		for _, part := range plain.Apart(r.Speech(), whole) {
			r.Tokens[i] = part
			r.parseLine(i)
		}
		r.Tokens[i] = whole
	}
	r.marked = marks >= 2 && 2*marks >= unmarked
}

// parseLine makes statements of a line, or of a part of it.
func (r *Reader) parseLine(i int) {
	l := &r.Lines[i]
	if out := r.replies(i); l.Row && len(out) > 0 {
		r.Statements = append(r.Statements, out...)
		return
	}
	if r.whoIsWho(i) {
		return
	}
	if pieces := r.clauses(i); len(pieces) > 1 || len(pieces) == 1 && r.sentence(pieces[0]) {
		for _, p := range pieces {
			s := &Statement{Line: l, Index: i, Clause: true, Opens: p.opens, greets: p.not}
			r.fillIn(s, p.tokens)
			r.sameOwner(s)
			r.Statements = append(r.Statements, s)
		}
		return
	}
	if out := r.replies(i); len(out) > 0 {
		r.Statements = append(r.Statements, out...)
		return
	}
	for _, tokens := range words.Equations(plain.Told(r.Speech(), plain.Colons(r.Speech(), r.Tokens[i]))) {
		for _, one := range plain.EachAlone(r.Speech(), tokens) {
			for n, part := range r.thens(one) {
				s := r.statement(i, part, 0)
				s.then, s.greets = n > 0, s.greets || r.answered(i)
				r.sameOwner(s)
				s.With = s.then && s.Phrases[0].Has("with")
				r.Statements = append(r.Statements, s)
			}
		}
	}
}

// thens divides a line that wants a photograph and then others that differ from it: "Ann with Bob, then add Cleo".
func (r *Reader) thens(ts []words.Token) [][]words.Token {
	for k := 2; k+2 < len(ts) && ts[0].Key != "("; k++ {
		if n := r.oneWith(ts, k); n > 0 {
			return append([][]words.Token{ts[:k]}, r.thens(ts[n:])...)
		}
		if r.Is(ts, k, "next") && (r.Is(ts, k+1, "add") || r.Is(ts, k+1, "edit") || r.Is(ts, k+1, "minus") && ts[k+1].Kind == 'w') {
			return append([][]words.Token{ts[:k]}, r.thens(ts[k+1:])...)
		}
	}
	return [][]words.Token{ts}
}

// oneWith is where the words begin that say who else is in another photograph of a line, or 0: "Ann with Bob, and one with Cleo".
func (r *Reader) oneWith(ts []words.Token, k int) int {
	at := k
	for at < len(ts) && (ts[at].Key == "," || at == k+1 && r.Is(ts, at, "and") || at == k && r.Is(ts, at, "and")) {
		at++
	}
	open := slices.IndexFunc(ts[:k], func(t words.Token) bool { return t.Key == "(" || t.Key == ":" })
	if at == k || at-k > 2 || open >= 0 {
		return 0
	}
	if n, with := r.opener(ts, at); n > 0 && with == 'w' && r.Is(ts, at, "wish") {
		return at + n
	}
	return 0
}

// Marked reports whether the photographs of the list have bullets or numbers.
func (r *Reader) Marked() bool { return r.marked }

// statement parses tokens of a line.
func (r *Reader) statement(i int, tokens []words.Token, off int) *Statement {
	l := &r.Lines[i]
	r.Line = l
	s := &Statement{Line: l, Index: i, off: off}
	r.fillIn(s, tokens)
	return s
}

// fillIn parses the words of a statement.
func (r *Reader) fillIn(s *Statement, tokens []words.Token) {
	l := s.Line
	r.Loud = words.Loud(tokens)
	s.Phrases = r.Phrases(tokens)
	r.Effort.Spend(60 * len(s.Phrases))
	if n := requested(s.Phrases); n > 0 && l.First && l.Mark == 0 {
		s.Phrases, s.requests = s.Phrases[n:], true
	}
	if s.Clause && s.Opens == 0 {
		s.opensWithAll()
	}
	if s.Clause && s.Opens == 0 && r.tells(s.Phrases) {
		s.tells, s.Head = true, r.told(s.Phrases)
		return
	}
	if s.Clause {
		s.greets = s.greets || len(s.Phrases) < 5 && s.Phrases[0].Has("greet") && !r.NameLike(&s.Phrases[0])
		s.Phrases = r.leadIn(s.Phrases)
		defer func() { s.Head.Terms, s.Tail.Terms = ofOneSide(s.Head.Terms), ofOneSide(s.Tail.Terms) }()
	}
	at := colonOf(s.Phrases)
	if l.Ask != 0 {
		if at = r.QuestionEnd(s.Phrases); at == len(s.Phrases) {
			at = -1
		}
	}
	if l.Answer > 0 {
		r.Line = &r.Lines[l.Answer-1]
		s.Head, s.Colon = r.asked(r.Phrases(r.Tokens[l.Answer-1])), true
		r.Line = l
		s.Tail = r.answers(s.Phrases)
		return
	}
	if at < 0 {
		s.Head = r.Parse(s.Phrases, false)
		r.dashes(s)
		return
	}
	if at > 2 && s.Phrases[at-1].Has("note") && s.Phrases[at-2].Key == "." { // "Ann with Bob. NB: not next to Cleo"
		s.Head = r.Parse(s.Phrases[:at-1], false)
		from, end := s.Phrases[at-1].Start, s.Phrases[len(s.Phrases)-1].End
		s.Head.Attrs = append(s.Head.Attrs, speech.Attribute{Class: "note", Text: l.Text[from:end], Start: from, End: end})
		return
	}
	s.Colon = true
	s.is = plain.Are(s.Phrases[at].Token)
	s.Head = r.Parse(s.Phrases[:at], false)
	s.Tail = r.Parse(s.Phrases[at+1:], false)
	switch {
	case l.Ask != 0:
		s.Head, s.Tail = r.asked(s.Phrases[:at]), r.answers(s.Phrases[at+1:])
	case r.openLast(s.Head.Terms) && r.forWhom(s.Phrases[at+1:]): // "our witnesses: Ann for me, Joe for Tom"
		s.Tail = r.answers(s.Phrases[at+1:])
	}
	s.Body = s.Tail.Terms
	if !s.Clause {
		r.OfHalf(s.Head.Terms)
	}
	r.labelled(s)
}

// openLast reports whether words for several end a stretch that has nobody else but the couple: "the couple with the witnesses".
func (r *Reader) openLast(terms []*speech.Term) bool {
	last := len(terms) - 1
	return last >= 0 && terms[last].Word.Plural && !slices.ContainsFunc(terms[:last], func(t *speech.Term) bool { return !r.Leads(t) })
}

// colonOf is the colon behind which the people of a line stand, or the dash before it in "Tom's family - Mum: Ida, Dad: Karl"; -1
// where what is said goes on: "Gran Vi. Deceased: Grandad Ted", "add Gran = 4 generations".
func colonOf(ph []speech.Phrase) int {
	at := speech.ColonAt(ph)
	if at < 0 || at > 1 && ph[at-1].Has("dead") {
		return -1
	}
	if at > 3 && ph[at-2].Key == "-" && ph[at-2].Gap && ph[at-1].Has("kin") && (ph[at-3].Has("side") || ph[at-3].Has("kin")) {
		return at - 2
	}
	for k := range ph[at+1:] {
		if w, ok := ph[at+1+k].Word("group"); ok && w.Arg == "line" && at+2+k == len(ph) && k < 2 {
			return -1
		}
	}
	return at
}

// labelled takes a name before a colon for that of a group whose people follow: "Holts: Ben Jr, Cristina".
func (r *Reader) labelled(s *Statement) {
	if len(s.Head.Terms) != 1 || len(s.Tail.Terms) == 0 {
		r.teamLed(s.Head.Terms, s.Tail.Terms)
		return
	}
	t := s.Head.Terms[0]
	if x := s.Tail.Terms[0]; len(s.Tail.Terms) == 1 {
		if x.Kind == speech.All && t.Word.Arg == "family" && t.Owner != nil { // "the bride's family: everyone"
			t.All, t.Every, s.Colon, s.Tail.Terms, s.Body = true, true, false, nil, nil
		}
		if t.Kind == speech.Kin && !t.Word.Plural && x.Kind == speech.Person && x.Owner == nil && x.Word.Class == "kin" && x.Word.Arg != t.Word.Arg {
			x.Word = words.Word{} // "Grandma: Mama Joy"
		}
		return
	}
	if s.Line.Part == lines.GuestLine && t.Kind == speech.Person && len(t.Attrs) == 0 && !r.OnlySaid(s.Tail) {
		r.KeepTitle(strings.TrimSpace(s.Line.Text[:s.Phrases[speech.ColonAt(s.Phrases)].Start]))
	}
	if _, given := words.Given(names.Plain(t.Name)); given && !slices.ContainsFunc(s.Tail.Terms, func(x *speech.Term) bool { return !speech.HasAge(x) }) {
		return // a parent: "Karla: Tim (12), Max (9)"
	}
	if t.Kind == speech.Person && t.Word.Class == "" && t.Rank == "" && r.HalfNamed(t.Name) == 0 && !r.IsHonour(t.Name) && slices.ContainsFunc(s.Tail.Terms, func(x *speech.Term) bool { return x.Kind == speech.Person }) {
		t.Kind = speech.Label
	}
}

// dashes takes a dash for a colon where words for a group stand before it and names behind it.
func (r *Reader) dashes(s *Statement) {
	at := slices.IndexFunc(s.Phrases, func(p speech.Phrase) bool { return p.Key == "-" && p.Gap })
	if at > 0 && s.Line.Mark == 0 && r.parentsDashed(s, at) {
		return
	}
	if at > 0 && (r.familyDashed(s, at) || r.teamDashed(s, at) || r.rolesDashed(s, at)) {
		return
	}
	if at < 1 || len(s.Head.Unknown) == 0 && !(len(s.Head.Terms) == 2 && s.Head.Terms[1].Kind == speech.All) && !slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool {
		return t.Kind == speech.Label && len(t.Names) == 0 && t.End <= s.Phrases[at].Start
	}) {
		return
	}
	head, tail := r.Parse(s.Phrases[:at], false), r.Parse(s.Phrases[at+1:], false)
	plain := func(t *speech.Term) bool { return t.Kind == speech.Person && t.Word.Class == "" }
	if len(head.Terms) == 1 && len(tail.Terms) == 1 && tail.Terms[0].Kind == speech.All && plain(head.Terms[0]) && r.SeenOnce(head.Terms[0].Name) {
		s.Head = tail
		return
	}
	if slices.ContainsFunc(head.Terms, plain) || len(head.Unknown) == 0 && !slices.ContainsFunc(head.Terms, func(t *speech.Term) bool { return t.Kind == speech.Label }) || !slices.ContainsFunc(tail.Terms, plain) {
		return
	}
	s.Head, s.Tail, s.Colon, s.Body = head, tail, true, tail.Terms
}

// familyDashed takes a dash for a colon behind a family whose people follow: "Ann's family - Mum, Bob, Cleo".
func (r *Reader) familyDashed(s *Statement, at int) bool {
	head, tail := r.Parse(s.Phrases[:at], false), r.Parse(s.Phrases[at+1:], false)
	if len(head.Terms) != 1 || len(head.Unknown) > 0 || len(tail.Terms) == 0 || head.Terms[0].Word.Arg != "family" || head.Terms[0].Owner == nil || head.Terms[0].Minus || len(head.Terms[0].Names) > 0 {
		return false
	}
	named := 0
	for _, t := range tail.Terms {
		switch {
		case t.Minus || t.Kind != speech.Person && t.Kind != speech.Kin:
			return false
		case t.Kind == speech.Person || len(t.Names) > 0 || len(tail.Terms) > 1 && !t.Word.Plural: // "Ann's family - kids" takes them away
			named++
		}
	}
	if named == 0 {
		return false
	}
	s.Head, s.Tail, s.Colon, s.Body = head, tail, true, tail.Terms
	return true
}

// parentsDashed takes a dash for a colon where one or two are named before it, and behind it others of whom all ages are said:
// "Ann + Bob - Leo 12, Mia 9".
func (r *Reader) parentsDashed(s *Statement, at int) bool {
	head, tail := r.Parse(s.Phrases[:at], false), r.Parse(s.Phrases[at+1:], false)
	plain := func(t *speech.Term) bool {
		return t.Kind == speech.Person && t.Word.Class == "" && r.HalfNamed(t.Name) == 0
	}
	if n := len(head.Terms); n == 0 || n > 2 || len(tail.Terms) == 0 || slices.ContainsFunc(head.Terms, func(t *speech.Term) bool { return !plain(t) || speech.HasAge(t) }) ||
		slices.ContainsFunc(tail.Terms, func(t *speech.Term) bool { return t.Kind != speech.Person || !speech.HasAge(t) }) {
		return false
	}
	s.Head, s.Tail, s.Colon, s.Body = head, tail, true, tail.Terms
	return true
}

// Leans reports whether the words of a line mean little without other lines or whoever wrote it: "same + Ann", "mum"
// below a heading, "us two".
func (s *Statement) Leans(terms []*speech.Term) bool {
	if speech.AnyHas(s.Phrases, "self") {
		return true
	}
	kin := true
	for _, t := range terms {
		if t.Kind == speech.Same || t.Kind == speech.Letter || t.Owner != nil && t.Owner.Pronoun == "my" {
			return true
		}
		kin = kin && (t.Kind == speech.Kin || t.Kind == speech.Role) && t.Owner == nil && len(t.Names) == 0
	}
	return kin && s.Context.Side > 0
}
