package words

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/kin"
)

// shortestSlip is how long a word must be that may be written with a slip: "brdesmaids", "Evreyone".
const shortestSlip = 6

// Slip is the word of lists that a word nobody knows is one slip away from: a letter too many, too few or wrong, or two
// that changed places. It may be one of several that are known together: "weding party". Names are no slips.
func Slip(key string, langs map[string]int) string {
	x := all()
	if _, name := x.given[key]; name || len(key) < shortestSlip || strings.ContainsAny(key, " 0123456789") || Begins(key) || Inside(key) || x.words[key] != nil {
		return ""
	}
	for _, s := range x.slips[key[0]] {
		ending := strings.HasPrefix(key, s.key) || strings.HasPrefix(s.key, key) // "couples" is no slip
		if langs[s.lang] > 0 && !ending && kin.OneApart([]byte(key), []byte(s.key)) {
			return s.key
		}
	}
	return ""
}

// slip is a word that may be written with a slip, and its language.
type slip struct{ key, lang string }

// addSlips sorts the words for people, needs and the day by their first letter, which slips leave alone.
func (x *lexicon) addSlips() {
	x.slips = make(map[byte][]slip)
	for k, ws := range x.words {
		for _, w := range ws {
			if !slices.Contains([]string{"kin", "role", "all", "fill", "need", "event"}, w.Class) {
				continue
			}
			for _, part := range strings.Fields(k) {
				if s := (slip{part, w.Lang}); len(part) >= shortestSlip && !IsHan(part) && !slices.Contains(x.slips[part[0]], s) {
					x.slips[part[0]] = append(x.slips[part[0]], s)
				}
			}
		}
	}
	for _, ss := range x.slips {
		slices.SortFunc(ss, func(a, b slip) int { return cmp.Or(cmp.Compare(a.key, b.key), cmp.Compare(a.lang, b.lang)) })
	}
}
