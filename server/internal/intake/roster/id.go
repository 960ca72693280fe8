package roster

import (
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"kinorder.example/server/internal/kin"
)

// maxSlug leaves room for a number within the 64 characters of an id.
const maxSlug = 56

// asciiLetters writes Latin letters that do not come apart into a letter and an accent.
var asciiLetters = strings.NewReplacer("œ", "oe", "æ", "ae", "ø", "o", "ł", "l", "đ", "d", "ð", "d", "þ", "th", "ı", "i", "ß", "ss")

// slug writes a name as an id that can be read and typed: small letters, Latin ones without accents,
// words joined by hyphens. Other scripts stay as they are.
func slug(name string) string {
	var b strings.Builder
	latin, gap, n := false, false, 0
	for _, r := range norm.NFD.String(asciiLetters.Replace(kin.Fold(name))) {
		switch {
		case n == maxSlug:
		case unicode.Is(unicode.Mn, r) && latin:
			continue
		case unicode.IsLetter(r), unicode.IsDigit(r), unicode.IsMark(r) && n > 0 && !gap:
			if gap && b.Len() > 0 {
				b.WriteByte('-')
				n++
			}
			b.WriteRune(r)
			n++
			gap = false
		case r == '\'' || r == '’' || unicode.Is(unicode.Cf, r):
			continue
		default:
			gap = true
		}
		latin = unicode.Is(unicode.Latin, r)
	}
	return norm.NFC.String(b.String())
}

// newID makes an id of a name that is not in use yet: "rosa", then "rosa-2". fallback is taken when
// the name has no letter or digit.
func (r *Roster) newID(name, fallback string, taken map[string]bool) string {
	base := slug(name)
	if base == "" {
		base = fallback
	}
	id, n := base, 2
	if taken[id] {
		for n = max(n, r.numbers[fallback+base]); taken[base+"-"+strconv.Itoa(n)]; n++ {
		}
		id = base + "-" + strconv.Itoa(n)
		r.numbers[fallback+base] = n
	}
	taken[id] = true
	return id
}
