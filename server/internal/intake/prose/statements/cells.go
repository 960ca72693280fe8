package statements

import (
	"strings"

	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// cellTokens are the tokens of a cell by where they stand in the line.
func cellTokens(l *lines.Line, k int) []words.Token {
	tokens := words.Tokenize(l.Cells[k])
	for n := range tokens {
		tokens[n].Start += l.Spans[k]
		tokens[n].End += l.Spans[k]
	}
	return tokens
}

// cellStatements parses the cells of a line: columns of lists that stand side by side, or a table.
func (r *Reader) cellStatements(i int) {
	l := &r.Lines[i]
	if l.Mark == '|' {
		r.rowStatement(i)
		return
	}
	for k, c := range l.Cells {
		if strings.TrimSpace(c) == "" {
			continue
		}
		s := r.statement(i, cellTokens(l, k), l.Spans[k])
		s.side = k + 1
		r.Statements = append(r.Statements, s)
	}
}

// rowStatement takes the cell that names the most people for the photograph of a row; one before it names it.
func (r *Reader) rowStatement(i int) {
	l := &r.Lines[i]
	var best *Statement
	most := -1
	for k := range l.Cells {
		if tokens := cellTokens(l, k); len(tokens) > 0 {
			if s := r.statement(i, tokens, l.Spans[k]); len(s.Head.Terms) > most {
				best, most = s, len(s.Head.Terms)
			}
		}
	}
	if best == nil {
		return
	}
	for k := range l.Cells {
		if l.Spans[k] == best.off {
			continue
		}
		ph := r.Phrases(cellTokens(l, k))
		for _, p := range ph {
			for _, class := range []string{"nice", "must", "first", "last"} {
				if p.Has(class) {
					best.Head.Attrs = append(best.Head.Attrs, speech.Attribute{Class: class, Start: p.Start, End: p.End})
				}
			}
		}
		for _, t := range r.Parse(ph, false).Terms {
			if t.Kind == speech.Person && len(t.Attrs) > 0 {
				r.remarkOn(t)
			}
		}
	}
	best.Line = l
	r.Statements = append(r.Statements, best)
}

// remarkOn keeps what a row remarks of a person.
func (r *Reader) remarkOn(t *speech.Term) {
	if ids := r.Find(t.Name); len(ids) == 1 {
		r.Describe(ids[0], t.Attrs)
	}
}
