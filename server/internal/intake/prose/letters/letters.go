// Package letters finds what a list says that its letters mean: "H&H = us", "B = Ann", "M (her mum Rita)".
package letters

import (
	"regexp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// reader reads the letters of a list.
type reader struct{ *speech.Reader }

// Find finds what the letters of a list mean, which is taken apart.
func Find(r *speech.Reader) { (&reader{r}).find() }

// find reads what the list says that its letters mean: "H&H = us", "BP = Brautpaar".
func (r *reader) find() {
	for i := range r.Tokens {
		if l := &r.Lines[i]; l.Names {
			r.Aliases[names.Plain(l.Label)] = []words.Word{{Class: "letter", Arg: l.Label, Text: l.Label}}
		}
		r.keyedPeople(i)
		r.keyedBrackets(i)
		from := 0 // where a key begins: "short: BP = Brautpaar"; behind a mark, kin are people: "A = Ada, M = Mum Rita"
		for k, t := range r.Tokens[i] {
			if t.Key == "," || t.Key == ";" || t.Key == ":" {
				from = k + 1
			}
			if t.Key != "=" || k == from || k > from+4 || k+1 >= len(r.Tokens[i]) {
				continue
			}
			var key []string
			for _, b := range r.Tokens[i][from:k] {
				key = append(key, b.Key)
			}
			n, ws := r.Longest(r.Tokens[i][k+1:])
			if end := k + 1 + n; end < len(r.Tokens[i]) && r.Tokens[i][end].Kind != 'p' || end+1 < len(r.Tokens[i]) && r.Tokens[i][end].Key == "&" {
				continue // "GPs = Pop & Gigi": people
			}
			for _, w := range ws {
				if w.Class == "couple" || from == 0 && (w.Class == "half" || w.Class == "kin" || w.Class == "role") {
					r.Aliases[strings.Join(key, " ")] = []words.Word{w}
					r.Lines[i].Alias = true
					break
				}
			}
		}
	}
	for i := range r.Tokens {
		r.lettersOwn(r.Tokens[i])
	}
}

// numbered is a letter with a number that stands for somebody.
var numbered = regexp.MustCompile(`^[A-Z]{1,2}[1-9]\d?$`)

// keyedPeople reads who is meant by letters: "BOB = Hamish (11), GM = Granny Elspeth", "W1 Ann, W2 Bob".
func (r *reader) keyedPeople(i int) {
	ts := r.Tokens[i]
	for k := 1; k+1 < len(ts); k++ {
		key := ts[k-1]
		if numbered.MatchString(key.Text) && r.Times[key.Key] > 1 && ts[k].Kind == 'w' && ts[k].Capital && len(r.Lexical(ts[k])) == 0 && (k == 1 || ts[k-2].Key == ",") {
			r.Aliases[key.Key] = []words.Word{{Class: "stands", Arg: key.Text, Text: ts[k].Text}}
		}
		if named := k > 3 && ts[k-3].Key == "="; ts[k].Key != "=" || !words.Capitals(key.Text) || k > 1 && ts[k-2].Kind == 'w' && ts[k-2].Key != "and" && !named { // "B = Ann  G = Bob"
			continue
		}
		if slices.ContainsFunc(words.Find(key.Key), func(w words.Word) bool {
			return w.Class == "short" || w.Class == "couple" || w.Class == "role" && w.Arg != "groomsman"
		}) {
			continue // these say what they stand for
		}
		if k > 2 && slices.Contains([]string{"&", "+", "/"}, ts[k-2].Key) && len(ts[k-3].Text) == 1 {
			continue // "G&G = Ann + Ida": both
		}
		ph := r.Phrases(ts[k+1:])
		at := 0
		for at < len(ph) && !r.TitleName(&ph[at]) && (ph[at].Has("kin") || ph[at].Has("rank")) {
			at++
		}
		if name, _ := r.NameAt(ph, at); name != "" {
			r.Aliases[key.Key] = []words.Word{{Class: "stands", Arg: key.Text, Text: name}}
		}
	}
}

// keyedBrackets reads whom letters before a bracket mean, in a list that has them again: "M (her mum Rita)", "P + H (his sisters
// Pia, Hanna)".
func (r *reader) keyedBrackets(i int) {
	ts := r.Tokens[i]
	letter := func(k int) bool {
		return k >= 0 && len(ts[k].Text) == 1 && words.Capitals(ts[k].Text) && r.Times[ts[k].Key] > 1 && (k == 0 || ts[k-1].Kind != 'w')
	}
	for k := range ts {
		end := k + slices.IndexFunc(ts[k:], func(t words.Token) bool { return t.Key == ")" })
		if ts[k].Key != "(" || end < k || !letter(k-1) {
			continue
		}
		letters := ts[k-1 : k]
		if k > 2 && (ts[k-2].Key == "+" || ts[k-2].Key == "&") && letter(k-3) {
			letters = []words.Token{ts[k-3], ts[k-1]}
		}
		var named []string
		ph := r.Phrases(ts[k+1 : end])
		for at := 0; at < len(ph); at++ {
			if name, next := r.NameAt(ph, at); name != "" {
				named, at = append(named, name), next-1
			}
		}
		if len(named) != len(letters) {
			continue
		}
		for n, t := range letters {
			r.Aliases[t.Key] = []words.Word{{Class: "stands", Arg: t.Text, Text: named[n], Owner: speech.InBrackets}}
		}
		r.Lines[i].Names = true
	}
}

// lettersOwn writes the name for a letter that stands for somebody, where kin behind it is theirs: "js mum", without an apostrophe, and "J
// mum = Ida".
func (r *reader) lettersOwn(ts []words.Token) {
	for k := 0; k+1 < len(ts); k++ {
		t := &ts[k]
		letter, s := strings.CutSuffix(t.Key, "s")
		ws := r.Aliases[letter]
		if said := k == 0 && len(ts) > 2 && ts[2].Key == "="; len(letter) != 1 || len(ws) == 0 || ws[0].Class != "stands" || !s && !said {
			continue
		}
		if _, next := r.Longest(ts[k+1:]); speech.AnyHas([]speech.Phrase{{Words: next}}, "kin", "role", "side", "group") {
			t.Text, t.Key, t.Capital, t.Possessive = ws[0].Text, words.Key(ws[0].Text), true, true
		}
	}
}
