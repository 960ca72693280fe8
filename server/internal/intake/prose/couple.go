package prose

import (
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/words"
)

// findCouple finds whom the day is about: lines such as "Couple: Bea & Migs", a title with two names, the two who
// wrote a chat or signed, headings of two sides; without a couple, one person ("Noa's Bat Mitzvah").
func (r *reader) findCouple() {
	if r.Couple[0] >= 0 {
		r.matchSexes()
		return
	}
	finds := []func() bool{r.formCouple, r.keyedCouple, r.titledCouple, r.chatCouple, r.signedCouple, r.sidedCouple, r.leadingCouple}
	if r.Formal && len(r.Base.People) > 0 { // photographs for people who are known already have no title
		finds = finds[:2]
	}
	for _, find := range finds {
		if find() {
			break
		}
	}
	if r.Couple[0] < 0 {
		r.findHonour()
		r.findWriter()
	}
	r.matchSexes()
}

// head are the phrases of a line, or of one of its cells.
func (r *reader) heads(i int) []phrase {
	if r.lines[i].Blank || r.lines[i].Ruler || !r.Effort.Spend(40*len(r.tokens[i])) {
		return nil
	}
	r.Line = &r.lines[i]
	return r.phrasesOf(r.tokens[i])
}

// keyedCouple reads "Couple: A & B", "Bride: A", "新娘：A", anywhere in the list.
func (r *reader) keyedCouple() bool {
	var one, said [2]string // of the bride, of the groom; and the words for them
	for i := range r.lines {
		ph := r.heads(i)
		for k := 0; k+1 < len(ph); k++ {
			if ph[k].has("couple") && ph[k+1].open {
				if a, b, ok := r.pair(ph[k+1].inside, 0); ok {
					r.setCouple(a, b, 0)
					return true
				}
			}
			if w, ok := ph[k].word("half"); ok && ph[k+1].Kind == 'w' && !words.Cased(ph[k].Text) && !words.Cased(ph[k+1].Text) && r.lines[i].Mark == 0 && len(ph[k+1].ws) == 0 {
				at := 0
				if w.Sex == 'm' {
					at = 1
				}
				if name, end := r.nameAt(ph, k+1); one[at] == "" && (end == len(ph) || ph[end].Kind == 'p' || ph[end].has("with") || ph[end].has("and")) {
					one[at] = name
				}
			}
			if ph[k+1].Key != ":" || k+2 >= len(ph) {
				continue
			}
			if k > 0 && ph[k-1].Kind != 'p' && r.lines[i].Cells == nil && !ph[0].has("half") {
				continue
			}
			if w, ok := ph[k].word("half"); ok && r.lines[i].Mark == 0 {
				name, end := r.nameAt(ph, k+2)
				if name == "" || end < len(ph) && ph[end].Kind != 'p' && !ph[end].has("half") {
					continue
				}
				at := 0
				if w.Sex == 'm' {
					at = 1
				}
				if one[at] == "" {
					one[at], said[at] = name, strings.ToLower(w.Text)
				}
				continue
			}
			w, ok := ph[k].word("key")
			if ok && w.Arg == "couple" || ph[k].has("couple") && r.lines[i].Mark == 0 {
				if a, b, ok := r.pair(ph, k+2); ok {
					r.setCouple(a, b, 0)
					return true
				}
			}
		}
	}
	return r.setBoth(one, said)
}

