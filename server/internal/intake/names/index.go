package names

import (
	"math/bits"
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/kin"
)

// How says how well words fit a name.
type How int

// From nothing to the best.
const (
	None  How = iota
	Near      // a slip of the keyboard away
	Part      // some of the words of the name
	Same      // all words of the name, in any order, without accents
	Exact     // as it is written, but for case
)

// Match is who may be meant by some words. Several people mean that it cannot be told.
type Match struct {
	How    How
	People []int // as they were added
}

// One returns the only person of a match.
func (m Match) One() (int, bool) {
	if len(m.People) != 1 {
		return 0, false
	}
	return m.People[0], true
}

// Index finds people by name. The zero value holds nobody.
type Index struct {
	Effort *effort.Meter // of whoever looks; may be nil

	exact map[string][]int
	whole map[string][]int // by the words, sorted
	dense map[string][]int // by the words, run together
	word  map[string][]int // entries, by a word of theirs
	names []entry
	asked map[string]*query // by the text that was looked up
	close map[string][]int  // people whose names are near, by the words that were looked up since the last Add
	most  int               // the highest person
}

// entry is one name or nickname.
type entry struct {
	person int
	words  []term
	dense  term // the words, run together
}

// term is a word with what its comparison needs.
type term struct {
	text    string
	letters []rune
	slips   int    // that it may have
	marks   uint64 // of the letters, to pass over what cannot be near
}

func newTerm(word string) term {
	letters := []rune(word)
	t := term{text: word, letters: letters}
	switch n := len(letters); {
	case n < 4: // a slip makes another name
	case n < 8:
		t.slips = 1
	default:
		t.slips = 2
	}
	for _, r := range letters {
		t.marks |= 1 << (uint32(r) % 64)
	}
	return t
}

func terms(words []string) []term {
	out := make([]term, len(words))
	for i, w := range words {
		out[i] = newTerm(w)
	}
	return out
}

// near reports whether few enough letters are wrong between two words, most at most. Several letters may
// share a mark; each slip adds one letter at most, so words of which more marks differ are not near.
func (t *term) near(u *term, most int) bool {
	limit := min(t.slips, u.slips, most)
	if limit == 0 || t.text == u.text {
		return t.text == u.text
	}
	return bits.OnesCount64(t.marks&^u.marks) <= limit && kin.Distance(t.letters, u.letters, limit) <= limit
}

// Add makes a person known by a name or nickname. A person may be added under several.
func (x *Index) Add(person int, name string) {
	if x.exact == nil {
		x.exact, x.whole = make(map[string][]int), make(map[string][]int)
		x.dense, x.word = make(map[string][]int), make(map[string][]int)
	}
	words := Words(name)
	if len(words) == 0 {
		return
	}
	dense := strings.Join(words, "")
	x.close = nil
	at := len(x.names)
	x.names = append(x.names, entry{person, terms(words), newTerm(dense)})
	x.most = max(x.most, person)
	add := func(m map[string][]int, key string) {
		if n := len(m[key]); n == 0 || m[key][n-1] != person {
			m[key] = append(m[key], person)
		}
	}
	add(x.exact, kin.Fold(strings.Join(strings.Fields(name), " ")))
	add(x.whole, sorted(words))
	add(x.dense, dense)
	for _, w := range words {
		if n := len(x.word[w]); n == 0 || x.word[w][n-1] != at {
			x.word[w] = append(x.word[w], at)
		}
	}
}

func sorted(words []string) string {
	return strings.Join(slices.Sorted(slices.Values(words)), " ")
}

// Find returns who is meant by some words: the people of the best kind of match, those whom keep
// refuses left out. keep may be nil.
func (x *Index) Find(text string, keep func(person int) bool) Match {
	return x.FindAt(text, None, keep)
}

// FindAt is Find for matches of at least a kind; worse ones are not looked for.
func (x *Index) FindAt(text string, least How, keep func(person int) bool) Match {
	if !x.Effort.Spend(lookUp) {
		return Match{}
	}
	only := func(people []int) []int { return x.only(people, keep) }
	q := x.query(text)
	if p := only(x.exact[q.exact]); len(p) > 0 {
		return Match{Exact, p}
	}
	if len(q.words) == 0 {
		return Match{}
	}
	if p := only(append(slices.Clone(x.whole[q.sorted]), x.dense[q.dense]...)); len(p) > 0 {
		return Match{Same, p}
	}
	if least > Part {
		return Match{}
	}
	if p := only(x.parts(q.words, q.dense)); len(p) > 0 {
		return Match{Part, p}
	}
	if least > Near {
		return Match{}
	}
	if p := only(x.near(q.words, q.dense)); len(p) > 0 {
		return Match{Near, p}
	}
	return Match{}
}

// query is a text as it is looked up. The same words are looked up many times.
type query struct {
	exact         string
	words         []string
	sorted, dense string
}

// maxAsked bounds the memory of what was looked up.
const maxAsked = 20_000

func (x *Index) query(text string) *query {
	if q := x.asked[text]; q != nil {
		return q
	}
	x.Effort.Spend(perCharacter * len(text))
	words := Words(text)
	q := &query{kin.Fold(strings.Join(strings.Fields(text), " ")), words, sorted(words), strings.Join(words, "")}
	if x.asked == nil || len(x.asked) >= maxAsked {
		x.asked = make(map[string]*query)
	}
	x.asked[text] = q
	return q
}

