package prose

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/words"
)

// half takes the bride or the groom: themselves, or whose the next words are.
func (p *parser) half(t *phrase, w words.Word) {
	if p.owned(t) {
		p.own = &owner{half: w.Sex, both: p.own != nil && p.own.half != 0 && p.own.half != w.Sex}
		return
	}
	if k := p.lastKin(); k != nil {
		p.ownBack(k, &owner{half: w.Sex})
		k.e = max(k.e, t.End)
		return
	}
	p.add(&term{kind: half, w: w}, t)
}

// owned reports whether what stands at t says whose the next words are.
func (p *parser) owned(t *phrase) bool {
	for k := 1; k < 5; k++ {
		next := p.peek(k)
		switch {
		case next.has("kin") || next.has("role") && !p.r.nameLike(next), next.has("side"), next.has("group"), next.has("immediate"), next.has("extended"), next.has("mat"), next.has("pat"):
			return t.Possessive || k == 1 || next.has("side")
		case t.Possessive && next.Key == "&" || t.Possessive && next.has("and") || t.Possessive && next.Key == "/":
			return true
		case t.Possessive && (next.has("fill") || next.Kind == 'w' && !p.r.nameLike(next)):
			continue
		}
		return t.Possessive
	}
	return t.Possessive
}

// lastKin is words for several of kin right before, whose owner may follow: "Eltern Braut".
func (p *parser) lastKin() *term {
	if n := len(p.cur); n > 0 && (p.cur[n-1].kind == kinTerm || p.cur[n-1].kind == label || p.cur[n-1].kind == role) && p.cur[n-1].own == nil && len(p.cur[n-1].sub) == 0 {
		return p.cur[n-1]
	}
	return nil
}

// ownBack says whose kin before is, and that of the kin joined to it.
func (p *parser) ownBack(k *term, o *owner) {
	k.own = o
	sep := k.sep
	for i := len(p.out.terms) - 1; i >= 0 && (sep == "&" || sep == "," || sep == "/"); i-- {
		t := p.out.terms[i]
		if t.kind != kinTerm || t.own != nil || len(t.sub) > 0 {
			return
		}
		t.own, sep = o, t.sep
	}
}

// of takes "of", "from", "side" with whose kin the words before are.
func (p *parser) of(t *phrase, w words.Word) bool {
	if w.Class == "side" && p.own != nil {
		// "bride's side": everybody on it, or whose the words before are.
		if k := p.lastKin(); k != nil {
			p.ownBack(k, p.own)
			p.own = nil
			return true
		}
		if next := p.peek(1); next.has("kin") || next.has("of") && p.peek(2).has("kin") {
			return true
		}
		p.kinOf(t, words.Word{Class: "kin", Arg: "family", Plural: true, Text: "family"}, 0)
		return true
	}
	if last := p.lastTerm(); last != nil && last.kind == same && len(p.cur) > 0 {
		return true // "os mesmos da 4"
	}
	k := p.lastKin()
	if k == nil && len(p.cur) == 0 && (w.Class == "side" || len(p.lost) == 0 && !p.grp) {
		if n := len(p.out.terms); w.Class == "side" && n > 0 && p.out.terms[n-1].kind == kinTerm {
			k = p.out.terms[n-1]
		} else if w.Class == "side" {
			k = p.add(&term{kind: kinTerm, w: words.Word{Class: "kin", Arg: "family", Plural: true, Text: "family"}}, t)
		} else {
			return true // "de Rui": nothing it belongs to
		}
	}
	skip := 1
	for p.peek(skip).has("fill") || p.peek(skip).has("of") && p.peek(skip).Text != t.Text {
		skip++
	}
	next := p.peek(skip)
	hw, isHalf := next.word("half")
	switch {
	case k == nil:
		return p.grp || len(p.lost) > 0
	case isHalf && !p.r.nameLike(next):
		p.ownBack(k, &owner{half: hw.Sex})
		k.e = max(k.e, next.End)
	case p.r.nameLike(next):
		p.ownBack(k, &owner{name: next.Text})
		k.e = max(k.e, next.End)
	case next.has("couple"):
		p.ownBack(k, &owner{both: true})
	default:
		return false
	}
	p.i += skip
	if p.peek(1).has("side") {
		p.i++
	}
	return true
}

