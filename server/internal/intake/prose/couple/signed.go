package couple

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// initialledCouple reads the names of the two whose initials begin most lines: "R & C with Ann", "R C mum", and somewhere "Rosie and
// Callum". Whoever signs is somebody else then.
func (r *finder) initialledCouple() bool {
	count := make(map[[2]string]int)
	var best [2]string
	letter := func(p speech.Phrase) bool { return p.Kind == 'w' && p.Capital && len([]rune(p.Text)) == 1 }
	for i := range r.Lines {
		ph := r.Heads(i)
		if len(ph) < 3 {
			continue
		}
		other := 1
		if joinsTwo(&ph[1]) {
			other = 2
		}
		if !letter(ph[0]) || !letter(ph[other]) || ph[0].Key == ph[other].Key {
			continue
		}
		pair := [2]string{names.Plain(ph[0].Text), names.Plain(ph[other].Text)}
		if count[pair]++; count[pair] > count[best] {
			best = pair
		}
	}
	if a, b := r.keyed(best[0]), r.keyed(best[1]); a != "" && b != "" { // "A = Ann, T = Tom", and "A + T with ..."
		r.setCouple(a, b, 0)
		return true
	}
	if count[best] < 3 {
		return false
	}
	for i := range r.Lines {
		ph := r.Heads(i)
		for k := range ph {
			a, b, ok := r.Pair(ph, k)
			if ok && len([]rune(a)) > 1 && len([]rune(b)) > 1 && strings.HasPrefix(names.Plain(a), best[0]) && strings.HasPrefix(names.Plain(b), best[1]) {
				r.setCouple(a, b, 0)
				return true
			}
		}
	}
	return false
}

// keyed is whom a letter stands for in a list that explains two of them.
func (r *finder) keyed(letter string) string {
	said := 0
	for key, ws := range r.Aliases {
		if len(key) == 1 && ws[0].Class == "stands" && ws[0].Owner != speech.InBrackets {
			said++
		}
	}
	if ws := r.Aliases[letter]; said == 2 && len(ws) > 0 && ws[0].Class == "stands" {
		return ws[0].Text
	}
	return ""
}

func joinsTwo(p *speech.Phrase) bool { return p.Key == "&" || p.Key == "+" || p.Has("and") }

// signedCouple reads the names at the end of a letter.
func (r *finder) signedCouple() bool {
	if r.byAnother() || r.presents() != "" {
		return r.thePair()
	}
	if r.signedByOne() {
		return true
	}
	left := 3
	for i := len(r.Lines) - 1; i >= 0 && left > 0; i-- {
		if r.Lines[i].Blank || r.Lines[i].Mark != 0 {
			continue
		}
		left--
		if r.withBracket(r.Heads(i)) {
			r.Signed, r.Author = i, 1
			return true
		}
		ph := speech.Flat(r.Heads(i)) // "Megan (and Theo!)"
		if len(ph) > 8 {
			continue
		}
		for k := range ph {
			if a, b, ok := r.Pair(ph, k); ok && endsWith(ph[k:], a, b) && (k == 0 || !r.TitleName(&ph[k-1])) && !r.List(ph) && left < 3 && (r.says("us") || r.says("my") || ph[0].Has("greet") && !r.TitleName(&ph[0])) {
				r.setCouple(a, b, 0)
				r.Signed = i
				if slices.ContainsFunc(r.Heads(i), func(p speech.Phrase) bool { return p.Open }) || r.meWith(b) { // "Megan (and Theo)"
					r.Author = 1
				}
				return true
			}
		}
	}
	return false
}

// withBracket reads "Maëlle (et Florian qui relit)".
func (r *finder) withBracket(ph []speech.Phrase) bool {
	a, end := r.NameAt(ph, 0)
	if a == "" || end != len(ph)-1 || !ph[end].Open || len(ph[end].Inside) < 4 || !joinsTwo(&ph[end].Inside[0]) {
		return false
	}
	b, _ := r.NameAt(ph[end].Inside, 1)
	if b == "" {
		return false
	}
	r.setCouple(a, b, 0)
	return true
}

// endsWith reports whether hardly anything stands behind a pair of names, as at the end of a letter, and nothing is said
// of the two.
func endsWith(ph []speech.Phrase, a, b string) bool {
	n := 1 // what joins them
	for _, name := range []string{a, b} {
		n += len(strings.Fields(name))
	}
	rest := ph[min(n, len(ph)):]
	return len(rest) < 4 && !speech.AnyHas(rest, "apart", "verb", "absent", "need")
}

