package prose

import (
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/kin"
)

// term is one thing that a line joins to others: a person by name, words of kin, a role, the couple, everybody.
type term struct {
	kind   byte       // see below
	w      words.Word // of kin, a role, a half of the couple
	own    *owner
	name   string // of a person, without kin
	rank   string // "Capt", "Nana": shown before the name
	text   string // as written
	s, e   int    // bytes of the line
	sep    string // what joins it to the term before: "," "+" "&" "/" ";"
	minus  bool
	each   bool
	sets   bool // "each set of"
	all    bool // "both", "all"
	every  bool // "all"
	line   byte // 'm' maternal, 'p' paternal
	close  byte // 'i' immediate, 'e' extended family
	num    int  // "2 grandparents"
	count  int  // of people, in brackets
	sub    []*term
	attrs  []attr
	only   bool // the bracket names some of them
	open   bool // "etc" follows
	given  bool // surely a name
	det    bool // an article or "his" stands before it
	ways   bool // one photograph with them and one without
	sex    byte // "(men only)"
	qual   bool // the words say what for: "padrinos de arras"
	shared bool // the names of a bracket behind another word are its own
	who    []int
}

// The kinds of terms.
const (
	person  = 'n'
	kinTerm = 'k'
	role    = 'r'
	couple  = 'c'
	half    = 'h'
	all     = 'a'
	label   = 'g' // a group that only the words name
	letter  = 'l' // other lines by their letters or numbers
	same    = 's'
	pronoun = 'p' // "her", "them": of those whom the words before name
)

// owner is whose kin is meant.
type owner struct {
	half byte // 'w' the bride's, 'm' the groom's
	name string
	pron string // "her", "his", "their", "my", "your"
	both bool
	kin  *term
	near bool // not said, but named right before: "Sten & family"
}

// parsed is a stretch of a line as terms, and what it says beside them.
type parsed struct {
	terms []*term
	attrs []attr // of the whole
	add   bool   // it begins with "add" or "+"
	lost  []attr // words that are nothing known
	solo  bool   // "alone", "only"
	split bool   // "separately"
	apart bool
	each  bool
	own   *owner // whose the words behind a colon are: "Hallie's:"
}

// parser reads the phrases of a stretch.
type parser struct {
	r     *reader
	out   parsed
	ph    []phrase
	i     int
	cur   []*term // of the chunk between two joiners
	lost  []phrase
	own   *owner
	each  bool
	sets  bool
	all   bool
	every bool
	line  byte
	near  byte
	num   int
	sep   string
	neg   bool
	back  *term  // the kin for several that goes on after a name with its own
	run   *term  // the kin or role that names after it have
	rank  string // a rank before a name
	from  int    // where the chunk begins
	begun bool
	dead  bool // "the late ..."
	ways  bool // "with and without" was said
	grp   bool // the chunk has a word for a group
	det   bool // an article or "his" stands before the next words
	prep  bool // the rest of the chunk is a remark
	in    bool // inside a bracket
	ages  bool // numbers are ages and not those of photographs
}

func (r *reader) parse(ph []phrase, inside bool) parsed {
	return (&parser{r: r, ph: ph, in: inside}).parse()
}

func (p *parser) parse() parsed {
	for p.i = 0; p.i < len(p.ph) && p.r.Effort.Spend(60); p.i++ {
		p.step(&p.ph[p.i])
	}
	last := p.own
	p.flush("")
	if len(p.out.terms) == 0 {
		p.out.own = last
	}
	return p.out
}

func (p *parser) peek(n int) *phrase {
	if p.i+n < len(p.ph) && p.i+n >= 0 {
		return &p.ph[p.i+n]
	}
	return &phrase{}
}

// step takes the next phrase.
func (p *parser) step(t *phrase) {
	switch {
	case t.open:
		p.bracket(t)
	case t.Kind == 'p':
		p.mark(t)
	case t.Kind == 't':
		if last := p.lastPerson(); last != nil && len(last.attrs) > 0 { // "Signe - until 17:00"
			if c := last.attrs[len(last.attrs)-1].class; c == "from" || c == "until" {
				last.attrs = append(last.attrs, attr{class: "time", arg: t.Key, text: t.Text, s: t.Start, e: t.End})
				return
			}
		}
		p.attr(attr{class: "time", arg: t.Key, text: t.Text, s: t.Start, e: t.End})
	case t.Kind == 'n':
		p.number(t)
	default:
		p.word(t)
	}
}

