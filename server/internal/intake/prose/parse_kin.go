package prose

import "slices"

// half takes the bride or the groom: themselves, or whose the next words are.
func (p *parser) half(t *phrase, w word) {
	if p.owned(t) {
		p.own = &owner{half: w.sex, both: p.own != nil && p.own.half != 0 && p.own.half != w.sex}
		return
	}
	if k := p.lastKin(); k != nil {
		p.ownBack(k, &owner{half: w.sex})
		k.e = max(k.e, t.e)
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
			return t.poss || k == 1 || next.has("side")
		case t.poss && next.key == "&" || t.poss && next.has("and") || t.poss && next.key == "/":
			return true
		case t.poss && (next.has("fill") || next.kind == 'w' && !p.r.nameLike(next)):
			continue
		}
		return t.poss
	}
	return t.poss
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
func (p *parser) of(t *phrase, w word) bool {
	if w.class == "side" && p.own != nil {
		// "bride's side": everybody on it, or whose the words before are.
		if k := p.lastKin(); k != nil {
			p.ownBack(k, p.own)
			p.own = nil
			return true
		}
		if next := p.peek(1); next.has("kin") || next.has("of") && p.peek(2).has("kin") {
			return true
		}
		p.kinOf(t, word{class: "kin", arg: "family", plural: true, text: "family"}, 0)
		return true
	}
	if last := p.lastTerm(); last != nil && last.kind == same && len(p.cur) > 0 {
		return true // "os mesmos da 4"
	}
	k := p.lastKin()
	if k == nil && len(p.cur) == 0 && (w.class == "side" || len(p.lost) == 0 && !p.grp) {
		if n := len(p.out.terms); w.class == "side" && n > 0 && p.out.terms[n-1].kind == kinTerm {
			k = p.out.terms[n-1]
		} else if w.class == "side" {
			k = p.add(&term{kind: kinTerm, w: word{class: "kin", arg: "family", plural: true, text: "family"}}, t)
		} else {
			return true // "de Rui": nothing it belongs to
		}
	}
	skip := 1
	for p.peek(skip).has("fill") || p.peek(skip).has("of") && p.peek(skip).text != t.text {
		skip++
	}
	next := p.peek(skip)
	hw, isHalf := next.word("half")
	switch {
	case k == nil:
		return p.grp || len(p.lost) > 0
	case isHalf && !p.r.nameLike(next):
		p.ownBack(k, &owner{half: hw.sex})
		k.e = max(k.e, next.e)
	case p.r.nameLike(next):
		p.ownBack(k, &owner{name: next.text})
		k.e = max(k.e, next.e)
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

func (p *parser) couple(t *phrase, w word) {
	next := p.peek(1)
	if (t.key == "brides" || t.key == "grooms") && (next.has("kin") || next.has("role") || next.has("side") || next.has("immediate") || next.has("fill") && p.peek(2).has("kin")) {
		p.own = &owner{half: map[string]byte{"brides": 'w', "grooms": 'm'}[t.key]}
		return
	}
	if t.key == "mr & mrs" || t.key == "mr and mrs" || t.key == "mr + mrs" {
		if p.r.nameLike(next) && !p.r.inCouple(next.text) {
			p.i++
			p.spouses("Mr", "Mrs", next)
			return
		}
	}
	if t.poss && (next.has("kin") || next.has("group")) {
		p.own = &owner{both: true}
		return
	}
	if k := p.lastKin(); k != nil && k.w.arg == "family" {
		p.ownBack(k, &owner{both: true})
		return
	}
	p.add(&term{kind: couple}, t)
}

func (p *parser) kin(t *phrase, w word) { p.kinOf(t, w, 0) }

// kinOf takes words of kin: with a name behind, with an owner, or alone.
func (p *parser) kinOf(t *phrase, w word, near byte) {
	next := p.peek(1)
	if next.key == "." && !next.gap && p.peek(2).cap && len([]rune(t.text)) < 6 && p.r.nameLike(p.peek(2)) && p.r.abbreviation(t.key) {
		p.i++
		next = p.peek(1)
	}
	if w.arg == "child" && t.has("infant") && len(p.cur) > 0 && p.cur[len(p.cur)-1].kind == person && !p.r.nameLike(next) {
		p.attr(attr{class: "infant", text: t.text, s: t.s, e: t.e})
		return
	}
	if t.poss && w.arg != "family" && (next.kind == 0 || next.kind == 'p' && !next.open || next.has("and")) {
		t.poss, w.plural = false, true // "siblings & S/O's"
	}
	if w.owner != "" {
		p.own = ownerSaid(w.owner)
	}
	if w.arg == "family" && p.rank == "" && len(p.cur) == 1 && p.cur[0].kind == person && p.own == nil && p.cur[0].sep != " " {
		c := p.cur[0]
		if p.r.inCouple(c.name) {
			p.own, p.cur = &owner{name: c.name}, nil
		} else { // "Parker family", "Katz side"
			p.grp = true
			return
		}
	}
	if n := len(p.out.terms); w.arg == "family" && p.own == nil && near == 0 && len(p.cur) == 0 && n > 0 && p.sep == "&" && !p.in {
		if x := p.out.terms[n-1]; x.kind == person && p.r.halfNamed(x.name) == 0 && !p.r.isHonour(x.name) && (x.own == nil || x.own.pron == "") {
			p.own = &owner{name: x.name, near: true} // "Aunt Nighat & family"
		}
	}
	if _, isHalf := next.word("half"); isHalf && w.lang == "ar" && !w.plural && len(p.cur) > 0 && p.cur[len(p.cur)-1].kind == person && p.cur[len(p.cur)-1].w.class == "" {
		x, h := p.cur[len(p.cur)-1], next.ws[0] // "الحاج إبراهيم جد العريس"
		x.w, x.own = w, &owner{half: h.sex}
		p.i++
		return
	}
	if x := p.behindName(t); x != nil {
		x.w, x.text = w, x.text+" "+t.text
		for _, other := range t.ws {
			if other.class == "kin" && other.lang == "other" {
				x.w = other
			}
		}
		return
	}
	k := &term{kind: kinTerm, w: w, close: near, text: t.text}
	if w.line != 0 && k.line == 0 {
		k.line = w.line
	}
	if t.poss || w.arg != "family" && p.plainOwner(next) {
		k.own = p.own
		k.s, k.e, k.text = t.s, t.e, t.text
		p.own = &owner{kin: k}
		p.num = 0
		return
	}
	if w.arg == "family" && p.r.nameLike(next) && !next.poss && p.own == nil {
		p.i++
		if p.r.inCouple(next.text) {
			p.own = &owner{name: next.text}
			p.add(k, t)
			return
		}
		p.grp = true
		return
	}
	if w.arg != "family" && p.r.nameAfterKin(next, p.peek(2)) && !next.poss {
		if w.plural && p.r.inCouple(next.text) {
			p.ownBack(p.add(k, t), &owner{name: next.text})
			p.i++
			return
		}
		if !cased(next.text) && p.own == nil && p.r.inCouple(next.text) && !isHan(next.text) {
			p.kinOfCouple(k, t, next)
			return
		}
		if next.has("half") || next.has("couple") {
			p.add(k, t)
			return
		}
		k.own = p.own
		if old := p.run; old != nil && old.w.plural && elder(old.w.arg) && elder(w.arg) {
			k.w.arg, k.w.text = old.w.arg, w.text
			k.own = old.own
			p.back = old
		}
		p.run = k
		return
	}
	if old := p.run; old != nil && old.w.plural && elder(old.w.arg) && elder(w.arg) && !w.plural {
		k.w.arg = old.w.arg
		p.own = firstOwnerOf(p.own, old.own)
		p.add(k, t)
		return
	}
	if kw, ok := next.word("kin"); ok && w.plural && elder(w.arg) && elder(kw.arg) && !kw.plural && !next.has("of") && p.r.nameLike(p.peek(2)) {
		k.own, p.own = p.own, nil
		p.run = k
		return
	}
	p.add(k, t)
	p.run = nil
}

// behindName is the person right before words of kin that many languages put behind the name: "Pooja akka", "Murali mama".
func (p *parser) behindName(t *phrase) *term {
	other := slices.ContainsFunc(t.ws, func(w word) bool { return w.class == "kin" && w.lang == "other" && !w.plural })
	if n := len(p.cur); other && !t.cap && !t.poss && n > 0 && p.cur[n-1].kind == person && p.cur[n-1].w.class == "" && t.gap && cased(t.text) {
		return p.cur[n-1]
	}
	return nil
}

// kinOfCouple takes kin with whose it is right behind, and a name behind that: أم يوسف هالة.
func (p *parser) kinOfCouple(k *term, t, next *phrase) {
	k.own = &owner{name: next.text}
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
	return ok && !p.r.nameLike(next) && w.lang == "en" && (w.arg == "partner" || w.arg == "child") && next.gap
}
