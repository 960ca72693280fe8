package prose

import (
	"slices"
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
	if w, ok := t.word("honour"); ok && p.meaning(t, w) {
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
	case "honour":
		if r := p.r; r.honour < 0 || p.own != nil || r.nameLike(next) {
			return false
		}
		if t.poss {
			p.own = &owner{name: p.r.guests[p.r.honour].given}
			return true
		}
		p.add(&term{kind: person, name: p.r.guests[p.r.honour].given}, t)
	case "letter":
		p.add(&term{kind: letter, name: w.arg}, t)
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
	case "titled":
		p.add(&term{kind: label, text: w.text}, t)
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
		if t.key == "all but" && len(p.out.terms)+len(p.cur) == 0 {
			p.add(&term{kind: all}, t)
		}
		p.flush(",")
		p.neg = true
	case "leaves": // "Nan steps out"
		if next.kind == 'w' || len(p.out.terms)+len(p.cur) == 0 {
			return false
		}
		for _, x := range append(slices.Clone(p.out.terms), p.cur...) {
			x.minus = true
		}
		p.out.add = true
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
		if p.r.writes != "" {
			p.add(&term{kind: person, name: p.r.writes}, t)
			return true
		}
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
		p.det = p.det || articles[t.key]
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

// articles stand before kin whose name may follow behind a comma: "o padrasto, Edson".
var articles = map[string]bool{"the": true, "o": true, "a": true, "os": true, "as": true, "el": true, "la": true, "los": true, "las": true, "le": true, "les": true, "der": true, "die": true, "dem": true, "den": true}

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
		case "prep", "remark", "near":
			if polite[t.key] && len(p.cur) == 0 && !p.prep {
				return true
			}
			if !p.prep && (len(p.cur) > 0 || len(p.out.terms) > 0 || w.class == "remark" || p.in) && w.class != "near" {
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

// polite are words before a wish that make no remark of it: "bitte wir zwei mit Oma".
var polite = map[string]bool{"please": true, "pls": true, "plz": true, "bitte": true, "por favor": true, "svp": true, "请": true, "zuerst": true}

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
