// Package couple finds whom the day of a list is about, before its lines are read.
package couple

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// finder looks for the couple of a list.
type finder struct {
	*speech.Reader
	heads map[int][]speech.Phrase // of lines, while nobody is found: each way of saying it looks at all of them
	known int                     // names and words that the list had when they were read
}

// Heads are the phrases of a line, which nobody changes.
func (r *finder) Heads(i int) []speech.Phrase {
	if r.Couple[0] >= 0 || r.Honour >= 0 || r.Effort.Err() != nil {
		return r.Reader.Heads(i)
	}
	if known := len(r.Guests) + len(r.Aliases); known != r.known {
		clear(r.heads)
		r.known = known
	}
	ph, ok := r.heads[i]
	if !ok {
		ph = r.Reader.Heads(i)
		r.heads[i] = ph
	}
	r.Effort.Spend(10 * len(ph)) // what is asked of each
	r.Line = &r.Lines[i]
	return ph
}

// Find finds whom the day of a list is about: lines such as "Couple: Bea & Migs", the answers of a form, a title with two
// names, the two who wrote a chat or signed, headings of two sides; without a couple one person ("Noa's Bat Mitzvah").
func Find(r *speech.Reader) {
	f := &finder{Reader: r, heads: make(map[int][]speech.Phrase)}
	if f.findCouple(); r.Couple[0] < 0 && r.Honour < 0 && slices.ContainsFunc(r.Lines, func(l lines.Line) bool { return l.Mark == '|' }) {
		f.coupleOfRows()
	}
}

// FindInRows is Find for a table of photographs, of which the two may be a couple who are named in most rows.
func FindInRows(r *speech.Reader, titles []string) {
	f := &finder{Reader: r, heads: make(map[int][]speech.Phrase)}
	if f.findCouple(); r.Couple[0] < 0 && !f.coupleOfTitles(titles) {
		f.coupleOfRows()
	}
	f.matchSexes()
}

// findCouple tries the ways in which lists say it, the surest first.
func (r *finder) findCouple() {
	if r.Couple[0] >= 0 {
		r.matchSexes()
		return
	}
	finds := []func() bool{r.formCouple, r.keyedCouple, r.leadingMost, r.titledCouple, r.declaredCouple, r.introducedCouple, r.childMarries, r.headedCouple, r.initialledCouple, r.chatCouple, r.initialledSides, r.signedCouple, r.sidedCouple, r.leadingCouple, r.parentedCouple}
	if r.Formal && len(r.Base.People) > 0 { // photographs for people who are known already have no title
		finds = finds[:2]
	}
	for k, find := range finds {
		if k == 2 && (r.kinHonoured() || r.gathering()) || k == 4 && r.namedHonour() {
			break // "Mum's 80th", "Ezra's bar mitzvah", signed by whoever writes
		}
		if find() {
			break
		}
	}
	if r.Couple[0] < 0 && r.Honour < 0 {
		r.findHonour()
	}
	r.nicknames()
	if r.findWriter(); r.Writes != "" && r.Child != "" && len(r.Find(r.Writes)) == 0 {
		r.Enter(r.Writes) // so that "my brother" is theirs
	}
	r.matchSexes()
}

