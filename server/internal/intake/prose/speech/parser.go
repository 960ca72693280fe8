package speech

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"

	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/kin"
)

// parser reads the phrases of a stretch.
type parser struct {
	r      *Reader
	out    Parsed
	ph     []Phrase
	i      int
	cur    []*Term // of the chunk between two joiners
	lost   []Phrase
	own    *Owner
	each   bool
	sets   bool
	all    bool
	every  bool
	line   byte
	near   byte
	num    int
	sep    string
	neg    bool
	back   *Term  // the kin for several that goes on after a name with its own
	run    *Term  // the kin or role that names after it have
	rank   string // a rank before a name
	from   int    // where the chunk begins
	begun  bool
	dead   bool // "the late ..."
	young  bool // the group of the chunk is of children: "U9s"
	baby   bool // the kin of run are infants
	ways   bool // "with and without" was said
	grp    bool // the chunk has a word for a group
	det    bool // an article or "his" stands before the next words
	prep   bool // the rest of the chunk is a remark
	in     bool // inside a bracket
	ages   bool // numbers are ages and not those of photographs
	swap   bool // "swap" was said, and not yet for whom
	dashed int  // how many terms stand before the first dash
	title  bool // it begins with what somebody is: "Player of the year"
	told   int  // how many terms a group is the last of whose people follow, or 0
	behind int  // how many terms stand before these
	tells  bool // a sentence about those named before: "She is 84"
	shes   byte // of which sex one is whom that sentence tells of
	needs  bool // the chunk says what somebody needs
}

// Parse takes phrases of the current line as terms; inside a bracket less has to be said.
func (r *Reader) Parse(ph []Phrase, inside bool) Parsed {
	return (&parser{r: r, ph: ph, in: inside}).parse()
}

func (p *parser) parse() Parsed {
	p.ph = p.r.glossed(onLaps(p.r.asking(p.ph)))
	for p.i = 0; p.i < len(p.ph) && p.r.Effort.Spend(60); p.i++ {
		p.step(&p.ph[p.i])
	}
	last := p.own
	p.flush("")
	p.repeated()
	p.members()
	p.sentenceOfNames()
	if len(p.out.Terms) == 0 {
		p.out.Owner = cmp.Or(last, p.out.Owner)
	}
	return p.out
}

func (p *parser) peek(n int) *Phrase {
	if p.i+n < len(p.ph) && p.i+n >= 0 {
		return &p.ph[p.i+n]
	}
	return &Phrase{}
}

// step takes the next phrase.
func (p *parser) step(t *Phrase) {
	switch {
	case t.Open:
		p.bracket(t)
	case t.Kind == 'p':
		p.mark(t)
	case t.Kind == 't':
		if last := p.lastPerson(); last != nil && len(last.Attrs) > 0 { // "Signe - until 17:00"
			if c := last.Attrs[len(last.Attrs)-1].Class; c == "from" || c == "until" {
				last.Attrs = append(last.Attrs, Attribute{Class: "time", Arg: Afternoon(*t), Text: t.Text, Start: t.Start, End: t.End})
				return
			}
		}
		p.attr(Attribute{Class: "time", Arg: Afternoon(*t), Text: t.Text, Start: t.Start, End: t.End})
	case t.Kind == 'n':
		p.number(t)
	default:
		if p.apposition(t) {
			p.flush(",")
		}
		p.word(t)
	}
}

func (p *parser) mark(t *Phrase) {
	switch t.Key {
	case `"`:
		if last := p.lastPerson(); last != nil && len(p.cur) > 0 && p.peek(1).Kind == 'w' && p.peek(2).Key == `"` {
			last.Attrs = append(last.Attrs, Attribute{Class: "nick", Text: p.peek(1).Text})
			p.i += 2
			if next := p.peek(1); p.r.NameLike(next) {
				last.Name += " " + next.Text
				last.Text = last.Name
				p.i++
			}
		}
	case ",", ";", "|":
		p.flush(t.Key)
		if t.Key == ";" {
			p.run, p.neg = nil, false
		}
	case "+", "&":
		if len(p.out.Terms)+len(p.cur)+len(p.lost) == 0 && t.Key == "+" && p.sep == "" {
			p.out.Add = true
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
			she, he := words.Listed("she", p.peek(1).Key), words.Listed("he", p.peek(1).Key)
			p.tells, p.shes = she || he || words.Listed("they", p.peek(1).Key), map[bool]byte{she: 'w', he: 'm'}[true]
		}
	case "!":
		p.out.Attrs = append(p.out.Attrs, Attribute{Class: "!", Start: t.Start, End: t.End})
		if k := p.lastOpen(); k != nil && k.Word.Plural && p.r.NameLike(p.peek(1)) { // "ah, and the witnesses! Ann, Bob"
			p.flush(".")
		}
	case "?":
		p.attr(Attribute{Class: "tbc", Text: "?", Start: t.Start, End: t.End})
	case "...":
		p.attr(Attribute{Class: "open", Text: "...", Start: t.Start, End: t.End})
	}
}

