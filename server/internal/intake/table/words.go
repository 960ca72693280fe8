package table

import (
	_ "embed"
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/names"
)

//go:embed words.txt
var wordsText string

// words are the fields of headers, and the meanings of cells, by the words for them as they are compared.
type words map[string]string

var (
	headerWords = map[Kind]words{People: read("person"), Groupings: read("photo"), Circles: read("circle")}
	cellWords   = func() map[string]words { // by meaning: a word may have several
		out := make(map[string]words)
		for word, meanings := range meaningsOf("cell") {
			for _, m := range meanings {
				if out[m] == nil {
					out[m] = make(words)
				}
				out[m][word] = m
			}
		}
		return out
	}()
)

func read(kind string) words {
	out := make(words)
	for word, fields := range meaningsOf(kind) {
		out[word] = fields[0]
	}
	return out
}

// meaningsOf lists the words of a kind with what they mean, in the order of the file.
func meaningsOf(kind string) map[string][]string {
	out := make(map[string][]string)
	for line := range strings.Lines(wordsText) {
		key, list, ok := strings.Cut(strings.TrimSpace(line), ": ")
		k, field, two := strings.Cut(key, " ")
		if !ok || !two || k != kind {
			continue
		}
		for w := range strings.SplitSeq(list, ";") {
			w = key1(w)
			if !slices.Contains(out[w], field) {
				out[w] = append(out[w], field)
			}
		}
	}
	return out
}

// key1 writes a word as it is compared; one that is nothing but signs stays as it is.
func key1(s string) string {
	s = strings.TrimSpace(s)
	if plain := names.Plain(s); plain != "" {
		return plain
	}
	return strings.TrimSuffix(s, "\ufe0f")
}

// says reports whether a cell is a word for a meaning.
func says(meaning, cell string) bool {
	_, ok := cellWords[meaning][key1(cell)]
	return ok
}

func yes(s string) bool { return says("yes", s) }

func no(s string) bool { return says("no", s) }

// Fields lists the names that a mapping can use: those of fields, and the words that headers have for them.
func Fields() []string {
	var out []string
	for _, kind := range []string{"person", "photo", "circle"} {
		for _, fields := range meaningsOf(kind) {
			if f := fields[0]; f != "other" && f != "more" && !slices.Contains(out, f) {
				out = append(out, f)
			}
		}
	}
	out = append(out, "people", "photo", "guest", "notes", "who")
	slices.Sort(out)
	return slices.Compact(out)
}

// fieldOf finds what a header says. The second result is 2 for its own words, 1 for words that stand in it.
func (w words) fieldOf(cell string, taken func(string) bool) (string, int) {
	outside := brackets.ReplaceAllString(cell, " ")
	for _, text := range []string{cell, strings.ReplaceAll(strings.ReplaceAll(cell, "(", ""), ")", ""), outside} {
		if f, ok := w[key1(text)]; ok && !taken(f) {
			return f, 2
		}
	}
	plain := names.Plain(outside)
	if n := strings.Count(plain, " "); n == 0 && utf8.RuneCountInString(plain) == len(plain) || n > 6 {
		return "", 0
	}
	best, field := "", ""
	for word, f := range w {
		if len(word) < 3 || len(word) < len(best) || taken(f) || len(word) == len(best) && word > best {
			continue
		}
		spaced := len(word) == utf8.RuneCountInString(word) || strings.Contains(plain, " ")
		if spaced && strings.Contains(" "+plain+" ", " "+word+" ") || !spaced && strings.Contains(plain, word) {
			best, field = word, f
		}
	}
	if best == "" {
		return "", 0
	}
	return field, 1
}
