package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// draft is a list as statements.
type draft struct {
	facts.Reader
	stmts      []*statement
	flows      bool      // the list is a letter
	marked     bool      // photographs have bullets or numbers
	sideLabels [3]string // as headings write them
}

// statement is a line, or a cell or sentence of one, with what it is.
type statement struct {
	l      *lines.Line
	i      int // of the line
	off    int // where it begins in the line
	kind   int
	ph     []speech.Phrase
	head   speech.Parsed // before a colon, or all of it
	tail   speech.Parsed // behind it
	colon  bool
	ctx    context
	over   *statement     // that an indented line belongs to
	body   []*speech.Term // what stands behind a colon
	open   *speech.Term   // that lines below it name
	side   int            // a column's
	at     int            // of the statement
	clause bool           // one of several of a paragraph
	opens  byte           // what stands before a clause: 'w' "one with", 'o' "a photo of"
	tells  bool           // a clause that asks for nothing

	changes []change // that it wants in other photographs
}

// The kinds of statements.
const (
	remark = iota
	title
	heading
	definition
	photo
	addition // adds to the photograph before
	part     // says who is in the photograph before
	edit
)

// context is what headings say of the lines below them.
type context struct {
	side    int // of the couple, 0 both or not said
	said    bool
	guests  bool // who is who
	photos  bool // photographs, as a heading says
	section bool // of guests
	scene   bool // no group photographs
	prio    event.Priority
	ranked  bool
	role    *speech.Term   // what the people below are: "Bridesmaids:"
	houses  bool           // each line is a family: "Individual families:"
	lead    []*speech.Term // who is in all photographs below: "Bride & groom with:"
	level   int
	indent  int
	clock   string
}

// statements parses all lines.
func (r *reader) statements() {
	clear(r.stmts) // so that those of the first time need no memory the second
	r.stmts = r.stmts[:0]
	r.flows = r.flowing()
	marks, plain := 0, 0
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Blank || l.Ruler || l.Struck {
			continue
		}
		r.Line = l
		if l.Mark != 0 {
			marks++
		} else {
			plain++
		}
		if len(l.Cells) > 1 {
			r.cellStatements(i)
			continue
		}
		if pieces := r.clauses(i); len(pieces) > 1 || len(pieces) == 1 && r.sentence(pieces[0]) {
			for _, p := range pieces {
				s := &statement{l: l, i: i, clause: true, opens: p.opens}
				r.fillIn(s, p.tokens)
				r.stmts = append(r.stmts, s)
			}
			continue
		}
		for _, tokens := range words.Equations(r.Tokens[i]) {
			r.stmts = append(r.stmts, r.statement(i, tokens, 0))
		}
	}
	r.marked = marks >= 2 && 2*marks >= plain
}

// statement parses tokens of a line.
func (r *reader) statement(i int, tokens []words.Token, off int) *statement {
	l := &r.Lines[i]
	r.Line = l
	s := &statement{l: l, i: i, off: off}
	r.fillIn(s, tokens)
	return s
}

// fillIn parses the words of a statement.
func (r *reader) fillIn(s *statement, tokens []words.Token) {
	l := s.l
	r.Loud = loud(tokens)
	s.ph = r.Phrases(tokens)
	r.Effort.Spend(60 * len(s.ph))
	if s.clause && s.opens == 0 && r.tells(s.ph) {
		s.tells, s.head = true, r.told(s.ph)
		return
	}
	if s.clause {
		s.ph = r.leadIn(s.ph)
		defer func() { s.head.Terms, s.tail.Terms = ofOneSide(s.head.Terms), ofOneSide(s.tail.Terms) }()
	}
	at := speech.ColonAt(s.ph)
	if l.Ask != 0 {
		if at = r.QuestionEnd(s.ph); at == len(s.ph) {
			at = -1
		}
	}
	if l.Answer > 0 {
		r.Line = &r.Lines[l.Answer-1]
		s.head, s.colon = r.asked(r.Phrases(r.Tokens[l.Answer-1])), true
		r.Line = l
		s.tail = r.answers(s.ph)
		return
	}
	if at < 0 {
		s.head = r.Parse(s.ph, false)
		r.dashes(s)
		return
	}
	s.colon = true
	s.head = r.Parse(s.ph[:at], false)
	s.tail = r.Parse(s.ph[at+1:], false)
	if l.Ask != 0 {
		s.head, s.tail = r.asked(s.ph[:at]), r.answers(s.ph[at+1:])
	}
	s.body = s.tail.Terms
	r.labelled(s)
}

