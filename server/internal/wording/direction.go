package wording

import (
	"slices"
	"strings"

	"golang.org/x/text/unicode/bidi"
)

// First strong isolate and pop directional isolate (Unicode Standard Annex 9): between them a name keeps its own
// direction and does not turn the words around it. They take no room.
const (
	FirstIsolate = "\u2068"
	PopIsolate   = "\u2069"
)

// Isolate puts a text between the two.
func Isolate(s string) string { return FirstIsolate + s + PopIsolate }

// RightToLeft reports whether the text holds a character that is read from right to left. Digits of Europe and
// punctuation have no direction.
func RightToLeft(s string) bool { return runs(s, bidi.R, bidi.AL, bidi.AN) }

// LeftToRight is the same for the other direction.
func LeftToRight(s string) bool { return runs(s, bidi.L) }

func runs(s string, directions ...bidi.Class) bool {
	return strings.ContainsFunc(s, func(r rune) bool {
		p, _ := bidi.LookupRune(r)
		return slices.Contains(directions, p.Class())
	})
}
