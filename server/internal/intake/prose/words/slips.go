package words

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/kin"
)

// shortestSlip is how long a word must be that may be written with a slip: "brdesmaids", "Evreyone".
const shortestSlip = 6

// Slip is the word for people that a word nobody knows is one slip away from: a letter too many, too few or wrong, or two
// that changed places. Names are no slips.
func Slip(key string) []Word {
	x := all()
	if _, name := x.given[key]; name || len(key) < shortestSlip || strings.ContainsAny(key, " 0123456789") {
		return nil
	}
	for _, k := range x.slips[key[0]] {
		if kin.OneApart([]byte(key), []byte(k)) { // letters without accents
			return x.words[k]
		}
	}
	return nil
}

// addSlips sorts the words for people by their first letter, which slips leave alone.
func (x *lexicon) addSlips() {
	x.slips = make(map[byte][]string)
	for k, ws := range x.words {
		if len(k) >= shortestSlip && !strings.Contains(k, " ") && !IsHan(k) && slices.ContainsFunc(ws, func(w Word) bool {
			return w.Class == "kin" || w.Class == "role" || w.Class == "all" || w.Class == "fill"
		}) {
			x.slips[k[0]] = append(x.slips[k[0]], k)
		}
	}
	for _, ks := range x.slips {
		slices.Sort(ks)
	}
}
