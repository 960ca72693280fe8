package prose

import (
	"strings"
	"unicode/utf8"
)

// word takes a word or words of one meaning.
func (p *parser) word(t *phrase) {
	if !p.begun {
		p.from, p.begun = p.i, true
	}
	if p.prep {
		switch {
		case t.has("and"), t.has("with") && !p.r.nameLike(t), t.has("minus"), t.has("nice"), t.has("must"):
		default:
			if p.aside(t) {
				return
			}
			p.lostWord(t)
			return
		}
	}
	if p.r.letters(t.text) && t.cap && len(t.ws) == 0 && !p.r.nameLike(t) {
		p.add(&term{kind: letter, name: t.text}, t)
		return
	}
	if p.r.nameLike(t) {
		p.name(t)
		return
	}
	if next := p.peek(1); (t.key == "aka" || t.key == "called" || t.key == "known as") && next.kind == 'w' {
		if last := p.lastNamed(); last != nil {
			last.attrs = append(last.attrs, attr{class: "nick", text: next.text})
			p.i++
			return
		}
		if p.in {
			p.out.attrs = append(p.out.attrs, attr{class: "nick", text: next.text})
			p.i++
			return
		}
	}
	if next := p.peek(1); t.key == "say" && next.kind == 'w' && (p.in || p.lastNamed() != nil) {
		a := attr{class: "say", text: next.text}
		for p.i++; p.peek(1).kind == 'w'; p.i++ {
			a.text += " " + p.peek(1).text
		}
		if last := p.lastNamed(); last != nil {
			last.attrs = append(last.attrs, a)
		} else {
			p.out.attrs = append(p.out.attrs, a)
		}
		return
	}
	for _, w := range t.ws {
		if p.meaning(t, w) {
			return
		}
	}
	if t.poss && t.cap || t.poss && p.peek(1).has("kin") {
		p.own = &owner{name: t.text}
		return
	}
	p.lostWord(t)
}

// lastNamed is the person named last, in this chunk or right before it.
func (p *parser) lastNamed() *term {
	for _, list := range [][]*term{p.cur, p.out.terms} {
		for k := len(list) - 1; k >= 0; k-- {
			if list[k].kind == person {
				return list[k]
			}
		}
	}
	return nil
}

// meaning takes a phrase in one of its meanings, if that has a place here.
func (p *parser) meaning(t *phrase, w word) bool {
	next := p.peek(1)
	switch w.class {
	case "half":
		p.half(t, w)
	case "couple":
		p.couple(t, w)
	case "all":
		if next.has("kin") || next.has("role") || next.has("group") || p.r.nameLike(next) || next.kind == 'n' || next.has("half") {
			p.all, p.every = true, true
			return true
		}
		p.add(&term{kind: all}, t)
	case "kin":
		p.kin(t, w)
	case "short":
		side := w.side
		p.own = &owner{half: side}
		k := word{class: "kin", arg: "parent", plural: w.arg == "parents", text: w.text}
		k.sex = map[string]byte{"mother": 'w', "father": 'm', "grandmother": 'w'}[w.arg]
		if w.arg == "grandmother" {
			k.arg = "grandparent"
		}
		p.kin(t, k)
	case "role":
		if next.has("group") && !w.plural {
			return false
		}
		p.role(t, w)
	case "group":
		if p.namesFollow(next) {
			p.run = &term{kind: role, w: word{class: "role", arg: "group", text: t.key, plural: true}}
			return true
		}
		p.grp = true
	case "and", "with":
		if w.class == "with" && p.unknownThing(next) {
			p.prep = true
			p.lostWord(t)
			return true
		}
		sep := "&"
		if w.class == "with" {
			sep = "+"
		}
		p.flush(sep)
		if sep == "+" {
			p.neg = false
		}
	case "minus":
		p.flush(",")
		p.neg = true
	case "each":
		p.each = true
		if len(p.cur) > 0 && !p.peopleNext() {
			p.each = false
			p.cur[len(p.cur)-1].each = true
		} else if !p.peopleNext() && len(p.out.terms) > 0 {
			p.each = false
			p.out.each = true
		}
	case "setsof":
		p.sets = true
	case "alone":
		p.out.solo = true
	case "split":
		p.out.split = true
		p.out.attrs = append(p.out.attrs, attr{class: "split", text: t.text, s: t.s, e: t.e})
	case "self":
		if len(p.out.terms)+len(p.cur) == 0 && t.key == "i" || p.r.couple[0] < 0 {
			return false
		}
		h := p.r.myself()
		p.add(&term{kind: person, name: p.r.guests[p.r.couple[h-1]].given}, t)
	case "her", "his", "their", "my":
		p.own = &owner{pron: w.class}
	case "of", "side":
		return p.of(t, w)
	case "fill":
		p.every = p.every || everyWords[w.text]
		p.all = p.all || w.text == "both" || w.text == "all" || w.lang != "en"
	case "four":
		p.num = 4
	case "mat":
		p.line = 'm'
	case "pat":
		p.line = 'p'
	case "immediate":
		p.kinOf(t, word{class: "kin", arg: "family", plural: true, text: w.text}, 'i')
	case "extended":
		p.kinOf(t, word{class: "kin", arg: "family", plural: true, text: w.text}, 'e')
	case "same":
		if len(p.out.terms)+len(p.cur)+len(p.lost) > 0 {
			return false
		}
		if p.r.letters(next.text) && next.cap {
			return true
		}
		p.add(&term{kind: same}, t)
	case "add":
		if len(p.out.terms)+len(p.cur) > 0 {
			return false
		}
		p.out.add = true
	case "rank":
		return p.ranked(t)
	default:
		return p.aside(t)
	}
	return true
}

