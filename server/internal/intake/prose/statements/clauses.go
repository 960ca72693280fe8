package statements

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/plain"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// piece is a part of running text: it asks for a photograph, or tells something between two that do.
type piece struct {
	tokens []words.Token
	opens  byte // 'w' behind "one with", 'o' behind "a photo of", else 0
	not    bool // what it asks for is not wanted: "don't worry about a picture of ..."
}

// running reports whether a line is running text.
func (r *Reader) running(i int) bool {
	ts, l := r.Tokens[i], &r.Lines[i]
	if l.Mark != 0 || l.Names || l.Ask != 0 || l.Answer != 0 || len(ts) == 0 {
		return false
	}
	if r.long(i) || len(ts) >= speech.ShortLine && r.flows {
		return true
	}
	for k := 2; k+2 < len(ts) && r.Effort.Spend(1); k++ {
		if n, _ := r.opener(ts, k+1); r.ends(ts, k) && (r.Is(ts, k+1, "next") || n > 0) { // "Ann with her mum. Then Bob with his.", "One with Ann"
			return true
		}
	}
	return false
}

// long reports whether a line has more words than a line of a list.
func (r *Reader) long(i int) bool {
	ts := r.Tokens[i]
	return len(ts) >= speech.LongLine || len(ts) > 0 && words.IsHan(ts[0].Text) && len([]rune(r.Lines[i].Text)) > 3*speech.LongLine
}

// flowing reports whether the list is a letter, which begins with a greeting, or has a line of running text.
func (r *Reader) flowing() bool {
	first := slices.IndexFunc(r.Tokens, func(ts []words.Token) bool { return len(ts) > 0 })
	if first >= 0 && r.Lines[first].Mark == 0 && r.Lines[first].By == "" && len(r.Tokens[first]) < 9 {
		if ph := r.Heads(first); len(ph) > 0 && ph[0].Has("greet") && !r.NameLike(&ph[0]) {
			return true
		}
	}
	for i := range r.Lines { // The rows of a table have numbers of their own.
		if r.Lines[i].Mark == 0 && r.long(i) {
			return true
		}
	}
	return false
}

// clauses divides a line of running text where one wish ends and the next begins: at points, at commas and "and" before
// "then", and before "one with" and "a photo of".
func (r *Reader) clauses(i int) []piece {
	if !r.running(i) {
		return nil
	}
	ts := plain.Colons(r.Speech(), r.Tokens[i])
	han := words.IsHan(ts[0].Text)
	if han {
		ts = r.Split(ts)
	}
	var out []piece
	from, opens, depth, not := 0, byte(0), 0, false
	cut := func(k, next int, o byte) {
		if slices.ContainsFunc(ts[from:k], func(t words.Token) bool { return t.Kind == 'w' }) {
			p := ts[from:k]
			if opens == 0 {
				p, opens = r.onlyWith(p)
			}
			out = append(out, piece{plain.Begun(r.Speech(), p, opens), opens, not})
			not = o != 0 && opens == 0 && r.unwanted(p)
		} else {
			not = false
		}
		from, opens = next, o
	}
	for k := 0; k < len(ts); k++ {
		switch key := ts[k].Key; {
		case key == "(":
			depth++
		case key == ")":
			depth = max(0, depth-1)
		case depth > 0:
		case key == "," && k < 5 && from == 0 && r.Is(ts, 0, "greet") && k+1 < len(ts) && !r.NameLike(&speech.Phrase{Token: ts[0]}): // "Dear Jo, we ..."
			cut(k+1, k+1, 0)
		case r.ends(ts, k), han && key == "," && ts[k].Text != "、", key == ":" && !plain.Are(ts[k]) && r.introduces(ts, k):
			cut(k+1, k+1, 0)
		case (key == "," || key == "-" && ts[k].Gap) && r.begins(ts, k+1), r.Is(ts, k, "and") && r.begins(ts, k):
			cut(k, k+1, 0)
		default:
			if n, o := r.opener(ts, k); n > 0 {
				cut(k, k+n, o)
				k += n - 1
			}
		}
	}
	cut(len(ts), len(ts), 0)
	return out
}

// unwanted reports whether words before those that ask for a photograph say that none is wanted.
func (r *Reader) unwanted(ts []words.Token) bool {
	end := max(0, len(ts)-5)
	return slices.ContainsFunc(ts[end:], func(t words.Token) bool { return words.Listed("unwanted", t.Key) })
}

// onlyWith takes a piece that says no more than who else is in it for one behind "one with": "then only with my parents".
func (r *Reader) onlyWith(ts []words.Token) ([]words.Token, byte) {
	for k := range ts {
		switch {
		case r.Is(ts, k, "with") && k > 0:
			return ts[k:], 'w'
		case !r.Is(ts, k, "next") && !r.Is(ts, k, "alone") && !r.Is(ts, k, "fill") && !r.Is(ts, k, "and") || r.Is(ts, k, "all"):
			return ts, 0
		}
	}
	return ts, 0
}

