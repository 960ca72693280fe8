package speech

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/words"
)

// half takes the bride or the groom: themselves, or whose the next words are.
func (p *parser) half(t *Phrase, w words.Word) {
	if p.owned(t) {
		p.own = &Owner{Half: w.Sex, Both: p.own != nil && p.own.Half != 0 && p.own.Half != w.Sex}
		return
	}
	if k := p.lastKin(); k != nil {
		p.ownBack(k, &Owner{Half: w.Sex})
		k.End = max(k.End, t.End)
		p.nameBehind(k, p.peek(1)) // أخت العريس لمى, "Bruder des Bräutigams Karl"
		return
	}
	if p.grp && len(p.cur) == 0 && p.own == nil && !words.Cased(t.Text) { // صديقات العروس
		p.own = &Owner{Half: w.Sex}
		return
	}
	p.add(&Term{Kind: Half, Word: w}, t)
}

// friendOf reports whether a word for one of the couple says whose friend somebody is: "el novio de Irene".
func (r *Reader) friendOf(ph []Phrase, k int) bool {
	return k+2 < len(ph) && ph[k].Has("half") && ph[k+1].Has("of") && ph[k+2].Kind == 'w' && r.NameLike(&ph[k+2]) && words.Cased(ph[k].Text) && (ph[k].Words[0].Lang == "es" || ph[k].Words[0].Lang == "pt") && !r.InCouple(ph[k+2].Text)
}

// nameBehind takes the name behind kin and whose it is for theirs: "mother of the groom Ann".
func (p *parser) nameBehind(k *Term, next *Phrase) {
	if n := len(p.cur); n > 0 && p.cur[n-1] == k && k.Kind == Kin && (!k.Word.Plural || !words.Cased(next.Text)) && k.Word.Arg != "family" && p.r.NameLike(next) && !next.Possessive {
		p.own, p.cur, p.run = k.Owner, p.cur[:n-1], k
	}
}

// owned reports whether what stands at t says whose the next words are.
func (p *parser) owned(t *Phrase) bool {
	for k := 1; k < 5; k++ {
		next := p.peek(k)
		switch {
		case next.Has("kin") || next.Has("role") && !p.r.NameLike(next), next.Has("side"), next.Has("group"), next.Has("immediate"), next.Has("extended"), next.Has("mat"), next.Has("pat"):
			return t.Possessive || k == 1 || next.Has("side")
		case k == 1 && words.IsHan(t.Text) && next.Kind == 'w' && p.peek(2).Has("group"): // 新娘高中同学
			return true
		case t.Possessive && next.Key == "&" || t.Possessive && next.Has("and") || t.Possessive && next.Key == "/":
			return true
		case t.Possessive && (next.Has("fill") || next.Kind == 'w' && !p.r.NameLike(next)):
			continue
		}
		return t.Possessive
	}
	return t.Possessive
}

// lastKin is words for several of kin right before, whose owner may follow: "Eltern Braut".
func (p *parser) lastKin() *Term {
	if n := len(p.cur); n > 0 && (p.cur[n-1].Kind == Kin || p.cur[n-1].Kind == Label || p.cur[n-1].Kind == Role) && p.cur[n-1].Owner == nil && len(p.cur[n-1].Names) == 0 {
		return p.cur[n-1]
	}
	return nil
}

// ownBack says whose kin before is, and that of the kin joined to it.
func (p *parser) ownBack(k *Term, o *Owner) {
	k.Owner = o
	sep := k.Sep
	for i := len(p.out.Terms) - 1; i >= 0 && (sep == "&" || sep == "," || sep == "/"); i-- {
		t := p.out.Terms[i]
		if t.Kind != Kin || t.Owner != nil || len(t.Names) > 0 {
			return
		}
		t.Owner, sep = o, t.Sep
	}
}

func (p *parser) couple(t *Phrase, w words.Word) {
	next := p.peek(1)
	if (t.Key == "brides" || t.Key == "grooms") && (next.Has("kin") || next.Has("role") || next.Has("side") || next.Has("immediate") || next.Has("fill") && p.peek(2).Has("kin")) {
		p.own = &Owner{Half: map[string]byte{"brides": 'w', "grooms": 'm'}[t.Key]}
		return
	}
	if t.Key == "mr & mrs" || t.Key == "mr and mrs" || t.Key == "mr + mrs" {
		if p.r.NameLike(next) && (!p.r.InCouple(next.Text) || p.coupleBeside()) {
			p.i++
			p.spouses("Mr", "Mrs", next)
			return
		}
	}
	if t.Possessive && (next.Has("kin") || next.Has("group")) {
		p.own = &Owner{Both: true}
		return
	}
	if k := p.lastKin(); k != nil && k.Word.Arg == "family" {
		p.ownBack(k, &Owner{Both: true})
		return
	}
	p.add(&Term{Kind: Couple}, t)
}