// everyWords count step-parents among parents: "all parents".
var everyWords = map[string]bool{"all": true, "all the": true, "all of": true, "todos os": true, "todos los": true, "tous les": true, "alle": true, "each set of": true}

// aside takes what is said beside the people.
func (p *parser) aside(t *phrase) bool {
	for _, w := range t.ws {
		switch w.class {
		case "need", "absent", "dead", "must", "nice", "first", "last", "from", "until", "apart", "elder", "child", "infant", "open", "tbc", "order", "split":
			if (w.class == "from" || w.class == "until") && !p.timeNext() {
				continue
			}
			if w.class == "dead" && len(p.cur) == 0 && (p.peek(1).key == ":" || p.peopleNext()) {
				p.dead = true
				return true
			}
			p.attr(attr{class: w.class, arg: w.arg, text: t.text, s: t.s, e: t.e})
			return true
		case "prep", "remark":
			if !p.prep && (len(p.cur) > 0 || len(p.out.terms) > 0 || w.class == "remark" || p.in) {
				p.prep = true
			}
			if !p.prep {
				return false
			}
			p.lostWord(t)
			return true
		}
	}
	return false
}

// timeNext reports whether a time of day follows: "until 17:00", "by 1500".
func (p *parser) timeNext() bool {
	for k := 1; k < 4; k++ {
		if t := p.peek(k); t.kind == 't' || t.kind == 'n' {
			return true
		}
	}
	return p.peek(0).has("from") && p.peek(0).text != "from"
}

// unknownThing reports whether words that are no people follow: "with bouquets in front".
func (p *parser) unknownThing(next *phrase) bool {
	if next.has("prop") {
		return true
	}
	if p.in || len(p.out.terms)+len(p.cur) == 0 || next.kind != 'w' || p.r.nameLike(next) {
		return false
	}
	return false
}

// namesFollow reports whether a name stands right behind: "coach Danny".
func (p *parser) namesFollow(next *phrase) bool {
	return p.r.nameLike(next) && !next.poss && !p.r.inCouple(next.text)
}

// half takes the bride or the groom: themselves, or whose the next words are.
func (p *parser) half(t *phrase, w word) {
	if p.owned(t) {
		p.own = &owner{half: w.sex, both: p.own != nil && p.own.half != 0 && p.own.half != w.sex}
		return
	}
	if k := p.lastKin(); k != nil {
		p.ownBack(k, &owner{half: w.sex})
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
			for _, rank := range []string{"Mr", "Mrs"} {
				x := p.add(&term{kind: person, name: next.text, rank: rank, text: rank + " " + next.text, given: true}, next)
				x.sep = "&"
			}
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
	if w.owner != "" {
		p.own = &owner{pron: w.owner}
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
	if kw, ok := next.word("kin"); ok && w.plural && elder(w.arg) && elder(kw.arg) && !kw.plural && p.r.nameLike(p.peek(2)) {
		k.own, p.own = p.own, nil
		p.run = k
		return
	}
	p.add(k, t)
	p.run = nil
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

func (p *parser) role(t *phrase, w word) {
	next := p.peek(1)
	if w.owner != "" {
		p.own = &owner{pron: w.owner}
	}
	k := &term{kind: role, w: w, text: t.text}
	if t.poss {
		k.own = p.own
		p.own = &owner{kin: k}
		return
	}
	p.run = nil
	if p.r.nameLike(next) && !next.poss && !p.r.inCouple(next.text) {
		k.own = p.own
		if t.cap && t.has("rank") && !w.plural {
			p.rank = t.text
		}
		p.run = k
		return
	}
	p.add(k, t)
}

// ranked takes a form of address before a name.
func (p *parser) ranked(t *phrase) bool {
	skip := 1
	for p.peek(skip).key == "." {
		skip++
	}
	next := p.peek(skip)
	if p.r.nameLike(next) && (t.cap || !cased(t.text) || p.r.lower || utf8.RuneCountInString(t.text) > 1) {
		p.rank = strings.TrimSpace(p.rank + " " + t.text)
		p.i += skip - 1
		return true
	}
	if (next.key == "&" || next.has("and")) && t.cap {
		after := p.peek(skip + 1)
		if _, ok := after.word("rank"); ok && p.r.nameLike(p.peek(skip+2)) {
			name := p.peek(skip + 2)
			for _, rank := range []string{t.text, after.text} {
				x := p.add(&term{kind: person, name: name.text, rank: rank, text: rank + " " + name.text, given: true}, name)
				x.sep = "&"
			}
			p.i += skip + 2
			return true
		}
	}
	return false
}
