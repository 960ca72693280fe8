package prose

import (
	"bufio"
	"bytes"
	"embed"
	"path"
	"slices"
	"strings"
	"sync"

	"kinorder.example/server/internal/intake/names"
)

//go:embed words/*.txt
var wordFiles embed.FS

// word is one meaning of some words of a list: a line of words/*.txt that holds them.
type word struct {
	class string // "kin", "and", "need" ...
	arg   string // kind of kin, role, need, key, number of a month
	lang  string
	sex   byte // 'w', 'm' or 0
	side  byte // of a role: 'w' the bride's, 'm' the groom's, or 0
	// Of kin.
	plural, step, half, inlaw, former bool
	line                              byte   // 'm' maternal, 'p' paternal, or 0
	owner                             string // "her", "his" or "their" where the word says it itself, as in Arabic
	text                              string
}

// lexicon is the words of all languages by how they are written, as names are compared.
type lexicon struct {
	words  map[string][]word
	starts map[string]bool // of the first token of the words of several
	given  map[string]byte // given names: 'w' or 'm'
	ends   []ending
	arabic []word            // that say whose by their endings
	slips  map[byte][]string // words for people, by their first letter
	han    int               // runes of the longest word without spaces
	one    map[word]string   // the first word for one person, by the word without its text
}

// ending is how words of a language may end that stand for people: "itos os" for "primitos" of "primos", "bruder" for
// "Zwillingsbruder".
type ending struct{ lang, from, to string }

// of are the meanings of a word, or of the one that it is made of.
func (x *lexicon) of(key string) []word {
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
		var out []word
		for _, w := range x.words[base] {
			if w.lang == e.lang && (w.class == "kin" || w.class == "role" || w.class == "group") {
				out = append(out, w)
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	return nil
}

var words = sync.OnceValue(loadWords)

// mostTokens is how many tokens the longest words have.
const mostTokens = 7

func loadWords() *lexicon {
	x := &lexicon{words: make(map[string][]word), starts: make(map[string]bool), given: make(map[string]byte), one: make(map[word]string)}
	entries, err := wordFiles.ReadDir("words")
	if err != nil {
		panic(err) // they are part of the program
	}
	for _, f := range entries {
		content, err := wordFiles.ReadFile("words/" + f.Name())
		if err != nil {
			panic(err)
		}
		lang := strings.TrimSuffix(path.Base(f.Name()), ".txt")
		for s := bufio.NewScanner(bytes.NewReader(content)); s.Scan(); {
			head, list, ok := strings.Cut(s.Text(), ":")
			if !ok || strings.HasPrefix(head, "#") {
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
		x.putArabic(w, keyOf(w.text))
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
	w := word{class: head[0], lang: lang}
	for _, a := range head[1:] {
		switch a {
		case "w", "m":
			w.sex = a[0]
		case "bride":
			w.side = 'w'
		case "groom":
			w.side = 'm'
		case "step":
			w.step = true
		case "half":
			w.half = true
		case "inlaw":
			w.inlaw = true
		case "former":
			w.former = true
		case "mat", "pat":
			w.line = a[0]
		default:
			if w.arg == "" {
				w.arg = a
			}
		}
	}
	if w.class == "family" {
		w.class, w.arg, w.plural = "kin", "family", true
	}
	one, several, _ := strings.Cut(list, "|")
	for i, part := range []string{one, several} {
		w.plural = w.plural || i == 1
		for text := range strings.SplitSeq(part, ",") {
			if text = strings.TrimSpace(text); text != "" {
				if _, known := x.one[w]; !known && !w.plural && (w.class == "kin" || w.class == "role") {
					x.one[w] = text
				}
				x.put(w, text)
			}
		}
	}
}

// singular is a word for one of the people that a word stands for, of a sex where that is known.
func (x *lexicon) singular(w word, sex byte) string {
	w.plural, w.text, w.owner = false, "", ""
	of := func(sex byte) string {
		v := w
		v.sex = sex
		return x.one[v]
	}
	for _, sex := range []byte{w.sex, sex} {
		if s := of(sex); s != "" {
			return s
		}
	}
	if a, b := of('w'), of('m'); a != "" && b != "" {
		return a + "/" + b
	}
	return ""
}

func (x *lexicon) put(w word, text string) {
	w.text = text
	keys := []string{keyOf(text)}
	if w.lang == "ar" && (w.class == "kin" || w.class == "group" || w.class == "role") {
		x.arabic = append(x.arabic, w)
	}
	for _, k := range keys {
		if k == "" {
			continue
		}
		switch i := slices.IndexFunc(x.words[k], func(o word) bool { return o.class == w.class && o.lang == w.lang && o.arg == w.arg }); {
		case i < 0:
			x.words[k] = append(x.words[k], w)
		case x.words[k][i].sex != w.sex && x.words[k][i].text != w.text && x.words[k][i].plural == w.plural:
			x.words[k][i].sex = 0 // "avó" and "avô" look alike without accents
		}
		first, _, several := strings.Cut(k, " ")
		x.starts[first] = x.starts[first] || several
		if n := len([]rune(k)); isHan(k) {
			x.han = max(x.han, n)
		}
	}
}

// putArabic adds the forms that say whose in the word itself: والدته is his mother.
func (x *lexicon) putArabic(w word, key string) {
	if strings.Contains(key, " ") || strings.HasPrefix(key, "ال") {
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
		o.owner = owner
		k := names.Plain(stem + suffix)
		if _, taken := x.words[k]; !taken {
			x.words[k] = []word{o}
		}
	}
}

// keyOf writes words as they are looked up: their tokens as names are compared.
func keyOf(text string) string {
	var keys []string
	for _, t := range tokenize(text) {
		keys = append(keys, t.key)
	}
	return strings.Join(keys, " ")
}

func isHan(s string) bool {
	for _, r := range s {
		return r >= 0x3400 && r <= 0x9fff
	}
	return false
}
