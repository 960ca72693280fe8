package couple

import (
	"regexp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

var honourForm = regexp.MustCompile(`(?i)\b(?:mitzvah|birthday|christening|baptism|quincea|communion|confirmation|graduation|xv|taufe|geburtstag|bautizo|cumplea|batizado|anivers|baptême|anniversaire|jubil|retirement|[5-9]0th)|生日|寿宴|满月`)

// findHonour finds whom a day without a couple is about.
func (r finder) findHonour() {
	left := 3
	for i := range r.Lines {
		if len(r.Tokens[i]) == 0 {
			continue
		}
		if left--; left < 0 {
			return
		}
		if !honourForm.MatchString(r.Lines[i].Text) {
			continue
		}
		ph := r.Heads(i)
		for k := range ph {
			if w, ok := ph[k].Word("kin"); ok && ph[k].Possessive && !w.Plural && w.Arg != "family" && k < 2 {
				r.honourByKin(&ph[k])
				return
			}
			if !r.TitleName(&ph[k]) || honourForm.MatchString(ph[k].Text) {
				continue
			}
			name, _ := r.NameAt(ph, k)
			if ph[k].Possessive || k > 0 && (ph[k-1].Has("of") || ph[k-1].Key == "-") || r.onSeveralLines(name) {
				r.Honour = r.Enter(name)
				return
			}
		}
	}
}

// kinHonoured finds whom one of the first lines honours by a word of kin: "Here's the plan for Mum's 80th".
func (r finder) kinHonoured() bool {
	left := 3
	for i := 0; i < len(r.Lines) && left > 0; i++ {
		if len(r.Tokens[i]) == 0 {
			continue
		}
		left--
		ph := r.Heads(i)
		for k := range ph {
			w, ok := ph[k].Word("kin")
			if !ok || !ph[k].Possessive || w.Plural || w.Arg == "family" {
				continue
			}
			behind := ph[k+1 : min(k+4, len(ph))]
			if !slices.ContainsFunc(behind, func(p speech.Phrase) bool { return honourForm.MatchString(p.Text) }) {
				continue
			}
			r.honourByKin(&ph[k])
			for _, p := range behind {
				if years := speech.YearsOf(p.Text); years > 0 {
					r.AgeIn(&r.Guests[r.Honour], years)
				}
			}
			return true
		}
	}
	return false
}

// onSeveralLines reports whether a name stands on more than two lines.
func (r finder) onSeveralLines(name string) bool {
	key, _, _ := strings.Cut(names.Plain(name), " ")
	n := 0
	for i := range r.Tokens {
		if slices.ContainsFunc(r.Tokens[i], func(t words.Token) bool { return t.Key == key }) {
			n++
		}
	}
	return n > 2
}

// honourByKin takes "Mum's 80th": whom the whole list calls so, with the name that a line gives: "Mum is Rosemary", "my mum
// Rosemary", "Mum (Rosemary)".
func (r finder) honourByKin(t *speech.Phrase) {
	name := ""
	for i := 0; i < len(r.Lines) && name == ""; i++ {
		ph := r.Heads(i)
		for k := 0; k+1 < len(ph) && name == ""; k++ {
			switch next := ph[k+1]; {
			case ph[k].Key != t.Key || ph[k].Possessive:
			case next.Open:
				name, _ = r.NameAt(next.Inside, 0)
			case next.Key == "is" || next.Key == "=" || r.TitleName(&next) && k > 0 && ph[k-1].Has("my"):
				at := k + 1
				if !r.TitleName(&next) {
					at++
				}
				if at < len(ph) && r.TitleName(&ph[at]) {
					name, _ = r.NameAt(ph, at)
				}
			}
		}
	}
	if name == "" {
		name = words.Capitalize(t.Text)
	}
	r.Honour = r.Enter(name)
	r.Call(r.Honour, t.Text)
	r.Aliases[t.Key] = []words.Word{{Class: "honour", Text: t.Text}}
}

// findWriter finds who writes that is not of the couple: "me (Helen)", or a name below a letter that says "me".
func (r finder) findWriter() {
	for _, ts := range r.Tokens {
		for k := 0; k+3 < len(ts); k++ {
			if ts[k].Key == "me" && ts[k+1].Key == "(" && ts[k+2].Capital && ts[k+3].Key == ")" {
				r.Writes = ts[k+2].Text
				return
			}
		}
	}
	if !r.says("self") || r.Signed >= 0 || r.Author > 0 {
		return
	}
	for i := len(r.Lines) - 1; i >= 0; i-- {
		ph := r.Heads(i)
		if len(ph) == 0 {
			continue
		}
		if name, end := r.NameAt(ph, 0); name != "" && end == len(ph) && r.Lines[i].Mark == 0 && r.HalfNamed(name) == 0 {
			r.Writes, r.Signed = name, i
		}
		return
	}
}
