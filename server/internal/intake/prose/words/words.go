// Package words knows the words of lists in all languages: kin, roles, needs and what joins or takes away. They are
// data, a file a language here and those of kin in package kin; DEVELOPERS.md, "How a list is read", has their form. It takes texts apart into tokens and
// knows nothing of lists.
package words

import (
	"embed"
	"path"
	"slices"
	"strings"
	"sync"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/kin"
)

//go:embed *.txt
var wordFiles embed.FS

// Word is one meaning of some words of a list: a line of the files that holds them.
type Word struct {
	Class string // "kin", "and", "need" ...
	Arg   string // kind of kin, role, need, key, number of a month
	Lang  string
	Sex   byte // 'w', 'm' or 0
	Side  byte // of a role: 'w' the bride's, 'm' the groom's, or 0
	// Of kin.
	Plural, Step, Half, Inlaw, Former bool
	Line                              byte   // 'm' maternal, 'p' paternal, or 0
	Owner                             string // "her", "his", "their" or "both" where the word says it itself
	Text                              string
}

// lexicon is the words of all languages by how they are written, as names are compared.
type lexicon struct {
	words  map[string][]Word
	starts map[string]bool // of the first token of the words of several
	inside map[string]bool // of the others
	given  map[string]byte // given names: 'w' or 'm'
	ends   []ending
	arabic []Word          // that say whose by their endings
	slips  map[byte][]slip // words for people, by their first letter
	han    int             // runes of the longest word without spaces
	one    map[Word]string // the first word for one person, by the word without its text
	lists  map[string][]string
}

// ending is how words of a language may end that stand for people: "itos os" for "primitos" of "primos", "bruder" for
// "Zwillingsbruder".
type ending struct{ lang, from, to string }

// Find are the meanings of words that are written as names are compared.
func Find(key string) []Word { return all().words[key] }

// Given is the sex of a given name, 'w', 'm' or 0 for both, and whether the word is one.
func Given(key string) (byte, bool) {
	sex, ok := all().given[key]
	return sex, ok
}

// Begins reports whether words of several tokens begin with a token.
func Begins(key string) bool { return all().starts[key] }

// Inside reports whether words of several tokens have a token that is not their first.
func Inside(key string) bool { return all().inside[key] }

// List is the words of all languages that a line "list name: words" has.
func List(name string) []string { return all().lists[name] }

// Listed reports whether a list has a word.
func Listed(name, word string) bool { return slices.Contains(List(name), word) }

// Spelled writes out a role that lists shorten, "" for any other.
func Spelled(short string) string { return strings.Join(List("spelled "+short), "") }

// LongestHan is how many characters the longest word has that is written without spaces.
func LongestHan() int { return all().han }