// keyedCouple reads "Couple: A & B", "Bride: A", "新娘：A", anywhere in the list.
func (r *finder) keyedCouple() bool {
	one, said := r.linesOfHalves() // of the bride, of the groom; and the words for them
	for i := range r.Lines {
		ph := r.Heads(i)
		if two, ok := r.halvesNamed(ph); ok && r.Lines[i].Mark == 0 {
			r.Lines[i].Alias = ph[0].Has("half") && len(ph) > 1 && ph[1].Key == ":" || slices.ContainsFunc(ph, func(p speech.Phrase) bool { return p.Key == "=" || p.Key == "-" && p.Gap })
			return r.setBoth(two, one)
		}
		if name, w := r.halfBehind(ph); w.Sex != 0 {
			at := halves[w.Sex]
			one[at], said[at] = cmp.Or(one[at], name), cmp.Or(said[at], strings.ToLower(w.Text))
		}
		for k := 0; k+1 < len(ph); k++ {
			if name, sex := r.isHalf(ph, k); name != "" && r.Lines[i].Mark == 0 {
				one[halves[sex]] = cmp.Or(one[halves[sex]], name)
			}
			if a, b, ok := r.inBracket(ph, k); ok {
				r.setCouple(a, b, 0)
				return true
			}
			if w, ok := ph[k].Word("half"); ok && ph[k+1].Kind == 'w' && !words.Cased(ph[k].Text) && !words.Cased(ph[k+1].Text) && r.Lines[i].Mark == 0 && len(ph[k+1].Words) == 0 {
				at := halves[w.Sex]
				if name, end := r.NameAt(ph, k+1); one[at] == "" && (end == len(ph) || ph[end].Kind == 'p' || ph[end].Has("with") || ph[end].Has("and")) {
					one[at] = name
				}
			}
			if a, b, ok := r.Pair(ph, min(k+2, len(ph))); ok && ph[k+1].Key == ":" && r.Lines[i].Mark == 0 && words.Listed("two halves", ph[k].Key) { // "brides: Ada & Mia"
				r.Lines[i].Alias = true
				r.setCouple(a, b, 0)
				return true
			}
			dashed := k == 0 && ph[1].Key == "-" && ph[1].Gap && ph[0].Has("half") // "Bride - Ann"
			if ph[k+1].Key != ":" && ph[k+1].Key != "=" && !dashed && !(ph[k].Has("couple") && ph[k+1].Has("verb") || ph[k].Has("half") && words.Listed("is", ph[k+1].Key)) || k+2 >= len(ph) {
				continue
			}
			if k > 0 && ph[k-1].Kind != 'p' && r.Lines[i].Cells == nil && !ph[0].Has("half") {
				continue
			}
			if w, ok := ph[k].Word("half"); ok && r.Lines[i].Mark == 0 {
				name, end := r.NameAt(ph, k+2)
				if name == "" || toldKin(ph, end) || r.joinedKin(ph, end) || dashed && end < len(ph) || end < len(ph) && ph[end].Kind != 'p' && !ph[end].Has("half") && !ph[end].Has("and") {
					continue
				}
				at := halves[w.Sex]
				if one[at] == "" {
					one[at], said[at] = name, strings.ToLower(w.Text)
				}
				continue
			}
			w, ok := ph[k].Word("key")
			if ok && w.Arg == "couple" || ph[k].Has("couple") && r.Lines[i].Mark == 0 {
				if a, b, ok := r.keyedPair(ph, k+2); ok {
					r.setCouple(a, b, 0)
					return true
				}
			}
		}
	}
	return r.setBoth(one, said)
}

// inBracket takes the two whom a bracket behind a word for the couple names: "Couple on their own (Ann, Bob)".
func (r *finder) inBracket(ph []speech.Phrase, k int) (a, b string, ok bool) {
	if !ph[k].Has("couple") {
		return "", "", false
	}
	open := k + 1
	for open+1 < len(ph) && (ph[open].Has("alone") || ph[open].Has("fill")) {
		open++
	}
	if _, _, others := r.Pair(ph, 0); !ph[open].Open || others && k > 2 { // "Ann and Bob with us (Ida and Karl)"
		return "", "", false
	}
	return r.keyedPair(ph[open].Inside, 0)
}

// halfBehind is whom a bracket behind the name that a line begins with says to be the bride or the groom: "Ann (bride)", "A = Ann (bride)",
// "Ann (bride) - mother Ida, father Karl".
func (r *finder) halfBehind(ph []speech.Phrase) (string, words.Word) {
	from := 1 + slices.IndexFunc(ph[:min(3, len(ph))], func(p speech.Phrase) bool { return p.Key == "=" })
	name, end := r.NameAt(ph, from)
	if name == "" || end >= len(ph) || len(ph[end].Inside) != 1 {
		return "", words.Word{}
	}
	w, _ := ph[end].Inside[0].Word("half")
	return name, w
}

