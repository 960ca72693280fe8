package event

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"kinorder.example/server/internal/wording"
)

// Limits of an event, checked by check.Event.
const (
	MaxPeople      = 2000
	MaxPhotographs = 500 // groupings, each eachOf counted once for each person
	MaxCircles     = 200
	MaxBlocks      = 50
	MaxRules       = 200
	MaxSides       = 50
	MaxNicknames   = 10  // of a person
	MaxText        = 200 // characters
)

// Quoted puts a value of the event between quotation marks, shortened to 60 characters, so that it
// can stand in a sentence whatever it holds.
func Quoted(s string) wording.Arg {
	const most = 60
	var b strings.Builder
	n := 0
	for _, r := range s {
		if n == most {
			b.WriteString("…")
			break
		}
		if Forbidden(r) || r == utf8.RuneError {
			r = '\uFFFD'
		}
		b.WriteRune(r)
		n++
	}
	return wording.Quoted(b.String())
}

// Forbidden reports whether a character may not stand in a printed text: control characters and
// line separators break a line of the sheet, direction overrides and isolates turn what follows.
func Forbidden(r rune) bool {
	return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' ||
		(r >= '\u202A' && r <= '\u202E') || (r >= '\u2066' && r <= '\u2069')
}

// Formula reports whether a spreadsheet would take a cell for a formula by its first character (OWASP,
// CSV injection). Spaces and signs that do not show are passed over; full-width and small signs and the minus sign count,
// since some spreadsheets read them as the usual ones.
func Formula(cell string) bool {
	hidden := func(r rune) bool { return unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Zs, r) }
	r, _ := utf8.DecodeRuneInString(strings.TrimLeftFunc(cell, hidden))
	return strings.ContainsRune("=+-@\t\r\n|%＝＋－＠﹦﹢﹣﹫−", r)
}

// Visible reports whether the text holds anything that shows on paper.
func Visible(s string) bool {
	return strings.ContainsFunc(s, func(r rune) bool { return unicode.IsGraphic(r) && !unicode.IsSpace(r) })
}
