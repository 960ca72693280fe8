package speech

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/prose/words"
)

// placed takes a word that stands where names do for one, whatever else it means: "Ann, Thu, Bob".
func (p *parser) placed(t *Phrase) bool {
	if !t.Capital || t.Possessive || p.r.Loud || len(t.Words) == 0 || t.Words[0].Class != "remark" || p.prep || len(p.cur)+len(p.lost) > 0 || p.own != nil || p.run != nil && !p.run.Word.Plural {
		return false
	}
	before, next := p.peek(-2), p.peek(1)
	month := next.Has("month") || next.Kind == 'n' && !next.Open
	_, given := words.Given(before.Key)
	if !joinsNames(p.peek(-1)) || month || !p.r.NameLike(before) && !before.Open && before.Kind != 'n' || p.r.SeenOnce(t.Text) && !given && !before.Open {
		return false
	}
	if next.Kind != 0 && !next.Open && !joinsNames(next) && !p.r.NameLike(next) {
		return false
	}
	p.name(t)
	return true
}

// joinsNames reports whether a phrase stands between two names.
func joinsNames(t *Phrase) bool {
	return t.Key == "," || t.Key == "&" || t.Key == "+" || t.Key == "/" || t.Has("and")
}

// calledKin reports whether a word of kin behind another of the same kind is what that one is called: "grandmother Abuelita",
// "his aunt Tita".
func (p *parser) calledKin(t *Phrase) bool {
	k, _ := p.peek(0).Word("kin")
	w, kin := t.Word("kin")
	if !kin || k.Plural || w.Plural || k.Arg != w.Arg || w.Owner != "" || !t.Capital || t.Possessive || t.Key == p.peek(0).Key || p.r.Loud || p.peek(0).Capital && p.i > 0 {
		return false
	}
	next := p.peek(2)
	return next.Kind != 'w' || next.Has("and") || next.Has("with")
}

// namesAmong finds given names that are words for a grandparent, too, where they stand among other names and no other kin is in the
// line: "Poppy, Leo, Amara".
func (r *Reader) namesAmong(ts []words.Token) {
	names := 0
	for k := range ts {
		t := &ts[k]
		_, given := words.Given(t.Key)
		kin := slices.ContainsFunc(r.Lexical(*t), func(w words.Word) bool { return w.Class == "kin" })
		if kin && !given {
			return
		}
		if t.Kind == 'w' && t.Capital && (given || len(r.Lexical(*t)) == 0) && !kin {
			names++
		}
	}
	for k := range ts {
		t := &ts[k]
		if _, given := words.Given(t.Key); names > 1 && given && t.Capital && !t.Possessive && len(words.Find(t.Key)) > 0 && (k > 0 && ts[k-1].Kind == 'p' || k+1 < len(ts) && ts[k+1].Key == ",") {
			if slices.ContainsFunc(r.Lexical(*t), func(w words.Word) bool { return w.Class == "kin" && w.Arg == "grandparent" }) {
				r.Known[t.Key] = true
			}
		}
	}
}

// allOfFamily takes "everybody" behind a family and a comma for all of it: "the bride's family, everyone".
func (p *parser) allOfFamily() bool {
	n := len(p.out.Terms)
	if n == 0 || p.sep != "," || len(p.cur)+len(p.lost) > 0 || !p.closes() {
		return false
	}
	last := p.out.Terms[n-1]
	if last.Kind != Kin || last.Word.Arg != "family" || last.Owner == nil || last.Minus || slices.ContainsFunc(p.out.Terms[:n-1], func(t *Term) bool { return !p.leads(t) }) {
		return false
	}
	last.All, last.Every = true, true
	return true
}

// more marks the names of a bracket that only adds to those before it: "the bride's family (also Uncle Joe, Aunt Ann)".
func (in Parsed) more(ph []Phrase) Parsed {
	if len(in.Terms) > 0 && len(ph) > 0 && words.Listed("besides", ph[0].Key) {
		in.Terms[0].Sep = "+"
	}
	return in
}

// onlySaid reports whether a word of a script without capitals, beside words that tell what somebody needs, is no name: the list has it
// nowhere else, and nobody is given it.
func (r *Reader) onlySaid(t *Phrase) bool {
	_, given := words.Given(t.Key)
	return !given && !words.Cased(t.Text) && !words.IsHan(t.Text) && r.Times[t.Key] < 2
}

// paired reports whether two words of kin are of one kind. Papa beside a grandmother is the grandfather: "Nana & Papa Lind".
func paired(a, b *Term) bool {
	for range 2 {
		if a.Word.Arg == "grandparent" && b.Word.Arg == "parent" && !a.Word.Plural && !b.Word.Plural && a.Word.Sex != b.Word.Sex && words.Listed("elder too", words.Key(b.Word.Text)) {
			b.Word.Arg = "grandparent"
		}
		a, b = b, a
	}
	return a.Word.Arg == b.Word.Arg
}

