// Package names finds people by what others call them: in any script, without accents, in another
// order, by a part of the name, by a nickname, with a slip of the keyboard. It never says which part
// of a name is which, and it never chooses between two people.
package names

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"kinorder.example/server/internal/kin"
)

// letters are those that do not come apart into a letter and an accent, and those that are written
// in more than one way for the same sound. The Arabic ones are the usual spelling variants of alef,
// yeh and teh marbuta; tatweel only stretches a word.
var letters = strings.NewReplacer(append(simplify(),
	"œ", "oe", "æ", "ae", "ø", "o", "ł", "l", "đ", "d", "ð", "d", "þ", "th", "ı", "i", "ß", "ss",
	"أ", "ا", "إ", "ا", "آ", "ا", "ٱ", "ا", "ى", "ي", "ة", "ه", "ـ", "",
)...)

// Plain writes a text as names are compared: without case, without the accents of Latin, Greek and
// Cyrillic letters, without the vowel signs of Arabic and Hebrew, in simplified Chinese characters,
// without apostrophes and dots, with one space between words.
func Plain(s string) string {
	s = kin.Fold(s)
	ascii := kin.IsASCII(s)
	if !ascii {
		s = norm.NFD.String(letters.Replace(strings.ToValidUTF8(s, " ")))
	}
	var b strings.Builder
	b.Grow(len(s))
	var base rune
	for _, r := range s {
		switch {
		case r >= utf8.RuneSelf && unicode.Is(unicode.Mn, r):
			if !unicode.In(base, unicode.Latin, unicode.Greek, unicode.Cyrillic, unicode.Arabic, unicode.Hebrew) {
				b.WriteRune(r) // the signs of other scripts are letters of their own
			}
			continue
		case unicode.IsLetter(r), unicode.IsDigit(r), unicode.Is(unicode.Mc, r):
			b.WriteRune(r)
		case r == '\'' || r == '’' || r == 'ʼ' || r == '‘' || r == '`' || r == '´' || r == '.' || unicode.Is(unicode.Cf, r):
			continue // O'Brien is OBrien, and D. is D.
		default:
			b.WriteByte(' ')
		}
		base = r
	}
	plain := strings.Join(strings.Fields(b.String()), " ")
	if ascii {
		return plain
	}
	return norm.NFC.String(letters.Replace(plain))
}

// titles stand before a name and are no part of it. They are left out only before another word.
var titles = func() map[string]bool {
	set := make(map[string]bool)
	for _, t := range strings.Fields(`mr mrs ms miss mx dr prof sir madam rev
		sr sra srta dona don doña senhor senhora senor senora
		m mme mlle monsieur madame herr sig signor signora`) {
		set[t] = true
	}
	return set
}()

// IsTitle reports whether a word is a form of address such as "Mrs".
func IsTitle(word string) bool { return titles[Plain(word)] }

// Words returns the words of a name as they are compared, forms of address left out.
func Words(s string) []string {
	words := strings.Fields(Plain(s))
	for len(words) > 1 && titles[words[0]] {
		words = words[1:]
	}
	return words
}

// unspaced reports whether a word is of a script that writes names without spaces.
func unspaced(s string) bool {
	return s != "" && !strings.ContainsFunc(s, func(r rune) bool {
		return !unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul)
	})
}
