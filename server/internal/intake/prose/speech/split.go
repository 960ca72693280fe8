package speech

import (
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// Split takes apart what is written without spaces: Chinese, the Arabic "and" before a word.
func (r *Reader) Split(tokens []words.Token) []words.Token {
	var out []words.Token
	for _, t := range tokens {
		switch {
		case t.Kind == 'w' && words.IsHan(t.Text):
			out = append(out, r.SplitHan(t)...)
		case t.Kind == 'w' && strings.HasPrefix(t.Text, "و") && len(t.Text) > 4 && len(words.Find(t.Key)) == 0:
			r.Effort.Spend(100) // what it looks up, and takes apart
			rest := words.NewWord(t.Text, len("و"), len(t.Text))
			_, given := words.Given(rest.Key)
			_, whole := words.Given(t.Key)
			behind := len(out) > 0 && !whole && (out[len(out)-1].Key == ")" || len(out) > 1 && out[len(out)-2].Key == "و" || out[len(out)-1].Kind == 'w' && len(r.Lexical(out[len(out)-1])) == 0)
			article := strings.HasPrefix(rest.Text, "ال") && len([]rune(rest.Text)) > 4 // والأصحاب
			if len(words.Find(rest.Key)) == 0 && !r.Seen[rest.Key] && !given && !article && (!behind || words.Inside(t.Key)) {
				out = append(out, t)
				continue
			}
			rest.Start, rest.End = t.Start+len("و"), t.End
			out = append(out, words.Token{Text: "و", Key: "و", Start: t.Start, End: t.Start + len("و"), Kind: 'w', Gap: t.Gap}, rest)
		default:
			out = append(out, t)
		}
	}
	return out
}

// SplitHan takes the longest known words out of a run of Chinese; what lies between is one token.
func (r *Reader) SplitHan(t words.Token) []words.Token {
	var out []words.Token
	runes, keys := []rune(t.Text), []rune(names.Plain(t.Text))
	if len(keys) != len(runes) {
		keys = runes
	}
	r.Effort.Spend(30 * len(runes))
	at, from := t.Start, 0 // bytes; the start of what is not known
	take := func(from, to, at int) {
		text := string(runes[from:to])
		out = append(out, words.Token{Text: text, Key: string(keys[from:to]), Start: at, End: at + len(text), Kind: 'w', Gap: true})
	}
	flush := func(to int) {
		begin := at - len(string(runes[from:to]))
		for n := to - from - 2; n > 1; n-- { // a name that the list has, and words that are not known behind it
			if len(r.ByName[string(keys[from:from+n])]) > 0 && len(r.ByName[string(keys[from:to])]) == 0 {
				take(from, from+n, begin)
				begin += len(string(runes[from : from+n]))
				from += n
				break
			}
		}
		if from < to {
			take(from, to, begin)
		}
	}
	for i := 0; i < len(runes); {
		if half, w := r.surnamed(keys[i:]); half != "" && i == from {
			n := len([]rune(w.Text))
			if w.Arg == "parent" && !w.Plural {
				take(i, i+1+n, at) // who is called so
			} else {
				take(i, i+1, at)
				out[len(out)-1].Text, out[len(out)-1].Key, out[len(out)-1].Possessive = half, names.Plain(half), true
				take(i+1, i+1+n, at+len(string(runes[i])))
			}
			at += len(string(runes[i : i+1+n]))
			i, from = i+1+n, i+1+n
			continue
		}
		n := r.hanWord(keys[from:], i-from, out)
		if n == 0 {
			at += utf8.RuneLen(runes[i])
			i++
			continue
		}
		flush(i)
		take(i, i+n, at)
		at += len(string(runes[i : i+n]))
		i += n
		from = i
	}
	flush(len(runes))
	return out
}

// hanWord is how long the longest known word is that begins at i of what is not taken yet, behind some tokens, or 0.
func (r *Reader) hanWord(keys []rune, i int, before []words.Token) int {
	for k := min(words.LongestHan(), len(keys)-i); k > 0; k-- {
		key := string(keys[i : i+k])
		ws := words.Find(key)
		if len(ws) == 0 || !words.IsHan(key) {
			continue
		}
		alone := k > 1 || hanAlone(ws) || i == 0 && (whoseBefore(before) || kinBefore(before) && words.Listed("is", key))
		named := i > 0 && (ws[0].Class == "kin" || ws[0].Class == "role") && r.Seen[string(keys[:i+k])] && !r.Seen[string(keys[:i])]
		if alone && !named {
			return k
		}
	}
	return 0
}

// surnamed is whose parents or family words name by a last name, and the word for them: 林爸, 林家人, where one of the couple
// is 林浩然.
func (r *Reader) surnamed(keys []rune) (half string, kin words.Word) {
	for _, i := range r.Couple {
		if i < 0 {
			return "", kin
		}
		if name := []rune(names.Plain(r.Guests[i].Name)); len(name) > 1 && name[0] == keys[0] && words.IsHan(string(name)) {
			if half != "" {
				return "", kin // of both
			}
			half = r.Guests[i].Name
		}
	}
	for n := min(words.LongestHan(), len(keys)-1); n > 0 && half != ""; n-- {
		for _, w := range words.Find(string(keys[1 : 1+n])) {
			if w.Class == "kin" && (w.Arg == "parent" || w.Arg == "family") {
				return half, w
			}
		}
	}
	return "", kin
}

// hanAlone reports whether a single character may be taken out of a name: only what joins and says whose.
func hanAlone(ws []words.Word) bool {
	for _, w := range ws {
		switch w.Class {
		case "and", "with", "minus", "of", "my", "your", "her", "his":
			return true
		}
	}
	return false
}

// whoseBefore reports whether the token taken last says whose, so that a single character may be kin: 我姐.
func whoseBefore(tokens []words.Token) bool {
	if len(tokens) == 0 {
		return false
	}
	return slices.ContainsFunc(words.Find(tokens[len(tokens)-1].Key), func(w words.Word) bool {
		return w.Class == "my" || w.Class == "your" || w.Class == "her" || w.Class == "his"
	})
}

// kinBefore reports whether the token taken last is kin, so that a single character may say what they are called: 老公叫顾川.
func kinBefore(tokens []words.Token) bool {
	return len(tokens) > 0 && slices.ContainsFunc(words.Find(tokens[len(tokens)-1].Key), func(w words.Word) bool { return w.Class == "kin" })
}

// listNext reports whether several people are named one by one behind the current mark: "the whole family - Mum, Dad, Gran".
func (p *parser) listNext() bool {
	n := 0
	for k := p.i + 1; k < len(p.ph); k++ {
		if p.ph[k].Key == "," {
			n++
		}
	}
	return n > 1
}

// onLaps takes "on Gran's lap", "in Ann's arms" for "with Gran", "with Ann".
func onLaps(ph []Phrase) []Phrase {
	for k := 1; k < len(ph); k++ {
		if !words.Listed("laps", ph[k].Key) || !ph[k-1].Possessive {
			continue
		}
		ph = slices.Clone(ph)
		ph[k-1].Possessive = false
		ph[k].Words = []words.Word{{Class: "prep", Lang: "en", Text: ph[k].Text}}
		for b := k - 2; b >= max(0, k-4); b-- {
			if ph[b].Has("prep") && !ph[b].Capital {
				ph[b].Words = []words.Word{{Class: "with", Lang: "en", Text: "with"}}
			}
		}
	}
	return ph
}
