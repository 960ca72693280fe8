package speech

import (
	"regexp"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/prose/words"
)

// PartSep joins nothing: a term that it stands before begins a photograph of the same line that has a label of its own.
const PartSep = "#"

var partLabel = regexp.MustCompile(`^\d{1,2}[a-h]$`)

// word takes a word or words of one meaning.
func (p *parser) word(t *Phrase) {
	if !p.begun {
		p.from, p.begun = p.i, true
	}
	if p.prep {
		switch {
		case t.Has("and"), t.Has("with") && !p.r.NameLike(t), t.Has("minus"), t.Has("nice"), t.Has("must"), t.Has("add") && p.peopleNext():
		default:
			if p.aside(t) {
				return
			}
			p.lostWord(t)
			return
		}
	}
	if next := p.peek(1); partLabel.MatchString(t.Text) && (next.Key == "." || next.Key == ")" || next.Key == ":") { // "7a. with Ann 7b. with Bob"
		p.flush(";")
		p.sep, p.run, p.neg = PartSep, nil, false
		p.i++
		return
	}
	if p.r.letters(t.Text) && (t.Capital && len(t.Words) == 0 || !t.Capital && p.refersTo()) && !p.r.NameLike(t) {
		p.letter(t, t.Text)
		return
	}
	if p.theirsAre(t) || p.boyOrGirl(t) || p.placed(t) {
		return
	}
	if p.i == 0 && p.titleOf(t) {
		p.grp, p.title = true, true
		return
	}
	if p.r.NameLike(t) {
		if p.needs && p.r.onlySaid(t) {
			p.lostWord(t) // يحتاج كرسي ليجلس
		} else {
			p.name(t)
		}
		return
	}
	if t.Text == "i" && t.Has("and") && !p.r.Lower { // "Ola i Zosia" in Polish
		p.flush("&")
		return
	}
	if p.special(t) {
		return
	}
	for _, w := range t.Words {
		if p.meaning(t, w) {
			return
		}
	}
	if t.Possessive && t.Capital || t.Possessive && p.peek(1).Has("kin") {
		p.own = &Owner{Name: t.Text}
		return
	}
	p.lostWord(t)
}

// letter takes a letter for the lines that it stands before, with a word for several before it: "with family A".
func (p *parser) letter(t *Phrase, name string) *Term {
	if n := len(p.cur); n > 0 && p.cur[n-1].Kind == Kin && p.cur[n-1].Word.Arg == "family" && p.cur[n-1].Owner == nil {
		p.cur = p.cur[:n-1]
	}
	return p.add(&Term{Kind: Letter, Name: name}, t)
}

// meaning takes a word in one of its meanings. It returns false where that meaning has no place.
func (p *parser) meaning(t *Phrase, w words.Word) bool {
	for _, take := range []func(*Phrase, words.Word) (known, taken bool){p.standsFor, p.joins, p.extends} {
		if known, taken := take(t, w); known {
			return taken
		}
	}
	return p.aside(t)
}

// standsFor takes words that stand for people.
func (p *parser) standsFor(t *Phrase, w words.Word) (known, taken bool) {
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
		p.add(&Term{Kind: Pronoun, Word: w}, t)
	case "letter":
		p.letter(t, w.Arg)
	case "stands":
		if t.Possessive || p.letterOwns(w.Text) {
			p.own = &Owner{Name: w.Text}
			return true, true
		}
		p.flush(",")
		p.add(&Term{Kind: Person, Name: w.Text}, t)
	case "titled":
		p.add(&Term{Kind: Label, Text: w.Text}, t)
	case "half":
		p.half(t, w)
	case "couple":
		if w.Arg == "us" && p.r.ByWriter() {
			p.us(t, 0)
		} else {
			p.couple(t, w)
		}
	case "us":
		return true, (w.Lang == "en" || !p.peopleNext()) && p.us(t, int(w.Arg[0]-'0')) // not "os quatro avós"
	case "all":
		p.everybody(t)
	case "kin":
		p.kin(t, w)
	case "short":
		return true, p.short(t, w)
	case "immediate", "extended":
		p.kinOf(t, words.Word{Class: "kin", Arg: "family", Plural: true, Text: w.Text}, w.Class[0])
	case "role":
		if next.Has("group") && !w.Plural {
			return true, false
		}
		p.role(t, w)
	case "group":
		p.several(t, w, next)
	case "above", "same":
		return true, p.others(t, w)
	default:
		return false, false
	}
	return true, true
}

