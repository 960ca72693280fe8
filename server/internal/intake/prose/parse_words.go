package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
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
	if t.has("num") && p.own != nil && p.own.pron != "" && p.peek(1).open { // "their two (Gwen and Osian)"
		p.kin(t, word{class: "kin", arg: "child", plural: true, text: t.text})
		return
	}
	if _, given := words().given[t.key]; given && t.cap && t.has("kin") && young(p.peek(1)) {
		p.name(t) // "Poppy (10)"
		return
	}
	if t.has("month") && t.cap && len(p.cur)+len(p.lost) == 0 && p.peek(1).kind != 'n' && p.peek(-1).kind != 'n' && (p.i > 0 || p.in) {
		p.name(t) // "Regina, Abril"
		return
	}
	if p.called(t) {
		return
	}
	if w, ok := t.word("honour"); ok && p.meaning(t, w) {
		return
	}
	if w, ok := t.word("role"); ok && w.arg == "officiant" && t.has("kin") && p.own == nil && p.r.nameLike(p.peek(1)) {
		p.role(t, w) // "el padre Tomás"
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

// called takes what somebody is called too, and how a name is said: "Robert aka Bob", "Niamh, say Neev".
func (p *parser) called(t *phrase) bool {
	last, a := p.lastNamed(), attr{class: "nick", text: p.peek(1).text}
	if p.peek(1).kind != 'w' || last == nil && !p.in {
		return false
	}
	switch t.key {
	case "aka", "called", "known as":
		p.i++
	case "say":
		a.class = "say"
		for p.i++; p.peek(1).kind == 'w'; p.i++ {
			a.text += " " + p.peek(1).text
		}
	default:
		return false
	}
	if last != nil {
		last.attrs = append(last.attrs, a)
	} else {
		p.out.attrs = append(p.out.attrs, a)
	}
	return true
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

// meaning takes a word in one of its meanings. It returns false where that meaning has no place.
func (p *parser) meaning(t *phrase, w word) bool {
	for _, take := range []func(*phrase, word) (known, taken bool){p.standsFor, p.joins, p.extends} {
		if known, taken := take(t, w); known {
			return taken
		}
	}
	return p.aside(t)
}

// standsFor takes words that stand for people.
func (p *parser) standsFor(t *phrase, w word) (known, taken bool) {
	next := p.peek(1)
	switch w.class {
	case "honour":
		return true, p.honour(t)
	case "self":
		return true, p.self(t)
	case "you":
		return true, p.you(t)
	case "rank":
		return true, p.ranked(t)
	case "pron":
		if !p.closes() {
			return true, false
		}
		p.add(&term{kind: pronoun, w: w}, t)
	case "letter":
		p.add(&term{kind: letter, name: w.arg}, t)
	case "stands":
		if t.poss {
			p.own = &owner{name: w.text}
			return true, true
		}
		p.flush(",")
		p.add(&term{kind: person, name: w.text}, t)
	case "titled":
		p.add(&term{kind: label, text: w.text}, t)
	case "half":
		p.half(t, w)
	case "couple":
		p.couple(t, w)
	case "all":
		p.everybody(t)
	case "kin":
		p.kin(t, w)
	case "short":
		return true, p.short(t, w)
	case "immediate", "extended":
		p.kinOf(t, word{class: "kin", arg: "family", plural: true, text: w.text}, w.class[0])
	case "role":
		if next.has("group") && !w.plural {
			return true, false
		}
		p.role(t, w)
	case "group":
		if p.namesFollow(next) {
			p.run = &term{kind: role, w: word{class: "role", arg: "group", text: t.key, plural: true}}
			return true, true
		}
		p.grp = true
	case "above": // "all of the above", "the last two"
		n := event.MaxPhotographs
		if w.arg != "" {
			n = int(w.arg[0] - '0')
		}
		p.add(&term{kind: same, num: n}, t).num = n
	case "same":
		if len(p.out.terms)+len(p.cur)+len(p.lost) > 0 {
			return true, false
		}
		if !p.r.letters(next.text) || !next.cap {
			p.add(&term{kind: same}, t)
		}
	default:
		return false, false
	}
	return true, true
}

// joins takes words that join people or take them away.
func (p *parser) joins(t *phrase, w word) (known, taken bool) {
	begun := len(p.out.terms)+len(p.cur) > 0
	switch w.class {
	case "and":
		p.flush("&")
	case "with":
		if p.peek(1).has("prop") || p.own == nil && (p.peek(1).has("her") || p.peek(1).has("his") || p.peek(1).has("fill")) && p.peek(2).has("prop") {
			p.prep = true
			p.lostWord(t)
			return true, true
		}
		p.flush("+")
		p.neg = false
		_, last, _ := strings.Cut(t.key, " ")
		p.det = articles[last] // "con los"
	case "minus":
		if t.key == "all but" && !begun {
			p.add(&term{kind: all}, t)
		}
		p.flush(",")
		p.neg = true
	case "ways": // "siblings, with and without partners"
		p.flush("+")
		p.ways = true
	case "leaves": // "Nan steps out"
		if p.peek(1).kind == 'w' || !begun {
			return true, false
		}
		for _, x := range append(slices.Clone(p.out.terms), p.cur...) {
			x.minus = true
		}
		p.out.add = true
	case "add":
		if begun {
			return true, false
		}
		p.out.add = true
	default:
		return false, false
	}
	return true, true
}

// extends takes words that say whose, how many and how.
func (p *parser) extends(t *phrase, w word) (known, taken bool) {
	switch w.class {
	case "of", "side":
		if p.qualified(t) {
			return true, true
		}
		return true, p.of(t, w)
	case "my", "her", "his", "their", "our", "your":
		return true, p.whose(t, w)
	case "each":
		switch {
		case p.peopleNext():
			p.each = true
		case len(p.cur) > 0:
			p.each, p.cur[len(p.cur)-1].each = false, true
		case len(p.out.terms) > 0:
			p.each, p.out.each = false, true
		default:
			p.each = true
		}
	case "setsof":
		p.sets = true
	case "alone":
		p.out.solo = true
	case "split":
		p.out.split = true
		p.out.attrs = append(p.out.attrs, attr{class: "split", text: t.text, s: t.s, e: t.e})
	case "both":
		return true, p.bothOfThem(t)
	case "fill":
		if t.has("both") && p.bothOfThem(t) {
			return true, true
		}
		p.det = p.det || articles[t.key]
		p.every = p.every || everyWords[w.text]
		p.all = p.all || w.text == "both" || w.text == "all" || w.lang != "en"
	case "num":
		p.num = int(w.arg[0] - '0')
	case "mat", "pat":
		if k := p.lastKin(); k != nil && k.line == 0 && w.lang != "en" { // "abuelos maternos"
			k.line = w.class[0]
		} else {
			p.line = w.class[0]
		}
	default:
		return false, false
	}
	return true, true
}

// qualified takes what sponsors are for into the words for them: "madrina de zapatillas", "padrinos de arras".
func (p *parser) qualified(t *phrase) bool {
	k, next := p.lastKin(), p.peek(1)
	if k == nil || k.w.arg != "godparent" || k.kind != kinTerm || next.kind != 'w' || next.cap || next.has("kin") || next.has("half") || next.has("fill") || p.r.nameLike(next) {
		return false
	}
	p.i++
	k.w.text += " " + t.text + " " + next.text
	k.text, k.qual = k.w.text, true
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

// namesFollow reports whether a name stands right behind: "coach Danny".
func (p *parser) namesFollow(next *phrase) bool {
	return p.r.nameLike(next) && !next.poss && !p.r.inCouple(next.text)
}

func (p *parser) role(t *phrase, w word) {
	next := p.peek(1)
	if w.owner != "" {
		p.own = ownerSaid(w.owner)
	}
	k := &term{kind: role, w: w, text: t.text}
	if w.arg == "attendant" && w.plural && w.sex == 0 && p.out.solo && p.r.seen["madrinhas"] {
		k.sex = 'm' // "só padrinhos", where the women have a word of their own
	}
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

// young reports whether an age of somebody who is no grandparent follows: "(10)", "10".
func young(next *phrase) bool {
	n := next
	if next.open && len(next.inside) > 0 {
		n = &next.inside[0]
	}
	return n.kind == 'n' && n.num < 35
}
