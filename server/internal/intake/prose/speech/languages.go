package speech

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"cmp"

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
	r.Speak(languages(all))
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
	}
	r.findAliases()
	for i := range r.Tokens {
		r.lettersOwn(r.Tokens[i])
	}
}

// lettersOwn writes the name for a letter that stands for somebody, where kin behind it is theirs: "js mum", without an apostrophe, and "J
// mum = Ida".
func (r *Reader) lettersOwn(ts []words.Token) {
	for k := 0; k+1 < len(ts); k++ {
		t := &ts[k]
		letter, s := strings.CutSuffix(t.Key, "s")
		ws := r.Aliases[letter]
		if said := k == 0 && len(ts) > 2 && ts[2].Key == "="; len(letter) != 1 || len(ws) == 0 || ws[0].Class != "stands" || !s && !said {
			continue
		}
		if _, next := r.Longest(ts[k+1:]); AnyHas([]Phrase{{Words: next}}, "kin", "role", "side", "group") {
			t.Text, t.Key, t.Capital, t.Possessive = ws[0].Text, words.Key(ws[0].Text), true, true
		}
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
		for next := k + 1; next < len(ts); next++ {
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

// findAliases reads what the list says that its letters mean: "H&H = us", "BP = Brautpaar".
func (r *Reader) findAliases() {
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
}

// numbered is a letter with a number that stands for somebody.
var numbered = regexp.MustCompile(`^[A-Z]{1,2}[1-9]\d?$`)

// keyedPeople reads who is meant by letters: "BOB = Hamish (11), GM = Granny Elspeth", "W1 Ann, W2 Bob".
func (r *Reader) keyedPeople(i int) {
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

// keyedBrackets reads whom letters before a bracket mean, in a list that has them again: "M (her mum Rita)", "P + H (his sisters
// Pia, Hanna)".
func (r *Reader) keyedBrackets(i int) {
	ts := r.Tokens[i]
	letter := func(k int) bool {
		return k >= 0 && len(ts[k].Text) == 1 && words.Capitals(ts[k].Text) && r.Times[ts[k].Key] > 1 && (k == 0 || ts[k-1].Kind != 'w')
	}
	ends := closings(ts)
	for k := range ts {
		end := ends[k]
		if end == 0 || !letter(k-1) {
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
			r.Aliases[t.Key] = []words.Word{{Class: "stands", Arg: t.Text, Text: named[n], Owner: InBrackets}}
		}
		r.Lines[i].Names = true
	}
}

// languages ranks the languages that a list shows by how many of its words are theirs alone.
func languages(tokens []words.Token) map[string]int {
	score := make(map[string]float64)
	total := 0.0
	for _, t := range tokens {
		if t.Kind != 'w' {
			continue
		}
		if t.Capital && len(t.Text) < 4 && words.Cased(t.Text) {
			continue
		}
		seen := make(map[string]bool)
		for _, w := range words.Find(t.Key) {
			seen[w.Lang] = true
		}
		for l := range seen {
			score[l] += 1 / float64(len(seen))
		}
		if len(seen) > 0 {
			total++
		}
	}
	ranked := make([]string, 0, len(score))
	for l := range score {
		ranked = append(ranked, l)
	}
	slices.SortFunc(ranked, func(a, b string) int { return cmp.Or(cmp.Compare(score[b], score[a]), cmp.Compare(a, b)) })
	rank := map[string]int{"en": 50, "other": 60, "ar": 70, "zh": 71}
	for i, l := range ranked {
		if l != "other" && (score[l] >= 0.12*total && score[l] >= 0.2*score[ranked[0]] || i == 0) {
			rank[l] = i + 1
		}
	}
	return rank
}