// afterShort reports whether a point ends an abbreviation: "Col. Fitz", "Familia G."
func (p *parser) afterShort(t *Phrase) bool {
	before, next := p.peek(-1), p.peek(1)
	return before.Kind == 'w' && next.Kind == 'w' && !words.Listed("she", next.Key) && !words.Listed("he", next.Key) && utf8.RuneCountInString(before.Text) <= 4 && next.Capital && before.End == t.Start && (before.Capital && utf8.RuneCountInString(before.Text) < 3 || before.Has("rank") || len(before.Words) > 0 && (!before.Has("kin") || p.r.abbreviation(before.Key)))
}

// dash reads " - ": it takes away after a set, else a remark or more people follow.
func (p *parser) dash() {
	if k := p.lastOpen(); k != nil && (k.Word.Arg != "family" || k.Close != 0) && p.peopleNext() {
		// "Sister - Mallory, Brothers - Grant & Reid"
		p.twoDashed(k)
		p.own = k.Owner
		p.cur = p.cur[:len(p.cur)-1]
		sep := p.sep
		p.flush("")
		p.sep, p.run = sep, k
		return
	}
	p.flush(",")
	if p.dashed == 0 {
		p.dashed = len(p.out.Terms)
	}
	if len(p.out.Terms) == 1 {
		if last := p.out.Terms[0]; last.Kind == All && (p.peek(-1).Has("near") || strings.HasSuffix(p.peek(-1).Key, " us")) && p.peopleNext() {
			last.Kind = Couple // "all of us together - bridesmaids & lads"
		} else if (last.Kind == All || last.Kind == Kin && last.Word.Arg == "family" && !p.listNext()) && p.peopleNext() {
			p.neg = true
		}
	}
	n := len(p.out.Terms)
	for n > 1 && p.leads(p.out.Terms[n-1]) { // "uni girls with Ann - Bea, Cleo"
		n--
	}
	if n > 0 && p.out.Terms[n-1].group() && (len(p.out.Terms) > 1 || p.out.Terms[0].Kind == Us) {
		p.told, p.behind = n, len(p.out.Terms)
	}
}

// group reports whether a term stands for a group whose people are not named: "book club", "Ann's family".
func (t *Term) group() bool {
	return len(t.Names) == 0 && !t.Minus && (t.Kind == Label || t.Kind == Us || t.Kind == Kin && t.Word.Arg == "family" && t.Owner != nil)
}

// lastOpen is words of kin or a role right before that have no names.
func (p *parser) lastOpen() *Term {
	if n := len(p.cur); n > 0 && (p.cur[n-1].Kind == Kin || p.cur[n-1].Kind == Role) && len(p.cur[n-1].Names) == 0 {
		return p.cur[n-1]
	}
	return nil
}

// peopleNext reports whether words for people come next.
func (p *parser) peopleNext() bool {
	for k := 1; k < 4; k++ {
		t := p.peek(k)
		if t.Has("kin") || t.Has("role") || p.r.NameLike(t) || t.Has("half") || t.Has("self") || t.Has("rank") && t.Capital || t.Has("couple") && t.Capital && p.r.NameLike(p.peek(k+1)) {
			return true
		}
		if !t.Has("fill") && !t.Has("her") && !t.Has("his") && !t.Has("their") && !t.Has("my") {
			return false
		}
	}
	return false
}

// add ends a term with what was said before it.
func (p *parser) add(t *Term, ph *Phrase) *Term {
	t.Start, t.End = ph.Start, ph.End
	if t.Text == "" {
		t.Text = ph.Text
	}
	t.Article, p.det = p.det || p.own != nil && p.own.Pronoun != "", false
	t.Owner, p.own = p.own, nil
	if p.dead {
		t.Attrs, t.Minus = append(t.Attrs, Attribute{Class: "dead"}), true
	}
	t.Each, t.Sets, t.All, t.Every = p.each, p.sets, p.all, p.every
	t.Minus, t.Line, t.Close, t.Number = p.neg || p.dead, cmp.Or(t.Line, p.line), cmp.Or(t.Close, p.near), p.num
	p.each, p.sets, p.all, p.every, p.line, p.near, p.num = false, false, false, false, 0, 0, 0
	t.Sep, t.Ways = p.sep, p.ways
	if len(p.cur) > 0 {
		t.Sep = " "
	}
	p.cur = append(p.cur, t)
	return t
}

