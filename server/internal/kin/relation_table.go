package kin

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Singular returns the word for one of the people that a word stands for: "cousin" for "cousins".
// Words that have none, and those that say whose, come back as they are.
func Singular(s string) string {
	words := strings.Join(withoutArticle(strings.Fields(straight(s))), " ")
	if one, ok := relationSingulars[Key(words)]; ok {
		return one
	}
	return words
}

// relationSingulars are the first words for one of what the words for several mean, within a row.
var relationSingulars = func() map[string]string {
	words := make(map[string]string)
	for _, row := range relationRows {
		if row.file == exactly {
			continue
		}
		first := strings.TrimSpace(row.one[0])
		for k, word := range row.several {
			key := Key(word)
			single := strings.TrimSpace(row.one[min(k, len(row.one)-1)])
			if _, taken := words[key]; taken || key == "" {
				continue
			}
			if single != "" && sameStart(key, Key(single)) {
				words[key] = single
			} else if first != "" && sameStart(key, Key(first)) {
				words[key] = first
			}
		}
	}
	return words
}()

// sameStart reports whether two words begin alike, as a word and its plural do.
func sameStart(a, b string) bool {
	x, y := []rune(Bare(a)), []rune(Bare(b))
	return len(x) > 0 && len(y) > 0 && x[0] == y[0]
}

// Bare takes the accents off Latin letters: many lists are typed without them.
func Bare(s string) string {
	var b strings.Builder
	latin := false
	for _, r := range norm.NFD.String(s) {
		if unicode.Is(unicode.Mn, r) && latin {
			continue
		}
		latin = unicode.Is(unicode.Latin, r)
		b.WriteRune(r)
	}
	return norm.NFC.String(bareLetters.Replace(b.String()))
}

// bareLetters are letters that do not come apart into a letter and an accent.
var bareLetters = strings.NewReplacer("œ", "oe", "æ", "ae", "ø", "o", "ł", "l", "đ", "d", "ı", "i", "ß", "ss")

// givenNames are words of kin that are names when they stand without their accents.
var givenNames = map[string]bool{"marie": true, "maries": true}

// relationWords is what the words of all languages mean. Of two meanings the first listed counts.
var relationWords = func() map[string]Relation {
	words := make(map[string]Relation)
	for _, row := range relationRows {
		for i, list := range [][]string{row.one, row.several} {
			r := row.is
			r.Plural = i == 1
			for _, word := range list {
				key := Key(word)
				plain := Bare(key)
				if row.file == exactly {
					plain = key
				}
				for _, k := range []string{key, plain} {
					if _, taken := words[k]; !taken && k != "" && (k == key || !givenNames[k]) {
						words[k] = r
					}
				}
			}
		}
	}
	return words
}()

// germanRelations are the words that an owner may stand before with an s alone.
var germanRelations = func() map[string]bool {
	set := make(map[string]bool)
	for _, row := range relationRows {
		if row.file == "de" {
			for _, word := range append(row.one, row.several...) {
				set[Key(word)] = true
			}
		}
	}
	return set
}()

// relationOfs stand between a relative and whose it is.
var relationOfs = wordSet(`of của de da do das dos del du des di della dello von vom der van til till av`)

// relationFillers stand before a relative or an owner and add nothing to what is understood.
var relationFillers = wordSet(`the a an all both our my his her their your every each
	o a os as todos todas ambos ambas nossos meus minha meu seus seu sua
	el la los las mis nuestros sus su mi tu
	le les tous toutes mes nos ses leurs mon ma son sa
	der die das den dem alle beide unsere meine seine ihre mein sein ihr
	il lo gli het een
	maternal paternal materna materno paterna paterno maternelle maternel paternelle paternel maternos paternos
	big little older elder younger eldest oldest youngest twin immediate close`)

func wordSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(words) {
		set[w] = true
	}
	return set
}
