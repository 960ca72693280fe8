package speech

import (
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// TakeApart makes tokens of all lines and finds out what languages they are in.
func (r *Reader) TakeApart() {
	var all []words.Token
	r.Tokens = make([][]words.Token, len(r.Lines))
	small, large := 0, 0
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Blank || l.Ruler || !r.Effort.Spend(20*words.Weight(l.Text)) {
			continue
		}
		r.Tokens[i] = words.Elided(words.Tokenize(l.Text))
		all = append(all, r.Tokens[i]...)
		for _, w := range names.Words(l.By) {
			r.Seen[w] = true
		}
		switch l.Mark {
		case 'A':
			r.labels[l.Label] = i
			r.lowLetters = r.lowLetters || strings.HasPrefix(strings.TrimSpace(l.Raw), strings.ToLower(l.Label)) && len(l.Label) == 1
		case '#':
			n, _ := strconv.Atoi(l.Label)
			if r.Counted[n] = n > 0; n == 0 && l.Label != "" { // "G01", "8b"
				r.labels[strings.ToUpper(l.Label)] = i
			}
		}
		for _, t := range r.Tokens[i] {
			r.Seen[t.Key] = true
			r.Times[t.Key]++
			if t.Kind == 'w' && words.Cased(t.Text) && len(t.Text) > 1 { // "K + mum" is written without capitals
				if t.Capital {
					large++
				} else {
					small++
				}
			}
		}
	}
	r.Speak(words.Languages(all))
	best := 100
	for l, n := range r.Langs {
		if n < best {
			r.Main, best = l, n
		}
	}
	r.Lower = small > 12*large
	r.headcounts = r.countsHeads()
	for i := range r.Tokens {
		r.slips(r.Tokens[i])
		r.ownersWithoutMark(r.Tokens[i])
		r.marksBetween(r.Tokens[i])
		r.namedLikeKin(r.Tokens[i])
		r.namesAmong(r.Tokens[i])
		r.headsOf(r.Tokens[i])
	}
}

// slips takes words that nobody knows and that stand once for those of lists that they are one slip away from.
func (r *Reader) slips(ts []words.Token) {
	for k := range ts {
		t := &ts[k]
		if t.Kind != 'w' || !words.Cased(t.Text) || t.Capital && t.Start > 0 || r.Times[t.Key] > 1 || !r.Effort.Spend(20) {
			continue
		}
		if key := words.Slip(t.Key, r.Langs); key != "" {
			t.Key = key
		}
	}
}

// marksBetween keeps which words a mark stands between, and what stands first behind capitals such as FOB: "Ann, Bea", "FOB Tony".
func (r *Reader) marksBetween(ts []words.Token) {
	for k := 0; k+1 < len(ts); k++ {
		behind := &ts[k+1]
		if k+2 < len(ts) && (behind.Key == "," || behind.Key == "&" || behind.Key == "+" || behind.Key == "/" || behind.Kind == 'n') {
			r.parted[[2]string{ts[k].Key, ts[k+2].Key}] = true
		}
		if words.Capitals(ts[k].Text) && r.firstBehind[ts[k].Key] == "" && behind.Kind == 'w' && behind.Capital && len(words.Find(behind.Key)) == 0 {
			r.firstBehind[ts[k].Key] = behind.Key
		}
	}
}

// namedLikeKin finds given names that are words for a grandparent, too: behind other kin, or before the age of no grandparent they
// are names in all of the list: "his wife Poppy", "Mimi (6)".
func (r *Reader) namedLikeKin(ts []words.Token) {
	for k := range ts {
		t := &ts[k]
		if _, given := words.Given(t.Key); !given || !t.Capital || len(words.Find(t.Key)) == 0 || !slices.ContainsFunc(r.Lexical(*t), func(w words.Word) bool { return w.Class == "kin" && w.Arg == "grandparent" }) {
			continue
		}
		behind := k > 0 && ts[k-1].Kind == 'w' && slices.ContainsFunc(r.Lexical(ts[k-1]), func(w words.Word) bool {
			return w.Class == "kin" && !Elder(w.Arg) && w.Arg != "family" && w.Arg != "aunt"
		})
		age := k + 1
		if age < len(ts) && (ts[age].Key == "(" || ts[age].Key == ",") {
			age++
		}
		if behind || age < len(ts) && ts[age].Kind == 'n' && ts[age].Num > 0 && ts[age].Num < 30 {
			r.Known[t.Key] = true
		}
	}
}

// ownersWithoutMark finds names with the s that says whose the kin behind is, and no apostrophe, as German writes them and others
// in a hurry: "Rosas Eltern", "craigs mum", "craigs two sisters". The list has the name elsewhere, too.
func (r *Reader) ownersWithoutMark(ts []words.Token) {
	for k := range ts {
		t := &ts[k]
		base, ok := strings.CutSuffix(t.Key, "s")
		_, given := words.Given(base)
		if !ok || t.Kind != 'w' || t.Possessive || len(base) < 2 || !r.Seen[base] || !t.Capital && !r.Lower || len(words.Find(base)) > 0 && !given {
			continue
		}
		if k > 1 && k+1 < len(ts) && ts[k-1].Key == "(" && ts[k+1].Key == ")" { // "Familie Rossi (Leos)"
			t.Text, t.Key, t.Possessive = t.Text[:len(t.Text)-1], base, true
		}
		for next := k + 1; next < len(ts) && !t.Possessive; next++ {
			if _, ws := r.Longest(ts[next:]); next == k+1 && (words.Listed("are", ts[next].Key) || r.Is(ts, next, "num") && (next+1 == len(ts) || ts[next+1].Kind == 'p')) || slices.ContainsFunc(ws, func(w words.Word) bool {
				return w.Class == "kin" || w.Class == "role" || w.Class == "side" || w.Class == "group"
			}) {
				t.Text, t.Key, t.Possessive = t.Text[:len(t.Text)-1], base, true
				r.Times[base]++
				break
			}
			if ts[next].Kind != 'n' && !r.Is(ts, next, "num") && !r.Is(ts, next, "fill") {
				break
			}
		}
	}
}

// countsHeads reports whether most lines that join people end with a number in brackets, which is how many they are and nobody's age:
// "Couple + Ann, Bob (4)".
func (r *Reader) countsHeads() bool {
	n, all := 0, 0
	for i, ts := range r.Tokens {
		if r.Lines[i].Mark == 0 || !r.Effort.Spend(len(ts)) {
			continue
		}
		joined := slices.IndexFunc(ts, func(t words.Token) bool {
			return t.Key == "," || t.Key == "+" || t.Key == "&" || r.Is([]words.Token{t}, 0, "and") || r.Is([]words.Token{t}, 0, "with")
		})
		if joined < 0 {
			continue
		}
		all++
		for k := joined; k+2 < len(ts); k++ {
			if ts[k].Key == "(" && ts[k+1].Kind == 'n' && ts[k+1].Num > 1 && ts[k+2].Key == ")" && (k+3 == len(ts) || ts[k+3].Kind == 'p') {
				n++
				break
			}
		}
	}
	return n > 2 && 2*n >= all
}

// InBrackets marks a letter that stands for somebody whom a bracket names, who is no B of "bride".
const InBrackets = "in brackets"
