// Package plain writes what lines say the usual way, word by word, before they are parsed: who is who in forms that few use, a verb for a
// colon, capitals that say nothing, a line that says "just" of each of its photographs.
package plain

import (
	"slices"
	"strings"
	"unicode"

	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// reader reads the words of a line.
type reader struct{ *speech.Reader }

// Told writes what a line says of who is who the usual way: "Ida: Ann's mum" with a dash, "Mum (bride): Ida" as "Mum of bride: Ida",
// "Ann: Ida - mum, Karl - dad" with what each is in a bracket, and all of it without a bracket around the line.
func Told(s *speech.Reader, ts []words.Token) []words.Token {
	r := &reader{s}
	if len(ts) < 4 || len(ts) > 100 {
		return ts
	}
	if last := len(ts) - 1; ts[0].Key == "(" && ts[last].Key == ")" && slices.IndexFunc(ts, func(t words.Token) bool { return t.Key == ")" }) == last && r.kinDashed(ts[1:last]) > 1 {
		ts = ts[1:last]
	}
	ts = r.severalFirst(ts)
	if ts = r.withoutInner(significant(r.surnamed(ts))); r.kinDashed(ts) > 1 {
		return r.bracketed(ts)
	}
	for k := 1; k+1 < len(ts); k++ {
		switch {
		case ts[k].Key == ":":
			if r.nameOnly(ts[:k]) && r.kinOwned(ts[k+1:]) {
				ts = slices.Clone(ts)
				ts[k].Key, ts[k].Gap = "-", true
			}
			return ts
		case ts[k].Key == "(" && r.halfInside(ts, k):
			if end := r.kinSpan(ts, 0); end == k {
				return slices.Concat(ts[:k], []words.Token{{Text: "of", Key: "of", Start: ts[k].Start, End: ts[k].End, Kind: 'w', Gap: true}, ts[k+1]}, ts[k+3:])
			}
		}
	}
	return ts
}

// surnamed takes a dash for a colon behind a family by its name, at a day without a couple: "The Linds - Ida, Karl, Max 7".
func (r *reader) surnamed(ts []words.Token) []words.Token {
	at := slices.IndexFunc(ts, func(t words.Token) bool { return t.Key == "-" && t.Gap })
	if at < 1 || at > 2 || at+3 > len(ts) || r.Couple[0] >= 0 || at == 2 && !r.Is(ts, 0, "fill") {
		return ts
	}
	name := ts[at-1]
	_, given := words.Given(name.Key)
	if given || !name.Capital || name.Possessive || len(r.Lexical(name)) > 0 || !strings.HasSuffix(name.Key, "s") || r.Times[name.Key] > 1 || !r.nameOnly(ts[at+1:at+2]) || !slices.ContainsFunc(ts[at:], func(t words.Token) bool { return t.Key == "," }) {
		return ts
	}
	ts = slices.Clone(ts)
	ts[at].Key = ":"
	return ts
}

// significant takes SO in capitals for a partner: "brother Max (SO is Nell)", but not "SO excited".
func significant(ts []words.Token) []words.Token {
	for k := 0; k+1 < len(ts); k++ {
		if next := ts[k+1]; ts[k].Text == "SO" && (next.Kind == 'p' || next.Capital && !words.Capitals(next.Text) || words.Listed("is", next.Key)) {
			ts = slices.Clone(ts)
			ts[k].Key, ts[k].Capital = "partner", false
		}
	}
	return ts
}

// withoutInner takes the marks and verbs out that stand between kin and its name behind words for whose they are: "Ann: Mum = Ida, Dad is Karl".
func (r *reader) withoutInner(ts []words.Token) []words.Token {
	mark := func(t words.Token) bool { return t.Key == ":" || t.Key == "=" || t.Key == "-" && t.Gap }
	first := slices.IndexFunc(ts, mark)
	if first < 1 || first > 5 || r.kinSpan(ts, first+1) == first+1 || r.kinSpan(ts, first-1) == first {
		return ts
	}
	out, from := slices.Clone(ts[:first+1]), first+1
	for k := first + 1; k < len(ts); k++ {
		end := r.kinSpan(ts, k)
		if end > k && end+1 < len(ts) && (mark(ts[end]) || words.Listed("copula", ts[end].Key)) && ts[end+1].Kind == 'w' && (ts[end+1].Capital || !words.Cased(ts[end+1].Text)) {
			out = append(out, ts[from:end]...)
			if from = end + 1; r.kinSpan(ts, from) > from { // "Grandma = Nonna"
				dash := ts[end]
				dash.Kind, dash.Key, dash.Gap = 'p', "-", true
				out = append(out, dash)
			}
		}
		k = max(k, end-1)
	}
	return append(out, ts[from:]...)
}

// severalFirst puts brackets with kin before the names that they follow, in a line where one is for several: "Ida & Karl (parents), Max
// (brother)".
func (r *reader) severalFirst(ts []words.Token) []words.Token {
	told := func(ts []words.Token, k, names int) int { // where such a bracket ends
		if k < names || ts[k].Key != "(" {
			return 0
		}
		end := r.kinSpan(ts, k+1)
		if end == k+1 || end >= len(ts) || ts[end].Key != ")" || !r.nameOnly(ts[k-names:k]) || k > names && ts[k-names-1].Kind == 'w' {
			return 0
		}
		return end
	}
	several := func(k int) bool {
		if told(ts, k, 3) == 0 {
			return false
		}
		_, ws := r.Longest(ts[k+1:])
		return slices.ContainsFunc(ws, func(w words.Word) bool { return w.Plural })
	}
	if !slices.ContainsFunc(ts, func(t words.Token) bool { return t.Key == "(" }) {
		return ts
	}
	found := false
	for k := range ts {
		found = found || several(k)
	}
	for k := 1; found && k < len(ts); k++ {
		n := 1
		if told(ts, k, 3) > 0 {
			n = 3
		}
		if end := told(ts, k, n); end > 0 {
			ts = slices.Concat(ts[:k-n], ts[k+1:end], ts[k-n:k], ts[end+1:])
		}
	}
	return ts
}

// Apart divides a line that tells the kin of one of the couple and then of the other: "Ann - mum Ida, dad Karl; Bo - mum Eva".
func Apart(s *speech.Reader, ts []words.Token) [][]words.Token {
	r := &reader{s}
	from := 0
	var out [][]words.Token
	for k := 1; k+2 < len(ts) && len(ts) < 200; k++ {
		if mark := ts[k].Key == ";" || ts[k].Key == "/" || ts[k].Key == "|"; mark && r.tellsHalf(ts[from:k]) && r.ownerFirst(ts[k+1:]) {
			out, from = append(out, ts[from:k]), k+1
		}
	}
	if len(out) == 0 || !r.tellsHalf(ts[from:]) {
		return [][]words.Token{ts}
	}
	return append(out, ts[from:])
}

// ownerFirst reports whether words begin with one of the couple.
func (r *reader) ownerFirst(ts []words.Token) bool {
	return r.Is(ts, 0, "half") || r.HalfNamed(ts[0].Text) > 0 || len(ts) > 1 && r.Is(ts, 0, "fill") && r.Is(ts, 1, "half")
}

// tellsHalf reports whether words begin with one of the couple and name kin, and join nobody to that one.
func (r *reader) tellsHalf(ts []words.Token) bool {
	if len(ts) < 4 || !r.ownerFirst(ts) || r.Is(ts, 1, "with") || ts[1].Key == "+" || ts[1].Key == "&" || r.Is(ts, 1, "and") {
		return false
	}
	kin := false
	for k := 1; k < len(ts); k++ {
		if kin = kin || r.kinSpan(ts, k) > k; kin && ts[k].Capital && r.nameOnly(ts[k:k+1]) {
			return true
		}
	}
	return false
}

// halfInside reports whether a bracket names one of the couple, and nothing else, before a colon, a dash or a name.
func (r *reader) halfInside(ts []words.Token, k int) bool {
	if k+3 >= len(ts) || ts[k+2].Key != ")" {
		return false
	}
	behind := ts[k+3]
	return (r.Is(ts, k+1, "half") || r.HalfNamed(ts[k+1].Text) > 0) && (behind.Key == ":" || behind.Key == "-" || behind.Key == "=" || behind.Kind == 'w' && behind.Capital)
}

// kinSpan is where words for one kin end that begin at k, or k.
func (r *reader) kinSpan(ts []words.Token, k int) int {
	if k >= len(ts) {
		return k
	}
	if n, ws := r.Longest(ts[k:]); slices.ContainsFunc(ws, func(w words.Word) bool { return w.Class == "kin" && w.Arg != "family" }) {
		return k + n
	}
	return k
}

// nameOnly reports whether tokens are the names of one or two: "Ida", "Ida & Karl".
func (r *reader) nameOnly(ts []words.Token) bool {
	if len(ts) > 5 {
		return false
	}
	for k, t := range ts {
		if and := k > 0 && k+1 < len(ts) && (t.Key == "&" || r.Is(ts, k, "and")); and {
			continue
		}
		if !t.Capital || t.Possessive || !r.NameLike(&speech.Phrase{Token: t, Words: r.Lexical(t)}) || r.HalfNamed(t.Text) > 0 {
			return false
		}
	}
	return true
}

// kinOwned reports whether tokens are one word of kin and whose that is: "Ann's mum", "mother of the bride".
func (r *reader) kinOwned(ts []words.Token) bool {
	owner := func(k int) bool { return r.Is(ts, k, "half") || r.HalfNamed(ts[k].Text) > 0 }
	at := 0
	for at < len(ts) && r.Is(ts, at, "fill") && r.kinSpan(ts, at) == at {
		at++
	}
	if at+1 < len(ts) && owner(at) && ts[at].Possessive {
		return r.kinSpan(ts, at+1) == len(ts)
	}
	end := r.kinSpan(ts, at)
	return end > at && end < len(ts) && r.Is(ts, end, "of") && owner(len(ts)-1) && len(ts)-end < 4
}

// kinDashed is of how many people a line says behind a dash or an equals sign what kin they are: "Ida - mum; Karl - dad".
func (r *reader) kinDashed(ts []words.Token) int {
	n := 0
	for k := 1; k+1 < len(ts); k++ {
		if r.dashAt(ts, k) {
			n++
		}
	}
	return n
}

// dashAt reports whether a name stands before a dash or an equals sign, and behind it no more than a word of kin.
func (r *reader) dashAt(ts []words.Token, k int) bool {
	if ts[k].Key != "=" && !(ts[k].Key == "-" && ts[k].Gap) || !r.nameOnly(ts[k-1:k]) || k > 1 && ts[k-2].Kind == 'w' && r.kinSpan(ts, k-2) == k-1 {
		return false
	}
	end := r.kinSpan(ts, k+1)
	return end > k+1 && (end == len(ts) || ts[end].Key == "," || ts[end].Key == ";" || ts[end].Key == "." || ts[end].Key == "/")
}

// bracketed puts what kin somebody is into a bracket.
func (r *reader) bracketed(ts []words.Token) []words.Token {
	var out []words.Token
	for k := 0; k < len(ts); k++ {
		if k == 0 || k+1 >= len(ts) || !r.dashAt(ts, k) {
			out = append(out, ts[k])
			continue
		}
		end := r.kinSpan(ts, k+1)
		open, last := ts[k], ts[end-1]
		open.Key, open.Kind = "(", 'p'
		out = append(append(out, open), ts[k+1:end]...)
		out = append(out, words.Token{Text: ")", Key: ")", Start: last.End, End: last.End, Kind: 'p'})
		if k = end - 1; end < len(ts) && ts[end].Key == ";" {
			comma := ts[end]
			comma.Key = ","
			out, k = append(out, comma), end
		}
	}
	return out
}

// Colons takes "are" behind words for a role, with a name after it, for a colon: "Bridesmaids are Ann and Bea, best man is Joe". It
// says nothing in "her bridesmaids, who are Ann and Bea".
func Colons(s *speech.Reader, ts []words.Token) []words.Token {
	r := &reader{s}
	for k := 1; k+1 < len(ts); k++ {
		next, from := speech.Phrase{Token: ts[k+1], Words: r.Lexical(ts[k+1])}, k
		if words.Listed("hence", ts[k].Key) && k > 1 && ts[k-1].Key == "," && (r.Is(ts, k-2, "side") || r.Is(ts, k-2, "group")) && (r.kinSpan(ts, k+1) > k+1 || r.NameLike(&next)) {
			ts = slices.Concat(ts[:k-1], []words.Token{{Text: ":", Key: ":", Start: ts[k].Start, End: ts[k].End, Kind: 'p'}}, ts[k+1:])
			continue // "all my side, so mum, Ann and Bo"
		}
		if !words.Listed("copula", ts[k].Key) || !r.Is(ts, k+1, "self") && !r.NameLike(&next) {
			continue
		}
		if words.Listed("pronoun", ts[k-1].Key) && k > 1 && ts[k-2].Key == "," {
			ts = slices.Concat(ts[:k-1], ts[k+1:])
			continue
		}
		for key, n := "", k-1; n >= 0 && n > k-4; n-- {
			if key = strings.TrimSpace(ts[n].Key + " " + key); slices.ContainsFunc(words.Find(key), func(w words.Word) bool { return w.Class == "role" }) {
				from = n
			}
		}
		if from == k {
			continue
		}
		ts = slices.Clone(ts)
		if ts[k].Kind, ts[k].Key = 'p', ":"; from > 1 && ts[from-1].Key == "," {
			ts[from-1].Key = ";"
		}
	}
	return ts
}

// Are reports whether a colon is the word that it was taken for.
func Are(t words.Token) bool { return t.Key == ":" && unicode.IsLetter([]rune(t.Text)[0]) }

// Begun takes the capital off words that have one only because a sentence begins with them, or as nouns in German: those
// that are nobody's name as far as the list tells.
func Begun(s *speech.Reader, ts []words.Token, opens byte) []words.Token {
	r := &reader{s}
	for k, t := range ts {
		if t.Kind != 'w' || !t.Capital || t.Possessive || r.Times[t.Key] > 1 || len(r.Lexical(t)) > 0 || k+1 == len(ts) || ts[k+1].Capital {
			continue
		}
		if _, given := words.Given(t.Key); given {
			continue
		}
		first := k == 0 && opens == 0 && ts[1].Kind == 'w' && !r.Is(ts, 1, "and") && !r.Is(ts, 1, "with")
		noun := k > 0 && r.Main == "de" && (r.Is(ts, k-1, "fill") || r.Is(ts, k-1, "our") || r.Is(ts, k-1, "prep")) && !r.Is(ts, k-1, "and")
		if first || noun {
			ts = slices.Clone(ts)
			ts[k].Capital = false
		}
	}
	return ts
}

// boysAndGirls reports whether words are for the boys and the girls of one kind of kin: "boy cousins", "girl cousins".
func (r *reader) boysAndGirls(a, b []words.Token) bool {
	is := func(ts []words.Token, sex byte) bool {
		_, ws := r.Longest(ts)
		return slices.ContainsFunc(ws, func(w words.Word) bool {
			return w.Plural && w.Sex == sex && (w.Arg == "cousin" || w.Arg == "grandchild")
		})
	}
	return is(a, 'm') && is(b, 'w') || is(a, 'w') && is(b, 'm')
}

// EachAlone divides a line that says "just" of one photograph and again of the next: "just Ann with Mum, and just Ann with Dad", "Boy
// cousins / girl cousins".
func EachAlone(s *speech.Reader, ts []words.Token) [][]words.Token {
	r := &reader{s}
	if at := r.kinSpan(ts, 0); at > 0 && at+1 < len(ts) && ts[at].Key == "/" && r.kinSpan(ts, at+1) == len(ts) && r.boysAndGirls(ts[:at], ts[at+1:]) {
		return [][]words.Token{ts[:at], ts[at+1:]}
	}
	if len(ts) > 0 && r.Is(ts, 0, "alone") && ts[0].Key != "(" {
		for k := 2; k+2 < len(ts); k++ {
			if next := &ts[k+1]; next.Key == ts[0].Key && (ts[k].Key == "," || r.Is(ts, k, "and")) {
				end := k
				if ts[k-1].Key == "," {
					end--
				}
				return append([][]words.Token{ts[:end]}, EachAlone(s, ts[k+1:])...)
			}
		}
	}
	return [][]words.Token{ts}
}