func (p *parser) mark(t *phrase) {
	switch t.Key {
	case `"`:
		if last := p.lastPerson(); last != nil && len(p.cur) > 0 && p.peek(1).Kind == 'w' && p.peek(2).Key == `"` {
			last.attrs = append(last.attrs, attr{class: "nick", text: p.peek(1).Text})
			p.i += 2
			if next := p.peek(1); p.r.nameLike(next) {
				last.name += " " + next.Text
				last.text = last.name
				p.i++
			}
		}
	case ",", ";", "|":
		p.flush(t.Key)
		if t.Key == ";" {
			p.run, p.neg = nil, false
		}
	case "+", "&":
		if len(p.out.terms)+len(p.cur) == 0 && t.Key == "+" && p.sep == "" {
			p.out.add = true
		}
		p.flush(t.Key)
		if t.Key == "+" {
			p.neg = false
		}
	case "/", "·", "•":
		p.flush("/")
	case ":", "=":
		p.dash()
	case "-":
		if t.Gap || p.i == 0 {
			p.dash()
		}
	case ".":
		if p.rank == "" && !p.afterShort(t) {
			p.flush(".")
			p.run, p.neg = nil, false
		}
	case "!":
		p.out.attrs = append(p.out.attrs, attr{class: "!", s: t.Start, e: t.End})
	case "?":
		p.attr(attr{class: "tbc", text: "?", s: t.Start, e: t.End})
	case "...":
		p.attr(attr{class: "open", text: "...", s: t.Start, e: t.End})
	}
}

// afterShort reports whether a point ends an abbreviation: "Col. Fitz", "Familia G."
func (p *parser) afterShort(t *phrase) bool {
	before, next := p.peek(-1), p.peek(1)
	return before.Kind == 'w' && next.Kind == 'w' && utf8.RuneCountInString(before.Text) <= 4 && next.Capital && before.End == t.Start && (before.Capital && utf8.RuneCountInString(before.Text) < 3 || before.has("rank") || len(before.ws) > 0)
}

// dash reads " - ": it takes away after a set, else a remark or more people follow.
func (p *parser) dash() {
	if k := p.lastOpen(); k != nil && (k.w.Arg != "family" || k.close != 0) && p.peopleNext() {
		// "Sister - Mallory, Brothers - Grant & Reid"
		p.own = k.own
		p.cur = p.cur[:len(p.cur)-1]
		sep := p.sep
		p.flush("")
		p.sep, p.run = sep, k
		return
	}
	p.flush(",")
	if len(p.out.terms) == 1 {
		if last := p.out.terms[0]; (last.kind == all || last.kind == kinTerm && last.w.Arg == "family") && p.peopleNext() {
			p.neg = true
		}
	}
}

// lastOpen is words of kin or a role right before that have no names.
func (p *parser) lastOpen() *term {
	if n := len(p.cur); n > 0 && (p.cur[n-1].kind == kinTerm || p.cur[n-1].kind == role) && len(p.cur[n-1].sub) == 0 {
		return p.cur[n-1]
	}
	return nil
}

// peopleNext reports whether words for people come next.
func (p *parser) peopleNext() bool {
	for k := 1; k < 4; k++ {
		t := p.peek(k)
		if t.has("kin") || t.has("role") || p.r.nameLike(t) || t.has("half") || t.has("rank") && t.Capital || t.has("couple") && t.Capital && p.r.nameLike(p.peek(k+1)) {
			return true
		}
		if !t.has("fill") && !t.has("her") && !t.has("his") && !t.has("their") && !t.has("my") {
			return false
		}
	}
	return false
}

// add ends a term with what was said before it.
func (p *parser) add(t *term, ph *phrase) *term {
	t.s, t.e = ph.Start, ph.End
	if t.text == "" {
		t.text = ph.Text
	}
	t.det, p.det = p.det || p.own != nil && p.own.pron != "", false
	t.own, p.own = p.own, nil
	if p.dead {
		t.attrs, t.minus = append(t.attrs, attr{class: "dead"}), true
	}
	t.each, t.sets, t.all, t.every = p.each, p.sets, p.all, p.every
	t.minus, t.line, t.close, t.num = p.neg || p.dead, cmpByte(t.line, p.line), cmpByte(t.close, p.near), p.num
	p.each, p.sets, p.all, p.every, p.line, p.near, p.num = false, false, false, false, 0, 0, 0
	t.sep, t.ways = p.sep, p.ways
	if len(p.cur) > 0 {
		t.sep = " "
	}
	p.cur = append(p.cur, t)
	return t
}

func cmpByte(a, b byte) byte {
	if a != 0 {
		return a
	}
	return b
}

