package table

import (
	"encoding/csv"
	"errors"
	"io"
	"strings"

	"golang.org/x/text/unicode/norm"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

// CodeQuotes is of a CSV file whose quotation marks do not follow RFC 4180.
const CodeQuotes = "QUOTES"

// ReadCSV reads CSV (RFC 4180) with commas, semicolons or tabs. Quotation marks that do not follow the
// rules are read as they stand, with a warning. The error is ErrTooBig.
func ReadCSV(text string) (Grid, []place.Problem, error) {
	comma := Delimiter(text)
	if strings.Count(text, string(comma)) > 2*MaxCells { // half of them may stand in texts
		return Grid{}, nil, ErrTooBig
	}
	skipped := 0
	if first, rest, _ := strings.Cut(text, "\n"); strings.HasPrefix(strings.ToLower(first), "sep=") {
		text, skipped = rest, 1
	}
	g, err := parse(text, comma, false, skipped)
	var syntax *csv.ParseError
	if !errors.As(err, &syntax) {
		return g, nil, err
	}
	fault := place.Problem{Line: syntax.Line + skipped, Column: 0, Advice: event.Tell(event.Warning, CodeQuotes, "", nil,
		wording.Say("file.quotationMarkStandsWhereNoneMay"))}
	g, err = parse(text, comma, true, skipped)
	return g, []place.Problem{fault}, err
}

func parse(text string, comma rune, lazy bool, skipped int) (Grid, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.LazyQuotes, r.FieldsPerRecord = comma, lazy, -1
	var g Grid
	var n cells
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return g, nil
		}
		if err != nil {
			if lazy {
				return g, nil // what follows has no rows any more: it is one cell that never ends
			}
			return g, err
		}
		if err := n.add(row); err != nil {
			return Grid{}, err
		}
		line, _ := r.FieldPos(0)
		for i := range row {
			row[i] = unescape(norm.NFC.String(clean(row[i])))
		}
		g.Rows = append(g.Rows, row)
		g.Lines = append(g.Lines, line+skipped)
	}
}

// LooksLikeCSV reports whether a text is a table rather than a typed list: among its first lines one is a
// header that is understood, of several cells, or all its cells are marks.
func LooksLikeCSV(text string) bool {
	if strings.HasPrefix(strings.ToLower(text), "sep=") {
		return true
	}
	lines := strings.SplitAfterN(text, "\n", 2*maxHeader+1)
	g, _, err := ReadCSV(strings.Join(lines[:min(len(lines), 2*maxHeader)], ""))
	if err != nil {
		return false
	}
	h, _ := g.header(Unknown, nil)
	if h.row < 0 {
		return false
	}
	for _, cell := range g.Rows[h.row] {
		if len([]rune(cell)) > 60 {
			return false
		}
	}
	several, below := 0, g.Rows[h.row+1:]
	for _, row := range below {
		if len(row) > 1 {
			several++
		}
	}
	return len(g.Rows[h.row]) >= 2 && (len(h.columns) >= 2 || h.kind == Matrix) && 2*several >= len(below) // "shots, in this order" heads lines
}

// Delimiter finds what separates the cells of a CSV file: of tab, semicolon and comma the one that the
// first lines have the most of, outside of quotation marks, on nearly every line.
func Delimiter(text string) rune {
	if first, _, _ := strings.Cut(text, "\n"); strings.HasPrefix(strings.ToLower(first), "sep=") && len(first) > 4 {
		for _, r := range first[4:] {
			if r == ',' || r == ';' || r == '\t' {
				return r
			}
		}
	}
	type count struct{ lines, all int }
	counts := map[rune]*count{',': {}, ';': {}, '\t': {}}
	quoted, lines := false, 0
	row := map[rune]int{}
	flush := func() {
		for r, n := range row {
			counts[r].lines++
			counts[r].all += n
		}
		clear(row)
		lines++
	}
	for _, r := range text {
		switch {
		case r == '"':
			quoted = !quoted
		case quoted:
		case r == '\n':
			flush()
		case counts[r] != nil:
			row[r]++
		}
		if lines == 30 {
			break
		}
	}
	flush()
	best := ','
	for _, r := range []rune{';', '\t'} {
		a, b := counts[r], counts[best]
		if a.lines > b.lines || a.lines == b.lines && a.all > b.all {
			best = r
		}
	}
	return best
}

// escape keeps a cell from being a formula: an apostrophe before it makes it a text. An apostrophe that
// stands there already is doubled, so that unescape finds what was written.
func escape(s string) string {
	if event.Formula(s) || strings.HasPrefix(s, "'") {
		return "'" + s
	}
	return s
}

func unescape(s string) string {
	if rest, ok := strings.CutPrefix(s, "'"); ok && (event.Formula(rest) || strings.HasPrefix(rest, "'")) {
		return rest
	}
	return s
}

// WriteCSV writes rows as RFC 4180 says, in UTF-8 with a byte order mark, which spreadsheets need to know
// it by. Cells that a spreadsheet would run are written as texts.
func WriteCSV(rows [][]string) []byte {
	var b strings.Builder
	b.WriteString("\uFEFF")
	for _, row := range rows {
		for i, cell := range row {
			if i > 0 {
				b.WriteByte(',')
			}
			cell = escape(cell)
			if strings.ContainsAny(cell, ",;\"\r\n\t") || cell != strings.TrimSpace(cell) || len(row) == 1 && cell == "" {
				cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
			}
			b.WriteString(cell)
		}
		b.WriteString("\r\n")
	}
	return []byte(b.String())
}