// isHalf is who is said to be the bride or the groom: "Ann is the bride".
func (r *finder) isHalf(ph []speech.Phrase, k int) (string, byte) {
	name, end := r.NameAt(ph, k)
	if name == "" || end+1 >= len(ph) || !words.Listed("copula", ph[end].Key) {
		return "", 0
	}
	if end++; end+1 < len(ph) && ph[end].Has("fill") && !ph[end].Has("half") {
		end++
	}
	if w, ok := ph[end].Word("half"); ok && !ph[end].Possessive && (end+1 == len(ph) || ph[end+1].Kind == 'p' || ph[end+1].Has("and")) {
		return name, w.Sex
	}
	return "", 0
}

// keyedPair takes the two behind "Couple:", whom a comma may divide: "Couple: Ada, Otto".
func (r *finder) keyedPair(ph []speech.Phrase, k int) (a, b string, ok bool) {
	if a, b, ok = r.Pair(ph, k); ok {
		return a, b, ok
	}
	a, end := r.NameAt(ph, k)
	if a == "" || end >= len(ph) || ph[end].Key != "," {
		return "", "", false
	}
	b, last := r.NameAt(ph, end+1)
	return a, b, b != "" && last == len(ph)
}

// titledCouple reads a title: of the first lines without a mark, the first pair of names.
func (r *finder) titledCouple() bool {
	left := 4
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Blank || l.Ruler {
			continue
		}
		if left--; left < 0 {
			return false
		}
		if l.Mark != 0 || l.Cells != nil || len(r.Tokens[i]) > speech.LongLine {
			continue
		}
		ph := r.Heads(i)
		if l.By != "" && !speech.AnyHas(ph, "month") {
			continue // of a chat only with the day: "Lucía & Álvaro, 18 September"
		}
		if l.Text != "" && (strings.HasSuffix(l.Text, ":") && left < 3) {
			continue
		}
		if r.titlePair(ph, i, left == 3, r.About(ph) || r.pairAlone(ph, i)) {
			return true
		}
		for k := range ph { // "Wedding groups (Mira + Joe, 3rd Aug)"
			if ph[k].Open && r.About(ph[:k]) && r.titlePair(ph[k].Inside, i, left == 3, true) {
				return true
			}
		}
	}
	return false
}

// titlePair takes the first pair of names of a title; first is the first line of the list, about one that speaks of the day.
func (r *finder) titlePair(ph []speech.Phrase, i int, first, about bool) bool {
	commas := 0
	for k := range ph {
		if w, ok := ph[k].Word("kin"); (ok && !ph[k].Capital && w.Arg != "family" && !ph[k].Has("of") || ph[k].Has("half") || ph[k].Has("role")) && !speech.AnyHas(ph[k:], "event") && !r.eventBefore(ph, k) {
			if at := speech.ColonAt(ph); first && at > k && r.pairOnly(ph[at+1:]) { // "Wedding party & family list: Ann / Bo"
				a, b, _ := r.Pair(ph, at+1)
				r.setCouple(a, b, 0)
				return true
			}
			break
		}
		if ph[k].Key == "," {
			commas++
		}
		if ph[k].Has("event") && k+1 < len(ph) {
			if _, _, ok := r.Pair(ph, k+1); ok {
				continue // "فرح ريم وكريم": the word for a wedding is a name too
			}
		}
		if k == 0 && len(ph) > 2 && words.IsHan(ph[0].Text) && words.IsHan(ph[1].Text) && ph[1].Start > ph[0].End && r.TitleName(&ph[0]) && r.TitleName(&ph[1]) && (ph[2].Has("event") || ph[2].Has("photos")) { // 苏玥 程屹 婚礼
			r.setCouple(ph[0].Text, ph[1].Text, 0)
			return true
		}
		if k > 0 && (r.TitleName(&ph[k-1]) && !ph[k-1].Has("event") || ph[k-1].Key == "," && commas > 1 && !first) {
			continue
		}
		a, b, ok := r.Pair(ph, k)
		if name, end := r.NameAt(ph, k); !ok && name != "" && end+1 < len(ph) && ph[end].Has("with") && r.eventBefore(ph, k) && ph[k-1].Has("kin") { // "the wedding of my daughter Ada with Otto"
			a = name
			b, _ = r.NameAt(ph, end+1)
			ok = b != ""
		}
		if ok && speech.SaysHalves(ph) {
			r.setCouple(a, b, 0)
			return true
		}
		if !ok || r.List(ph) || r.surnames(a, b, i) || slices.ContainsFunc(ph, func(p speech.Phrase) bool {
			return p.Has("couple") && !(k == 0 && p.SaysUs()) || p.Key == "/" && !first
		}) && !about {
			continue
		}
		if !first && !about && (!r.firsts(a, b, i) || r.otherSide(a, b)) {
			continue
		}
		r.setCouple(a, b, 0)
		return true
	}
	return false
}