// coupleBeside reports whether the stretch names one of the couple besides the current words, so that "Mr & Mrs Lind" beside them
// are others of that last name.
func (p *parser) coupleBeside() bool {
	for k := range p.ph {
		if k != p.i && k != p.i+1 && (p.ph[k].Has("half") || p.ph[k].Has("couple") || p.r.NameLike(&p.ph[k]) && p.r.InCouple(p.ph[k].Text)) {
			return true
		}
	}
	return false
}

func (p *parser) kin(t *Phrase, w words.Word) { p.kinOf(t, w, 0) }

// kinOf takes words of kin: with a name behind, with an owner, or alone.
func (p *parser) kinOf(t *Phrase, w words.Word, near byte) {
	next := p.peek(1)
	if next.Key == "." && !next.Gap && p.peek(2).Capital && len([]rune(t.Text)) < 6 && p.r.NameLike(p.peek(2)) && p.r.abbreviation(t.Key) {
		p.i++
		next = p.peek(1)
	}
	if words.Listed("another", t.Key) && (next.Has("with") || next.Has("of")) {
		return // "plus one with the lads"
	}
	if w.Lang == "other" && !w.Plural && next.Has("infant") && next.Capital && !p.r.Loud {
		next.Words = nil // "Tita Baby"
	}
	if w.Arg == "child" && t.Has("infant") && len(p.cur) > 0 && p.cur[len(p.cur)-1].Kind == Person && !p.r.NameLike(next) {
		p.attr(Attribute{Class: "infant", Text: t.Text, Start: t.Start, End: t.End})
		return
	}
	if t.Possessive && w.Arg != "family" && (next.Kind == 0 || next.Kind == 'p' && !next.Open || next.Has("and")) {
		t.Possessive, w.Plural = false, true // "siblings & S/O's"
	}
	if nw, ok := next.Word("kin"); ok && w.Arg == "child" && !w.Plural && !t.Possessive && next.Gap && nw.Arg != "child" && nw.Arg != "partner" && nw.Arg != "family" && !p.r.NameLike(next) {
		return // "petite sœur", "kid brother", "baby cousins"
	}
	if w.Owner != "" {
		p.own = ownerSaid(w.Owner)
	}
	if w.Arg == "family" && p.familyOf(near) || p.saysOf(t, w, next) {
		return
	}
	k := &Term{Kind: Kin, Word: w, Close: near, Line: w.Line, Text: t.Text}
	p.baby = w.Arg == "child" && t.Has("infant")
	if t.Possessive || w.Arg != "family" && p.plainOwner(next) {
		k.Owner = p.own
		k.Start, k.End, k.Text = t.Start, t.End, t.Text
		p.own = &Owner{Kin: k}
		p.num = 0
		return
	}
	if p.namesNext(k, t, next) {
		return
	}
	if n := len(p.cur); n == 1 && w.Plural && next.Open && p.cur[0].Kind == Person && p.cur[0].Word.Class == "" && p.cur[0].Article && p.own == nil && p.r.SeenOnce(p.cur[0].Name) { // "the Kerry cousins (...)"
		p.cur = nil
	}
	if old := p.run; old != nil && old.Word.Plural && Elder(old.Word.Arg) && Elder(w.Arg) && !w.Plural {
		k.Word.Arg = old.Word.Arg
		p.own = cmp.Or(p.own, old.Owner)
		p.add(k, t)
		return
	}
	if kw, ok := next.Word("kin"); ok && (w.Plural || p.own != nil && next.Capital && !p.r.Lower) && Elder(w.Arg) && Elder(kw.Arg) && !kw.Plural && !next.Has("of") && p.r.NameLike(p.peek(2)) {
		k.Owner, p.own = p.own, nil
		p.run = k
		return
	}
	if last := p.lastTerm(); last != nil && p.sep == "&" && last.Kind == Kin {
		paired(last, k)
	}
	p.add(k, t)
	p.run = nil
}

// behindName is the person right before words of kin that many languages put behind the name: "Pooja akka", "Murali Mama".
func (p *parser) behindName(t *Phrase) *Term {
	other := slices.ContainsFunc(t.Words, func(w words.Word) bool {
		return w.Class == "kin" && !w.Plural && (w.Lang == "other" || w.Arg == "aunt" && w.Lang == "en" && !t.Capital && !p.nameAfterKin()) // "Rajesh uncle"
	})
	w, _ := t.Word("kin")
	if n := len(p.cur); other && (!t.Capital || !p.nameAfterKin()) && !t.Possessive && n > 0 && p.cur[n-1].Kind == Person && (p.cur[n-1].Word.Class == "" || p.cur[n-1].Word.Plural && !t.Capital || p.cur[n-1].Word.Class == "kin" && !t.Capital && Elder(w.Arg)) && t.Gap && words.Cased(t.Text) {
		return p.cur[n-1]
	}
	return nil
}

