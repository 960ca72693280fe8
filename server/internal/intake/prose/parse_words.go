package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/prose/words"
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
	if p.r.letters(t.Text) && t.Capital && len(t.ws) == 0 && !p.r.nameLike(t) {
		p.add(&term{kind: letter, name: t.Text}, t)
		return
	}
	if p.r.nameLike(t) {
		p.name(t)
		return
	}
	if t.has("num") && p.own != nil && p.own.pron != "" && p.peek(1).open { // "their two (Gwen and Osian)"
		p.kin(t, words.Word{Class: "kin", Arg: "child", Plural: true, Text: t.Text})
		return
	}
	if _, given := words.Given(t.Key); given && t.Capital && t.has("kin") && young(p.peek(1)) {
		p.name(t) // "Poppy (10)"
		return
	}
	if t.has("month") && t.Capital && len(p.cur)+len(p.lost) == 0 && p.peek(1).Kind != 'n' && p.peek(-1).Kind != 'n' && (p.i > 0 || p.in) {
		p.name(t) // "Regina, Abril"
		return
	}
	if p.called(t) {
		return
	}
	if w, ok := t.word("honour"); ok && p.meaning(t, w) {
		return
	}
	if w, ok := t.word("role"); ok && w.Arg == "officiant" && t.has("kin") && p.own == nil && p.r.nameLike(p.peek(1)) {
		p.role(t, w) // "el padre Tomás"
		return
	}
	for _, w := range t.ws {
		if p.meaning(t, w) {
			return
		}
	}
	if t.Possessive && t.Capital || t.Possessive && p.peek(1).has("kin") {
		p.own = &owner{name: t.Text}
		return
	}
	p.lostWord(t)
}

