package event

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// kin is what a person is to one half of the couple, as far as the advice needs to know.
type kin int

const (
	kinUnknown kin = iota // nothing that is understood: no claim is made
	kinCouple             // one of the couple
	kinSpouse             // somebody's partner
	kinParent
	kinStepParent // a parent's partner
	kinSibling
	kinHalfSibling // one parent in common, or none: step-siblings too
	kinSiblingSpouse
	kinNibling // a sibling's child
	kinGrandparent
	kinChild
	kinOther // understood and further away, such as an aunt
)

// relation is what the free text of Person.Relation says.
type relation struct {
	kin kin
	// owner is whose relative it is, in plain form, when the text says so: "amara" in "Amara's
	// mother". Empty otherwise.
	owner string
}

// relationOf understands the usual words in several languages (see kinWords), alone, with an age or a
// remark after a comma ("niece, 2"), and as a chain ("sister's husband", "mari de la sœur"). What it
// does not understand word for word is kinUnknown: "like a sister" is no sister.
func relationOf(text string) relation {
	chain := kinChain(text)
	var owner string
	if len(chain) > 1 {
		if k := kinWords[chain[0]]; k == kinUnknown || k == kinCouple {
			owner, chain = chain[0], chain[1:]
		}
	}
	if len(chain) == 0 {
		return relation{}
	}
	sum := kinWords[chain[0]]
	for _, word := range chain[1:] {
		next := kinWords[word]
		near, ok := kinPairs[[2]kin{sum, next}]
		switch {
		case sum == kinUnknown || next == kinUnknown:
			return relation{}
		case ok:
			sum = near
		default:
			sum = kinOther
		}
	}
	if sum == kinUnknown {
		return relation{}
	}
	return relation{sum, owner}
}

// kinPairs is what the relative of a relative is, where that is near.
var kinPairs = map[[2]kin]kin{
	{kinParent, kinSpouse}:      kinStepParent,
	{kinParent, kinParent}:      kinGrandparent,
	{kinSibling, kinSpouse}:     kinSiblingSpouse,
	{kinHalfSibling, kinSpouse}: kinSiblingSpouse,
	{kinSibling, kinChild}:      kinNibling,
	{kinHalfSibling, kinChild}:  kinNibling,
	{kinStepParent, kinChild}:   kinHalfSibling,
}

// kinChain takes a relation apart into its words from the couple outwards: "husband of the bride's
// sister" is bride, sister, husband.
func kinChain(text string) []string {
	var segments [][]string // separated by "of", outermost first
	var segment []string    // separated by a possessive
	var words []string
	link := func() {
		if len(words) > 0 {
			segment = append(segment, strings.Join(words, " "))
		}
		words = nil
	}
	for _, w := range strings.Fields(plain(untilRemark(text))) {
		if rest, is := strings.CutPrefix(w, "l'"); is {
			w = rest
		}
		if rest, is := strings.CutPrefix(w, "d'"); is {
			link()
			segments, segment = append(segments, segment), nil
			w = rest
		}
		base, possessive := strings.CutSuffix(w, "'s")
		if !possessive {
			base, possessive = strings.CutSuffix(w, "'")
		}
		switch {
		case kinOfWords[w]:
			link()
			segments, segment = append(segments, segment), nil
		case kinFillers[base]:
		default:
			words = append(words, base)
		}
		if possessive {
			link()
		}
	}
	link()
	if segments = append(segments, segment); len(segment) == 0 {
		return nil // "mother of", and then a number or nothing: not of the couple
	}
	slices.Reverse(segments)
	return slices.Concat(segments...)
}

// untilRemark cuts off an age or a remark, as in "niece, 2" and "cousin (the tall one)".
func untilRemark(s string) string {
	if at := strings.IndexFunc(s, func(r rune) bool {
		return strings.ContainsRune(",;:(/[+–—", r) || unicode.IsDigit(r)
	}); at >= 0 {
		return s[:at]
	}
	return s
}

// plain writes words without case, accents and hyphens, for comparison: "Half-Brother" is "half brother",
// "Mãe" is "mae".
func plain(s string) string {
	s = strings.Map(func(r rune) rune {
		switch r {
		case '’', 'ʼ', '`', '´':
			return '\''
		case '-', '‐', '‑', '_', '.':
			return ' '
		}
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(Fold(s)))
	return strings.Join(strings.Fields(plainLetters.Replace(s)), " ")
}

// plainLetters replaces letters that do not come apart into a base and an accent.
var plainLetters = strings.NewReplacer("œ", "oe", "æ", "ae", "ø", "o", "ł", "l", "đ", "d", "ı", "i")