// Of are the meanings of a word, or of the one that it is made of.
func Of(key string) []Word {
	x := all()
	if ws := x.words[key]; len(ws) > 0 {
		return ws
	}
	if _, name := x.given[key]; name || len(key) < 5 {
		return nil
	}
	for _, e := range x.ends {
		stem, ok := strings.CutSuffix(key, e.from)
		if !ok || len(stem) < 3 {
			continue
		}
		base := stem + e.to
		if e.from == e.to {
			base = e.to
		}
		var out []Word
		for _, w := range x.words[base] {
			if w.Lang == e.lang && (w.Class == "kin" || w.Class == "role" || w.Class == "group") {
				out = append(out, w)
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	return nil
}

var all = sync.OnceValue(loadWords)

// MostTokens is how many tokens the longest words have.
const MostTokens = 7

func loadWords() *lexicon {
	x := &lexicon{words: make(map[string][]Word), starts: make(map[string]bool), inside: make(map[string]bool), given: make(map[string]byte), one: make(map[Word]string), lists: make(map[string][]string)}
	entries, err := wordFiles.ReadDir(".")
	if err != nil {
		panic(err) // they are part of the program
	}
	for _, f := range entries {
		content, err := wordFiles.ReadFile(f.Name())
		if err != nil {
			panic(err)
		}
		lang := strings.TrimSuffix(path.Base(f.Name()), ".txt")
		for line := range strings.Lines(kin.Lines(lang) + string(content)) {
			head, list, ok := strings.Cut(line, ":")
			if !ok || strings.HasPrefix(head, "#") || strings.HasPrefix(head, "relation ") {
				continue
			}
			if lang == "given" {
				x.addGiven(head[0], list)
				continue
			}
			x.add(lang, strings.Fields(head), list)
		}
	}
	for _, w := range x.arabic { // what is written out comes first
		x.putArabic(w, Key(w.Text))
	}
	x.addSlips()
	return x
}

func (x *lexicon) addGiven(sex byte, list string) {
	for name := range strings.SplitSeq(list, ",") {
		key := names.Plain(name)
		if old, ok := x.given[key]; ok && old != sex {
			x.given[key] = 0 // of both
			continue
		}
		x.given[key] = sex
	}
}

// add takes a line of a file of words.
func (x *lexicon) add(lang string, head []string, list string) {
	if head[0] == "ending" {
		for e := range strings.SplitSeq(list, ",") {
			part := strings.Fields(e)
			x.ends = append(x.ends, ending{lang, names.Plain(part[0]), names.Plain(part[len(part)-1])})
		}
		return
	}
	if head[0] == "list" {
		name := strings.Join(head[1:], " ")
		for text := range strings.SplitSeq(list, ",") {
			x.lists[name] = append(x.lists[name], strings.TrimSpace(text))
		}
		return
	}
	w := Word{Class: head[0], Lang: lang}
	for _, a := range head[1:] {
		switch a {
		case "w", "m":
			w.Sex = a[0]
		case "bride":
			w.Side = 'w'
		case "groom":
			w.Side = 'm'
		case "step":
			w.Step = true
		case "half":
			w.Half = true
		case "inlaw":
			w.Inlaw = true
		case "former":
			w.Former = true
		case "both":
			w.Owner = a
		case "mat", "pat":
			w.Line = a[0]
		default:
			if w.Arg == "" {
				w.Arg = a
			}
		}
	}
	if w.Class == "family" {
		w.Class, w.Arg, w.Plural = "kin", "family", true
	}
	one, several, _ := strings.Cut(list, "|")
	for i, part := range []string{one, several} {
		w.Plural = w.Plural || i == 1
		for text := range strings.SplitSeq(part, ",") {
			if text = strings.TrimSpace(text); text != "" {
				if _, known := x.one[w]; !known && !w.Plural && (w.Class == "kin" || w.Class == "role") {
					x.one[w] = text
				}
				x.put(w, text)
			}
		}
	}
}

// Singular is a word for one of the people that a word stands for, of a sex where that is known.
func Singular(w Word, sex byte) string {
	w.Plural, w.Text, w.Owner = false, "", ""
	of := func(sex byte) string {
		v := w
		v.Sex = sex
		return all().one[v]
	}
	for _, sex := range []byte{w.Sex, sex} {
		if s := of(sex); s != "" {
			return s
		}
	}
	if a, b := of('w'), of('m'); a != "" && b != "" {
		return a + "/" + b
	}
	return ""
}

func (x *lexicon) put(w Word, text string) {
	w.Text = text
	keys := []string{Key(text)}
	if w.Lang == "ar" && (w.Class == "kin" || w.Class == "group" || w.Class == "role") {
		x.arabic = append(x.arabic, w)
	}
	for _, k := range keys {
		if k == "" {
			continue
		}
		switch i := slices.IndexFunc(x.words[k], func(o Word) bool { return o.Class == w.Class && o.Lang == w.Lang && o.Arg == w.Arg }); {
		case i < 0:
			x.words[k] = append(x.words[k], w)
		case x.words[k][i].Sex != w.Sex && x.words[k][i].Text != w.Text && x.words[k][i].Plural == w.Plural:
			x.words[k][i].Sex = 0 // "avó" and "avô" look alike without accents
		}
		first, rest, several := strings.Cut(k, " ")
		for _, other := range strings.Fields(rest) {
			x.inside[other] = true
		}
		x.starts[first] = x.starts[first] || several
		if n := len([]rune(k)); IsHan(k) {
			x.han = max(x.han, n)
		}
	}
}

// putArabic adds the forms that say whose in the word itself: والدته is his mother.
func (x *lexicon) putArabic(w Word, key string) {
	if strings.HasPrefix(key, "ال") || strings.Contains(key, " ال") || strings.Count(key, " ") > 1 {
		return
	}
	if key == "اب" || key == "اخ" { // أبيها
		x.putArabic(w, key+"ي")
	}
	stem := key
	if s, ok := strings.CutSuffix(key, "ه"); ok { // ة is folded to ه
		stem = s + "ت"
	}
	for suffix, owner := range map[string]string{"ه": "his", "ها": "her", "هم": "their", "هما": "their", "ي": "my", "نا": "our", "ك": "your"} {
		o := w
		o.Owner = owner
		k := names.Plain(stem + suffix)
		if _, taken := x.words[k]; !taken {
			x.words[k] = []Word{o}
		}
	}
}

// Key writes words as they are looked up: their tokens as names are compared.
func Key(text string) string {
	var keys []string
	for _, t := range Tokenize(text) {
		keys = append(keys, t.Key)
	}
	return strings.Join(keys, " ")
}

// IsHan reports whether a text begins with a Chinese character.
func IsHan(s string) bool {
	for _, r := range s {
		return r >= 0x3400 && r <= 0x9fff
	}
	return false
}