// nameAt takes a name of up to four words, with what stands before it ("Capt", "do").
func (r *reader) nameAt(ph []phrase, i int) (string, int) {
	var words []string
	for ; i < len(ph); i++ {
		t := &ph[i]
		switch {
		case len(words) == 0 && (t.has("rank") && t.Key != "baby" || t.Key == ".") || len(words) == 0 && (t.has("of") || t.has("fill")) && !t.Capital:
			continue
		case t.Kind == 'w' && !t.open && len(words) < 4 && (r.titleName(t) || len(words) == 0 && (t.Capital || r.lower) && (t.has("count") || t.has("month") || t.has("prop")) && len(t.ws) == 1):
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

// titleName reports whether a word of a title may be of a name.
func (r *reader) titleName(t *phrase) bool {
	if t.Kind != 'w' {
		return false
	}
	if _, ok := words.Given(t.Key); ok && (t.Capital || !words.Cased(t.Text) || r.lower) && !t.has("half") {
		return true
	}
	if utf8.RuneCountInString(t.Text) == 1 && words.Cased(t.Text) {
		return false
	}
	return len(t.ws) == 0 && (t.Capital || !words.Cased(t.Text) || r.lower)
}

// pair takes "A & B" at i.
func (r *reader) pair(ph []phrase, i int) (string, string, bool) {
	a, k := r.nameAt(ph, i)
	for k < len(ph) && (ph[k].open || ph[k].has("half") && !r.titleName(&ph[k])) { // "Ellie (bride) & Sam (groom)"
		k++
	}
	if a == "" || k >= len(ph) || !(ph[k].Key == "&" || ph[k].Key == "+" || ph[k].Key == "/" || ph[k].has("and") || ph[k].has("weds")) {
		return "", "", false
	}
	if k+1 < len(ph) && ph[k+1].has("half") && !r.titleName(&ph[k+1]) {
		k++
	}
	b, end := r.nameAt(ph, k+1)
	if b == "" || end < len(ph) && (ph[end].Key == "&" || ph[end].has("and")) {
		return "", "", false
	}
	return a, b, true
}

// titledCouple reads a title: of the first lines without a mark, the first pair of names.
func (r *reader) titledCouple() bool {
	left := 4
	for i := range r.lines {
		l := &r.lines[i]
		if l.Blank || l.Ruler {
			continue
		}
		if left--; left < 0 {
			return false
		}
		if l.Mark != 0 || l.Cells != nil || len(r.tokens[i]) > longLine {
			continue
		}
		ph := r.heads(i)
		if l.By != "" && !slices.ContainsFunc(ph, func(p phrase) bool { return p.has("month") }) {
			continue // of a chat only with the day: "Lucía & Álvaro, 18 September"
		}
		if l.Text != "" && (strings.HasSuffix(l.Text, ":") && left < 3) {
			continue
		}
		if r.titlePair(ph, i, left == 3, r.about(ph)) {
			return true
		}
		for k := range ph { // "Wedding groups (Mira + Joe, 3rd Aug)"
			if ph[k].open && r.about(ph[:k]) && r.titlePair(ph[k].inside, i, left == 3, true) {
				return true
			}
		}
	}
	return false
}

// titlePair takes the first pair of names of a title; first is the first line of the list, about one that speaks of the day.
func (r *reader) titlePair(ph []phrase, i int, first, about bool) bool {
	commas := 0
	for k := range ph {
		if w, ok := ph[k].word("kin"); (ok && !ph[k].Capital && w.Arg != "family" || ph[k].has("half") || ph[k].has("role")) && !slices.ContainsFunc(ph[k:], func(p phrase) bool { return p.has("event") }) && !r.eventBefore(ph, k) {
			break
		}
		if ph[k].Key == "," {
			commas++
		}
		if k > 0 && (r.titleName(&ph[k-1]) || ph[k-1].Key == "," && commas > 1 && !first) {
			continue
		}
		a, b, ok := r.pair(ph, k)
		if ok && saysHalves(ph) {
			r.setCouple(a, b, 0)
			return true
		}
		if !ok || r.list(ph) || slices.ContainsFunc(ph, func(p phrase) bool { return p.has("couple") || p.Key == "/" && !first }) && !about {
			continue
		}
		if !first && !about && !r.firsts(a, b, i) {
			continue
		}
		r.setCouple(a, b, 0)
		return true
	}
	return false
}

// saysHalves reports whether a line says of two who they are: "Ellie (bride) & Sam (groom)".
func saysHalves(ph []phrase) bool {
	n := 0
	for k := range ph {
		if ph[k].has("half") || ph[k].open && slices.ContainsFunc(ph[k].inside, func(p phrase) bool { return p.has("half") }) {
			n++
		}
	}
	return n > 1
}

// eventBefore reports whether the words before k say that the line is about a wedding.
func (r *reader) eventBefore(ph []phrase, k int) bool {
	return slices.ContainsFunc(ph[:k], func(p phrase) bool { return p.has("event") })
}

// list reports whether the phrases are a list of names rather than a title.
func (r *reader) list(ph []phrase) bool {
	n := 0
	for k := range ph {
		if ph[k].Key == "," && k > 0 && k+1 < len(ph) && r.titleName(&ph[k-1]) && r.titleName(&ph[k+1]) {
			n++
		}
	}
	return n > 1
}

// about reports whether a line speaks of the day or the list.
func (r *reader) about(ph []phrase) bool {
	return slices.ContainsFunc(ph, func(t phrase) bool { return t.has("event") || t.has("photos") || t.has("month") || t.Kind == 't' })
}

// firsts reports whether the two are in most of what follows.
func (r *reader) firsts(a, b string, line int) bool {
	n, both := 0, 0
	ka, kb := names.Plain(a), names.Plain(b)
	for i := line + 1; i < len(r.lines); i++ {
		if len(r.tokens[i]) == 0 {
			continue
		}
		n++
		has := func(k string) bool {
			return slices.ContainsFunc(r.tokens[i], func(t words.Token) bool { return t.Key == k })
		}
		if has(ka) || has(kb) {
			both++
		}
	}
	return 3*both >= n && n > 0
}

// says reports whether the list has words of a class: "us" the couple as writers, "my", "self".
func (r *reader) says(class string) bool {
	for key := range r.seen {
		if slices.ContainsFunc(words.Find(key), func(w words.Word) bool {
			return (w.Class == class || w.Class == "couple" && w.Arg == class) && r.langs[w.Lang] > 0
		}) {
			return true
		}
	}
	return false
}

// setCouple enters the couple; first is 'w' or 'm' when it is said whether the bride or the groom is named first.
func (r *reader) setCouple(a, b string, first byte) {
	r.Line = &lines.Line{}
	for k, name := range []string{a, b} {
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
	for k, key := range []string{"b", "g"} { // "G = Lachie"
		ws := r.aliases[key]
		if len(ws) == 0 || ws[0].Class != "stands" {
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

// matchSexes finds out who of the couple is the bride: said, by the given names, else who is named first, as usual.
func (r *reader) matchSexes() {
	if r.Couple[0] < 0 || r.Brides['w'] != 0 {
		return
	}
	a, b := r.Guests[r.Couple[0]].Sex, r.Guests[r.Couple[1]].Sex
	r.Unsure = a == b || a == 0 || b == 0
	two := r.seen["brides"] && (r.seen["both"] || r.seen["two"] || r.seen["2"]) || r.seen["husbands"] || r.seen["wives"] || r.seen["grooms"] && r.seen["both"]
	switch {
	case two && r.twoOfOne():
		return
	case a == 'm' && b != 'm' || b == 'w' && a != 'w':
		r.Brides['w'], r.Brides['m'] = 2, 1
	default:
		r.Brides['w'], r.Brides['m'] = 1, 2
		r.Assumed = a != 'w' && b != 'm'
	}
}

// twoOfOne reports whether the list says that there are two brides or two grooms.
func (r *reader) twoOfOne() bool {
	for i := range r.lines {
		k := names.Plain(r.lines[i].Text)
		for _, s := range []string{"2 brides", "two brides", "both brides", "2 grooms", "two grooms", "both grooms", "two husbands", "2 husbands", "two wives", "2 wives"} {
			if strings.Contains(k, s) {
				return true
			}
		}
	}
	return false
}
