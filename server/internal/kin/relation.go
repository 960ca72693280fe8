// Package kin reads words of relationship: "grandmother", "Rosa's parents", "avó da Inês". It knows nothing of events.
//
//	if r, ok := kin.Read("mother of the bride"); ok && r.Kind == kin.Parent { ... }
package kin

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Kind is what somebody is to another, as far as words of a list tell it.
type Kind int

// The kinds. The zero value is no relation that is known.
const (
	NoKin Kind = iota
	OfCouple
	Parent
	Grandparent
	GreatGrandparent
	Sibling
	AuntUncle
	GreatAuntUncle
	Cousin
	NieceNephew
	Offspring // a child of somebody, or a child among the guests
	Grandchild
	Partner
	Godparent
	Godchild
	Attendant
	Friend
	Family // a whole family, not one person
)

// Sex is what a word of kin says about it: a mother is a woman, a cousin is not said to be either.
type Sex int

// The sexes of words. The zero value says nothing.
const (
	AnySex Sex = iota
	Woman
	Man
)

// Relation is what is understood of words such as "grandmother", "Rosa's parents", "sister's husband".
type Relation struct {
	Kind   Kind
	Sex    Sex
	Plural bool // the word stands for several people
	Step   bool
	Half   bool
	InLaw  bool
	Former bool      // an ex-wife, a former partner
	Of     *Relation // whose, if that is said by a relation: the sister of "sister's husband"
	Owner  string    // whose, if that is said by other words, as they are written: "Rosa"
}

// Covers reports whether somebody with relation r is among those that the word of w stands for. Half
// and step siblings are siblings; a stepmother is not one of the parents; whose relation it is does
// not count, unless it is said by a relation ("siblings' partners").
func (w Relation) Covers(r Relation) bool {
	if w.Kind != r.Kind || w.Kind == NoKin || w.InLaw != r.InLaw || w.Former != r.Former {
		return false
	}
	if w.Sex != AnySex && w.Sex != r.Sex {
		return false
	}
	if w.Step && !r.Step || w.Half && !r.Half {
		return false
	}
	if r.Step && !w.Step && r.Kind != Sibling {
		return false
	}
	if w.Of == nil || r.Of == nil {
		return w.Of == nil && r.Of == nil
	}
	return w.Of.Covers(*r.Of)
}

// Read understands words for a relation in English, Portuguese, Spanish, French and German:
// one word ("nan"), a word with its owner ("Rosa's siblings", "mother of the bride", "avó da Inês",
// "Rosas Eltern"), or a relation of a relation ("sister's husband"). What stands behind a comma or
// in brackets, such as an age, is not looked at. It returns false when the words are not understood
// as a whole; nothing is guessed from a part of them.
func Read(s string) (Relation, bool) {
	if i := strings.IndexAny(s, ",;:([/،，、（"); i > 0 {
		s = s[:i]
	}
	return read(strings.Fields(straight(s)), 0)
}

// straight writes typographic apostrophes and hyphens as the plain ones.
func straight(s string) string { return plainMarks.Replace(norm.NFC.String(s)) }

var plainMarks = strings.NewReplacer("’", "'", "ʼ", "'", "‘", "'", "`", "'", "´", "'", "‐", "-", "‑", "-")

// maxOf is how deep relations of relations are followed: "cousin's husband's mother".
const maxOf = 3

func read(words []string, depth int) (Relation, bool) {
	words = withoutArticle(words)
	if len(words) == 0 || len(words) > 12 || depth > maxOf {
		return Relation{}, false
	}
	if r, ok := relationWord(strings.Join(words, " ")); ok {
		return r, true
	}
	// 林伟的父母: Chinese is not spaced.
	if owner, rest, ok := strings.Cut(words[0], "的"); ok && len(words) == 1 && owner != "" {
		if r, ok := relationWord(rest); ok {
			return ownedBy(r, []string{owner}, depth)
		}
	}
	// Rosa's parents, the Duartes' cousins.
	for i := len(words) - 1; i > 0; i-- {
		owner, possessed := withoutPossessive(words[i-1])
		if !possessed {
			continue
		}
		if r, ok := relationWord(strings.Join(withoutArticle(words[i:]), " ")); ok {
			return ownedBy(r, append(append([]string(nil), words[:i-1]...), owner), depth)
		}
	}
	// parents of Rosa, pais da Rosa, padres de la novia, Eltern von Rosa.
	for i := 1; i < len(words); i++ {
		owner, ok := afterOf(words[i:])
		if !ok {
			continue
		}
		if r, ok := relationWord(strings.Join(words[:i], " ")); ok {
			return ownedBy(r, owner, depth)
		}
	}
	// Rosas Eltern: only before a German word, where an s alone is how it is written.
	if len(words) >= 2 {
		last := words[len(words)-1]
		owner := words[:len(words)-1]
		if name, ok := strings.CutSuffix(owner[len(owner)-1], "s"); ok && len(name) > 1 && germanRelations[Fold(last)] {
			if r, ok := relationWord(last); ok {
				return ownedBy(r, append(append([]string(nil), owner[:len(owner)-1]...), name), depth)
			}
		}
	}
	return Relation{}, false
}

