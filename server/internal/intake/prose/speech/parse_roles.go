package speech

import (
	"slices"
	"strconv"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/words"
)

// several takes a word for several people: "boys" of somebody are the children, before names they are those.
func (p *parser) several(t *Phrase, w words.Word, next *Phrase) {
	switch sex := p.ownYoung(t); {
	case sex != 0:
		p.kin(t, words.Word{Class: "kin", Arg: "child", Sex: sex, Plural: true, Text: t.Text, Lang: w.Lang})
	case p.namesFollow(next):
		p.run = &Term{Kind: Role, Word: words.Word{Class: "role", Arg: "group", Text: t.Key, Plural: true}}
	case p.r.Couple[0] < 0 && p.r.Honour < 0 && words.Listed("body", t.Key) && p.wholeBefore() && p.closes() && len(p.r.Groups[people.LabelKey(t.Text)]) == 0: // "the entire club by the pool"
		p.add(&Term{Kind: All}, t)
	case w.Arg == "under":
		years, _ := strconv.Atoi(w.Text)
		p.grp, p.young = true, event.AgeBandAt(years-1) == event.Child
	case w.Arg != "line":
		p.grp = true
	case p.in || len(p.out.Terms)+len(p.cur) > 0: // "Ann, Bea and Cleo - three generations"
		p.prep = true
		p.lostWord(t)
	default:
		p.grp, p.line = true, 'g'
	}
}

// wholeBefore reports whether the words right before say that all of a group is meant.
func (p *parser) wholeBefore() bool {
	last := p.peek(-1).Key
	return words.Listed("whole", last) || words.Listed("whole", p.peek(-2).Key+" "+last)
}

// role takes a role: of names that follow, or of whom stands before.
func (p *parser) role(t *Phrase, w words.Word) {
	next := p.peek(1)
	if w.Plural && len(p.lost) > 0 && words.Listed("sons", t.Key) && !p.namesFollow(next) { // "rugby lads"
		p.grp = true
		return
	}
	if w.Arg == "party" && p.r.Couple[0] < 0 && p.r.Honour >= 0 && p.wholeBefore() && p.own == nil { // "the whole party", on a birthday
		p.add(&Term{Kind: All}, t)
		return
	}
	if w.Owner != "" {
		p.own = ownerSaid(w.Owner)
	}
	if n := len(p.cur); n > 0 && p.det && !w.Plural && !t.Possessive && p.own == nil && p.cur[n-1].Kind == Person && p.cur[n-1].Word.Class == "" && p.lastOpen() == nil {
		p.cur[n-1].Word, p.det = w, false // "Una the celebrant"
		return
	}
	if n := len(p.out.Terms); w.Plural && len(p.cur) == 1 && p.sep == "&" && n > 0 && p.own == nil && p.cur[0].plain() && p.out.Terms[n-1].plain() && (next.Kind != 'w' && !next.Open || next.Has("with")) {
		p.cur[0].Word, p.out.Terms[n-1].Word = w, w // "Ann and Bea flower girls"
		return
	}
	k := &Term{Kind: Role, Word: w, Text: t.Text}
	if n := len(p.cur); n > 0 && !w.Plural && !t.Possessive && p.own == nil && next.Kind != 'w' && p.cur[n-1].Kind == Person && (p.in || words.Capitals(t.Text)) && !p.r.InCouple(p.cur[n-1].Name) {
		p.cur[n-1].Names = append(p.cur[n-1].Names, k) // "bridesmaids (Ann MOH, Bea)"
		return
	}
	if n := len(p.out.Terms); p.in && p.run != nil && p.run.Word.Plural && !w.Plural && n > 0 && len(p.cur) == 0 && p.peek(-1).Key == "-" && p.out.Terms[n-1].Kind == Person && next.Kind != 'w' {
		p.out.Terms[n-1].Names = append(p.out.Terms[n-1].Names, k) // "groomsmen Ann - best man, Bob"
		return
	}
	if w.Arg == "attendant" && w.Plural && w.Sex == 0 && p.out.Solo && p.r.Seen["madrinhas"] {
		k.Sex = 'm' // "só padrinhos", where the women have a word of their own
	}
	if t.Possessive {
		k.Owner = p.own
		p.own = &Owner{Kin: k}
		return
	}
	p.run = nil
	if p.r.NameLike(next) && !next.Possessive && !p.r.InCouple(next.Text) {
		k.Owner = p.own
		if t.Capital && t.Has("rank") && !w.Plural {
			p.rank = t.Text
		}
		p.run = k
		return
	}
	p.add(k, t)
}