// flush ends the chunk between two joiners.
func (p *parser) flush(sep string) {
	if p.rank != "" {
		p.lostWord(&phrase{Token: words.Token{Text: p.rank, Key: kin.Fold(p.rank), Kind: 'w'}})
		p.rank = ""
	}
	p.settle()
	p.out.terms = append(p.out.terms, p.cur...)
	if len(p.cur) > 0 || sep != "" && p.sep == "" || sep == ";" || sep == "." {
		p.sep = sep
	} else if sep != "" && sep != "," {
		p.sep = sep
	}
	if p.own != nil && sep != "" && len(p.cur) == 0 && p.own.half != 0 {
		// "bride's, groom's parents"
		p.own.both = true
	} else if sep != "&" && sep != "/" {
		p.own = nil
	}
	p.cur, p.lost, p.grp, p.prep, p.begun, p.det = nil, nil, false, false, false, false
	p.dead = p.dead && sep != "." && sep != ";"
	p.each, p.all, p.line, p.near, p.num = false, false, 0, 0, 0
	if sep == ";" || sep == "." {
		p.sets = false
	}
}

// settle decides what the words of a chunk are that mean nothing by themselves.
func (p *parser) settle() {
	if p.own != nil && p.own.half != 0 && len(p.cur) == 0 && len(p.lost) == 0 && !p.own.both && p.own.kin == nil {
		return
	}
	if len(p.lost) == 0 && !p.grp {
		return
	}
	if p.grp {
		p.group()
		return
	}
	text, s, e := p.chunkText(p.lost)
	a := attr{class: "lost", text: text, s: s, e: e}
	if len(p.cur) == 0 && !p.prep && !slices.ContainsFunc(p.lost, func(t phrase) bool { return t.has("remark") || t.has("prep") }) {
		if !(p.sep == "," && len(p.out.terms) > 0 && !p.in && p.r.small(p.lost)) {
			p.out.lost = append(p.out.lost, a)
			return
		}
	}
	a.class = "note"
	p.out.attrs = append(p.out.attrs, a)
}

// group makes one label of a chunk with a word for a group, unless names follow that word.
func (p *parser) group() {
	people := slices.ContainsFunc(p.cur, func(t *term) bool { return t.kind == person && t.rank != "" || t.kind == couple || t.kind == half })
	if people {
		return
	}
	text, s, e := p.chunkText(p.ph[p.from:p.i])
	t := &term{kind: label, text: text, s: s, e: e, sep: p.sep, minus: p.neg, own: p.own, all: p.all, num: p.num, each: p.each}
	for _, c := range p.cur {
		t.own = firstOwner(t.own, c)
		t.sub, t.attrs = append(t.sub, c.sub...), append(t.attrs, c.attrs...)
		if c.kind == person && len(c.sub) == 0 && c.own == nil && t.own == nil {
			t.own = &owner{name: c.name}
		}
	}
	p.own = nil
	p.cur = []*term{t}
}

func firstOwner(o *owner, t *term) *owner {
	if o != nil {
		return o
	}
	return t.own
}

// chunkText is the text of phrases without brackets and what stands before the words.
func (p *parser) chunkText(ph []phrase) (string, int, int) {
	var b strings.Builder
	s, e := -1, 0
	for k := range ph {
		t := &ph[k]
		if t.open || t.Kind == 'p' && t.Key != "/" && t.Key != "&" && t.Key != "." {
			continue
		}
		if s < 0 {
			if (t.has("fill") || t.has("and") || t.has("with") || t.has("minus")) && len(ph) > 1 || t.Kind == 'p' {
				continue
			}
			s = t.Start
		}
		if t.Gap && b.Len() > 0 {
			b.WriteByte(' ')
		}
		if e > 0 && t.Start > e && b.Len() > 0 && !t.Gap {
			b.WriteByte(' ')
		}
		if t.End > len(p.r.Line.Text) {
			return "", 0, 0 // cannot be: phrases are of the current line
		}
		b.WriteString(p.r.Line.Text[t.Start:t.End])
		e = t.End
	}
	if s < 0 {
		return "", 0, 0
	}
	return strings.TrimSpace(b.String()), s, e
}

func (p *parser) lostWord(t *phrase) {
	p.lost = append(p.lost, *t)
}

// small reports whether no word begins with a capital, where the script has some: such words after people and a comma
// are said of the photograph.
func (r *reader) small(ph []phrase) bool {
	return !r.lower && !slices.ContainsFunc(ph, func(t phrase) bool { return t.Capital || !words.Cased(t.Text) })
}
