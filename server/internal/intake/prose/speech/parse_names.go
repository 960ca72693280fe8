package speech

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// contracted is a word with a verb of its own: "I'd", "we’ll".
var contracted = regexp.MustCompile(`['’](?:d|ll|ve|re|m)$`)

// NameLike reports whether a phrase stands for a person by name: it is known as one, a given name, or a word in
// capitals that means nothing else.
func (r *Reader) NameLike(t *Phrase) bool {
	if t.Has("stands") || t.Has("short") && words.Capitals(t.Text) || contracted.MatchString(t.Text) {
		return false
	}
	if t.Kind != 'w' || t.Open || strings.Contains(t.Key, " ") && len(t.Words) > 0 {
		return false
	}
	structural := t.Has("half") || t.Has("couple") || t.Has("all")
	if r.Known[t.Key] && !structural && (t.Capital || !words.Cased(t.Text) || r.Lower || len(t.Words) == 0 && len(r.ByName[t.Key]) == 1) { // "NOT ann and bob"
		return true
	}
	if utf8.RuneCountInString(t.Text) == 1 && words.Cased(t.Text) {
		_, initial := r.Initials[t.Key]
		return initial && t.Capital && len(t.Words) == 0 || t.Capital && initial
	}
	if _, ok := words.Given(t.Key); ok && !structural && (t.Capital || !words.Cased(t.Text)) {
		w := MainClass(t)
		return w != "kin" && !t.Has("wish") || t.Words[0].Lang != r.Main // "Uma foto"
	}
	if len(t.Words) > 0 || strings.ContainsAny(t.Text, "0123456789") {
		return false
	}
	if words.IsHan(t.Text) {
		n := utf8.RuneCountInString(t.Text)
		return n > 1 && n < 5 && !strings.ContainsAny(t.Text, "请的了在会约是不要需喊待再拍照个就两这们么吗吧呢坐站按每疼")
	}
	if !words.Cased(t.Text) {
		return true
	}
	if r.Lower {
		return true
	}
	return t.Capital && (!r.Loud || t.Text != strings.ToUpper(t.Text)) // "FLOWER GIRL (Zuri)"
}

// nameAfterKin reports whether a word behind kin is a name, even one that means something else, "Tito Jun", or the form of
// address before one: "mother Smt. Lakshmi".
func (p *parser) nameAfterKin() bool {
	r, t, next := p.r, p.peek(1), p.peek(2)
	if r.NameLike(t) || t.Has("rank") && t.Capital && next.Key == "." && r.NameLike(p.peek(3)) {
		return true
	}
	if p.calledKin(t) {
		t.Words = nil
		return true
	}
	if t.Has("rank") && t.Capital && !r.Loud && r.NameLike(next) && (MainClass(t) == "fill" || p.peek(0).Has("kin") && !p.peek(0).Capital && t.Has("kin") && !p.peek(0).Possessive) { // "FOG Big Hutch", "his wife Sister Grace"
		t.Words = nil
		return true
	}
	if t.Has("rank") && !t.Has("kin") && !words.Cased(t.Text) && !words.IsHan(t.Text) && !r.NameLike(next) && !next.Has("rank") { // عمو سيد
		t.Words = nil
		return true
	}
	switch MainClass(t) {
	case "month", "scene", "prop", "note", "remark", "rank", "until", "edit", "unitmin":
		if t.Kind == 'w' && t.Capital && !r.Loud && !strings.Contains(t.Key, " ") && next.Kind != 'n' {
			t.Words = nil
			return true
		}
	}
	return false
}

// Titled is who alone is addressed by a word, -1 for nobody.
func (r *Reader) Titled(t *Phrase) int {
	if !t.Has("rank") || t.Has("kin") || !t.Capital || len(t.Text) < 4 || r.Loud {
		return -1
	}
	found := -1
	for i := range r.Guests {
		if rank := names.Plain(r.Guests[i].Rank); rank == t.Key || len(rank) > 2 && len(r.Guests[i].Rank) < len(t.Text) && strings.HasPrefix(t.Key, rank) { // "Pres. Ann", "the President"
			if found >= 0 || !r.Effort.Spend(1) {
				return -1
			}
			found = i
		}
	}
	return found
}

