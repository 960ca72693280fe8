package speech

import (
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/prose/words"
)

// honour takes words for whom the day is about.
func (p *parser) honour(t *Phrase) bool {
	r := p.r
	if r.Honour < 0 || p.own != nil || r.NameLike(p.peek(1)) {
		return false
	}
	name := r.Guests[r.Honour].Given
	if w, _ := t.Word("honour"); w.Arg == "spouse" {
		name = r.Guests[r.Spouse].Given
	}
	if t.Possessive {
		p.own = &Owner{Name: name}
	} else {
		p.add(&Term{Kind: Person, Name: name}, t)
	}
	return true
}

// self takes words for whoever wrote the list, where they stand as people do and not before a verb.
func (p *parser) self(t *Phrase) bool {
	if !p.joined() {
		return false
	}
	name := p.r.Writes
	switch by := p.r.Line.By; {
	case by == "":
	case p.r.HalfNamed(by) > 0:
		name = ""
	case len(p.r.Find(by)) != 1:
		return false
	default:
		name = by
	}
	if i := p.r.WriterID(); name != "" && i >= 0 {
		name = p.r.Guests[i].Given
	}
	if name == "" {
		if p.r.Couple[0] < 0 {
			return false
		}
		name = p.r.Guests[p.r.Couple[p.r.Myself()-1]].Given
	}
	me := &Term{Kind: Person, Name: name}
	if p.run != nil && p.run.Kind == Role { // "ushers: me, Joe"
		me.Word, p.own = p.run.Word, p.run.Owner
	}
	p.add(me, t)
	return true
}

// us takes words for whoever writes with others, as many as are said.
func (p *parser) us(t *Phrase, n int) bool {
	if w, ok := p.peek(1).Word("num"); ok && n == 0 {
		n = int(w.Arg[0] - '0')
		p.i++
	}
	if next := p.peek(1); next.Kind == 'n' && p.peek(2).Has("count") && n == 0 { // 我们家4个人
		n = next.Num
		p.i += 2
	}
	x := &Term{Kind: Us, Text: t.Text}
	if w, ok := p.peek(1).Word("kin"); ok && w.Arg == "child" && w.Plural { // "us three kids"
		x.Word = w
		p.i++
	}
	p.add(x, t).Number = n
	return true
}

// you takes "you" in a chat of the couple for the other of them.
func (p *parser) you(t *Phrase) bool {
	h := p.r.HalfNamed(p.r.Line.By)
	if h == 0 || !p.joined() {
		return false
	}
	p.add(&Term{Kind: Person, Name: p.r.Guests[p.r.Couple[2-h]].Given}, t)
	return true
}

// ofSide takes "everybody" with a side behind it for all on that: "everyone from my side", "alle von Jonas' Seite".
func (p *parser) ofSide() bool {
	if next := p.peek(1); !next.Has("of") && !next.Has("prep") && !next.Has("from") && !next.Has("with") {
		return false
	}
	for k := 2; k < 5; k++ {
		next := p.peek(k)
		w, _ := next.Word("kin")
		switch {
		case next.Has("side") || w.Arg == "family":
			p.i++
			return true
		case next.Kind != 'w' && next.Key != "'", next.Has("and"), next.Has("with"):
			return false
		}
	}
	return false
}

// joined reports whether the current word stands where people do: alone, or joined to others.
func (p *parser) joined() bool {
	next, before := p.peek(1), p.peek(-1)
	return p.closes() || next.Open || p.r.NameLike(next) ||
		before.Key == "+" || before.Key == "&" || before.Has("and") || before.Has("with") || before.Has("of")
}

// closes reports whether no more words for the same people follow the current word.
func (p *parser) closes() bool {
	next := p.peek(1)
	if next.Kind != 'w' {
		return true
	}
	for _, class := range []string{"and", "with", "minus", "alone", "prep", "verb", "remark", "first", "last", "next", "must", "nice", "both"} {
		if next.Has(class) {
			return !next.Has("fill") && !next.Has("kin")
		}
	}
	return false
}

// bothOfThem takes "both" for the couple: "both with P1's mum", "wedding party with both".
func (p *parser) bothOfThem(t *Phrase) bool {
	next, before := p.peek(1), p.peek(-1)
	begins := (len(p.out.Terms)+len(p.cur) == 0 || before.Has("of")) && (next.Has("with") || next.Key == "+")
	ends := next.Kind == 0 && (before.Has("with") || before.Has("and") || before.Key == "+" || before.Key == "&" || p.i == 0)
	if p.own != nil || p.r.Couple[0] < 0 || !begins && !ends {
		return false
	}
	p.add(&Term{Kind: Couple}, t)
	return true
}