// ownedBy says whose relation it is.
func ownedBy(r Relation, owner []string, depth int) (Relation, bool) {
	owner = withoutArticle(owner)
	if len(owner) == 0 {
		return Relation{}, false
	}
	of, ok := read(owner, depth+1)
	if ok && of.Kind != OfCouple {
		r.Of = &of
		r.Owner = of.Owner
		return r, true
	}
	r.Owner = strings.Join(owner, " ")
	return r, true
}

// withoutPossessive takes 's or s' from the end of a word.
func withoutPossessive(word string) (string, bool) {
	if owner, ok := strings.CutSuffix(word, "'s"); ok && owner != "" {
		return owner, true
	}
	if owner, ok := strings.CutSuffix(word, "'S"); ok && owner != "" {
		return owner, true
	}
	if owner, ok := strings.CutSuffix(word, "'"); ok && strings.HasSuffix(owner, "s") {
		return owner, true
	}
	return word, false
}

// afterOf takes "of" in its languages from the front of words.
func afterOf(words []string) ([]string, bool) {
	first := Fold(words[0])
	if relationOfs[first] && len(words) > 1 {
		return words[1:], true
	}
	if rest, ok := strings.CutPrefix(first, "d'"); ok && rest != "" {
		return append([]string{words[0][2:]}, words[1:]...), true
	}
	return nil, false
}

// withoutArticle takes articles and "all", "both", "our" from the front of words, and never the last
// word, nor one before "of": a French "son" is his, an English one a child.
func withoutArticle(words []string) []string {
	for len(words) > 1 && relationFillers[Fold(words[0])] && !relationOfs[Fold(words[1])] {
		words = words[1:]
	}
	if len(words) > 0 {
		if rest, ok := strings.CutPrefix(Fold(words[0]), "l'"); ok && rest != "" {
			words = append([]string{words[0][2:]}, words[1:]...)
		}
	}
	return words
}

// relationWord looks one word or fixed phrase up, with the prefixes that words of kin take.
func relationWord(s string) (Relation, bool) {
	key := Key(s)
	if r, ok := relationWords[key]; ok {
		return r, true
	}
	for _, p := range relationPrefixes {
		rest, ok := strings.CutPrefix(key, p.prefix)
		if !ok {
			continue
		}
		if r, ok := relationWords[strings.TrimSpace(rest)]; ok && p.takes(r) {
			p.apply(&r)
			return r, true
		}
	}
	if rest, ok := inLaw(key); ok {
		if r, ok := relationWords[rest]; ok && r.Kind != OfCouple {
			r.InLaw = true
			return r, true
		}
	}
	return Relation{}, false
}

// inLaw takes "in law" from its place: "mother in law", "mothers in law", "in laws" stand apart.
func inLaw(key string) (string, bool) {
	if rest, ok := strings.CutSuffix(key, " in laws"); ok {
		return rest + "s", true
	}
	return strings.CutSuffix(key, " in law")
}

// relationPrefix is a beginning of a word that changes what kin it stands for.
type relationPrefix struct {
	prefix string
	takes  func(Relation) bool
	apply  func(*Relation)
}

var relationPrefixes = []relationPrefix{
	{"step", isClose, func(r *Relation) { r.Step = true }},
	{"stief", isClose, func(r *Relation) { r.Step = true }},
	{"half", isSibling, func(r *Relation) { r.Half = true }},
	{"halb", isSibling, func(r *Relation) { r.Half = true }},
	{"demi", isSibling, func(r *Relation) { r.Half = true }},
	{"meio", isSibling, func(r *Relation) { r.Half = true }},
	{"meia", isSibling, func(r *Relation) { r.Half = true }},
	{"medio", isSibling, func(r *Relation) { r.Half = true }},
	{"media", isSibling, func(r *Relation) { r.Half = true }},
	{"great ", isOlder, older},
	{"gross ", isOlder, older},
	{"ex ", isPartner, func(r *Relation) { r.Former = true }},
	{"ex", isPartner, func(r *Relation) { r.Former = true }},
	{"former ", isPartner, func(r *Relation) { r.Former = true }},
}

func isClose(r Relation) bool   { return r.Kind == Parent || r.Kind == Sibling || r.Kind == Offspring }
func isSibling(r Relation) bool { return r.Kind == Sibling }
func isOlder(r Relation) bool   { return r.Kind == AuntUncle || r.Kind == Grandparent }
func isPartner(r Relation) bool { return r.Kind == Partner }

func older(r *Relation) {
	if r.Kind == AuntUncle {
		r.Kind = GreatAuntUncle
	} else {
		r.Kind = GreatGrandparent
	}
}

// Key writes words as the tables hold them: without case, hyphens and dots.
func Key(s string) string {
	s = strings.Map(func(r rune) rune {
		if r == '-' || r == '.' || unicode.IsSpace(r) {
			return ' '
		}
		return r
	}, Fold(straight(strings.Trim(s, " .:!"))))
	return strings.Join(strings.Fields(s), " ")
}
