package couple

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// nicknames takes a name in brackets behind that of one of the couple, where both are named, for what they are called too: "Theresa
// (Resi) and Otto".
func (r *finder) nicknames() {
	if r.Couple[0] < 0 {
		return
	}
	for i := range r.Lines {
		ph := r.Heads(i)
		for k := 1; k < len(ph); k++ {
			if !ph[k].Open || r.HalfNamed(ph[k-1].Text) == 0 || !slices.ContainsFunc(ph, func(p speech.Phrase) bool {
				return p.Kind == 'w' && r.HalfNamed(p.Text) == 3-r.HalfNamed(ph[k-1].Text)
			}) {
				continue
			}
			if name, end := r.NameAt(ph[k].Inside, 0); name != "" && end == len(ph[k].Inside) && r.HalfNamed(name) == 0 {
				r.Call(r.Couple[r.HalfNamed(ph[k-1].Text)-1], name)
			}
		}
	}
	r.shortNames()
}

// shortNames takes words that stand on several lines and begin the name of one of the couple for that name: "Jé" of Jéssica.
func (r *finder) shortNames() {
	for _, ts := range r.Tokens {
		for _, t := range ts {
			_, given := words.Given(t.Key)
			if given || t.Kind != 'w' || !t.Capital || len([]rune(t.Key)) < 2 || r.Times[t.Key] < 2 || len(r.Find(t.Text)) > 0 || !r.Effort.Spend(10) || len(r.Lexical(t)) > 0 {
				continue
			}
			a, b := r.begins(t.Key, 0), r.begins(t.Key, 1)
			if a != b {
				r.Call(r.Couple[map[bool]int{true: 0, false: 1}[a]], t.Text)
			}
		}
	}
}

// begins reports whether a word begins the name of one of the couple.
func (r *finder) begins(key string, half int) bool {
	return strings.HasPrefix(names.Plain(r.Guests[r.Couple[half]].Given), key)
}
