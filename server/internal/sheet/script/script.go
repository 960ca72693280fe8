// Package script knows in which scripts the readers of a language are at home.
package script

import (
	"strings"
	"unicode"

	"golang.org/x/text/collate"
	"golang.org/x/text/language"

	"kinorder.example/server/internal/wording"
)

// homes are the scripts of languages that are not written in Latin letters.
var homes = map[string]*unicode.RangeTable{"ar": unicode.Arabic, "zh": unicode.Han}

// Native reports whether a name is written in the script of a language other than Latin: whoever reads that reads it well.
func Native(c *wording.Catalogue, name string) bool {
	home := homes[c.Tag()]
	return home != nil && strings.IndexFunc(name, func(r rune) bool { return unicode.Is(home, r) }) >= 0
}

// Unread reports whether readers of a language may not know the script of a name.
func Unread(c *wording.Catalogue, name string) bool {
	first := strings.IndexFunc(name, unicode.IsLetter)
	return first >= 0 && !strings.ContainsFunc(name, func(r rune) bool { return unicode.Is(unicode.Latin, r) }) && !Native(c, name)
}

// Alphabet compares names as they are sorted in a language, those in its own script first.
func Alphabet(c *wording.Catalogue) func(x, y string) int {
	in := collate.New(language.Make(c.Tag()))
	return func(x, y string) int {
		if own := Native(c, x); own != Native(c, y) {
			return map[bool]int{true: -1, false: 1}[own]
		}
		return in.CompareString(x, y)
	}
}