// ranked takes a form of address before a name.
func (p *parser) ranked(t *Phrase) bool {
	skip := 1
	for p.peek(skip).Key == "." || p.peek(skip).Has("rank") && p.peek(skip+1).Key == "." { // "Hon. Sec. Ann Poole"
		skip++
	}
	next := p.peek(skip)
	if p.r.NameLike(next) && (t.Capital || !words.Cased(t.Text) || p.r.Lower || utf8.RuneCountInString(t.Text) > 1) {
		p.rank = strings.TrimSpace(p.rank + " " + t.Text)
		p.i += skip - 1
		return true
	}
	if (next.Key == "&" || next.Has("and")) && t.Capital {
		after := p.peek(skip + 1)
		if _, ok := after.Word("rank"); ok && p.r.NameLike(p.peek(skip+2)) {
			name := p.peek(skip + 2)
			p.spouses(t.Text, after.Text, name)
			p.i += skip + 2
			return true
		}
	}
	return false
}

// whose takes a word for whose the next words are, where it is one there: "her mum", and not "one of her".
func (p *parser) whose(t *Phrase, w words.Word) bool {
	next := p.peek(1)
	switch {
	case w.Class == "my":
		if t.Has("self") && !next.Has("kin") && !next.Has("role") && !next.Has("group") {
			return false
		}
	case t.Has("rank") && p.r.NameLike(next), t.Has("pron") && p.closes() && !(next.Kind == 'n' && (p.peek(2).Has("kin") || p.peek(2).Has("role"))) && !(next.Has("num") && p.peek(2).Kind == 0): // "Seu Antônio"; "her 4 children", "her two"
		return false
	}
	if k := p.lastKin(); k != nil && (w.Lang == "pt" && w.Class != "my" && w.Class != "our" || w.Lang == "es" && strings.HasPrefix(t.Key, "de ")) {
		p.ownBack(k, ownerSaid(w.Class))
		p.nameBehind(k, next) // "o namorado dela", "irmão dele Gustavo"
		return true
	}
	p.own = ownerSaid(w.Class)
	return true
}

// everybody takes words for all, or for all of those that follow or stand before.
func (p *parser) everybody(t *Phrase) {
	next := p.peek(1)
	for _, class := range []string{"my", "her", "his", "their", "our"} {
		if next.Has(class) && (p.peek(2).Has("kin") || p.peek(2).Has("role") || p.peek(2).Has("group")) {
			p.all, p.every = true, true // "todos sus padrinos"
			return
		}
	}
	switch n := len(p.cur); {
	case next.Has("kin"), next.Has("role"), next.Has("group"), p.r.NameLike(next), next.Kind == 'n', next.Has("half"), next.Has("num"), next.Has("of") && p.peek(2).Kind == 'n':
		p.all, p.every = true, true
	case n > 0 && (p.cur[n-1].Word.Plural || p.cur[n-1].number() > 0):
		p.cur[n-1].All = true // "wedding party all together"
	case p.allOfFamily():
	case !p.ofSide():
		p.add(&Term{Kind: All}, t)
	}
}

// short takes letters for a parent, brother or sister of one of the couple: "MOB".
func (p *parser) short(t *Phrase, w words.Word) bool {
	k := words.Word{Class: "kin", Arg: "parent", Plural: w.Arg == "parents", Text: w.Arg, Lang: w.Lang}
	if w.Lang == "zh" {
		k.Text = w.Text
	}
	person, step := strings.CutPrefix(w.Arg, "step")
	k.Step = step
	switch k.Sex = map[string]byte{"mother": 'w', "father": 'm', "grandmother": 'w', "grandfather": 'm', "sister": 'w', "brother": 'm'}[person]; person {
	case "sister", "brother":
		if !words.Capitals(t.Text) {
			return false // Bob
		}
		k.Arg = "sibling"
	case "grandmother", "grandfather":
		k.Arg = "grandparent"
	}
	p.own = &Owner{Half: w.Side}
	if first := p.r.firstBehind[t.Key]; first != "" && first != p.peek(1).Key && p.r.NameLike(p.peek(1)) {
		p.add(&Term{Kind: Kin, Word: k, Text: t.Text}, t) // "MOB FOB Liam", where "FOB Tony" stands before
	} else {
		p.kin(t, k)
	}
	return true
}

// spouses adds two people of one last name: "Mr & Mrs Benali".
func (p *parser) spouses(one, other string, name *Phrase) {
	run := p.run
	for _, rank := range []string{one, other} {
		x := p.add(&Term{Kind: Person, Name: name.Text, Rank: rank, Text: rank + " " + name.Text}, name)
		x.Sep = "&"
		if run != nil {
			x.Word, x.Owner = run.Word, run.Owner
		}
	}
	p.run = nil
}

