package photographs

import (
	"strings"

	"kinorder.example/server/internal/event"
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
	GuestRow // a remark on the guest whose id is in Members
	TextRow  // below the table
)

// Words are those that say who is in a photograph.
func (row Row) Words() string {
	text := oneLine(row.Members)
	if text == "" {
		text = row.Title
	}
	if row.Without != "" {
		text += ", without " + oneLine(row.Without)
	}
	return text
}

// legend reports whether a row says what marks mean: "Grade: A = must, B = normal".
func (row Row) legend() bool { return row.Members == "" && strings.Count(row.Title, "=") > 1 }

// oneLine writes a cell on one line: line breaks separate entries.
func oneLine(text string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.TrimSpace(text), "\n", "; ")), " ")
}

// RowSections says of all rows what they are, and under which headings they stand.
func (r *Reader) RowSections(rows []Row) {
	ctx := statements.Context{}
	for _, s := range r.Statements {
		r.Line = s.Line
		row := rows[s.Index]
		switch row.Kind {
		case AboutRow:
			s.Kind = statements.Title
		case GuestRow:
			s.Kind = statements.Remark
		case TextRow:
			if s.Kind = statements.Remark; len(s.Tail.Terms) > 0 || len(s.Head.Terms) > 0 && speech.AnyHas(s.Phrases, "absent") {
				s.Kind = statements.Definition
			}
		case HeadingRow:
			s.Kind = statements.Heading
			ctx = r.Under(s, statements.Context{})
			ctx.Guests, ctx.Scene = false, false
		default:
			s.Kind = statements.Photo
		}
		if row.legend() {
			s.Kind = statements.Remark
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
func (r *Reader) beside(number int, text string) *statements.Statement {
	l := &lines.Line{Number: number, Raw: text, Text: text}
	r.Line = l
	s := &statements.Statement{Line: l, Index: -1, Kind: statements.Photo}
	if r.Effort.Spend(20 * words.Weight(text)) {
		tokens := words.Tokenize(text)
		r.Loud = words.Loud(tokens)
		s.Phrases = r.Phrases(tokens)
		s.Head = r.Parse(s.Phrases, false)
	}
	return s
}

// learnTitle takes what a title calls the people of its row: "Ann's parents", "Bridesmaids".
func (r *Reader) learnTitle(s, about *statements.Statement) {
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