// abbreviation reports whether kin is written short, so that a point behind it ends no sentence.
func (r *Reader) abbreviation(key string) bool {
	switch key {
	case "husb", "bro", "sis", "hubs", "fam", "gma", "gpa":
		return true
	}
	return false
}

// MainClass is the class of the meaning that a phrase has first.
func MainClass(t *Phrase) string {
	if len(t.Words) == 0 {
		return ""
	}
	return t.Words[0].Class
}

// name takes a name, of one or several words.
func (p *parser) name(t *Phrase) {
	full, end, poss := p.fullName(t)
	if poss {
		p.own = &Owner{Name: full}
		return
	}
	if o := p.ownsNext(full); o != nil {
		p.own = o
		return
	}
	if k := p.lastKin(); k != nil && k.Word.Plural && p.r.InCouple(full) {
		p.ownBack(k, &Owner{Name: full})
		return
	}
	if (p.all || p.every) && p.run == nil && p.rank == "" && t.Capital && !strings.Contains(full, " ") && p.r.OfSurname(full) {
		p.own = &Owner{Name: full} // "all the Benalis"
		p.kinOf(t, words.Word{Class: "kin", Arg: "family", Plural: true, Text: full}, 0)
		return
	}
	if k := p.run; k != nil && k.Word.Class == "kin" && k.Word.Plural && !Elder(k.Word.Arg) && p.peek(1).Kind == 0 && p.peek(-1).Has("kin") && !strings.Contains(full, " ") && p.r.OfSurname(full) {
		p.run = nil
		p.add(k, t) // "the cousins Garnier: Hugo, Manon"
		return
	}
	if ids := p.r.letters(full); ids {
		p.letter(t, full).End = end
		return
	}
	if n := len(p.out.Terms); p.run != nil && !p.run.Word.Plural && n > 0 && p.sep == "&" && p.run.Word.Class == "kin" && !words.IsHan(full) {
		// "Grandma & Grandpa Nunez"
		sex, _ := words.Given(t.Key) // "Grammy and Grandpa Joe": his name alone
		if before := p.out.Terms[n-1]; before.Kind == Kin && !before.Word.Plural && len(before.Names) == 0 && before.Owner == nil && (sex == 0 || sex != p.run.Word.Sex || full != t.Text || p.peek(1).Open) && paired(before, p.run) {
			before.Name = full
			if p.peek(1).Open {
				k := p.add(&Term{Kind: Kin, Word: p.run.Word, Name: full, Text: p.run.Text}, t)
				k.Owner, p.run = cmp.Or(k.Owner, before.Owner), nil
				return
			}
			before.Kind, before.Rank = Person, before.Text
		}
	}
	p.person(t, full, end)
}

// person adds whom a name names, with the kin or role and the form of address before it.
func (p *parser) person(t *Phrase, full string, end int) {
	x := &Term{Kind: Person, Name: full, Rank: p.rank}
	p.rank = ""
	if half, w := p.r.surnamed([]rune(full)); half != "" && p.run == nil && len(full) == len(w.Text)+utf8.RuneLen([]rune(full)[0]) { // 林爸
		x.Word, p.own = w, &Owner{Name: half}
	}
	if p.run != nil {
		if x.Word = p.run.Word; p.baby && x.Word.Arg == "child" { // "their baby Otto"
			x.Attrs = append(x.Attrs, Attribute{Class: "infant", Start: t.Start, End: t.Start})
		}
		if p.own == nil {
			p.own = p.run.Owner
		}
		if shownRank(p.run, p.ph, p.i, full) && x.Rank == "" {
			x.Rank = strings.TrimSpace(p.run.textBefore(p))
		}
		if !p.run.Word.Plural {
			p.run, p.back = p.back, nil
		}
	}
	kin := slices.DeleteFunc(slices.Clone(p.r.Spoken(words.Find(words.Key(x.Rank)))), func(w words.Word) bool { return w.Class != "kin" })
	if len(kin) > 0 && kin[0].Arg == "grandparent" && (x.Word.Class != "kin" || x.Word.Arg == kin[0].Arg) {
		x.Attrs = append(x.Attrs, Attribute{Class: "elder", Start: t.Start, End: t.Start}) // "Lolo Ben", whosever he is
	}
	p.add(x, t)
	x.End, x.Text = end, strings.TrimSpace(x.Rank+" "+full)
}

