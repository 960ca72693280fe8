package typed

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// part is one entry of a line with what stands before it.
type part struct {
	span
	joint      joint
	start, end int // in bytes of the text that was taken apart
}

// parts takes a text apart at its joiners. Empty entries are left out; the stronger joint counts.
func parts(s span) []part {
	var out []part
	text := s.text
	from, before := 0, start
	rest := s // from from on: to count characters once
	flush := func(to int, next joint) {
		at := len(text) - len(rest.text)
		rest = span{text[from:], rest.col + utf8.RuneCountInString(text[at:from])}
		if p := rest.cut(0, to-from); p.text != "" {
			out = append(out, part{p, before, from, to})
			before = next
		} else {
			before = max(before, next)
		}
	}
	atWord := true
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		if atWord {
			if j, n := joinerAt(text[i:]); n > 0 {
				flush(i, j)
				i += n
				from = i
				continue // still at the start of a word
			}
		}
		if j, ok := punctuation[r]; ok && !inWord(text, i, size, r) {
			flush(i, j)
			i += size
			from = i
			atWord = true
			continue
		}
		if unicode.Is(unicode.Han, r) {
			if j, n := unspacedAt(text[i:]); n > 0 {
				flush(i, j)
				i += n
				from = i
				continue
			}
		}
		atWord = unicode.IsSpace(r) || r == '('
		i += size
	}
	flush(len(text), start)
	return out
}

// inWord reports whether a slash stands inside w/ or w/o, or a middle dot inside a word.
func inWord(text string, i, size int, r rune) bool {
	if r == '·' {
		before, _ := utf8.DecodeLastRuneInString(text[:i])
		after, _ := utf8.DecodeRuneInString(text[i+size:])
		return unicode.IsLetter(before) && unicode.IsLetter(after)
	}
	return false
}

// joinerAt returns the joiner that begins a text and its length in bytes.
func joinerAt(text string) (joint, int) {
	if first := firstWord(text); !strings.HasPrefix(first, "w/") && !strings.HasPrefix(first, "W/") && !joinerStarts[first] && !joinerStarts[fold(first)] {
		return start, 0
	}
	end, best, bestJoint := 0, 0, start
	for range 3 {
		rest := strings.TrimLeftFunc(text[end:], unicode.IsSpace)
		at := len(text) - len(rest)
		if rest == "" {
			break
		}
		stop := strings.IndexFunc(rest, unicode.IsSpace)
		switch {
		case strings.HasPrefix(rest, "w/o") || strings.HasPrefix(rest, "W/o") || strings.HasPrefix(rest, "W/O"):
			stop = 3
		case strings.HasPrefix(rest, "w/") || strings.HasPrefix(rest, "W/"):
			stop = 2
		case stop < 0:
			stop = len(rest)
		}
		end = at + stop
		candidate := strings.Join(strings.Fields(text[:end]), " ")
		if utf8.RuneCountInString(candidate) > 1 {
			candidate = fold(candidate)
		}
		if j, ok := joiners[candidate]; ok {
			best, bestJoint = end, j
		}
	}
	return bestJoint, best
}

func unspacedAt(text string) (joint, int) {
	for word, j := range unspacedJoiners {
		if strings.HasPrefix(text, word) {
			return j, len(word)
		}
	}
	return start, 0
}

// isPart reports whether all words are among others.
func isPart(words, among []string) bool {
	for _, w := range words {
		if !slices.Contains(among, w) {
			return false
		}
	}
	return len(words) > 0
}

// fresh returns the names that are not among those known.
func fresh(known, more []string) []string {
	return slices.DeleteFunc(slices.Clone(more), func(n string) bool { return slices.Contains(known, n) })
}

// others returns the people of more who are not among those known, each once.
func others(known, more []int) []int {
	most := -1
	for _, p := range known {
		most = max(most, p)
	}
	for _, p := range more {
		most = max(most, p)
	}
	seen := make([]bool, most+1)
	for _, p := range known {
		seen[p] = true
	}
	var out []int
	for _, p := range more {
		if !seen[p] {
			seen[p] = true
			out = append(out, p)
		}
	}
	return out
}