// plainOwner reports whether words of kin stand right before others without the mark of whose: "siblings partners".
func (p *parser) plainOwner(next *Phrase) bool {
	w, ok := next.Word("kin")
	return ok && !p.r.NameLike(next) && w.Lang == "en" && (w.Arg == "partner" || w.Arg == "child") && next.Gap
}

// theirsAre takes whose people are named for the kin that was said before: "Mum is Julie, Dan's are Lorraine and Mick", "The children:
// mine are Poppy and Luca".
func (p *parser) theirsAre(t *Phrase) bool {
	mine := t.Has("mine")
	if !t.Possessive && !mine || !words.Listed("are", p.peek(1).Key) || !p.r.NameLike(p.peek(2)) && !young(p.peek(3)) {
		return false
	}
	for _, x := range append(slices.Clone(p.out.Terms), p.cur...) {
		if x.Word.Arg == "parent" || x.Word.Arg == "child" && x.Word.Plural {
			if p.own = (&Owner{Name: t.Text}); mine {
				p.own = ownerSaid("my")
			}
			p.run = &Term{Kind: Kin, Word: words.Word{Class: "kin", Arg: x.Word.Arg, Plural: true, Text: x.Word.Text}, Owner: p.own}
			p.i++
			return true
		}
	}
	return false
}

// ranksNext is how many forms of address stand before the name that follows, at most two.
func (p *parser) ranksNext() int {
	n := 0
	for t := p.peek(1); n < 2 && t.Has("rank") && !t.Has("kin") && MainClass(t) != "fill" && (t.Capital || !words.Cased(t.Text) && !words.IsHan(t.Text)) && !t.Possessive && p.peek(n+2).Key != "."; t = p.peek(n + 1) {
		n++
	}
	if n > 0 && p.r.NameLike(p.peek(n+1)) && !p.peek(n+1).Possessive {
		return n
	}
	return 0
}

// theyAre takes "they are" and "which is" behind words for several without names for a colon: "with her bridesmaids, they are Ann and Bea".
func (p *parser) theyAre(t *Phrase) bool {
	last := len(p.out.Terms) - 1
	if !words.Listed("they", t.Key) && !words.Listed("which", t.Key) || !words.Listed("copula", p.peek(1).Key) || last < 0 || len(p.cur) > 0 {
		return false
	}
	if k := p.out.Terms[last]; len(OpenTerms([]*Term{k})) == 0 || k.Kind != Label && !k.Word.Plural {
		return false
	}
	p.i++
	if !p.peopleNext() {
		p.i--
		return false
	}
	k := p.out.Terms[last]
	if p.neg = false; k.group() {
		p.told, p.behind = last+1, last+1
		return true
	}
	p.out.Terms, p.sep, p.run = p.out.Terms[:last], k.Sep, k
	p.own = k.Owner
	return true
}

// isYears takes a number in words behind "who is" for the age of who is named before: "Ann's little girl Bea, who is six".
func (p *parser) isYears(t *Phrase) bool {
	n, number := p.peek(2).Word("num")
	last := p.lastNamed()
	if !words.Listed("relative", t.Key) || !words.Listed("is", p.peek(1).Key) || !number || last == nil || p.peek(3).Kind == 'w' {
		return false
	}
	p.i += 2
	last.Attrs = append(last.Attrs, Attribute{Class: "years", Num: int(n.Arg[0] - '0'), Text: t.Text, Start: t.Start, End: p.peek(0).End})
	return true
}

// wholeOf reports whether words for a group that has everybody of it follow: "everyone in the bridal party".
func (p *parser) wholeOf() bool {
	for k := 1; k < 5; k++ {
		next := p.peek(k)
		switch {
		case next.Has("kin"), next.Has("role"), next.Has("group"), next.Has("side"), next.Has("half"), next.Has("couple"), next.Has("immediate"), next.Has("extended"), p.r.NameLike(next), next.Kind == 'n', p.r.letters(next.Text):
			return true
		case !next.Has("fill") && !next.Has("my") && !next.Has("our") && !next.Has("her") && !next.Has("his") && !next.Has("num"):
			return false
		}
	}
	return false
}

// youngNamed reports whether a word of kin is the name of somebody young: "Poppy (11)".
func (r *Reader) youngNamed(name string) bool {
	ids := r.ByName[names.Plain(name)]
	return len(ids) == 1 && r.Guests[ids[0]].Age >= 0 && r.Guests[ids[0]].Age < 35
}