// familyOf takes the person before "family" for whose it is, and reports whether the words are a label: "Parker family".
func (p *parser) familyOf(near byte) bool {
	if k := p.lastOpen(); k != nil && p.own == nil && k.Owner == nil && !k.Word.Plural && words.IsHan(p.peek(0).Text) { // 舅舅一家
		p.cur, p.from, p.grp = p.cur[:len(p.cur)-1], p.i-1, true
		return true
	}
	if p.rank == "" && len(p.cur) == 1 && p.cur[0].Kind == Person && p.own == nil && p.cur[0].Sep != " " {
		c := p.cur[0]
		if p.r.InCouple(c.Name) {
			p.own, p.cur = &Owner{Name: c.Name}, nil
		} else { // "Parker family", "Katz side"
			p.grp = true
			return true
		}
	}
	if n := len(p.out.Terms); p.own == nil && near == 0 && len(p.cur) == 0 && n > 0 && p.sep == "&" && !p.in {
		if x := p.out.Terms[n-1]; x.Kind == Person && p.r.HalfNamed(x.Name) == 0 && !p.r.IsHonour(x.Name) && (x.Owner == nil || x.Owner.Pronoun == "") {
			p.own = &Owner{Name: x.Name, Near: true} // "Aunt Nighat & family"
		}
	}
	return false
}

// saysOf takes kin for what the person before it is: "Ann, sister".
func (p *parser) saysOf(t *Phrase, w words.Word, next *Phrase) bool {
	if h, isHalf := next.Word("half"); (isHalf || p.r.NameLike(next) && p.r.Known[next.Key]) && w.Lang == "ar" && w.Owner == "" && !w.Plural && len(p.cur) > 0 && p.cur[len(p.cur)-1].Kind == Person && p.cur[len(p.cur)-1].Word.Class == "" {
		x := p.cur[len(p.cur)-1] // "الحاج إبراهيم جد العريس", "رنا زوجة طارق"
		x.Word, x.Owner = w, &Owner{Half: h.Sex}
		if !isHalf {
			x.Owner = &Owner{Name: next.Text}
		}
		p.i++
		return true
	}
	if x := p.behindName(t); x != nil {
		if x.Text += " " + t.Text; x.Word.Class != "" {
			return true // "his parents Rajesh uncle and Nisha aunty"
		}
		x.Word = w
		for _, other := range t.Words {
			if other.Class == "kin" && other.Lang == "other" {
				x.Word = other
			}
		}
		return true
	}
	return false
}

// namesNext takes kin with the names that follow it, and reports whether there are any.
func (p *parser) namesNext(k *Term, t, next *Phrase) bool {
	if k.Word.Arg == "family" && p.r.NameLike(next) && !next.Possessive && p.own == nil {
		p.i++
		if p.r.InCouple(next.Text) {
			p.own = &Owner{Name: next.Text}
			p.add(k, t)
			return true
		}
		p.grp = true
		return true
	}
	if t.Key == "father" && t.Capital && !p.r.Loud && p.own == nil && p.run == nil && !p.in && !p.r.motherNamed() && p.r.NameLike(next) && !next.Possessive { // "Father Tom" is the priest
		k.Kind, k.Word, p.rank = Role, words.Word{Class: "role", Arg: "officiant", Lang: "en", Sex: 'm', Text: t.Text}, t.Text
		p.run = k
		return true
	}
	if n := p.ranksNext(); n > 0 && k.Word.Arg != "family" && !k.Word.Plural { // "his wife Pastor Mrs Grace"
		for ; n > 0; n-- {
			p.i++
			p.rank = strings.TrimSpace(p.rank + " " + p.ph[p.i].Text)
		}
		k.Owner = p.own
		p.run = k
		return true
	}
	if p.addressNext(k, t, next) {
		return true
	}
	if k.Word.Arg != "family" && p.nameAfterKin() && !next.Possessive {
		if p.r.Lower && k.Word.Arg == "parent" && p.r.otherKin(next.Key) { // "mum dad callum"
			p.add(k, t)
			return true
		}
		if k.Word.Plural && k.Word.Arg == "parent" && k.Word.Sex != 0 && p.r.Author > 0 && !(p.peek(2).Has("and") && p.r.NameLike(p.peek(3))) {
			k.Word.Plural = false // "mums Julie and dads Steve", without the apostrophe
		}
		if (k.Word.Plural || p.r.Main == "de" && k.Word.Arg != "partner") && p.r.InCouple(next.Text) { // "Eltern u. Schwester Moritz"
			p.ownBack(p.add(k, t), &Owner{Name: next.Text})
			p.i++
			return true
		}
		if !words.Cased(next.Text) && p.own == nil && (p.childrenOf(k, t, next) || p.r.InCouple(next.Text)) && !words.IsHan(next.Text) {
			p.kinOfCouple(k, t, next)
			return true
		}
		if next.Has("half") || next.Has("couple") {
			p.add(k, t)
			return true
		}
		k.Owner = p.own
		if old := p.run; old != nil && Elder(old.Word.Arg) && Elder(k.Word.Arg) && (old.Word.Plural || old.Owner != nil && t.Capital) {
			if k.Word.Arg, k.Owner = old.Word.Arg, old.Owner; old.Word.Plural {
				p.back = old
			}
		}
		p.run = k
		return true
	}
	return false
}

