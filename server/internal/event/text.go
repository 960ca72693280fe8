package event

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/bidi"

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
	MaxNicknames   = 10   // of a person
	maxID          = 64   // characters
	MaxText        = 200  // characters
	maxNote        = 2000 // characters
)

// First strong isolate and pop directional isolate: between them a name keeps its own direction
// and does not turn the words around it.
const (
	isolate    = "\u2068"
	popIsolate = "\u2069"
)

// runs reports whether the text holds a character of one of the directions.
func runs(s string, directions ...bidi.Class) bool {
	return strings.ContainsFunc(s, func(r rune) bool {
		p, _ := bidi.LookupRune(r)
		return slices.Contains(directions, p.Class())
	})
}

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
		if forbidden(r) || r == utf8.RuneError {
			r = '\uFFFD'
		}
		b.WriteRune(r)
		n++
	}
	return wording.Quoted(b.String())
}

// forbidden reports whether a character may not stand in a printed text: control characters and
// line separators break a line of the sheet, direction overrides and isolates turn what follows.
func forbidden(r rune) bool {
	return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' ||
		(r >= '\u202A' && r <= '\u202E') || (r >= '\u2066' && r <= '\u2069')
}

// Formula reports whether a spreadsheet would take a cell for a formula by its first character (OWASP,
// CSV injection). Spaces and marks of direction before it are passed over; full-width signs count, since
// some spreadsheets read them as the narrow ones.
func Formula(cell string) bool {
	r, _ := utf8.DecodeRuneInString(strings.TrimLeft(cell, " \u00a0\u200e\u200f\u2068"))
	return strings.ContainsRune("=+-@\t\r\n|%＝＋－＠", r)
}

// visible reports whether the text holds anything that shows on paper.
func Visible(s string) bool {
	return strings.ContainsFunc(s, func(r rune) bool { return unicode.IsGraphic(r) && !unicode.IsSpace(r) })
}

// textFault says what is wrong with a printed text, or nothing.
func TextFault(s string, most int) wording.Message {
	if !utf8.ValidString(s) {
		return wording.Say("check.notValidUtf8")
	}
	if n := utf8.RuneCountInString(s); n > most {
		return wording.Say("check.hasCharacters", n, most)
	}
	for _, r := range s {
		if r == utf8.RuneError {
			return wording.Say("check.holdsTheSignForACharacter")
		}
		if forbidden(r) {
			return wording.Say("check.holdsTheInvisibleCharacter", fmt.Sprintf("U+%04X", r))
		}
	}
	return wording.Message{}
}

// noteFault is textFault for a note, which may have several lines.
func NoteFault(s string) wording.Message {
	return TextFault(strings.NewReplacer("\n", " ", "\r", " ", "\t", " ").Replace(s), maxNote)
}

// idFault says what is wrong with an id that is not empty, or nothing.
func IdFault(s string) wording.Message {
	if utf8.RuneCountInString(s) > maxID {
		return wording.Say("check.longerThanCharacters", maxID)
	}
	if !utf8.ValidString(s) {
		return wording.Say("check.notValidUtf8")
	}
	for _, r := range s {
		if !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.IsDigit(r) && r != '-' && r != '_' && r != '.' {
			return wording.Say("check.holdsUseOnlyLettersDigitsAnd", Quoted(string(r)))
		}
	}
	return wording.Message{}
}