// flush ends the chunk between two joiners.
func (p *parser) flush(sep string) {
	if p.rank != "" {
		p.lostWord(&Phrase{Token: words.Token{Text: p.rank, Key: kin.Fold(p.rank), Kind: 'w'}})
		p.rank = ""
	}
	p.settle()
	p.out.Terms = append(p.out.Terms, p.cur...)
	if p.sep == PartSep && len(p.cur) == 0 {
		sep = ""
	}
	if len(p.cur) > 0 || sep != "" && p.sep == "" || sep == ";" || sep == "." {
		p.sep = sep
	} else if sep != "" && sep != "," {
		p.sep = sep
	}
	if p.own != nil && sep != "" && len(p.cur) == 0 && p.own.Half != 0 {
		// "bride's, groom's parents"
		p.own.Both = true
	} else if sep != "&" && sep != "/" {
		if p.in && len(p.cur)+len(p.out.Terms) == 0 { // "(Ann's, 88)"
			p.out.Owner = cmp.Or(p.own, p.out.Owner)
		}
		p.own = nil
	}
	p.cur, p.lost, p.grp, p.prep, p.begun, p.det, p.young, p.needs = nil, nil, false, false, false, false, false, false
	p.dead = p.dead && sep != "." && sep != ";"
	p.each, p.all, p.line, p.near, p.num = false, false, 0, 0, 0
	if sep == ";" || sep == "." {
		p.sets = false
	}
}

// settle decides what the words of a chunk are that mean nothing by themselves.
func (p *parser) settle() {
	if p.own != nil && p.own.Half != 0 && len(p.cur) == 0 && len(p.lost) == 0 && !p.grp && !p.own.Both && p.own.Kin == nil {
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
	a := Attribute{Class: "lost", Text: text, Start: s, End: e}
	if len(p.cur) == 0 && !p.prep && !p.tells && !p.neg && !p.needs && !AnyHas(p.lost, "remark", "prep") {
		if !(p.sep == "," && len(p.out.Terms) > 0 && !p.in && p.r.small(p.lost)) {
			p.out.Unknown = append(p.out.Unknown, a)
			return
		}
	}
	a.Class = "note"
	p.out.Attrs = append(p.out.Attrs, a)
	for _, t := range p.cur {
		t.Beside = true
	}
}

// group makes one label of a chunk with a word for a group, unless names follow that word.
func (p *parser) group() {
	people := slices.ContainsFunc(p.cur, func(t *Term) bool { return t.Kind == Person && t.Rank != "" || t.Kind == Couple || t.Kind == Half })
	if people {
		return
	}
	ph := p.ph[p.from:p.i]
	if len(ph) > 1 && ph[0].Has("of") { // "one of the four generations"
		ph = ph[1:]
	}
	for wish := func(k int) bool {
		return len(ph) > 1 && (ph[k].Has("nice") && strings.Contains(ph[k].Key, " ") || k > 0 && (words.Listed("besides", ph[k].Key) || ph[k].Has("all") || ph[k].Kind == 'n' && ph[k-1].Key == "x" || ph[k].Key == "x"))
	}; wish(0) || wish(len(ph)-1); { // "neighbours if there's time", "boys all together", "golf lot x 12"
		if wish(0) {
			ph = ph[1:]
		} else {
			ph = ph[:len(ph)-1]
		}
	}
	if k := slices.IndexFunc(ph, func(t Phrase) bool { return words.Listed("unsure", t.Key) }); k > 0 { // "Tom's work lot, idk who"
		ph = ph[:k]
	}
	text, s, e := p.chunkText(ph)
	if ph[len(ph)-1].Has("wish") && len(ph) > 1 && p.sep == "," && len(p.out.Terms) > 0 && p.own == nil { // "me, Ann and Mum - girls pic"
		p.out.Attrs, p.cur = append(p.out.Attrs, Attribute{Class: "note", Text: text, Start: s, End: e}), nil
		return
	}
	t := &Term{Kind: Label, Text: text, Start: s, End: e, Sep: p.sep, Minus: p.neg, Owner: p.own, All: p.all, Number: p.num, Each: p.each, Line: p.line}
	for _, c := range p.cur {
		t.Owner, t.All = cmp.Or(t.Owner, c.Owner), t.All || c.All
		t.Names, t.Attrs = append(t.Names, c.Names...), append(t.Attrs, c.Attrs...)
		if c.Kind == Person && len(c.Names) == 0 && c.Owner == nil && t.Owner == nil {
			t.Owner = &Owner{Name: c.Name}
		}
	}
	if p.young {
		t.Attrs = append(t.Attrs, Attribute{Class: "child", Start: s, End: s})
	}
	p.own = nil
	p.cur = []*Term{t}
}

// chunkText is the text of phrases without brackets and what stands before the words.
func (p *parser) chunkText(ph []Phrase) (string, int, int) {
	var b strings.Builder
	s, e := -1, 0
	for k := range ph {
		t := &ph[k]
		if t.Open || t.Kind == 'p' && t.Key != "/" && t.Key != "&" && t.Key != "." {
			continue
		}
		if s < 0 {
			if (t.Has("fill") || t.Has("and") || t.Has("with") || t.Has("minus")) && len(ph) > 1 || t.Kind == 'p' {
				continue
			}
			s = t.Start
		}
		if t.Gap && b.Len() > 0 && !(words.IsHan(t.Text) && t.Start == e) {
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

func (p *parser) lostWord(t *Phrase) {
	p.lost = append(p.lost, *t)
}
