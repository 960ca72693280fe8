package speech

import (
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/prose/words"
)

// head are the phrases of a line, or of one of its cells.
func (r *Reader) Heads(i int) []Phrase {
	if r.Lines[i].Blank || r.Lines[i].Ruler || r.Effort.Err() != nil {
		return nil
	}
	r.Line = &r.Lines[i]
	return r.Phrases(r.Tokens[i])
}

// NameAt takes a name of up to four words, with what stands before it ("Capt", "do").
func (r *Reader) NameAt(ph []Phrase, i int) (string, int) {
	var words []string
	for last := i + 16; i < len(ph) && i < last; i++ { // whatever a line is made of, no more stands before a name
		t := &ph[i]
		switch {
		case len(words) == 0 && (t.Has("rank") && t.Key != "baby" && !(r.TitleName(t) && (i+1 == len(ph) || !r.TitleName(&ph[i+1]))) || t.Key == ".") || len(words) == 0 && (t.Has("of") || t.Has("fill")) && !t.Capital:
			continue
		case len(words) > 0 && t.Has("month") && i+1 < len(ph) && ph[i+1].Kind == 'n': // "Ann + Bob May 30"
		case t.Kind == 'w' && !t.Open && len(words) < 4 && (r.TitleName(t) || len(words) == 0 && (t.Capital || r.Lower) && (t.Has("count") || t.Has("month") || t.Has("prop") || t.Has("until")) && len(t.Words) == 1):
			words = append(words, t.Text)
			if t.Possessive {
				return strings.Join(words, " "), i + 1
			}
			continue
		}
		break
	}
	return strings.Join(words, " "), i
}

// TitleName reports whether a word of a title may be of a name.
func (r *Reader) TitleName(t *Phrase) bool {
	if t.Kind != 'w' {
		return false
	}
	if _, ok := words.Given(t.Key); ok && (t.Capital || !words.Cased(t.Text) || r.Lower) && !t.Has("half") {
		return true
	}
	if utf8.RuneCountInString(t.Text) == 1 && words.Cased(t.Text) {
		return false
	}
	return len(t.Words) == 0 && (t.Capital || !words.Cased(t.Text) || r.Lower)
}

// Pair takes "A & B" at i.
func (r *Reader) Pair(ph []Phrase, i int) (string, string, bool) {
	a, k := r.NameAt(ph, i)
	for k < len(ph) && (ph[k].Open || ph[k].Has("half") && !r.TitleName(&ph[k])) { // "Ellie (bride) & Sam (groom)"
		k++
	}
	if a == "" || k >= len(ph) || !(ph[k].Key == "&" || ph[k].Key == "+" || ph[k].Key == "/" || ph[k].Has("and") || ph[k].Has("weds")) {
		return "", "", false
	}
	if k+1 < len(ph) && ph[k+1].Has("half") && !r.TitleName(&ph[k+1]) {
		k++
	}
	b, end := r.NameAt(ph, k+1)
	if b == "" || end < len(ph) && (ph[end].Key == "&" || ph[end].Has("and") || ph[k].Key == "/" && ph[end].Key == "+") { // "Formals / Ann + Bo"
		return "", "", false
	}
	return a, b, true
}

// SaysHalves reports whether a line says of two who they are: "Ellie (bride) & Sam (groom)".
func SaysHalves(ph []Phrase) bool {
	n := 0
	for k := range ph {
		if ph[k].Has("half") || ph[k].Open && AnyHas(ph[k].Inside, "half") {
			n++
		}
	}
	return n > 1
}

// List reports whether the phrases are a list of names rather than a title.
func (r *Reader) List(ph []Phrase) bool {
	n := 0
	for k := range ph {
		if ph[k].Key == "," && k > 0 && k+1 < len(ph) && r.TitleName(&ph[k-1]) && r.TitleName(&ph[k+1]) {
			n++
		}
	}
	return n > 1
}

// About reports whether a line speaks of the day or the list.
func (r *Reader) About(ph []Phrase) bool {
	return slices.ContainsFunc(ph, func(t Phrase) bool { return t.Has("event") || t.Has("photos") || t.Has("month") || t.Kind == 't' })
}

// wholeName is how many tokens at the front are a name of a guest or the title of a group, and what it means.
func (r *Reader) wholeName(tokens []words.Token) (int, []words.Word) {
	if !r.Starts[tokens[0].Key] {
		return 0, nil
	}
	key, best := tokens[0].Key, 0
	var ws []words.Word
	take := func(n int) {
		if w, ok := r.Whole[key]; ok {
			if best, ws = n, nil; w.Class != "" {
				ws = []words.Word{w}
			}
		}
	}
	take(1)
	for n := 1; n < min(words.MostTokens+2, len(tokens)); n++ {
		if tokens[n-1].Possessive {
			key += " s"
		}
		key += " " + tokens[n].Key
		take(n + 1)
	}
	return best, ws
}

// glossed takes a word that nothing else is known of, or that means the same, in the sense that a bracket behind it gives, where it is a
// word for kin or a role: "her chrzestna (godmother)", "Świadkowie (witnesses) Ola & Rob".
func (r *Reader) glossed(ph []Phrase) []Phrase {
	for k := 0; k+1 < len(ph); k++ {
		in, t := ph[k+1].Inside, &ph[k]
		for len(in) > 1 && (in[0].Has("fill") || words.Listed("namely", in[0].Key)) {
			in = in[1:]
		}
		if len(in) != 1 || t.Kind != 'w' || t.Possessive {
			continue
		}
		w, kin := in[0].Word("kin")
		if !kin {
			w, kin = in[0].Word("role")
		}
		own, known := t.Word(w.Class)
		named := k+2 < len(ph) && r.NameLike(&ph[k+2])
		strange := len(t.Words) == 0 && words.Cased(t.Text) && (!t.Capital && !r.Lower && !r.Known[t.Key] || named && w.Plural && k == 0)
		if !kin || r.NameLike(&in[0]) || !strange && !(known && own.Arg == w.Arg && named) {
			continue
		}
		told := *t
		told.End, told.Words = ph[k+1].End, []words.Word{w}
		ph = slices.Concat(ph[:k], []Phrase{told}, ph[k+2:])
	}
	return ph
}

// small reports whether no word begins with a capital, where the script has some: behind a comma they are said of the photograph.
func (r *Reader) small(ph []Phrase) bool {
	return !r.Lower && !slices.ContainsFunc(ph, func(t Phrase) bool { return t.Capital || !words.Cased(t.Text) })
}
