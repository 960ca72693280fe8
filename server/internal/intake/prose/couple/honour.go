package couple

import (
	"iter"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

var honourForm = regexp.MustCompile(`(?i)\b(?:mitzvah|birthday|christening|baptism|quincea|communion|confirmation|graduation|xv|taufe|geburtstag|bautizo|cumplea|batizado|anivers|baptême|anniversaire|jubil|retirement|[5-9]0th|15|quince|18th|21st)|生日|寿宴|大寿|寿辰|满月|周岁|百日|عيد ميلاد|سبوع|تخرج`)

// findHonour finds whom a day without a couple is about.
func (r *finder) findHonour() {
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

// fiftieth is the anniversary of two, where it is said of both parents.
var fiftieth = regexp.MustCompile(`\b[2-7][05]th\b`)

// firstHeads are the phrases of the first lines of a list that say something, by line.
func (r *finder) firstHeads(most int) iter.Seq2[int, []speech.Phrase] {
	return func(yield func(int, []speech.Phrase) bool) {
		for i := 0; i < len(r.Lines) && most > 0; i++ {
			if len(r.Tokens[i]) == 0 {
				continue
			}
			if most--; !yield(i, r.Heads(i)) {
				return
			}
		}
	}
}

// namedHonour finds whom one of the first lines says that the day is of: "Ezra's bar mitzvah", "los 15 de Martina".
func (r *finder) namedHonour() bool {
	for _, ph := range r.firstHeads(3) {
		for k := range ph {
			if !r.TitleName(&ph[k]) {
				continue
			}
			name, end := r.NameAt(ph, k)
			of := k > 1 && ph[k-1].Has("of") && honourForm.MatchString(ph[k-2].Text)
			if of || ph[end-1].Possessive && end < len(ph) && honourForm.MatchString(ph[end].Text) {
				r.Honour = r.Enter(name)
				r.addressed(ph, k, end)
				return true
			}
		}
	}
	return false
}

// addressed takes the word of kin before the name of whom the day is of for what all call them, "Lola Caring's 80th", and their age.
func (r *finder) addressed(ph []speech.Phrase, k, end int) {
	g := &r.Guests[r.Honour]
	if end < len(ph) {
		if years := yearsOf(ph[end].Text); years > 0 {
			r.AgeIn(g, years)
		}
	}
	first, _, _ := strings.Cut(names.Plain(g.Given), " ")
	if k > 0 && ph[k].Key == first {
		k--
	}
	if w, ok := ph[k].Word("kin"); ok && !w.Plural && ph[k].Capital && speech.Elder(w.Arg) && ph[k].Key != first {
		g.Rank, g.Name = ph[k].Text, people.Ranked(ph[k].Text, g.Given)
		r.Call(r.Honour, ph[k].Text)
		r.Aliases[ph[k].Key] = []words.Word{{Class: "honour", Text: ph[k].Text}}
	}
}

// kinHonoured finds whom one of the first lines honours by words of kin: "Here's the plan for Mum's 80th", "our parents' golden
// wedding".
func (r *finder) kinHonoured() bool {
	for i, ph := range r.firstHeads(3) {
		if r.kinCouple(i, ph) {
			return true
		}
		for k := range ph {
			w, ok := ph[k].Word("kin")
			behind := ph[k+1 : min(k+4, len(ph))]
			says := func(ph []speech.Phrase) bool {
				return slices.ContainsFunc(ph, func(p speech.Phrase) bool { return honourForm.MatchString(p.Text) })
			}
			of := speech.Elder(w.Arg) && (words.IsHan(ph[k].Text) || r.ofBefore(ph, k) && says(ph[max(0, k-6):k])) // "80. Geburtstag von Oma", 奶奶八十大寿
			if !ok || w.Plural || w.Arg == "family" || !of && !ph[k].Possessive || !says(behind) && !(of && says(ph[max(0, k-6):k])) {
				continue
			}
			if name, end := r.NameAt(ph, k+1); of && name != "" && !words.IsHan(name) {
				r.Honour = r.Enter(name)
				r.addressed(ph, k+1, end)
				return true
			}
			r.honourByKin(&ph[k])
			for _, p := range behind {
				if years := yearsOf(p.Text); years > 0 {
					r.AgeIn(&r.Guests[r.Honour], years)
				}
			}
			return true
		}
	}
	return false
}

// kinCouple takes the parents or grandparents of whoever writes, whose wedding was long ago, for the couple: by the names that
// the first lines give, "They are Jean and Walter", else as they are called.
func (r *finder) kinCouple(line int, ph []speech.Phrase) bool {
	says := func(list string) bool {
		key := " " + words.Key(r.Lines[line].Text) + " "
		return slices.ContainsFunc(words.List(list), func(s string) bool { return strings.Contains(key, " "+words.Key(s)+" ") })
	}
	both := fiftieth.MatchString(r.Lines[line].Text) // "Mam and Dad's 50th"
	if !says("jubilee") && !both {
		return false
	}
	var two []speech.Phrase
	arg := ""
	for k := range ph {
		if w, ok := ph[k].Word("kin"); ok && (w.Arg == "parent" || w.Arg == "grandparent") && (arg == "" || w.Arg == arg) && !r.TitleName(&ph[k]) {
			two, arg = append(two, ph[k]), w.Arg
		}
	}
	if len(two) == 0 || len(two) == 1 && (!two[0].Words[0].Plural || both && !says("jubilee")) {
		return false
	}
	a, b := r.kinNamed(two)
	if a == "" {
		return false
	}
	r.setCouple(a, b, 0)
	for _, h := range r.Couple {
		if says("jubilee fifty") || arg == "grandparent" {
			r.Guests[h].AgeBand = event.Elder
		}
	}
	r.matchSexes()
	r.Child = map[string]string{"parent": "child", "grandparent": "grandchild"}[arg]
	for key := range r.Seen {
		for _, w := range r.Spoken(words.Find(key)) {
			if w.Class != "kin" || w.Arg != arg || w.Step || w.Inlaw || r.Aliases[key] != nil {
				continue
			}
			if r.Aliases[key] = []words.Word{{Class: "couple", Text: w.Text}}; !w.Plural && w.Sex != 0 {
				r.Aliases[key] = []words.Word{{Class: "half", Sex: w.Sex, Text: w.Text}}
			}
		}
	}
	return true
}

// kinNamed are the names of two whom words of kin stand for: behind "=", in brackets, or the first two names together above the
// photographs.
func (r *finder) kinNamed(two []speech.Phrase) (string, string) {
	arg := func(p speech.Phrase) string { w, _ := p.Word("kin"); return w.Arg }
	var named []string // "Ma = Bets, Pa = Frik", "Mum (Doreen) and Dad (Frank)", "Mum is Doreen (79), Dad is Frank"
	for i := range r.Lines {
		ph := r.Heads(i)
		for k := 0; k+1 < len(ph); k++ {
			said := ph[k+2:]
			if ph[k+1].Open {
				said = ph[k+1].Inside
			}
			if w, _ := ph[k].Word("kin"); !w.Plural && arg(ph[k]) == arg(two[0]) && (ph[k+1].Key == "=" || ph[k+1].Open || words.Listed("is", ph[k+1].Key)) && (k == 0 || !ph[k-1].Possessive) {
				if name, _ := r.NameAt(said, 0); name != "" && !slices.Contains(named, name) {
					named = append(named, name)
				}
			}
		}
	}
	if len(named) == 2 {
		return named[0], named[1]
	}
	for i := range r.Lines {
		ph := r.Heads(i)
		if r.Lines[i].Mark != 0 {
			break
		}
		for _, ph := range [][]speech.Phrase{ph, speech.Flat(ph)} { // "Ann (79) and Bob (77, ...)"
			for k := range ph {
				if a, b, ok := r.Pair(ph, k); ok {
					return a, b
				}
			}
		}
	}
	for i := range r.Lines { // "1. Breda and Mossie by the roses"
		if ph := r.Heads(i); r.Lines[i].Mark != 0 {
			if a, b, ok := r.Pair(ph, 0); ok && r.onSeveralLines(a) && r.onSeveralLines(b) {
				return a, b
			}
			break
		}
	}
	called := append(words.Tokenize(two[0].Text), words.Tokenize(two[len(two)-1].Text)...) // "Mum and Dad"
	if len(called) == 2 && len(two) == 1 {
		return "", "" // "our parents"
	}
	return words.Capitalize(called[0].Text), words.Capitalize(called[len(called)-1].Text)
}

// ofBefore reports whether kin is that of a day named before it: "los 80 de mi abuela".
func (r *finder) ofBefore(ph []speech.Phrase, k int) bool {
	for k--; k >= 0 && (ph[k].Has("my") || ph[k].Has("our") || ph[k].Has("fill")) && !ph[k].Has("of"); k-- {
	}
	return k >= 0 && ph[k].Has("of")
}

// onSeveralLines reports whether a name stands on more than two lines.
func (r *finder) onSeveralLines(name string) bool {
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
// Rosemary", "Mum (Rosemary)". The other parent of whoever writes is the wife or husband.
func (r *finder) honourByKin(t *speech.Phrase) {
	name := r.nameOfKin(t.Key)
	if name == "" {
		name = words.Capitalize(t.Text)
	}
	w, _ := t.Word("kin")
	if w.Arg == "parent" || w.Arg == "grandparent" {
		r.Child = map[string]string{"parent": "child", "grandparent": "grandchild"}[w.Arg]
	}
	r.Honour = r.Enter(name)
	r.Call(r.Honour, t.Text)
	r.Aliases[t.Key] = []words.Word{{Class: "honour", Text: t.Text}}
	if w.Arg == "parent" && w.Sex != 0 {
		r.otherParent(w.Sex)
	}
}

// otherParent takes the other parent, where the list says who that is, for the wife or husband of whom the day is about.
func (r *finder) otherParent(sex byte) {
	for _, key := range slices.Sorted(maps.Keys(r.Seen)) {
		ws := r.Spoken(words.Find(key))
		if len(ws) == 0 || ws[0].Class != "kin" || ws[0].Arg != "parent" || ws[0].Plural || ws[0].Step || ws[0].Inlaw || ws[0].Sex == 0 || ws[0].Sex == sex || r.Aliases[key] != nil {
			continue
		}
		name := r.saidToBe(key)
		if name == "" || r.Spouse >= 0 && len(r.Find(name)) == 0 {
			continue
		}
		if r.Spouse < 0 {
			r.Spouse = r.Enter(name)
			w := words.Word{Class: "kin", Arg: "partner", Sex: ws[0].Sex}
			if r.Main == "en" {
				w.Text = map[byte]string{'w': "wife", 'm': "husband"}[w.Sex]
			}
			r.Relate(r.Spouse, w, []int{r.Honour})
		}
		r.Aliases[key] = append([]words.Word{{Class: "honour", Arg: "spouse", Text: key}}, ws...)
	}
}

// saidToBe is the name that a line begins with saying of whom the list calls by a word of kin: "Mum is Maureen".
func (r *finder) saidToBe(key string) string {
	for i := range r.Lines {
		if ph := r.Heads(i); len(ph) > 2 && ph[0].Key == key && !ph[0].Possessive && (words.Listed("is", ph[1].Key) || ph[1].Key == "=") && r.TitleName(&ph[2]) {
			name, _ := r.NameAt(ph, 2)
			return name
		}
	}
	return ""
}

// nameOfKin is the name that a line gives of whom the list calls by a word of kin, or empty.
func (r *finder) nameOfKin(key string) string {
	name := ""
	for i := 0; i < len(r.Lines) && name == ""; i++ {
		ph := r.Heads(i)
		if len(ph) > 0 && ph[0].Open { // "(Mum = Rosemary)"
			ph = ph[0].Inside
		} else if n := len(ph); n > 1 && ph[n-1].Open && slices.ContainsFunc(ph[n-1].Inside, func(p speech.Phrase) bool { return p.Key == "=" }) {
			ph = ph[n-1].Inside
		}
		for k := 0; k+1 < len(ph) && name == ""; k++ {
			switch next := ph[k+1]; {
			case ph[k].Key != key || ph[k].Possessive:
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
	return name
}

// yearsOf is the age that a birthday says: 80 of "80th", else 0.
func yearsOf(text string) int {
	if m := years.FindStringSubmatch(text); m != nil {
		n, _ := strconv.Atoi(m[1])
		return n
	}
	return 0
}

var years = regexp.MustCompile(`^(\d{2})(?:th|st|nd|rd)$`)