// eventBefore reports whether the words before k say that the line is about a wedding.
func (r *finder) eventBefore(ph []speech.Phrase, k int) bool {
	return speech.AnyHas(ph[:k], "event")
}

// firsts reports whether the two are in most of what follows.
func (r *finder) firsts(a, b string, line int) bool {
	n, both := 0, 0
	ka, kb := names.Plain(a), names.Plain(b)
	for i := line + 1; i < len(r.Lines); i++ {
		if len(r.Tokens[i]) == 0 {
			continue
		}
		n++
		has := func(k string) bool {
			return slices.ContainsFunc(r.Tokens[i], func(t words.Token) bool { return t.Key == k })
		}
		if has(ka) || has(kb) {
			both++
		}
	}
	return 3*both >= n && n > 0
}

// says reports whether the list has words of a class: "us" the couple as writers, "my", "self".
func (r *finder) says(class string) bool {
	for key := range r.Seen {
		if slices.ContainsFunc(words.Find(key), func(w words.Word) bool {
			return (w.Class == class || w.Class == "couple" && w.Arg == class) && r.Langs[w.Lang] > 0
		}) {
			return true
		}
	}
	return false
}

// setCouple enters the couple; first is 'w' or 'm' when it is said whether the bride or the groom is named first.
func (r *finder) setCouple(a, b string, first byte) {
	r.Line = &lines.Line{}
	for k, name := range []string{r.small(a), r.small(b)} {
		i := -1
		if ids := r.Find(name); len(ids) == 1 {
			i = ids[0]
		} else {
			i = r.Enter(name)
		}
		r.Couple[k] = i
		r.Guests[i].Half, r.Guests[i].SideOf = k+1, k+1
		letter := []rune(names.Plain(r.Guests[i].Given))
		if len(letter) == 0 {
			continue
		}
		key := string(letter[:1])
		if _, taken := r.Initials[key]; taken {
			delete(r.Initials, key)
			continue
		}
		r.Initials[key] = k + 1
	}
	r.lettersOfRoles()
	for k, key := range []string{"b", "g"} { // "G = Lachie"
		ws := r.Aliases[key]
		if len(ws) == 0 || ws[0].Class != "stands" || ws[0].Owner == speech.InBrackets {
			continue
		}
		h := r.HalfNamed(ws[0].Text) - 1
		if h < 0 {
			h = k
		}
		if first == 0 && h == k {
			first = 'w'
		} else if first == 0 {
			first = 'm'
		}
		r.Call(r.Couple[h], ws[0].Text)
	}
	if first != 0 {
		r.Brides[first], r.Brides['w'+'m'-first] = 1, 2
	}
}

// small is a name in capitals as another line writes it: "INES + RAFFERTY", and "Ines + her mum".
func (r *finder) small(name string) string {
	if name != strings.ToUpper(name) || !r.Seen[names.Plain(name)] {
		return name
	}
	for _, ts := range r.Tokens {
		for _, t := range ts {
			if t.Key == names.Plain(name) && t.Capital && t.Text != strings.ToUpper(t.Text) && r.Effort.Spend(1) {
				return t.Text
			}
		}
	}
	return name
}
