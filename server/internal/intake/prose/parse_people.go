package prose

import (
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/prose/words"
)

// honour takes words for whom the day is about.
func (p *parser) honour(t *phrase) bool {
	r := p.r
	if r.Honour < 0 || p.own != nil || r.nameLike(p.peek(1)) {
		return false
	}
	name := r.Guests[r.Honour].Given
	if t.Possessive {
		p.own = &owner{name: name}
	} else {
		p.add(&term{kind: person, name: name}, t)
	}
	return true
}

// self takes words for whoever wrote the list, where they stand as people do and not before a verb.
func (p *parser) self(t *phrase) bool {
	if !p.joined() {
		return false
	}
	name := p.r.writes
	if by := p.r.Line.By; by != "" && p.r.HalfNamed(by) == 0 {
		if len(p.r.Find(by)) != 1 {
			return false
		}
		name = by
	}
	if name == "" {
		if p.r.Couple[0] < 0 {
			return false
		}
		name = p.r.Guests[p.r.Couple[p.r.myself()-1]].Given
	}
	p.add(&term{kind: person, name: name}, t)
	return true
}

// you takes "you" in a chat of the couple for the other of them.
func (p *parser) you(t *phrase) bool {
	h := p.r.HalfNamed(p.r.Line.By)
	if h == 0 || !p.joined() {
		return false
	}
	p.add(&term{kind: person, name: p.r.Guests[p.r.Couple[2-h]].Given}, t)
	return true
}

// ofSide takes "everybody" with a side behind it for all on that: "everyone from my side", "alle von Jonas' Seite".
func (p *parser) ofSide() bool {
	if next := p.peek(1); !next.has("of") && !next.has("prep") && !next.has("from") && !next.has("with") {
		return false
	}
	for k := 2; k < 5; k++ {
		next := p.peek(k)
		w, _ := next.word("kin")
		switch {
		case next.has("side") || w.Arg == "family":
			p.i++
			return true
		case next.Kind != 'w' && next.Key != "'", next.has("and"), next.has("with"):
			return false
		}
	}
	return false
}

// joined reports whether the current word stands where people do: alone, or joined to others.
func (p *parser) joined() bool {
	next, before := p.peek(1), p.peek(-1)
	return p.closes() || next.open || p.r.nameLike(next) ||
		before.Key == "+" || before.Key == "&" || before.has("and") || before.has("with") || before.has("of")
}

// closes reports whether no more words for the same people follow the current word.
func (p *parser) closes() bool {
	next := p.peek(1)
	if next.Kind != 'w' {
		return true
	}
	for _, class := range []string{"and", "with", "minus", "alone", "prep", "verb", "remark", "first", "last", "next", "must", "nice", "both"} {
		if next.has(class) {
			return !next.has("fill") && !next.has("kin")
		}
	}
	return false
}

// bothOfThem takes "both" for the couple: "both with P1's mum", "wedding party with both".
func (p *parser) bothOfThem(t *phrase) bool {
	next, before := p.peek(1), p.peek(-1)
	begins := (len(p.out.terms)+len(p.cur) == 0 || before.has("of")) && (next.has("with") || next.Key == "+")
	ends := next.Kind == 0 && (before.has("with") || before.has("and") || before.Key == "+" || before.Key == "&" || p.i == 0)
	if p.own != nil || p.r.Couple[0] < 0 || !begins && !ends {
		return false
	}
	p.add(&term{kind: couple}, t)
	return true
}

// ranked takes a form of address before a name.
func (p *parser) ranked(t *phrase) bool {
	skip := 1
	for p.peek(skip).Key == "." {
		skip++
	}
	next := p.peek(skip)
	if p.r.nameLike(next) && (t.Capital || !words.Cased(t.Text) || p.r.lower || utf8.RuneCountInString(t.Text) > 1) {
		p.rank = strings.TrimSpace(p.rank + " " + t.Text)
		p.i += skip - 1
		return true
	}
	if (next.Key == "&" || next.has("and")) && t.Capital {
		after := p.peek(skip + 1)
		if _, ok := after.word("rank"); ok && p.r.nameLike(p.peek(skip+2)) {
			name := p.peek(skip + 2)
			p.spouses(t.Text, after.Text, name)
			p.i += skip + 2
			return true
		}
	}
	return false
}

// whose takes a word for whose the next words are, where it is one there: "her mum", and not "one of her".
func (p *parser) whose(t *phrase, w words.Word) bool {
	next := p.peek(1)
	switch {
	case w.Class == "my":
		if t.has("self") && !next.has("kin") && !next.has("role") && !next.has("group") {
			return false
		}
	case t.has("rank") && p.r.nameLike(next), t.has("pron") && p.closes(): // "Seu Antônio"
		return false
	}
	if k := p.lastKin(); k != nil && w.Lang == "pt" && w.Class != "my" && w.Class != "our" { // "o namorado dela"
		p.ownBack(k, ownerSaid(w.Class))
		return true
	}
	p.own = ownerSaid(w.Class)
	return true
}

// everybody takes words for all, or for all of those that follow or stand before.
func (p *parser) everybody(t *phrase) {
	next := p.peek(1)
	switch n := len(p.cur); {
	case next.has("kin"), next.has("role"), next.has("group"), p.r.nameLike(next), next.Kind == 'n', next.has("half"), next.has("num"), next.has("of") && p.peek(2).Kind == 'n':
		p.all, p.every = true, true
	case n > 0 && (p.cur[n-1].w.Plural || p.cur[n-1].number() > 0):
		p.cur[n-1].all = true // "wedding party all together"
	case !p.ofSide():
		p.add(&term{kind: all}, t)
	}
}

// short takes letters for a parent, brother or sister of one of the couple: "MOB".
func (p *parser) short(t *phrase, w words.Word) bool {
	k := words.Word{Class: "kin", Arg: "parent", Plural: w.Arg == "parents", Text: w.Arg}
	switch k.Sex = map[string]byte{"mother": 'w', "father": 'm', "grandmother": 'w', "sister": 'w', "brother": 'm'}[w.Arg]; w.Arg {
	case "sister", "brother":
		if !words.Capitals(t.Text) {
			return false // Bob
		}
		k.Arg = "sibling"
	case "grandmother":
		k.Arg = "grandparent"
	}
	p.own = &owner{half: w.Side}
	p.kin(t, k)
	return true
}

// ownerSaid is whom a word for whose means: "our" is both of the couple's.
func ownerSaid(pron string) *owner {
	if pron == "our" {
		return &owner{both: true}
	}
	return &owner{pron: pron}
}

// spouses adds two people of one last name: "Mr & Mrs Benali".
func (p *parser) spouses(one, other string, name *phrase) {
	run := p.run
	for _, rank := range []string{one, other} {
		x := p.add(&term{kind: person, name: name.Text, rank: rank, text: rank + " " + name.Text, given: true}, name)
		x.sep = "&"
		if run != nil {
			x.w, x.own = run.w, run.own
		}
	}
	p.run = nil
}