// onceWithout takes a bracket that wants those before it with others, and again without them: "(one with partners, one without)".
func (p *parser) onceWithout(t *Phrase) bool {
	in := t.Inside
	with := slices.IndexFunc(in, func(x Phrase) bool { return x.Has("with") })
	without := slices.IndexFunc(in, func(x Phrase) bool { return x.Has("minus") })
	if with < 1 || with > 2 || without < with+2 || len(in)-without > 3 || len(p.cur)+len(p.out.Terms) == 0 {
		return false
	}
	sub := (&parser{r: p.r, ph: in[with+1 : without], in: true}).parse()
	if len(sub.Terms) == 0 || slices.ContainsFunc(sub.Terms, func(x *Term) bool { return x.Kind != Kin || len(x.Names) > 0 }) {
		return false
	}
	for _, x := range sub.Terms {
		x.Sep, x.Ways, x.Word.Plural = "+", true, true
	}
	p.cur = append(p.cur, sub.Terms...)
	return true
}

// headsOf keeps the words before a colon with several people behind it, and these without the last that says that they are a team, as
// brackets elsewhere have them: "Boys Squad w/ coach Ann: Leo, Max", "Leo (Boys)".
func (r *Reader) headsOf(ts []words.Token) {
	end := slices.IndexFunc(ts, func(t words.Token) bool { return t.Key == ":" || t.Key == "-" && t.Gap })
	if end < 1 || !slices.ContainsFunc(ts[end:], func(t words.Token) bool { return t.Key == "," }) {
		return
	}
	key := ""
	for k := range ts[:min(end, 4)] {
		if _, given := words.Given(ts[k].Key); given || ts[k].Kind != 'w' || r.Is(ts, k, "with") {
			break
		}
		key = strings.TrimSpace(key + " " + ts[k].Key)
		if next := ts[k+1]; k+1 == end || next.Kind != 'w' || r.Is(ts, k+1, "with") || k+2 >= end || words.Listed("body", next.Key) || r.Is(ts, k+1, "role") {
			r.headed[key] = true
		}
	}
}

// namesAll takes a bracket behind who is with somebody of a title for all of them: "Swimmer of the year with the chair (Leo and Ann)".
func (p *parser) namesAll(in []*Term) bool {
	if !p.title || len(in) < 2 || len(p.out.Terms) == 0 || slices.ContainsFunc(in, func(t *Term) bool { return !t.plain() }) {
		return false
	}
	p.flush(",")
	p.dashed = len(p.out.Terms)
	p.out.Terms = append(p.out.Terms, in...)
	return true
}

// boyOrGirl takes these words for the groom or the bride whose kin follows, "boy's parents", and has no person made of them elsewhere:
// "small boy Leo", "Boy not needed".
func (p *parser) boyOrGirl(t *Phrase) bool {
	next, boy := p.peek(1), words.Listed("boy", t.Key)
	if !boy && !words.Listed("girl", t.Key) {
		return false
	}
	if t.Possessive && next.Has("kin") || next.Has("side") {
		p.own = &Owner{Half: map[bool]byte{true: 'm', false: 'w'}[boy]}
		return true
	}
	p.tells = p.tells || next.Has("not")
	return !t.Possessive && (!t.Capital && !p.r.Lower || next.Has("not"))
}

// titleOf reports whether a first word is what somebody is and no name: "Player of the year".
func (p *parser) titleOf(t *Phrase) bool {
	_, given := words.Given(t.Key)
	next, after := p.peek(2), p.peek(3)
	small := func(x *Phrase) bool { return x.Kind == 'w' && !x.Capital && words.Cased(x.Text) && !p.r.NameLike(x) }
	return !given && len(t.Words) == 0 && t.Capital && p.r.SeenOnce(t.Text) && p.peek(1).Has("of") && small(next) && (next.Key != p.peek(1).Key && !next.Has("fill") || small(after))
}

// holdRole gives those of a bracket the role before the dash: "Secondary sponsors - candle (Ann & Bob), veil (Kuya Joe & Ate Rose)".
func (p *parser) holdRole(in []*Term) {
	if p.dashed == 0 || p.out.Terms[p.dashed-1].Kind != Role || !p.out.Terms[p.dashed-1].Word.Plural {
		return
	}
	one := *p.out.Terms[p.dashed-1]
	for _, t := range in {
		if t.plain() {
			t.Word, t.Owner = one.Word, one.Owner
		} else if t.Kind == Person {
			one.Word.Plural, one.Names = false, nil
			t.Names = append(t.Names, &one)
		}
	}
}

// refersTo reports whether a small letter stands where that of another line does: "as d plus Ann", "f plus Bob", "d and f combined".
func (p *parser) refersTo() bool {
	next, before := p.peek(1), p.peek(-1)
	joins := func(x *Phrase) bool {
		return x.Key == "+" || x.Key == "&" || x.Has("with") || x.Has("and") || x.Has("minus")
	}
	return (p.i == 0 || before.Has("same") || joins(before) && p.lastTerm() != nil && p.lastTerm().Kind == Letter) && (joins(next) || next.Kind == 0 || next.Has("fill") || next.Has("near"))
}
