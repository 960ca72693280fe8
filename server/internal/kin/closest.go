package kin

import (
	"strings"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// Closest returns the known word that looks most like the given one, for a suggestion after a
// typing error, and whether any is close enough to suggest: at most one change in three letters,
// and never more than three. A change is a letter put in, left out, replaced, or swapped with its
// neighbour; case and Unicode composition do not count. Of equally close words the first wins.
func Closest(word string, Known []string) (string, bool) {
	return NewWords(Known).Closest(word)
}

// Fold returns the text in the form in which words are compared: composed and without case.
func Fold(s string) string {
	if IsASCII(s) {
		return strings.ToLower(s)
	}
	return norm.NFC.String(cases.Fold().String(norm.NFC.String(s)))
}

// IsASCII reports whether a text has ASCII characters only: most have, and they are folded many times
// faster.
func IsASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// longestWord is the most letters of a word that is compared: twice the longest id.
const longestWord = 128

// suggester answers Closest for one set of known words.
type Words struct {
	Known  []string
	folded [][]rune
}

func NewWords(Known []string) Words {
	s := Words{Known: Known, folded: make([][]rune, len(Known))}
	for i, k := range Known {
		s.folded[i] = []rune(Fold(k))
	}
	return s
}

func (s Words) Closest(word string) (string, bool) {
	w := []rune(Fold(word))
	if len(w) == 0 || len(w) > longestWord {
		return "", false
	}
	best, found := -1, min(3, (len(w)+2)/3)
	for i, k := range s.folded {
		if len(k) == 0 || len(k) > longestWord {
			continue
		}
		if d := Distance(w, k, found); d < found || (d == found && best < 0) {
			best, found = i, d
		}
	}
	// A word with nothing in common is no suggestion, however short the two are.
	if best < 0 || found >= max(len(w), len(s.folded[best])) {
		return "", false
	}
	return s.Known[best], true
}

// Distance returns how many letters are put in, left out, replaced or swapped with their neighbour
// between two words, or limit+1 as soon as it must exceed limit: the optimal string alignment distance. It
// compares letters as they are.
func Distance(a, b []rune, limit int) int {
	if len(a)-len(b) > limit || len(b)-len(a) > limit {
		return limit + 1
	}
	n := len(b) + 1
	var short [3 * 32]int // on the stack: names are compared very often
	rows := short[:]
	if 3*n > len(rows) {
		rows = make([]int, 3*n)
	}
	before, above, row := rows[:n], rows[n:2*n], rows[2*n:3*n]
	for j := range above {
		above[j] = j
	}
	for i := range a {
		// Whoever leaves the diagonal by more than limit has made more changes than that.
		from, to := max(0, i-limit), min(len(b), i+limit+1)
		row[from] = i + 1
		if from > 0 {
			row[from] = limit + 1
		}
		if i > 0 && to == i+limit+1 {
			above[to] = limit + 1
		}
		least := row[from]
		for j := from; j < to; j++ {
			change := 1
			if a[i] == b[j] {
				change = 0
			}
			row[j+1] = min(above[j]+change, above[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
			least = min(least, row[j+1])
		}
		if least > limit {
			return limit + 1
		}
		before, above, row = above, row, before
	}
	return min(above[len(b)], limit+1)
}

// OneApart reports whether two different words become the same by putting in, leaving out or replacing
// one letter, or swapping two neighbours. It is Distance == 1 in one pass, for many words.
func OneApart[T byte | rune](a, b []T) bool {
	for len(a) > 0 && len(b) > 0 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	swapped := len(a) == 2 && len(b) == 2 && a[0] == b[1] && a[1] == b[0]
	return len(a) <= 1 && len(b) <= 1 || swapped
}