// others takes words for other photographs: "all of the above", "the last two", "same".
func (p *parser) others(t *Phrase, w words.Word) bool {
	switch next := p.peek(1); {
	case w.Class == "above":
		n := event.MaxPhotographs
		if w.Arg != "" {
			n = int(w.Arg[0] - '0')
		}
		p.add(&Term{Kind: Same, Number: n}, t).Number = n
	case len(p.out.Terms)+len(p.cur)+len(p.lost) > 0:
		return false
	case words.Listed("as", t.Key) && !slices.ContainsFunc(p.ph[p.i+1:min(len(p.ph), p.i+4)], func(n Phrase) bool { return n.Kind == 'n' || n.Has("above") || p.r.letters(n.Text) }):
		return false // "comme convenu"
	case !p.r.letters(next.Text) || !next.Capital && !p.r.lowLetters:
		p.add(&Term{Kind: Same}, t)
	}
	return true
}

// joins takes words that join people or take them away.
func (p *parser) joins(t *Phrase, w words.Word) (known, taken bool) {
	begun := len(p.out.Terms)+len(p.cur) > 0
	switch w.Class {
	case "and":
		if begun && p.holds() {
			p.prep = true
			p.lostWord(t)
			return true, true
		}
		p.flush("&")
	case "with":
		if p.holds() || p.own == nil && (p.peek(1).Has("her") || p.peek(1).Has("his") || p.peek(1).Has("fill")) && p.peek(2).Has("prop") {
			p.prep = true
			p.lostWord(t)
			return true, true
		}
		p.flush("+")
		p.neg = false
		_, last, _ := strings.Cut(t.Key, " ")
		p.det = words.Listed("article", last) // "con los"
	case "minus":
		if t.Key == "all but" && !begun {
			p.add(&Term{Kind: All}, t)
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
		for _, x := range append(slices.Clone(p.out.Terms), p.cur...) {
			x.Minus = true
		}
		p.out.Add = true
	case "add":
		switch {
		case !begun:
			p.out.Add = true
		case !p.peopleNext():
			return true, false
		default: // "same again but add Ann"
			p.flush("+")
			p.neg = false
		}
	case "edit": // "swap Ann for Bob"
		if begun || w.Arg != "swap" || len(p.lost) > 0 {
			return true, false
		}
		p.out.Add, p.neg, p.swap = true, true, true
	default:
		return false, false
	}
	return true, true
}

// holds reports whether a thing and nobody stands behind the current word: "and the dog", "with flowers".
func (p *parser) holds() bool {
	next, after := p.peek(1), p.peek(2)
	if next.Has("fill") && !next.Has("prop") {
		next, after = after, p.peek(3)
	}
	return next.Has("prop") && !(next.Capital && (p.r.Known[next.Key] || AnyHas(after.Inside, "kin"))) // but "with Teddy (our son)"
}

// extends takes words that say whose, how many and how.
func (p *parser) extends(t *Phrase, w words.Word) (known, taken bool) {
	switch w.Class {
	case "of", "side":
		if p.qualified(t) {
			return true, true
		}
		return true, p.of(t, w)
	case "my", "her", "his", "their", "our", "your":
		return true, p.whose(t, w)
	case "each":
		p.eachOf()
	case "setsof":
		p.sets = true
	case "alone":
		p.out.Solo = true
	case "once": // "just one frame"
		p.out.Solo = p.out.Solo || p.peek(1).Kind == 'w'
		p.out.Attrs = append(p.out.Attrs, Attribute{Class: "note", Text: t.Text, Start: t.Start, End: t.End})
	case "split":
		p.out.Split = true
		p.out.Attrs = append(p.out.Attrs, Attribute{Class: "split", Text: t.Text, Start: t.Start, End: t.End})
	case "both":
		return true, p.bothOfThem(t)
	case "fill":
		if t.Has("both") && p.bothOfThem(t) {
			return true, true
		}
		p.det = p.det || words.Listed("article", t.Key)
		p.every = p.every || words.Listed("every", w.Text)
		p.all = p.all || w.Text == "both" || w.Text == "all" || w.Lang != "en"
	case "years":
		if w.Arg == "" {
			return true, false
		}
		p.age(Attribute{Class: w.Class, Num: int(w.Arg[0] - '0'), Text: t.Text, Start: t.Start, End: t.End}) // سنتين
	case "num":
		if t.Has("us") && p.closes() {
			return true, false // "os quatro + avó Ida"
		}
		p.num = int(w.Arg[0] - '0')
	case "mat", "pat":
		if k := p.lastKin(); k != nil && k.Line == 0 && w.Lang != "en" { // "abuelos maternos"
			k.Line = w.Class[0]
			p.nameBehind(k, p.peek(1)) // "abuela paterna Elvira"
		} else {
			p.line = w.Class[0]
		}
	default:
		return false, false
	}
	return true, true
}

// eachOf takes "each" for those that follow or stand before: "with each set of parents", "Ann with each of them".
func (p *parser) eachOf() {
	switch next := p.peek(1); {
	case next.Has("side") && p.sep == "," && len(p.cur) == 0 && len(p.out.Terms) > 0 && p.out.Terms[len(p.out.Terms)-1].Kind == Kin: // "siblings, each side"
		p.out.Terms[len(p.out.Terms)-1].Sets = true
		p.i++
	case words.Listed("setof", next.Key): // "with each set of parents"
		p.sets = true
		p.i++
	case next.Has("pron") || next.Has("of") && p.peek(2).Has("pron"): // "Ann with each of them"
		p.flush("+")
		p.each = true
	case p.peopleNext():
		p.each = true
	case len(p.cur) > 0:
		p.each, p.cur[len(p.cur)-1].Each = false, true
	case len(p.out.Terms) > 0:
		p.each, p.out.Each = false, true
	default:
		p.each = true
	}
}

// qualified takes what sponsors are for into the words for them: "madrina de zapatillas", "padrinos de arras".
func (p *parser) qualified(t *Phrase) bool {
	k, next := p.lastOpen(), p.peek(1)
	if k == nil || k.Word.Arg != "godparent" || k.Kind != Kin || next.Kind != 'w' || next.Capital || next.Has("kin") || next.Has("half") || next.Has("fill") || p.r.NameLike(next) {
		return false
	}
	p.i++
	k.Word.Text += " " + t.Text + " " + next.Text
	k.Text, k.Qualified = k.Word.Text, true
	for p.peek(1).Key == "/" && p.peek(2).Kind == 'w' && !p.peek(2).Capital { // "padrinos de anillo / ramo / vals"
		p.i += 2
	}
	if p.r.NameLike(p.peek(1)) { // "padrinos de velación Gaby y Memo"
		p.cur, p.run, p.own = p.cur[:len(p.cur)-1], k, k.Owner
	}
	return true
}

// aside takes what is said beside the people.
func (p *parser) aside(t *Phrase) bool {
	for _, w := range t.Words {
		switch w.Class {
		case "need", "absent", "dead", "must", "nice", "first", "last", "from", "until", "apart", "elder", "child", "infant", "open", "tbc", "order", "split":
			if w.Class == "must" && words.Listed("modal", t.Key) && !p.closes() { // "must be back by 6"
				continue
			}
			if (w.Class == "from" || w.Class == "until") && !p.timeNext() || w.Class == "dead" && t.Key == "late" && p.in && p.i > 0 && !p.peopleNext() { // "(his train gets in late)"
				continue
			}
			if w.Class == "dead" && len(p.cur) == 0 && (p.peek(1).Key == ":" || p.peopleNext()) {
				p.dead = true
				return true
			}
			if t.Key == "elder" && p.own != nil && p.peek(1).Has("kin") {
				return true // "my elder daughter"
			}
			if (w.Class == "elder" || w.Class == "child") && p.det && len(p.cur) == 0 && p.closes() {
				continue // "Marisol, la mayor": of brothers and sisters
			}
			p.attr(Attribute{Class: w.Class, Arg: w.Arg, Text: t.Text, Start: t.Start, End: t.End})
			return true
		case "prep", "remark", "near":
			if words.Listed("polite", t.Key) && len(p.cur) == 0 && !p.prep {
				return true
			}
			if !p.prep && (len(p.cur) > 0 || len(p.out.Terms) > 0 || w.Class == "remark" || p.in) && w.Class != "near" {
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

// namesFollow reports whether a name stands right behind: "coach Danny".
func (p *parser) namesFollow(next *Phrase) bool {
	return p.r.NameLike(next) && !next.Possessive && !p.r.InCouple(next.Text) && !(strings.HasPrefix(next.Text, "ال") && p.r.SeenOnce(next.Text)) // زملاء الجامعة
}