// signedByOne reads a letter of one of the couple: the name at its end, and whose kin it names most.
func (r *finder) signedByOne() bool {
	if !r.says("us") && !r.says("my") && !r.says("self") {
		return false
	}
	for i := len(r.Lines) - 1; i >= 0; i-- {
		if r.Lines[i].Blank {
			continue
		}
		ph := r.Heads(i)
		if len(ph) > 0 && ph[0].Has("note") && !r.TitleName(&ph[0]) {
			continue // "PS ..."
		}
		for len(ph) > 1 && (ph[0].Has("greet") || len(ph) < 5 && ph[0].Kind == 'w' && !r.TitleName(&ph[0]) || ph[0].Key == "," || ph[0].Key == "!") {
			ph = ph[1:] // "Beijinhos, Beatriz"
		}
		if k := lastComma(ph); k > 0 && k < len(ph)-1 && len(ph) < 9 && r.Heads(i)[0].Has("greet") {
			ph = ph[k+1:] // "Thanks a million, Kelly"
		}
		name, end := r.NameAt(ph, 0)
		if name == "" || r.Lines[i].Mark != 0 || end < len(ph) && len(ph) > end+1 {
			return false
		}
		best := r.partnerNamed(name)
		if best == "" {
			return false
		}
		r.setCouple(name, best, 0)
		r.Author, r.Signed = 1, i
		return true
	}
	return false
}

func lastComma(ph []speech.Phrase) int {
	for k := len(ph) - 1; k >= 0; k-- {
		if ph[k].Key == "," {
			return k
		}
	}
	return -1
}

// partnerNamed is whose kin and side a list names most beside those of whom it is by; it is "" for nobody or one line.
func (r *finder) partnerNamed(name string) string {
	count := make(map[string]int)
	best := ""
	for j := range r.Lines {
		ts := r.Tokens[j]
		for k := 0; k+1 < len(ts); k++ {
			whose := ""
			switch next := r.Lexical(ts[k+1]); {
			case k == 0 && len(ts) > 2 && names.Plain(ts[k].Text) == names.Plain(name) && (ts[k+1].Key == "&" || ts[k+1].Key == "+" || r.Is(ts, k+1, "and")) && ts[k+2].Capital && len(r.Lexical(ts[k+2])) == 0:
				whose = ts[k+2].Text // "Caroline and Neil with ..."
			case ts[k].Capital && !ts[k].Possessive && len(r.Lexical(ts[k])) == 0 && (k == 0 || ts[k-1].Key == ".") && r.Is(ts, k+1, "with") && len(ts) > k+2 && (r.Is(ts, k+2, "his") || r.Is(ts, k+2, "her")):
				whose = ts[k].Text // "Rob with his best man"
			case ts[k].Possessive && (ts[k].Capital || r.Lower) && len(next) > 0 && !r.Is(ts, k, "half"): // not "Bride's side"
				whose = ts[k].Text
				if r.Is(ts, k+1, "side") {
					count[whose]++
				}
			case ts[k+1].Capital && len(next) == 0 && k > 0 && r.joinedToMe(ts[k-1], ts[k]):
				whose = ts[k+1].Text
			case ts[k+1].Capital && len(next) == 0 && k == 2 && words.Listed("article", ts[k].Key) && r.joinedToMe(ts[0], ts[1]): // "eu e o Gui com ..."
				whose = ts[k+1].Text
				count[whose]++
			case k > 0 && ts[k-1].Capital && len(r.Lexical(ts[k-1])) == 0 && r.joinedToMe(ts[k+1], ts[k]):
				whose = ts[k-1].Text // "Andrés y yo"
			case ts[k+1].Capital && len(next) == 0 && k > 0 && slices.ContainsFunc(r.Lexical(ts[k]), func(w words.Word) bool { return w.Class == "of" }):
				whose = ts[k+1].Text // "do lado do Duarte", "die Seite von Jannik"
				if slices.ContainsFunc(r.Lexical(ts[k-1]), func(w words.Word) bool { return w.Class == "side" }) {
					count[whose]++
				}
			}
			if count[whose]++; whose != "" && names.Plain(whose) != names.Plain(name) && (count[whose] > count[best] || best == "") {
				best = whose
			}
		}
	}
	if count[best] < 2 {
		return ""
	}
	return best
}

// joinedToMe reports whether the words before a name are "me +" or "me and".
func (r *finder) joinedToMe(me, join words.Token) bool {
	has := func(t words.Token, class string) bool {
		return slices.ContainsFunc(r.Lexical(t), func(w words.Word) bool { return w.Class == class })
	}
	return has(me, "self") && (join.Key == "+" || join.Key == "&" || join.Key == "," || has(join, "and"))
}

// leadingCouple takes the two names that a third of the lines begin with.
func (r *finder) leadingCouple() bool { return r.leads(3, 3) }

// leadingMost takes the two names that most lines begin with, whoever else stands in a title or below.
func (r *finder) leadingMost() bool { return r.leads(4, 2) }