// addressNext takes what somebody is called before their name for no other kin than the word before it says: حماتها طنط عزة.
func (p *parser) addressNext(k *Term, t, next *Phrase) bool {
	w, ok := next.Word("kin")
	if !ok || p.own == nil || w.Arg != "aunt" || w.Plural || w.Owner != "" || words.Cased(t.Text) || words.IsHan(t.Text) || !p.r.NameLike(p.peek(2)) {
		return false
	}
	p.i++
	p.rank, k.Owner, p.run = next.Text, p.own, k
	return true
}

// childrenOf reports whether a name behind "children" says whose they are, as in Arabic: ولاد تامر: ياسين.
func (p *parser) childrenOf(k *Term, t, next *Phrase) bool {
	return k.Word.Lang == "ar" && k.Word.Arg == "child" && k.Word.Plural && !strings.HasPrefix(strings.TrimPrefix(t.Text, "و"), "ال") &&
		(p.peek(2).Key == ":" || p.peek(2).Open && !young(p.peek(2)) || p.r.grownUp(next.Text))
}

// grownUp reports whether a name is that of one who is no child.
func (r *Reader) grownUp(name string) bool {
	ids := r.Find(name)
	return len(ids) == 1 && (r.Guests[ids[0]].Age > 17 || slices.ContainsFunc(r.Guests[ids[0]].Relations, func(x people.Relation) bool {
		return x.Word.Arg != "child" && x.Word.Arg != "niece" && x.Word.Arg != "cousin"
	}))
}

// otherKin reports whether the list has a name right behind other kin than a parent: "my brother callum".
func (r *Reader) otherKin(key string) bool {
	for _, ts := range r.Tokens {
		if !r.Effort.Spend(2 * len(ts)) {
			return false
		}
		for k := 1; k < len(ts); k++ {
			if ts[k].Key == key && slices.ContainsFunc(r.Lexical(ts[k-1]), func(w words.Word) bool { return w.Class == "kin" && w.Arg != "parent" }) {
				return true
			}
		}
	}
	return false
}

// motherNamed reports whether the list calls somebody "Mother Jane", so that "Father Tom" is no priest.
func (r *Reader) motherNamed() bool {
	return slices.ContainsFunc(r.Tokens, func(ts []words.Token) bool {
		k := slices.IndexFunc(ts, func(t words.Token) bool { return t.Key == "mother" })
		return r.Effort.Spend(2*len(ts)) && k >= 0 && k+1 < len(ts) && ts[k+1].Capital
	})
}

// kinOfCouple takes kin with whose it is right behind, and a name behind that: أم يوسف هالة.
func (p *parser) kinOfCouple(k *Term, t, next *Phrase) {
	k.Owner = &Owner{Name: next.Text}
	p.i++
	if p.run = k; !p.r.NameLike(p.peek(1)) {
		p.own, p.run = k.Owner, nil
		p.add(k, t)
	}
}

// Elder reports whether kin is of those whom families call by a word such as Papa or Nana.
func Elder(arg string) bool {
	return arg == "grandparent" || arg == "parent" || arg == "greatgrandparent"
}

// twoDashed takes the last two of kin before a dash for several of them: "Tom's mum & dad - Ann and Bob".
func (p *parser) twoDashed(k *Term) {
	n := len(p.out.Terms) - 1
	if n < 0 || p.sep != "&" || len(p.cur) != 1 || k.Kind != Kin || k.Word.Plural {
		return
	}
	if other := p.out.Terms[n]; other.Kind == Kin && !other.Word.Plural && other.Word.Arg == k.Word.Arg && len(other.Names) == 0 {
		k.Owner, p.sep, p.out.Terms = other.Owner, other.Sep, p.out.Terms[:n]
		k.Word = words.Word{Class: "kin", Arg: k.Word.Arg, Plural: true, Text: k.Word.Arg + "s", Lang: "en"}
	}
}