// labelled takes a name before a colon for that of a group whose people follow: "Holts: Ben Jr, Cristina".
func (r *reader) labelled(s *statement) {
	if len(s.head.Terms) != 1 || len(s.tail.Terms) < 2 {
		return
	}
	t := s.head.Terms[0]
	if s.l.Part == lines.GuestLine && t.Kind == speech.Person && len(t.Attrs) == 0 && !r.OnlySaid(s.tail) {
		r.KeepTitle(strings.TrimSpace(s.l.Text[:s.ph[speech.ColonAt(s.ph)].Start]))
	}
	if t.Kind == speech.Person && t.Word.Class == "" && t.Rank == "" && r.HalfNamed(t.Name) == 0 && !r.IsHonour(t.Name) && slices.ContainsFunc(s.tail.Terms, func(x *speech.Term) bool { return x.Kind == speech.Person }) {
		t.Kind = speech.Label
	}
}

// dashes takes a dash for a colon where words for a group stand before it and names behind it.
func (r *reader) dashes(s *statement) {
	at := slices.IndexFunc(s.ph, func(p speech.Phrase) bool { return p.Key == "-" && p.Gap })
	if at < 1 || len(s.head.Unknown) == 0 && !(len(s.head.Terms) == 2 && s.head.Terms[1].Kind == speech.All) && !slices.ContainsFunc(s.head.Terms, func(t *speech.Term) bool { return t.Kind == speech.Label && t.End <= s.ph[at].Start }) {
		return
	}
	head, tail := r.Parse(s.ph[:at], false), r.Parse(s.ph[at+1:], false)
	plain := func(t *speech.Term) bool { return t.Kind == speech.Person && t.Word.Class == "" }
	if len(head.Terms) == 1 && len(tail.Terms) == 1 && tail.Terms[0].Kind == speech.All && plain(head.Terms[0]) && r.SeenOnce(head.Terms[0].Name) {
		s.head = tail
		return
	}
	if slices.ContainsFunc(head.Terms, plain) || len(head.Unknown) == 0 && !slices.ContainsFunc(head.Terms, func(t *speech.Term) bool { return t.Kind == speech.Label }) || !slices.ContainsFunc(tail.Terms, plain) {
		return
	}
	s.head, s.tail, s.colon, s.body = head, tail, true, tail.Terms
}

// loud reports whether words are in capitals throughout, so that these say nothing.
func loud(tokens []words.Token) bool {
	small, large := 0, 0
	for _, t := range tokens {
		if t.Kind != 'w' || !words.Cased(t.Text) {
			continue
		}
		if t.Text == strings.ToUpper(t.Text) && len(t.Text) > 2 {
			large++
		} else if !t.Capital {
			small++
		}
	}
	return large > 2 && small == 0
}

// cellStatements parses the cells of a line: columns of lists that stand side by side, or a table.
func (r *reader) cellStatements(i int) {
	l := &r.Lines[i]
	if l.Mark == '|' {
		r.rowStatement(i)
		return
	}
	for k, c := range l.Cells {
		if strings.TrimSpace(c) == "" {
			continue
		}
		tokens := words.Tokenize(c)
		for n := range tokens {
			tokens[n].Start += l.Spans[k]
			tokens[n].End += l.Spans[k]
		}
		s := r.statement(i, tokens, l.Spans[k])
		s.side = k + 1
		r.stmts = append(r.stmts, s)
	}
}

// rowStatement takes the cell that names the most people for the photograph of a row; one before it names it.
func (r *reader) rowStatement(i int) {
	l := &r.Lines[i]
	var best *statement
	most := -1
	for k, c := range l.Cells {
		tokens := words.Tokenize(c)
		for n := range tokens {
			tokens[n].Start += l.Spans[k]
			tokens[n].End += l.Spans[k]
		}
		if len(tokens) == 0 {
			continue
		}
		s := r.statement(i, tokens, l.Spans[k])
		n := 10 * len(s.head.Terms)
		if n > most {
			best, most = s, n
		}
	}
	if best == nil {
		return
	}
	for k, c := range l.Cells {
		if l.Spans[k] == best.off {
			continue
		}
		tokens := words.Tokenize(c)
		for n := range tokens {
			tokens[n].Start += l.Spans[k]
			tokens[n].End += l.Spans[k]
		}
		for _, p := range r.Phrases(tokens) {
			for _, class := range []string{"nice", "must", "first", "last"} {
				if p.Has(class) {
					best.head.Attrs = append(best.head.Attrs, speech.Attribute{Class: class, Start: p.Start, End: p.End})
				}
			}
		}
		rest := r.Parse(r.Phrases(tokens), false)
		for _, t := range rest.Terms {
			if t.Kind == speech.Person && len(t.Attrs) > 0 {
				r.remarkOn(t)
			}
		}
	}
	best.l = l
	r.stmts = append(r.stmts, best)
}

// remarkOn keeps what a row remarks of a person.
func (r *reader) remarkOn(t *speech.Term) {
	if ids := r.Find(t.Name); len(ids) == 1 {
		r.Describe(ids[0], t.Attrs)
	}
}