// The effort of looking up what nobody is called by, and of a character of it at the first time.
const (
	lookUp       = 30
	perCharacter = 40
)

// only returns those of people whom keep does not refuse, each once.
func (x *Index) only(people []int, keep func(person int) bool) []int {
	if len(people) == 0 || !x.Effort.Spend(3*len(people)) {
		return nil
	}
	seen := make([]bool, x.most+1)
	var out []int
	for _, p := range people {
		if !seen[p] && (keep == nil || keep(p)) {
			seen[p] = true
			out = append(out, p)
		}
	}
	return out
}

// parts finds the names that hold all words; a single letter stands for a word that begins with it.
func (x *Index) parts(words []string, dense string) []int {
	var out []int
	for _, at := range x.candidates(words) {
		if !x.Effort.Spend(10) {
			return nil
		}
		e := &x.names[at]
		if pair(len(words), len(e.words), func(i, j int) bool {
			a, b := words[i], e.words[j].text
			return a == b || utf8.RuneCountInString(a) == 1 && len(words) > 1 && strings.HasPrefix(b, a)
		}) {
			out = append(out, e.person)
		}
	}
	if unspaced(dense) && utf8.RuneCountInString(dense) >= 2 && x.Effort.Spend(2*len(x.names)) {
		for _, e := range x.names {
			if unspaced(e.dense.text) && strings.Contains(e.dense.text, dense) {
				out = append(out, e.person)
			}
		}
	}
	return out
}

// candidates are the names that share the word that the fewest names have.
func (x *Index) candidates(words []string) []int {
	if len(words) > maxWords {
		return nil // pair would refuse them one by one
	}
	var fewest []int
	found := false
	for _, w := range words {
		if utf8.RuneCountInString(w) == 1 && len(words) > 1 {
			continue // stands for a longer word
		}
		if at := x.word[w]; !found || len(at) < len(fewest) {
			fewest, found = at, true
		}
	}
	return fewest
}

// maxWords bounds the pairing of words, and pairing is the effort of comparing two.
const (
	maxWords = 8
	pairing  = 40
)

// near finds the names in which every word stands with few slips, and those that differ in spacing too.
func (x *Index) near(words []string, dense string) []int {
	key := strings.Join(words, " ")
	if people, known := x.close[key]; known {
		return people
	}
	if len(words) > maxWords || unspaced(dense) || !x.Effort.Spend(len(x.names)) {
		return nil
	}
	mine, whole, allowed := terms(words), newTerm(dense), 0
	for _, w := range mine {
		allowed += w.slips
	}
	var out []int
	for i := range x.names {
		e := &x.names[i]
		if bits.OnesCount64(whole.marks&^e.dense.marks) > allowed {
			continue
		}
		if !x.Effort.Spend(len(words) * len(e.words) * pairing) {
			return nil
		}
		if pair(len(words), len(e.words), func(i, j int) bool { return mine[i].near(&e.words[j], 2) }) || whole.near(&e.dense, 1) {
			out = append(out, e.person)
		}
	}
	if x.close == nil {
		x.close = make(map[string][]int)
	}
	x.close[key] = out
	return out
}

// pair reports whether each of n words can be given a word of its own of the m of a name: a matching found
// by augmenting paths.
func pair(n, m int, fits func(word, of int) bool) bool {
	if n > m || n > maxWords || m > 4*maxWords {
		return false
	}
	var owner, tried [4 * maxWords]int // which word has taken a word of the name, and asked for it last, from 1
	var place func(i, asking int) bool
	place = func(i, asking int) bool {
		for j := range m {
			if tried[j] == asking || !fits(i, j) {
				continue
			}
			tried[j] = asking
			if owner[j] == 0 || place(owner[j]-1, asking) {
				owner[j] = i + 1
				return true
			}
		}
		return false
	}
	for i := range n {
		if !place(i, i+1) {
			return false
		}
	}
	return true
}

// Closest returns up to n people whose names look most like the words, the closest first. They are
// guesses to show, never to act on.
func (x *Index) Closest(text string, n int) []int {
	words := Words(text)
	if len(words) == 0 || len(words) > maxWords {
		return nil
	}
	mine := terms(words)
	type guess struct{ person, distance int }
	var guesses []guess
	for i := range x.names {
		e := &x.names[i]
		if !x.Effort.Spend(len(words) * len(e.words) * pairing) {
			return nil
		}
		const far = 1 << 20
		best := far
		for _, w := range mine {
			for _, v := range e.words {
				limit := max(len(w.letters), len(v.letters)) / 3
				d := kin.Distance(w.letters, v.letters, limit)
				if strings.HasPrefix(v.text, w.text) || strings.HasPrefix(w.text, v.text) && len(v.letters) > 2 {
					d = min(d, 1)
				}
				if d <= limit {
					best = min(best, d)
				}
			}
		}
		if best < far {
			guesses = append(guesses, guess{e.person, best})
		}
	}
	slices.SortStableFunc(guesses, func(a, b guess) int { return a.distance - b.distance })
	var out []int
	for _, g := range guesses {
		if len(out) == n {
			break
		}
		if !slices.Contains(out, g.person) {
			out = append(out, g.person)
		}
	}
	return out
}