// leads takes the two names that one in share of the lines begin with, and at least so many.
func (r *finder) leads(least, share int) bool {
	count := make(map[[2]string]int)
	best, lines := [2]string{}, 0
	for i := range r.Lines {
		ph := r.Heads(i)
		if len(ph) < 2 {
			continue
		}
		lines++
		if a, b, ok := r.Pair(ph, 0); ok && !strings.Contains(a+b, " ") {
			two := [2]string{a, b}
			if count[two]++; count[two] > count[best] {
				best = two
			}
		}
	}
	if count[best] < least || share*count[best] < lines {
		return false
	}
	r.setCouple(best[0], best[1], 0)
	return true
}

// headedCouple takes the names that most lines below "Bride's side" and "Groom's side" begin with.
func (r *finder) headedCouple() bool {
	var two [2]string
	for i := range r.Lines {
		ph := r.Heads(i)
		if len(ph) == 0 || r.Lines[i].Mark != 0 || len(ph) > 4 {
			continue
		}
		w, half := ph[0].Word("half")
		if at := halves[w.Sex]; half && two[at] == "" {
			two[at] = r.leadBelow(i)
		}
	}
	if two[0] == "" || two[1] == "" || two[0] == two[1] {
		return false
	}
	r.setCouple(two[0], two[1], 'w')
	return true
}

// leadBelow is the name that at least half of the lines with a mark right below one begin with, and two of them.
func (r *finder) leadBelow(heading int) string {
	count, n := make(map[string]int), 0
	best := ""
	for i := heading + 1; i < len(r.Lines); i++ {
		ph := r.Heads(i)
		if r.Lines[i].Blank || len(ph) == 0 {
			continue
		}
		if r.Lines[i].Mark == 0 {
			break
		}
		n++
		name, _ := r.NameAt(ph, 0)
		if count[name]++; name != "" && count[name] > count[best] {
			best = name
		}
	}
	if count[best] < 2 || 2*count[best] < n {
		return ""
	}
	return best
}

// sidedCouple reads the couple off two headings: "Mira's side", "Otis's family".
func (r *finder) sidedCouple() bool {
	found := r.sides()
	if len(found) == 2 {
		r.setCouple(found[0], found[1], 0)
	}
	return len(found) == 2
}

// otherSide reports whether such headings name one of two and somebody else.
func (r *finder) otherSide(a, b string) bool {
	var keys []string
	for _, name := range r.sides() {
		keys = append(keys, names.Plain(name))
	}
	return len(keys) == 2 && slices.Contains(keys, names.Plain(a)) != slices.Contains(keys, names.Plain(b))
}

// sides are whose sides headings name.
func (r *finder) sides() []string {
	var found []string
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Mark != 0 {
			continue
		}
		ph := r.Heads(i)
		for k := 0; k+1 < len(ph) && k < 3; k++ {
			name := r.sideOf(ph, k)
			if name != "" && !slices.Contains(found, name) && len(ph) < k+5 {
				found = append(found, name)
			}
		}
	}
	return found
}

// initialledSides reads the couple off two such headings where lines begin with the initials of the two together, whoever else the
// list names beside one of them: "Mira's family", "Otis's side", and "M+O with ...".
func (r *finder) initialledSides() bool {
	var letters [2]string
	n := 0
	for i := range r.Lines {
		ph := r.Heads(i)
		if len(ph) > 2 && joinsTwo(&ph[1]) && len(ph[0].Text) == 1 && len(ph[2].Text) == 1 && ph[0].Capital && ph[2].Capital {
			letters = [2]string{ph[0].Key, ph[2].Key}
			n++
		}
	}
	if n < 3 || !r.sidedCouple() {
		return false
	}
	return r.Initials[letters[0]] > 0 && r.Initials[letters[1]] > 0
}

// sideOf is whose side words at k name: "Mira's side", "Familie Mira", "Lado do Otis".
func (r *finder) sideOf(ph []speech.Phrase, k int) string {
	side := func(p *speech.Phrase) bool {
		w, kin := p.Word("kin")
		return p.Has("side") || kin && w.Arg == "family"
	}
	if ph[k].Possessive && r.TitleName(&ph[k]) && side(&ph[k+1]) {
		return ph[k].Text
	}
	name := k + 1
	if ph[name].Has("of") && name+1 < len(ph) {
		name++
	}
	if k == 0 && side(&ph[k]) && name == len(ph)-1 && r.TitleName(&ph[name]) && !r.SeenOnce(ph[name].Text) {
		return ph[name].Text
	}
	return ""
}

// meWith reports whether whoever writes joins somebody to themselves: "one of just me and Theo".
func (r *finder) meWith(name string) bool {
	key := words.Key(name)
	return slices.ContainsFunc(r.Tokens, func(ts []words.Token) bool {
		for k := 2; k < len(ts) && r.Effort.Spend(1); k++ {
			if ts[k].Key == key && !ts[k].Possessive && (r.Is(ts, k-1, "and") || ts[k-1].Key == "+") && r.Is(ts, k-2, "self") {
				return true
			}
		}
		return false
	})
}