// ends reports whether a sentence ends at a mark, and no short form such as "Dr.".
func (r *Reader) ends(ts []words.Token, k int) bool {
	switch {
	case ts[k].Text == "。", ts[k].Key == "!", ts[k].Key == "?", ts[k].Key == ";", ts[k].Key == "." && k+1 == len(ts):
		return true
	case ts[k].Key != "." || ts[k+1].Kind != 'w' || words.Cased(ts[k+1].Text) && !(ts[k+1].Capital && ts[k+1].Gap):
		return false
	}
	if k == 0 {
		return true
	}
	if ts[k-1].Kind == 'n' && r.Is(ts, k+1, "month") {
		return false // "Ann & Bob, 4. Juli"
	}
	short := len([]rune(ts[k-1].Text)) < 5 && r.Is(ts, k-1, "rank") && !r.Is(ts, k-1, "kin") // "Atty. Felix"
	return ts[k-1].Kind == 'p' || len([]rune(ts[k-1].Text)) > 2 && !short || len(r.Lexical(ts[k+1])) > 0
}

// introduces reports whether a colon stands behind words that people do not follow as their names: "Here is what we
// want:", "she uses a wheelchair: one of her", and not "the bridesmaids: Ann, Bea", "Ann and Bob: Cleo".
func (r *Reader) introduces(ts []words.Token, k int) bool {
	if k < 3 {
		return false
	}
	names := k+1 < len(ts) && ts[k+1].Capital && len(r.Lexical(ts[k+1])) == 0
	for n := range k {
		if names && (r.Is(ts, n, "role") || r.Is(ts, n, "group")) { // "Ann with maids before the cars come: Bea, Cleo"
			return false
		}
	}
	if _, given := words.Given(ts[k-1].Key); ts[k-1].Capital && (given || r.Main != "de" && len(r.Lexical(ts[k-1])) == 0) {
		return false
	}
	return !r.Is(ts, k-1, "kin") && !r.Is(ts, k-1, "role") && !r.Is(ts, k-1, "group") && ts[k-1].Key != ")"
}

// begins reports whether another wish begins: "then ...", "and afterwards ...".
func (r *Reader) begins(ts []words.Token, k int) bool {
	if r.Is(ts, k, "and") {
		k++
	}
	if k > 0 && k+2 < len(ts) && r.Is(ts, k-1, "and") && ts[k].Key == "the" && ts[k+1].Key == "same" && r.Is(ts, k+2, "with") {
		return true
	}
	if k < len(ts) && words.IsHan(ts[k].Text) {
		return r.Is(r.SplitHan(ts[k])[:1], 0, "next")
	}
	return r.Is(ts, k, "next")
}

// endsWords reports whether the last token belongs to words of several that are known: "if there's any time left over".
func (r *Reader) endsWords(ts []words.Token) bool {
	for n := 2; n <= min(len(ts), words.MostTokens); n++ {
		if k, ws := r.Longest(ts[len(ts)-n:]); k == n && len(ws) > 0 {
			return true
		}
	}
	return false
}

// opener is how many words ask for a photograph before those that say of whom: "one with", "a big photo of"; 'w' where
// they say who else is in it, and 'o' where they say who is.
func (r *Reader) opener(ts []words.Token, k int) (int, byte) {
	if !r.Is(ts, k, "wish") || ts[k].Possessive || r.Is(ts, k-1, "prep") && !r.Is(ts, k-1, "next") && !r.endsWords(ts[:k]) {
		return 0, 0
	}
	for n := 1; n < 6 && k+n < len(ts); n++ {
		switch {
		case r.Is(ts, k+n, "with"):
			return n, 'w'
		case r.Is(ts, k+n, "of") && r.Is(ts, k+n+2, "with") && slices.ContainsFunc(r.Lexical(ts[k+n+1]), func(w words.Word) bool { return w.Class == "group" || w.Arg == "family" }): // "une photo de groupe avec"
			return n + 2, 'w'
		case r.Is(ts, k+n, "of"), r.Is(ts, k+n, "all"), r.Is(ts, k+n, "self") && !r.Is(ts, k+n, "remark"), r.Is(ts, k+n, "pron"):
			return n, 'o'
		case !words.Cased(ts[k+n].Text) && ts[k+n].Kind == 'w' && len(r.Lexical(ts[k+n])) == 0: // a name
			return n, 'o'
		case ts[k+n].Kind != 'w', ts[k+n].Capital, !r.Is(ts, k+n, "wish") && !r.Is(ts, k+n, "fill") && !r.Is(ts, k+n, "alone") && !r.Is(ts, k+n, "rank") && len(r.Lexical(ts[k+n])) > 0:
			return 0, 0
		}
	}
	return 0, 0
}
