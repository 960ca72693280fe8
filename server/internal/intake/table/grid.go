// Package table reads people and photographs from tables, and writes them: a list of people, a list of
// photographs, or people against photographs with marks in the cells, as CSV or as a workbook.
package table

import (
	"errors"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/wording"
)

// What is read of a table at most. A workbook may unpack to MaxUnpacked bytes; with the marks of XML and
// the texts that cells share it takes some ten times that in memory while it is read, and no more.
const (
	MaxCells    = 200_000
	MaxRows     = 5_000
	MaxColumns  = 1_000
	MaxCell     = 32_767   // characters of a cell, as many as one of a workbook holds; the rest is cut off and reported
	MaxUnpacked = 12 << 20 // bytes of a workbook, unpacked
	maxParts    = 500      // files in a workbook
	MaxText     = 4 << 20  // bytes of all cells, each counted where it stands: those of a workbook may share one text
)

// Errors of a whole file.
var (
	ErrTooBig  = errors.New("the table is too large")
	ErrTooLong = errors.New("the table has too much text")
	ErrBroken  = errors.New("the workbook cannot be opened")
	ErrLocked  = errors.New("the workbook is protected by a password")
)

// Says says an error of reading in words that tell what to do.
func Says(err error) wording.Message {
	switch {
	case errors.Is(err, ErrTooBig):
		return wording.Say("file.tableIsTooLarge",
			MaxRows, MaxColumns, MaxCells, MaxUnpacked>>20)
	case errors.Is(err, ErrTooLong):
		return wording.Say("file.tableHasTooMuchText", MaxText>>20)
	case errors.Is(err, ErrLocked):
		return wording.Say("file.workbookIsProtectedByAPassword")
	}
	return wording.Say("file.workbookCannotBeOpened")
}

// Grid is one table: the cells of a CSV file or of one sheet of a workbook.
type Grid struct {
	Name  string // of the sheet; empty for CSV
	Rows  [][]string
	Lines []int // of each row: the line in the file, or the row of the sheet
}

// cells counts what has been read so far.
type cells struct{ rows, cells, text int }

// add counts a row and returns ErrTooBig or ErrTooLong when it is too much.
func (c *cells) add(row []string) error {
	c.rows++
	c.cells += len(row)
	if c.rows > MaxRows || c.cells > MaxCells || len(row) > MaxColumns {
		return ErrTooBig
	}
	for _, cell := range row {
		c.text += len(cell)
	}
	if c.text > MaxText {
		return ErrTooLong
	}
	return nil
}

// Fits says why tables would not be read back whole: ErrTooBig or ErrTooLong.
func Fits(grids []Grid) error {
	var n cells
	for _, g := range grids {
		for _, row := range g.Rows {
			if err := n.add(row); err != nil {
				return err
			}
			if slices.ContainsFunc(row, func(cell string) bool { return utf8.RuneCountInString(cell) > MaxCell }) {
				return ErrTooLong
			}
		}
	}
	return nil
}

// clean takes a cell as it is meant: without control characters but those of notes, lines and tabs. NFC
// is the caller's.
func clean(s string) string {
	if strings.IndexFunc(s, odd) < 0 {
		return strings.TrimSpace(s)
	}
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return r
		case r == '\r':
			return '\n'
		case odd(r):
			return ' '
		}
		return r
	}, strings.ReplaceAll(s, "\r\n", "\n")))
}

// odd reports whether a character has no place in a cell: control characters, and those that turn the
// direction of what follows.
func odd(r rune) bool {
	return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' || r == '\ufeff' || r == '\ufffd' ||
		r >= '\u202a' && r <= '\u202e' || r >= '\u2066' && r <= '\u2069'
}

// problem makes a problem of a cell; column counts from 0, below 0 means the row.
func (g *Grid) problem(row, column int, severity event.Severity, code string, m wording.Message) place.Problem {
	if g.Name != "" {
		m = wording.Say("file.sheet", wording.Curly(g.Name), m)
	}
	p := place.Problem{Advice: event.Tell(severity, code, "", nil, m), Column: column + 1}
	if row >= 0 && row < len(g.Lines) {
		p.Line = g.Lines[row]
	}
	return p
}

// at returns a cell, empty outside of the table.
func (g *Grid) at(row, column int) string {
	if row < 0 || row >= len(g.Rows) || column < 0 || column >= len(g.Rows[row]) {
		return ""
	}
	return g.Rows[row][column]
}

// width returns the number of columns.
func (g *Grid) width() int {
	n := 0
	for _, r := range g.Rows {
		n = max(n, len(r))
	}
	return n
}