// ownYoung is the sex of somebody's children where their ages follow, else 0: "my girls Imogen (15) and Tabitha (11)".
func (p *parser) ownYoung(t *Phrase) byte {
	if p.own == nil || !slices.ContainsFunc(p.ph[p.i+1:], func(n Phrase) bool { return young(&n) }) {
		return 0
	}
	switch {
	case words.Listed("daughters", t.Key):
		return 'w'
	case words.Listed("sons", t.Key):
		return 'm'
	}
	return 0
}

// young reports whether an age of somebody who is no grandparent follows: "(10)", "10".
func young(next *Phrase) bool {
	n := next
	if next.Open && len(next.Inside) > 0 {
		n = &next.Inside[0]
	}
	return n.Kind == 'n' && n.Num < 35
}

// special takes words whose neighbours give them another meaning than they have first.
func (p *parser) special(t *Phrase) bool {
	_, given := words.Given(t.Key)
	kin, isKin := t.Word("kin")
	role, _ := t.Word("role")
	switch next := p.peek(1); {
	case p.i == 0 && t.Key == "all" && !p.in && (next.Key == "," || next.Key == "." || next.Key == "!" || next.Open || next.Kind == 0): // "all, from the balcony"
		p.add(&Term{Kind: All}, t)
	case words.Listed("carrying", t.Key) && p.peopleNext(): // "Mum holding Albie"
		p.flush("+")
		p.neg = false
	case t.Has("num") && p.own != nil && ((p.own.Pronoun == "her" || p.own.Pronoun == "his" || p.own.Pronoun == "their") && (next.Open || next.Kind == 0) || p.own.Name != "" && (next.Kind == 'p' || p.in)): // "their two (Gwen and Osian)", "Ann and her two", "Ann's two, Gwen 3 and Osian 1"
		w, _ := t.Word("num")
		p.num = int(w.Arg[0] - '0')
		p.kin(t, words.Word{Class: "kin", Arg: "child", Plural: true, Text: t.Text})
	case (given || MainClass(t) == "kin" && t.Words[0].Lang == "other") && t.Capital && isKin && young(p.peek(1)): // "Poppy (10)"
		p.name(t)
	case isKin && t.Capital && !t.Possessive && p.own == nil && p.r.youngNamed(t.Text): // "me with Poppy and Luca"
		p.name(t)
	case t.Has("rank") && t.Capital && !isKin && len(t.Words) == 1 && p.peek(1).Kind != 'w' && p.peek(1).Key != "." && (p.peek(-1).Key == "," || p.peek(-1).Key == "+" || p.peek(-1).Key == "&" || p.peek(-1).Has("and")): // "Jan, Col"
		p.name(t)
	case t.Has("rank") && t.Has("fill") && t.Capital && !p.r.Loud && p.i > 0 && len(p.lost) == 0 && p.r.NameLike(p.peek(1)) && p.peek(1).Capital && !p.r.InCouple(p.peek(1).Text) && !p.peek(2).Has("kin") && !p.peek(2).Has("group") && !p.peek(1).Possessive: // "Dan, Big Phil"
		p.rank = t.Text
	case t.Has("month") && t.Capital && len(p.cur)+len(p.lost) == 0 && p.peek(1).Kind != 'n' && p.peek(-1).Kind != 'n' && !(p.peek(-1).Key == "." && p.peek(-2).Kind == 'n') && (p.i > 0 || p.in): // "Regina, Abril"
		p.name(t)
	case p.lastKin() != nil && (t.Key == "ella" || t.Key == "el") && (p.peek(1).Kind == 0 || p.peek(1).Open || p.peek(1).Kind == 'p'): // "padres ella (Ana, Luis)"
		p.ownBack(p.lastKin(), ownerSaid(map[string]string{"ella": "her", "el": "his"}[t.Key]))
	case p.kunya(t):
	case t.Has("rank") && t.Has("minus") && words.Capitals(t.Text) && !p.r.Loud && p.r.NameLike(p.peek(1)): // "WO Tully"
		p.ranked(t)
	case p.called(t):
	case p.r.Titled(t) >= 0 && !p.r.NameLike(p.peek(1)) && p.peek(1).Key != "." && !p.peek(2).Has("rank"):
		p.add(&Term{Kind: Person, Name: p.r.Guests[p.r.Titled(t)].Given}, t) // "the Chair", where there is "Chair Ann Poole"
	case words.Listed("namely", t.Key) && (p.peopleNext() || p.peek(1).Possessive && p.peek(2).Has("kin")):
		p.dash()
		if p.neg = false; len(p.out.Terms) > 0 && p.out.Terms[len(p.out.Terms)-1].group() {
			p.told, p.behind = len(p.out.Terms), len(p.out.Terms)
		}
	case p.theyAre(t), p.isYears(t), p.have(t):
	case t.Key == "everyone in" && !p.wholeOf(): // "everyone in the two lists"
		p.add(&Term{Kind: All}, t)
		p.prep = true
	case p.swap && (t.Has("for") || t.Has("with")):
		p.flush("+")
		p.neg, p.swap = false, false
	case t.Has("honour") && p.meaning(t, words.Word{Class: "honour"}):
	case role.Arg == "officiant" && isKin && p.own == nil && p.r.NameLike(p.peek(1)): // "el padre Tomás"
		p.role(t, role)
	case isKin && p.own != nil && t.Has("child"): // "her little girl Ida"
		p.kin(t, kin)
	case words.Listed("owned", t.Key) && p.own == nil && !p.all && !p.every: // a place, and no "bride's house"
		p.lostWord(t)
	default:
		return false
	}
	return true
}

