package couple

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// linesOfHalves takes the bride and the groom from the two lines that tell of their kin, one a line, whatever stands around the name:
// "Ann (bride) - mother Ida, ...", "Bride Ann: ...", "Bride (Ann): ...", "Bride: Ann, mother Ida, ...". Of what stands before the kin the
// name and a colon are left, as in "Ann: mother Ida, ...".
func (r *finder) linesOfHalves() (one, said [2]string) {
	var at [2]int
	var left [2][]words.Token
	for i := range r.Lines {
		if r.Lines[i].Mark != 0 || r.Lines[i].Cells != nil {
			continue
		}
		ph := r.Heads(i)
		name, w, rest := r.halfTold(ph)
		if name == "" || rest+1 >= len(ph) || !kinBehind(ph, rest) {
			continue
		}
		h := halves[w.Sex]
		if one[h] != "" { // photographs
			return [2]string{}, [2]string{}
		}
		one[h], said[h], at[h] = name, strings.ToLower(w.Text), i
		left[h] = r.withColon(i, ph, name, rest)
	}
	if one[0] == "" || one[1] == "" || one[0] == one[1] {
		return [2]string{}, [2]string{}
	}
	for h, i := range at {
		r.Tokens[i] = left[h]
		delete(r.heads, i)
	}
	return one, said
}

// halfTold is the name of the half of which a line tells, and where the mark stands behind which it does.
func (r *finder) halfTold(ph []speech.Phrase) (name string, w words.Word, rest int) {
	if len(ph) < 4 {
		return "", words.Word{}, 0
	}
	w, first := ph[0].Word("half")
	switch {
	case !first:
		if name, rest = r.NameAt(ph, 0); rest+1 < len(ph) && ph[rest].Key == "," { // "Ann, bride: ..."
			w, first = ph[rest+1].Word("half")
			rest += 2
		} else if rest < len(ph) && len(ph[rest].Inside) > 0 {
			w, first = ph[rest].Inside[len(ph[rest].Inside)-1].Word("half")
			first = first && len(ph[rest].Inside) < 3
			rest++
		}
	case ph[0].Possessive:
		return "", words.Word{}, 0
	case ph[1].Open:
		name, rest = r.NameAt(ph[1].Inside, 0)
		first, rest = rest == len(ph[1].Inside), 2
	case ph[1].Key == ":" || ph[1].Key == "=" || ph[1].Key == "-":
		name, rest = r.NameAt(ph, 2)
		first = rest < len(ph) && !(ph[rest].Key == "-" && rest+2 < len(ph) && ph[rest+1].Has("kin") && (ph[rest+2].Key == "," || ph[rest+2].Key == ";")) // "Bride: Ida - mum; Karl - dad"
		if first && ph[rest].Key == "," && ph[1].Key != "-" {
			return name, w, rest
		}
	default:
		name, rest = r.NameAt(ph, 1)
	}
	if !first || rest >= len(ph) || ph[rest-1].Possessive || ph[rest].Key != ":" && !(ph[rest].Key == "-" && ph[rest].Gap) {
		return "", words.Word{}, 0
	}
	return name, w, rest
}

// withColon are the tokens of a name, a colon and what stands behind the phrase at rest.
func (r *finder) withColon(i int, ph []speech.Phrase, name string, rest int) []words.Token {
	var out []words.Token
	named := func(t words.Token) bool {
		return t.Start < ph[rest].Start && t.Kind == 'w' && slices.Contains(strings.Fields(name), t.Text)
	}
	for _, t := range r.Tokens[i] {
		switch {
		case t.Start == ph[rest].Start:
			t.Kind, t.Key = 'p', ":"
			out = append(out, t)
		case named(t) || t.Start > ph[rest].Start:
			out = append(out, t)
		}
	}
	return out
}

// pairAlone reports whether a line is two names and nothing else, above one that speaks of the day, or below it: whole names, or set
// off from what follows, or in a list that has words for the two: "Bea Cruz & Migs Uy", "FORMAL PHOTOS" over "Bea & Migs".
func (r *finder) pairAlone(ph []speech.Phrase, i int) bool {
	if !r.pairOnly(ph) {
		return false
	}
	a, b, _ := r.Pair(ph, 0)
	above := i - 1
	for above > 0 && (r.Lines[above].Blank || r.Lines[above].Ruler) {
		above--
	}
	off := strings.Contains(a, " ") && strings.Contains(b, " ") || i+1 == len(r.Lines) || r.Lines[i+1].Blank || r.says("half")
	return off && above >= 0 && r.About(r.Heads(above)) || i+1 < len(r.Lines) && r.About(r.Heads(i+1))
}

// pairOnly reports whether words are two names and nothing else.
func (r *finder) pairOnly(ph []speech.Phrase) bool {
	_, at := r.NameAt(ph, 0)
	if _, _, ok := r.Pair(ph, 0); !ok {
		return false
	}
	_, end := r.NameAt(ph, at+1)
	return end == len(ph)
}
