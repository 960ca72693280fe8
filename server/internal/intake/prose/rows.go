package prose

import (
	"regexp"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/couple"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
)

// Row is a row of a table of photographs, a heading between them, or what stands above the table.
type Row struct {
	Line       int // in the table
	Kind       RowKind
	Title      string
	Members    string // who is in it, in words of a list; the title says it when it is empty
	Without    string
	Couple     string // who of the couple is in it too
	Note       string
	Column     int // of Members, from 1
	NoteColumn int
	Label      string         // its number
	Count      int            // how many people it says there are, or 0
	Grouping   event.Grouping // all but who is in it; an empty id is made up
}

// RowKind is what a row is.
type RowKind int

// The kinds of rows.
const (
	PhotoRow RowKind = iota
	HeadingRow
	AboutRow // above the table
)

// ReadRows reads photographs of a table with the words of lists. base holds the people and circles of the table; its
// groupings come first. What it returns when m is used up is worth nothing.
func ReadRows(m *effort.Meter, rows []Row, base event.Event) place.Result {
	r := newReader(m, base)
	for _, row := range rows {
		l := lines.Line{Number: row.Line, Text: halves(row.Title), Heads: 1}
		switch {
		case row.Kind == AboutRow:
			l.Heads = 0
		case row.Kind == PhotoRow:
			l.Heads, l.Mark, l.Label, l.Text = 0, '#', row.Label, row.words()
		}
		if _, _, ok := r.written(row); ok {
			l.Text = "" // nothing has to be found out
		}
		l.Raw = l.Text
		r.Lines = append(r.Lines, l)
	}
	r.clean()
	r.TakeApart()
	couple.FindInRows(r.Speech())
	for range 2 { // names that are learned last are known to all rows the second time
		r.ParseLines()
		r.rowSections(rows)
		for range 2 {
			for _, s := range r.Statements {
				r.Learn(s)
			}
		}
	}
	r.day()
	r.rowPhotographs(rows)
	r.tellTaken()
	for i := range base.People {
		g := &r.Guests[i]
		r.Build.Update(i, func(p *event.Person) {
			p.AgeBand, p.Needs, p.Absent, p.PresentFrom, p.PresentUntil, p.PrivateNote = g.AgeBand, g.Needs, g.Absent, g.PresentFrom, g.PresentUntil, g.PrivateNote
		})
	}
	r.finish()
	for k := range r.Problems { // places within a cell mean little: the cell is what has to be found
		p := &r.Problems[k]
		for _, row := range rows {
			if row.Line == p.Line && row.Kind == PhotoRow && p.Column > 0 {
				p.Column = row.Column
			}
		}
	}
	return r.result()
}

// words are those that say who is in a photograph.
func (row Row) words() string {
	text := oneLine(row.Members)
	if text == "" {
		text = row.Title
	}
	if row.Without != "" {
		text += ", without " + oneLine(row.Without)
	}
	return text
}

// oneLine writes a cell on one line: line breaks separate entries.
func oneLine(text string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.TrimSpace(text), "\n", "; ")), " ")
}

// rowSections says of all rows what they are, and under which headings they stand.
func (r *reader) rowSections(rows []Row) {
	ctx := statements.Context{}
	for _, s := range r.Statements {
		r.Line = s.Line
		row := rows[s.Index]
		switch row.Kind {
		case AboutRow:
			s.Kind = statements.Title
		case HeadingRow:
			s.Kind = statements.Heading
			ctx = r.Under(s, statements.Context{})
			ctx.Guests, ctx.Scene = false, false
		default:
			s.Kind = statements.Photo
		}
		s.Context = ctx
		if row.Kind != PhotoRow || row.Title == "" || row.Members == "" {
			continue
		}
		about := r.beside(row.Line, row.Title)
		if side := r.SideSaid(about); side >= 0 {
			s.Context.Side = side
		}
		r.learnTitle(s, about)
		r.Line = s.Line
	}
}

// beside parses another cell of a row.
func (r *reader) beside(number int, text string) *statements.Statement {
	l := &lines.Line{Number: number, Raw: text, Text: text}
	r.Line = l
	s := &statements.Statement{Line: l, Index: -1, Kind: statements.Photo}
	if r.Effort.Spend(20 * words.Weight(text)) {
		tokens := words.Tokenize(text)
		r.Loud = statements.Loud(tokens)
		s.Phrases = r.Phrases(tokens)
		s.Head = r.Parse(s.Phrases, false)
	}
	return s
}

// learnTitle takes what a title calls the people of its row: "Ann's parents", "Bridesmaids".
func (r *reader) learnTitle(s, about *statements.Statement) {
	open := speech.OpenTerms(about.Head.Terms)
	if len(open) != 1 || len(about.Head.Unknown) > 0 || open[0].Kind == speech.Label {
		return
	}
	t := *open[0]
	for _, x := range s.Head.Terms {
		if x.Kind == speech.Person && r.HalfNamed(x.Name) == 0 && !x.Minus {
			y := *x
			y.Names = nil
			t.Names = append(t.Names, &y)
		}
	}
	n := len(t.Names)
	if n == 0 || !t.Word.Plural && n > 1 || t.Word.Arg == "parent" && n > 2 || t.Word.Arg == "grandparent" && n > 4 || t.Word.Arg == "partner" {
		return
	}
	r.Line = s.Line
	r.Distribute([]*speech.Term{&t}, t.Names, r.ScopeOf(about))
}

// halfWords is a half of the couple in brackets behind a name: "Orla (bride)".
var halfWords = regexp.MustCompile(`(?:(?:and|und|et|y|e)\s+)?([\p{L}][\p{L}'’ .-]*?)\s*\(\s*([\p{L} ]+?)\s*\)`)

// halves writes "Orla (bride) & Conor (groom)" as a list says it.
func halves(text string) string {
	return halfWords.ReplaceAllStringFunc(text, func(s string) string {
		m := halfWords.FindStringSubmatch(s)
		for _, w := range words.Find(names.Plain(m[2])) {
			if w.Class == "half" {
				return ", " + m[2] + ": " + strings.TrimSpace(m[1]) + ","
			}
		}
		return s
	})
}