// called takes what somebody is called too, and how a name is said: "Robert aka Bob", "Niamh, say Neev", "Niamh, sprich Niev".
func (p *parser) called(t *Phrase) bool {
	if k := p.lastOpen(); k != nil && k.Kind == Kin && k.Word.Arg != "family" && (words.Listed("called", t.Key) || p.onlyIs(t)) && p.r.NameLike(p.peek(1)) { // "my dad is called Karl"
		p.own, p.cur, p.run = k.Owner, p.cur[:len(p.cur)-1], k
		k.Word.Plural = k.Word.Plural && words.Listed("are", t.Key) || k.Word.Sex == 0 && p.peek(2).Has("and") && p.r.NameLike(p.peek(3)) // "her parents are called Ida and Karl", but "dads called Tom", without the apostrophe
		return true
	}
	last, a := p.lastNamed(), Attribute{Class: "nick", Text: p.peek(1).Text}
	if p.peek(1).Kind != 'w' || last == nil && !p.in {
		return false
	}
	switch {
	case t.Key == "aka", t.Key == "called", t.Key == "known as":
		p.i++
	case t.Key == "say", t.Has("aloud"):
		a.Class = "say"
		for p.i++; p.peek(1).Kind == 'w'; p.i++ {
			a.Text += " " + p.peek(1).Text
		}
	default:
		return false
	}
	if last != nil {
		last.Attrs = append(last.Attrs, a)
	} else {
		p.out.Attrs = append(p.out.Attrs, a)
	}
	return true
}

// lastNamed is the person named last, in this chunk or right before it.
func (p *parser) lastNamed() *Term {
	for _, list := range [][]*Term{p.cur, p.out.Terms} {
		for k := len(list) - 1; k >= 0; k-- {
			if list[k].Kind == Person {
				return list[k]
			}
		}
	}
	return nil
}

// repeated takes names behind a dash, among them all who are named before it, for those of the group before it: "Player of the year
// with Ann - Leo + Ann".
func (p *parser) repeated() {
	before, rest := p.out.Terms[:min(p.dashed, len(p.out.Terms))], p.out.Terms[min(p.dashed, len(p.out.Terms)):]
	groups := Without(before, func(t *Term) bool { return !t.group() })
	if len(groups) == 0 || len(groups) > 1 && !p.title || len(before) < 2 || slices.ContainsFunc(rest, func(t *Term) bool {
		return t.Kind != Person && (t.Kind != Kin || t.Word.Plural) || t.Kind == Person && t.Word.Class != "" || t.Minus
	}) {
		return
	}
	others := len(before) - len(groups)
	for _, t := range before {
		ids := p.r.Find(t.Name)
		k := slices.IndexFunc(rest, func(x *Term) bool { return t.Kind == Person && len(ids) == 1 && slices.Equal(p.r.Find(x.Name), ids) })
		if k >= 0 {
			rest, others = slices.Concat(rest[:k], rest[k+1:]), others-1
		}
	}
	if all := before[0]; others > 0 && len(rest) > 1 && groups[0] == all && all.Kind == Label && (all.All || all.Every) {
		others = 0 // "All ladies of our family with Ada - myself, Ida, Vera"
	}
	if others > 0 || len(rest) < len(groups) || len(groups) > 1 && len(rest) > len(groups) {
		return
	}
	for k, t := range groups {
		if t.Names = rest[k : k+1]; len(groups) == 1 {
			t.Names = rest
		}
	}
	p.out.Terms = slices.Clone(before)
}
