package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/words"
)

// draft is a list as statements.
type draft struct {
	ledger
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
	ph     []phrase
	head   parsed // before a colon, or all of it
	tail   parsed // behind it
	colon  bool
	ctx    context
	over   *statement // that an indented line belongs to
	body   []*term    // what stands behind a colon
	open   *term      // that lines below it name
	side   int        // a column's
	at     int        // of the statement
	clause bool       // one of several of a paragraph
	opens  byte       // what stands before a clause: 'w' "one with", 'o' "a photo of"
	tells  bool       // a clause that asks for nothing

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
	role    *term   // what the people below are: "Bridesmaids:"
	houses  bool    // each line is a family: "Individual families:"
	lead    []*term // who is in all photographs below: "Bride & groom with:"
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
	for i := range r.lines {
		l := &r.lines[i]
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
		for _, tokens := range words.Equations(r.tokens[i]) {
			r.stmts = append(r.stmts, r.statement(i, tokens, 0))
		}
	}
	r.marked = marks >= 2 && 2*marks >= plain
}

// statement parses tokens of a line.
func (r *reader) statement(i int, tokens []words.Token, off int) *statement {
	l := &r.lines[i]
	r.Line = l
	s := &statement{l: l, i: i, off: off}
	r.fillIn(s, tokens)
	return s
}

// fillIn parses the words of a statement.
func (r *reader) fillIn(s *statement, tokens []words.Token) {
	l := s.l
	r.loud = loud(tokens)
	s.ph = r.phrasesOf(tokens)
	r.Effort.Spend(60 * len(s.ph))
	if s.clause && s.opens == 0 && r.tells(s.ph) {
		s.tells, s.head = true, r.told(s.ph)
		return
	}
	if s.clause {
		s.ph = r.leadIn(s.ph)
		defer func() { s.head.terms, s.tail.terms = ofOneSide(s.head.terms), ofOneSide(s.tail.terms) }()
	}
	at := colonAt(s.ph)
	if l.Ask != 0 {
		if at = r.questionEnd(s.ph); at == len(s.ph) {
			at = -1
		}
	}
	if l.Answer > 0 {
		r.Line = &r.lines[l.Answer-1]
		s.head, s.colon = r.asked(r.phrasesOf(r.tokens[l.Answer-1])), true
		r.Line = l
		s.tail = r.answers(s.ph)
		return
	}
	if at < 0 {
		s.head = r.parse(s.ph, false)
		r.dashes(s)
		return
	}
	s.colon = true
	s.head = r.parse(s.ph[:at], false)
	s.tail = r.parse(s.ph[at+1:], false)
	if l.Ask != 0 {
		s.head, s.tail = r.asked(s.ph[:at]), r.answers(s.ph[at+1:])
	}
	s.body = s.tail.terms
	r.labelled(s)
}

// labelled takes a name before a colon for that of a group whose people follow: "Holts: Ben Jr, Cristina".
func (r *reader) labelled(s *statement) {
	if len(s.head.terms) != 1 || len(s.tail.terms) < 2 {
		return
	}
	t := s.head.terms[0]
	if s.l.Part == lines.GuestLine && t.kind == person && len(t.attrs) == 0 && !r.onlySaid(s.tail) {
		r.keepTitle(strings.TrimSpace(s.l.Text[:s.ph[colonAt(s.ph)].Start]))
	}
	if t.kind == person && t.w.Class == "" && t.rank == "" && r.HalfNamed(t.name) == 0 && !r.IsHonour(t.name) && slices.ContainsFunc(s.tail.terms, func(x *term) bool { return x.kind == person }) {
		t.kind = label
	}
}

// dashes takes a dash for a colon where words for a group stand before it and names behind it.
func (r *reader) dashes(s *statement) {
	at := slices.IndexFunc(s.ph, func(p phrase) bool { return p.Key == "-" && p.Gap })
	if at < 1 || len(s.head.lost) == 0 && !(len(s.head.terms) == 2 && s.head.terms[1].kind == all) && !slices.ContainsFunc(s.head.terms, func(t *term) bool { return t.kind == label && t.e <= s.ph[at].Start }) {
		return
	}
	head, tail := r.parse(s.ph[:at], false), r.parse(s.ph[at+1:], false)
	plain := func(t *term) bool { return t.kind == person && t.w.Class == "" }
	if len(head.terms) == 1 && len(tail.terms) == 1 && tail.terms[0].kind == all && plain(head.terms[0]) && r.SeenOnce(head.terms[0].name) {
		s.head = tail
		return
	}
	if slices.ContainsFunc(head.terms, plain) || len(head.lost) == 0 && !slices.ContainsFunc(head.terms, func(t *term) bool { return t.kind == label }) || !slices.ContainsFunc(tail.terms, plain) {
		return
	}
	s.head, s.tail, s.colon, s.body = head, tail, true, tail.terms
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

// colonAt is the first colon outside brackets that has words before it.
func colonAt(ph []phrase) int {
	for k := range ph {
		if (ph[k].Key == ":" || ph[k].Key == "=") && k > 0 {
			return k
		}
	}
	return -1
}

// cellStatements parses the cells of a line: columns of lists that stand side by side, or a table.
func (r *reader) cellStatements(i int) {
	l := &r.lines[i]
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
	l := &r.lines[i]
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
		n := 10 * len(s.head.terms)
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
		for _, p := range r.phrasesOf(tokens) {
			for _, class := range []string{"nice", "must", "first", "last"} {
				if p.has(class) {
					best.head.attrs = append(best.head.attrs, attr{class: class, s: p.Start, e: p.End})
				}
			}
		}
		rest := r.parse(r.phrasesOf(tokens), false)
		for _, t := range rest.terms {
			if t.kind == person && len(t.attrs) > 0 {
				r.remarkOn(t)
			}
		}
	}
	best.l = l
	r.stmts = append(r.stmts, best)
}

// remarkOn keeps what a row remarks of a person.
func (r *reader) remarkOn(t *term) {
	if ids := r.Find(t.name); len(ids) == 1 {
		r.describe(ids[0], t.attrs)
	}
}
