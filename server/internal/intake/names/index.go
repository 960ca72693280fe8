package names

import (
	"math/bits"
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/event"
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
	exact map[string][]int
	whole map[string][]int // by the words, sorted
	dense map[string][]int // by the words, run together
	word  map[string][]int // entries, by a word of theirs
	names []entry
}

// entry is one name or nickname.
type entry struct {
	person int
	words  []string
	dense  string
	marks  uint64 // of the letters, to pass over names that cannot be near
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
	e := entry{person, words, dense, marks(dense)}
	at := len(x.names)
	x.names = append(x.names, e)
	add := func(m map[string][]int, key string) {
		if !slices.Contains(m[key], person) {
			m[key] = append(m[key], person)
		}
	}
	add(x.exact, event.Fold(strings.Join(strings.Fields(name), " ")))
	add(x.whole, sorted(words))
	add(x.dense, e.dense)
	for _, w := range words {
		if !slices.Contains(x.word[w], at) {
			x.word[w] = append(x.word[w], at)
		}
	}
}

// marks is a set of the letters of a word, several of which may share a mark. Each slip adds one letter
// at most, so words of which more marks differ than slips are allowed are not near each other.
func marks(word string) uint64 {
	var set uint64
	for _, r := range word {
		set |= 1 << (uint32(r) % 64)
	}
	return set
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
	if keep == nil {
		keep = func(int) bool { return true }
	}
	only := func(people []int) []int {
		var out []int
		for _, p := range people {
			if keep(p) && !slices.Contains(out, p) {
				out = append(out, p)
			}
		}
		return out
	}
	if p := only(x.exact[event.Fold(strings.Join(strings.Fields(text), " "))]); len(p) > 0 {
		return Match{Exact, p}
	}
	words := Words(text)
	if len(words) == 0 {
		return Match{}
	}
	dense := strings.Join(words, "")
	if p := only(append(slices.Clone(x.whole[sorted(words)]), x.dense[dense]...)); len(p) > 0 {
		return Match{Same, p}
	}
	if least > Part {
		return Match{}
	}
	if p := only(x.parts(words, dense)); len(p) > 0 {
		return Match{Part, p}
	}
	if least > Near {
		return Match{}
	}
	if p := only(x.near(words, dense)); len(p) > 0 {
		return Match{Near, p}
	}
	return Match{}
}

// parts finds the names that hold all words; a single letter stands for a word that begins with it.
func (x *Index) parts(words []string, dense string) []int {
	var out []int
	for _, e := range x.candidates(words) {
		if pair(words, e.words, func(a, b string) int {
			if a == b || utf8.RuneCountInString(a) == 1 && len(words) > 1 && strings.HasPrefix(b, a) {
				return 0
			}
			return 1
		}, 0) {
			out = append(out, e.person)
		}
	}
	if unspaced(dense) && utf8.RuneCountInString(dense) >= 2 {
		for _, e := range x.names {
			if unspaced(e.dense) && strings.Contains(e.dense, dense) {
				out = append(out, e.person)
			}
		}
	}
	return out
}

// candidates are the names that share the word that the fewest names have.
func (x *Index) candidates(words []string) []entry {
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
	out := make([]entry, len(fewest))
	for k, at := range fewest {
		out[k] = x.names[at]
	}
	return out
}

// slips is how many letters may be wrong in a word: none in a short one, where a slip makes another
// name.
func slips(word string) int {
	switch n := utf8.RuneCountInString(word); {
	case n < 4:
		return 0
	case n < 8:
		return 1
	default:
		return 2
	}
}

// maxWords bounds the pairing of words.
const maxWords = 8

// near finds the names in which every word stands with few slips, and those that differ in spacing too.
func (x *Index) near(words []string, dense string) []int {
	if len(words) > maxWords || unspaced(dense) {
		return nil
	}
	set, allowed := marks(dense), 0
	for _, w := range words {
		allowed += slips(w)
	}
	var out []int
	for _, e := range x.names {
		if bits.OnesCount64(set&^e.marks) > allowed {
			continue
		}
		if pair(words, e.words, func(a, b string) int {
			return event.Distance(a, b, min(slips(a), slips(b)))
		}, -1) || event.Distance(dense, e.dense, min(slips(dense), slips(e.dense), 1)) <= min(slips(dense), slips(e.dense), 1) {
			out = append(out, e.person)
		}
	}
	return out
}

// pair reports whether every word can be given a word of the name of its own: a matching found by
// augmenting paths. Below 0, most stands for the slips that the words may have.
func pair(words, name []string, distance func(a, b string) int, most int) bool {
	if len(words) > len(name) || len(words) > maxWords || len(name) > 4*maxWords {
		return false
	}
	owner := make([]int, len(name)) // which word has taken a word of the name, from 1
	fits := func(i, j int) bool {
		limit := most
		if most < 0 {
			limit = min(slips(words[i]), slips(name[j]))
		}
		return distance(words[i], name[j]) <= limit
	}
	var place func(i int, tried []bool) bool
	place = func(i int, tried []bool) bool {
		for j := range name {
			if tried[j] || !fits(i, j) {
				continue
			}
			tried[j] = true
			if owner[j] == 0 || place(owner[j]-1, tried) {
				owner[j] = i + 1
				return true
			}
		}
		return false
	}
	for i := range words {
		if !place(i, make([]bool, len(name))) {
			return false
		}
	}
	return true
}

// With returns who has a word in the name, as it is compared.
func (x *Index) With(word string) []int {
	var out []int
	for _, at := range x.word[Plain(word)] {
		if p := x.names[at].person; !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	return out
}

// Closest returns up to n people whose names look most like the words, the closest first. They are
// guesses to show, never to act on.
func (x *Index) Closest(text string, n int) []int {
	words := Words(text)
	if len(words) == 0 || len(words) > maxWords {
		return nil
	}
	type guess struct{ person, distance int }
	var guesses []guess
	for _, e := range x.names {
		best := 1 << 20
		for _, w := range words {
			for _, v := range e.words {
				limit := max(utf8.RuneCountInString(w), utf8.RuneCountInString(v)) / 3
				d := event.Distance(w, v, limit)
				if strings.HasPrefix(v, w) || strings.HasPrefix(w, v) && utf8.RuneCountInString(v) > 2 {
					d = min(d, 1)
				}
				if d <= limit {
					best = min(best, d)
				}
			}
		}
		if best < 1<<20 {
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