func (p *parser) couple(t *phrase, w words.Word) {
	next := p.peek(1)
	if (t.Key == "brides" || t.Key == "grooms") && (next.has("kin") || next.has("role") || next.has("side") || next.has("immediate") || next.has("fill") && p.peek(2).has("kin")) {
		p.own = &owner{half: map[string]byte{"brides": 'w', "grooms": 'm'}[t.Key]}
		return
	}
	if t.Key == "mr & mrs" || t.Key == "mr and mrs" || t.Key == "mr + mrs" {
		if p.r.nameLike(next) && !p.r.InCouple(next.Text) {
			p.i++
			p.spouses("Mr", "Mrs", next)
			return
		}
	}
	if t.Possessive && (next.has("kin") || next.has("group")) {
		p.own = &owner{both: true}
		return
	}
	if k := p.lastKin(); k != nil && k.w.Arg == "family" {
		p.ownBack(k, &owner{both: true})
		return
	}
	p.add(&term{kind: couple}, t)
}

func (p *parser) kin(t *phrase, w words.Word) { p.kinOf(t, w, 0) }

// kinOf takes words of kin: with a name behind, with an owner, or alone.
func (p *parser) kinOf(t *phrase, w words.Word, near byte) {
	next := p.peek(1)
	if next.Key == "." && !next.Gap && p.peek(2).Capital && len([]rune(t.Text)) < 6 && p.r.nameLike(p.peek(2)) && p.r.abbreviation(t.Key) {
		p.i++
		next = p.peek(1)
	}
	if w.Arg == "child" && t.has("infant") && len(p.cur) > 0 && p.cur[len(p.cur)-1].kind == person && !p.r.nameLike(next) {
		p.attr(attr{class: "infant", text: t.Text, s: t.Start, e: t.End})
		return
	}
	if t.Possessive && w.Arg != "family" && (next.Kind == 0 || next.Kind == 'p' && !next.open || next.has("and")) {
		t.Possessive, w.Plural = false, true // "siblings & S/O's"
	}
	if w.Owner != "" {
		p.own = ownerSaid(w.Owner)
	}
	if w.Arg == "family" && p.rank == "" && len(p.cur) == 1 && p.cur[0].kind == person && p.own == nil && p.cur[0].sep != " " {
		c := p.cur[0]
		if p.r.InCouple(c.name) {
			p.own, p.cur = &owner{name: c.name}, nil
		} else { // "Parker family", "Katz side"
			p.grp = true
			return
		}
	}
	if n := len(p.out.terms); w.Arg == "family" && p.own == nil && near == 0 && len(p.cur) == 0 && n > 0 && p.sep == "&" && !p.in {
		if x := p.out.terms[n-1]; x.kind == person && p.r.HalfNamed(x.name) == 0 && !p.r.IsHonour(x.name) && (x.own == nil || x.own.pron == "") {
			p.own = &owner{name: x.name, near: true} // "Aunt Nighat & family"
		}
	}
	if _, isHalf := next.word("half"); isHalf && w.Lang == "ar" && !w.Plural && len(p.cur) > 0 && p.cur[len(p.cur)-1].kind == person && p.cur[len(p.cur)-1].w.Class == "" {
		x, h := p.cur[len(p.cur)-1], next.ws[0] // "الحاج إبراهيم جد العريس"
		x.w, x.own = w, &owner{half: h.Sex}
		p.i++
		return
	}
	if x := p.behindName(t); x != nil {
		x.w, x.text = w, x.text+" "+t.Text
		for _, other := range t.ws {
			if other.Class == "kin" && other.Lang == "other" {
				x.w = other
			}
		}
		return
	}
	k := &term{kind: kinTerm, w: w, close: near, text: t.Text}
	if w.Line != 0 && k.line == 0 {
		k.line = w.Line
	}
	if t.Possessive || w.Arg != "family" && p.plainOwner(next) {
		k.own = p.own
		k.s, k.e, k.text = t.Start, t.End, t.Text
		p.own = &owner{kin: k}
		p.num = 0
		return
	}
	if w.Arg == "family" && p.r.nameLike(next) && !next.Possessive && p.own == nil {
		p.i++
		if p.r.InCouple(next.Text) {
			p.own = &owner{name: next.Text}
			p.add(k, t)
			return
		}
		p.grp = true
		return
	}
	if w.Arg != "family" && p.r.nameAfterKin(next, p.peek(2)) && !next.Possessive {
		if w.Plural && p.r.InCouple(next.Text) {
			p.ownBack(p.add(k, t), &owner{name: next.Text})
			p.i++
			return
		}
		if !words.Cased(next.Text) && p.own == nil && p.r.InCouple(next.Text) && !words.IsHan(next.Text) {
			p.kinOfCouple(k, t, next)
			return
		}
		if next.has("half") || next.has("couple") {
			p.add(k, t)
			return
		}
		k.own = p.own
		if old := p.run; old != nil && old.w.Plural && elder(old.w.Arg) && elder(w.Arg) {
			k.w.Arg, k.w.Text = old.w.Arg, w.Text
			k.own = old.own
			p.back = old
		}
		p.run = k
		return
	}
	if old := p.run; old != nil && old.w.Plural && elder(old.w.Arg) && elder(w.Arg) && !w.Plural {
		k.w.Arg = old.w.Arg
		p.own = firstOwnerOf(p.own, old.own)
		p.add(k, t)
		return
	}
	if kw, ok := next.word("kin"); ok && w.Plural && elder(w.Arg) && elder(kw.Arg) && !kw.Plural && !next.has("of") && p.r.nameLike(p.peek(2)) {
		k.own, p.own = p.own, nil
		p.run = k
		return
	}
	p.add(k, t)
	p.run = nil
}