// manyNames reports whether a run of names without marks between them is as many people: three, each of which stands elsewhere
// too or whose first does, without the second behind it, or four given names: "Wendy Clive Rosa Victor", "kayla morgan steph".
func (p *parser) manyNames(t *Phrase) bool {
	from, n, again, given := p.i, 0, true, true
	for from > 0 && p.ph[from-1].Kind == 'w' && p.r.NameLike(&p.ph[from-1]) {
		from--
	}
	k := from
	for ; k < len(p.ph) && p.ph[k].Kind == 'w' && p.r.NameLike(&p.ph[k]); k++ {
		_, known := words.Given(p.ph[k].Key)
		twice := p.r.Times[p.ph[k].Key] > 1 || p.ph[k].alone
		n++
		given, again = given && (known || p.ph[k].alone), again && twice
	}
	if n == 2 && p.run != nil && p.run.Word.Plural && p.ph[min(k, len(p.ph)-1)].Has("and") { // "bridesmaids Ann Bea and Cleo", where Ann stands alone elsewhere
		return given && p.r.Times[p.ph[from].Key] > 1 && p.r.timesBeside(p.ph[from].Key, p.ph[k-1].Key) < 2 && p.r.Times[p.ph[k-1].Key] < 2
	}
	called := !slices.ContainsFunc(p.ph[from:k], func(t Phrase) bool { return !p.r.calledJust(t.Key) })
	if n < 3 {
		return called && n == 2 && p.r.SeveralNames(p.ph[from].Key+" "+p.ph[from+1].Key)
	}
	if called {
		return true
	}
	first, last := &p.ph[from], &p.ph[k-1]
	_, known := words.Given(last.Key)
	beside := p.r.timesBeside(first.Key, p.ph[from+1].Key)
	apart := p.r.Lower && p.r.Times[first.Key] > beside || !p.r.Declared && (known || p.r.Times[last.Key] > 1) && p.r.Times[first.Key] > 1 && beside < 2
	return given && (again || n > 3) || apart
}

// calledJust reports whether somebody has a word for the whole of their name.
func (r *Reader) calledJust(key string) bool {
	ids := r.ByName[key]
	return len(ids) == 1 && names.Plain(r.Guests[ids[0]].Given) == key
}

// SeveralNames reports whether each word of a name is the whole name of somebody else, and stands alone in the list.
func (r *Reader) SeveralNames(name string) bool {
	keys := strings.Fields(names.Plain(name))
	return len(keys) > 1 && !slices.ContainsFunc(keys, func(key string) bool { return !r.calledJust(key) || !r.standsAlone(key) })
}

// standsAlone reports whether a word stands somewhere without a name beside it, or a bracket as behind a rank: "Sgt (ret) Moe".
func (r *Reader) standsAlone(key string) bool {
	name := func(ts []words.Token, k int) bool {
		return k >= 0 && k < len(ts) && (ts[k].Kind == 'w' && len(r.Lexical(ts[k])) == 0 || ts[k].Key == "(")
	}
	for _, ts := range r.Tokens {
		if !r.Effort.Spend(2 * len(ts)) {
			return false
		}
		for k := range ts {
			if ts[k].Key == key && !name(ts, k-1) && !name(ts, k+1) {
				return true
			}
		}
	}
	return false
}

// timesBeside is how often a word stands right behind another.
func (r *Reader) timesBeside(a, b string) int {
	n := 0
	for _, ts := range r.Tokens {
		if !r.Effort.Spend(len(ts)) {
			break
		}
		for k := 1; k < len(ts); k++ {
			if ts[k-1].Key == a && ts[k].Key == b {
				n++
			}
		}
	}
	return n
}

// fullName takes the words of a name, and returns where they end and whether they say whose something is.
func (p *parser) fullName(t *Phrase) (full string, end int, poss bool) {
	full, end, poss = t.Text, t.End, t.Possessive
	for !poss && !t.alone && !p.manyNames(t) {
		next := p.peek(1)
		dot := next.Key == "." && utf8.RuneCountInString(t.Text) == 1
		if dot {
			next = p.peek(2)
		}
		if next.Kind != 'w' || !next.Gap && !dot && words.Cased(next.Text) || !p.continues(next) {
			break
		}
		p.i++
		if dot {
			p.i++
		}
		full += " " + next.Text
		end, poss = next.End, next.Possessive
	}
	return full, end, poss
}