// called takes what somebody is called too, and how a name is said: "Robert aka Bob", "Niamh, say Neev".
func (p *parser) called(t *phrase) bool {
	last, a := p.lastNamed(), attr{class: "nick", text: p.peek(1).Text}
	if p.peek(1).Kind != 'w' || last == nil && !p.in {
		return false
	}
	switch t.Key {
	case "aka", "called", "known as":
		p.i++
	case "say":
		a.class = "say"
		for p.i++; p.peek(1).Kind == 'w'; p.i++ {
			a.text += " " + p.peek(1).Text
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
func (p *parser) meaning(t *phrase, w words.Word) bool {
	for _, take := range []func(*phrase, words.Word) (known, taken bool){p.standsFor, p.joins, p.extends} {
		if known, taken := take(t, w); known {
			return taken
		}
	}
	return p.aside(t)
}

// standsFor takes words that stand for people.
func (p *parser) standsFor(t *phrase, w words.Word) (known, taken bool) {
	next := p.peek(1)
	switch w.Class {
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
		p.add(&term{kind: letter, name: w.Arg}, t)
	case "stands":
		if t.Possessive {
			p.own = &owner{name: w.Text}
			return true, true
		}
		p.flush(",")
		p.add(&term{kind: person, name: w.Text}, t)
	case "titled":
		p.add(&term{kind: label, text: w.Text}, t)
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
		p.kinOf(t, words.Word{Class: "kin", Arg: "family", Plural: true, Text: w.Text}, w.Class[0])
	case "role":
		if next.has("group") && !w.Plural {
			return true, false
		}
		p.role(t, w)
	case "group":
		if p.namesFollow(next) {
			p.run = &term{kind: role, w: words.Word{Class: "role", Arg: "group", Text: t.Key, Plural: true}}
			return true, true
		}
		p.grp = true
	case "above": // "all of the above", "the last two"
		n := event.MaxPhotographs
		if w.Arg != "" {
			n = int(w.Arg[0] - '0')
		}
		p.add(&term{kind: same, num: n}, t).num = n
	case "same":
		if len(p.out.terms)+len(p.cur)+len(p.lost) > 0 {
			return true, false
		}
		if !p.r.letters(next.Text) || !next.Capital {
			p.add(&term{kind: same}, t)
		}
	default:
		return false, false
	}
	return true, true
}

// joins takes words that join people or take them away.
func (p *parser) joins(t *phrase, w words.Word) (known, taken bool) {
	begun := len(p.out.terms)+len(p.cur) > 0
	switch w.Class {
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
		_, last, _ := strings.Cut(t.Key, " ")
		p.det = articles[last] // "con los"
	case "minus":
		if t.Key == "all but" && !begun {
			p.add(&term{kind: all}, t)
		}
		p.flush(",")
		p.neg = true
	case "ways": // "siblings, with and without partners"
		p.flush("+")
		p.ways = true
	case "leaves": // "Nan steps out"
		if p.peek(1).Kind == 'w' || !begun {
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
func (p *parser) extends(t *phrase, w words.Word) (known, taken bool) {
	switch w.Class {
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
		p.out.attrs = append(p.out.attrs, attr{class: "split", text: t.Text, s: t.Start, e: t.End})
	case "both":
		return true, p.bothOfThem(t)
	case "fill":
		if t.has("both") && p.bothOfThem(t) {
			return true, true
		}
		p.det = p.det || articles[t.Key]
		p.every = p.every || everyWords[w.Text]
		p.all = p.all || w.Text == "both" || w.Text == "all" || w.Lang != "en"
	case "num":
		p.num = int(w.Arg[0] - '0')
	case "mat", "pat":
		if k := p.lastKin(); k != nil && k.line == 0 && w.Lang != "en" { // "abuelos maternos"
			k.line = w.Class[0]
		} else {
			p.line = w.Class[0]
		}
	default:
		return false, false
	}
	return true, true
}

// qualified takes what sponsors are for into the words for them: "madrina de zapatillas", "padrinos de arras".
func (p *parser) qualified(t *phrase) bool {
	k, next := p.lastKin(), p.peek(1)
	if k == nil || k.w.Arg != "godparent" || k.kind != kinTerm || next.Kind != 'w' || next.Capital || next.has("kin") || next.has("half") || next.has("fill") || p.r.nameLike(next) {
		return false
	}
	p.i++
	k.w.Text += " " + t.Text + " " + next.Text
	k.text, k.qual = k.w.Text, true
	return true
}

// articles stand before kin whose name may follow behind a comma: "o padrasto, Edson".
var articles = map[string]bool{"the": true, "o": true, "a": true, "os": true, "as": true, "el": true, "la": true, "los": true, "las": true, "le": true, "les": true, "der": true, "die": true, "dem": true, "den": true}

// everyWords count step-parents among parents: "all parents".
var everyWords = map[string]bool{"all": true, "all the": true, "all of": true, "todos os": true, "todos los": true, "tous les": true, "alle": true, "each set of": true}

// aside takes what is said beside the people.
func (p *parser) aside(t *phrase) bool {
	for _, w := range t.ws {
		switch w.Class {
		case "need", "absent", "dead", "must", "nice", "first", "last", "from", "until", "apart", "elder", "child", "infant", "open", "tbc", "order", "split":
			if (w.Class == "from" || w.Class == "until") && !p.timeNext() {
				continue
			}
			if w.Class == "dead" && len(p.cur) == 0 && (p.peek(1).Key == ":" || p.peopleNext()) {
				p.dead = true
				return true
			}
			p.attr(attr{class: w.Class, arg: w.Arg, text: t.Text, s: t.Start, e: t.End})
			return true
		case "prep", "remark", "near":
			if polite[t.Key] && len(p.cur) == 0 && !p.prep {
				return true
			}
			if !p.prep && (len(p.cur) > 0 || len(p.out.terms) > 0 || w.Class == "remark" || p.in) && w.Class != "near" {
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
		if t := p.peek(k); t.Kind == 't' || t.Kind == 'n' {
			return true
		}
	}
	return p.peek(0).has("from") && p.peek(0).Text != "from"
}

// namesFollow reports whether a name stands right behind: "coach Danny".
func (p *parser) namesFollow(next *phrase) bool {
	return p.r.nameLike(next) && !next.Possessive && !p.r.InCouple(next.Text)
}

func (p *parser) role(t *phrase, w words.Word) {
	next := p.peek(1)
	if w.Owner != "" {
		p.own = ownerSaid(w.Owner)
	}
	k := &term{kind: role, w: w, text: t.Text}
	if w.Arg == "attendant" && w.Plural && w.Sex == 0 && p.out.solo && p.r.seen["madrinhas"] {
		k.sex = 'm' // "só padrinhos", where the women have a word of their own
	}
	if t.Possessive {
		k.own = p.own
		p.own = &owner{kin: k}
		return
	}
	p.run = nil
	if p.r.nameLike(next) && !next.Possessive && !p.r.InCouple(next.Text) {
		k.own = p.own
		if t.Capital && t.has("rank") && !w.Plural {
			p.rank = t.Text
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
	return n.Kind == 'n' && n.Num < 35
}