// behindName is the person right before words of kin that many languages put behind the name: "Pooja akka", "Murali mama".
func (p *parser) behindName(t *phrase) *term {
	other := slices.ContainsFunc(t.ws, func(w words.Word) bool { return w.Class == "kin" && w.Lang == "other" && !w.Plural })
	if n := len(p.cur); other && !t.Capital && !t.Possessive && n > 0 && p.cur[n-1].kind == person && p.cur[n-1].w.Class == "" && t.Gap && words.Cased(t.Text) {
		return p.cur[n-1]
	}
	return nil
}

// kinOfCouple takes kin with whose it is right behind, and a name behind that: أم يوسف هالة.
func (p *parser) kinOfCouple(k *term, t, next *phrase) {
	k.own = &owner{name: next.Text}
	p.i++
	if p.run = k; !p.r.nameLike(p.peek(1)) {
		p.own, p.run = k.own, nil
		p.add(k, t)
	}
}

// elder reports whether kin is of those whom families call by a word such as Papa or Nana.
func elder(arg string) bool {
	return arg == "grandparent" || arg == "parent" || arg == "greatgrandparent"
}

func firstOwnerOf(a, b *owner) *owner {
	if a != nil {
		return a
	}
	return b
}

// plainOwner reports whether words of kin stand right before others without the mark of whose: "siblings partners".
func (p *parser) plainOwner(next *phrase) bool {
	w, ok := next.word("kin")
	return ok && !p.r.nameLike(next) && w.Lang == "en" && (w.Arg == "partner" || w.Arg == "child") && next.Gap
}