// ownsNext is whose the kin is that follows a name without the mark of whose.
func (p *parser) ownsNext(full string) *Owner {
	t, next := p.peek(0), p.peek(1)
	if !next.Has("kin") && !next.Has("side") || p.r.NameLike(next) {
		return nil
	}
	w, _ := next.Word("kin")
	if p.r.InCouple(t.Text) && (w.Plural || next.Has("side")) {
		return &Owner{Name: full}
	}
	if (next.Has("side") || w.Arg == "family" && w.Plural) && next.Gap && len(p.r.Find(full)) != 1 && len(p.cur) == 0 {
		return &Owner{Name: full} // "Fenwick side"
	}
	return nil
}

// standsFirst reports whether a word stands somewhere without a name right before it, so that it is no last name.
func (r *Reader) standsFirst(key string) bool {
	for _, ts := range r.Tokens {
		if !r.Effort.Spend(2 * len(ts)) {
			return false
		}
		for k := range ts {
			if ts[k].Key == key && (k == 0 || ts[k-1].Kind != 'w' || len(r.Lexical(ts[k-1])) > 0) {
				return true
			}
		}
	}
	return false
}

// continues reports whether a word goes on with a name: a surname, an initial, "Jr".
func (p *parser) continues(next *Phrase) bool {
	if half, _ := p.r.surnamed([]rune(next.Text)); half != "" { // 林爸林妈
		return false
	}
	if next.alone || next.Has("stands") || p.r.parted[[2]string{p.peek(0).Key, next.Key}] {
		return false
	}
	if p.r.Lower && p.r.standsFirst(next.Key) {
		return false // "me dan holly beth", in a list without capitals
	}
	if utf8.RuneCountInString(next.Text) == 1 && next.Capital {
		return true
	}
	if k := next.Key; k == "jr" || k == "junior" || k == "snr" || k == "sr" {
		return true
	}
	return p.r.NameLike(next)
}

// shownRank reports whether kin stands with a name as people say it: "Nana Ruth", "Uncle Stu".
func shownRank(k *Term, ph []Phrase, i int, name string) bool {
	switch k.Word.Arg {
	case "grandparent", "greatgrandparent", "aunt", "greataunt":
		return !k.Word.Plural
	case "parent", "sibling", "godparent":
		return !k.Word.Plural && k.Word.Lang == "other"
	}
	return k.Word.Class == "role" && slices.Contains([]string{"officiant", "co"}, k.Word.Arg) && !k.Word.Plural
}

// textBefore is the word of kin as written before the name, when it is in capitals.
func (t *Term) textBefore(p *parser) string {
	r := []rune(t.Text + "x")[0]
	if unicode.IsUpper(r) || !words.Cased(t.Text) || t.Word.Lang != "en" {
		return t.Text
	}
	return ""
}

// kunya takes an Arabic name by somebody's child for the name of the kin before it, or of whoever is called so: "جدتها أم خالد".
func (p *parser) kunya(t *Phrase) bool {
	next := p.peek(1)
	if t.Key != "ام" && t.Key != "ابو" || next.Kind != 'w' || !p.r.NameLike(next) {
		return false
	}
	k := p.lastOpen()
	among := p.in || p.sep == "&" && len(p.out.Terms) > 0 && p.out.Terms[len(p.out.Terms)-1].Kind == Person
	if k == nil && among && len(p.cur) == 0 && p.r.InCouple(next.Text) { // the father of the groom, who is called so
		w := words.Word{Class: "kin", Arg: "parent", Text: t.Text, Sex: map[string]byte{"ام": 'w', "ابو": 'm'}[t.Key], Lang: "ar"}
		p.i++
		p.person(t, t.Text+" "+next.Text, next.End)
		if n := len(p.cur); n > 0 {
			p.cur[n-1].Word, p.cur[n-1].Owner = w, &Owner{Name: next.Text}
		}
		return true
	}
	if k == nil && (p.r.InCouple(next.Text) || len(p.cur) > 0 || len(p.r.Find(next.Text)) > 0) {
		return false
	}
	if k != nil {
		p.own, p.run, p.cur = k.Owner, k, p.cur[:len(p.cur)-1]
	}
	p.i++
	p.person(t, t.Text+" "+next.Text, next.End)
	return true
}
