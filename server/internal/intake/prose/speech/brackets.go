package speech

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// bracket takes what stands in brackets: it names, describes or counts what stands before.
func (p *parser) bracket(t *Phrase) {
	target := p.target()
	if p.headcount(t) || p.onceWithout(t) || p.tellsOnly(t.Inside, target) || p.whereFrom(t, target) {
		return
	}
	others, in := p.toOthers(t), p.inside(t, target)
	if others && p.fromOthers(in.Terms) || p.namesAll(in.Terms) {
		return
	}
	if p.saidOfOne(in, len(t.Inside) > 1) {
		return
	}
	in.sayWho(target)
	in.ofBothParents()
	p.remarked(&in)
	if target == nil {
		p.ofNothing(t, in)
		return
	}
	if slices.ContainsFunc(t.Inside, func(q Phrase) bool { return q.Has("both") || strings.HasSuffix(q.Key, " both") }) {
		p.ofBoth(in.Attrs)
	}
	one := target.Kind == Person || (target.Kind == Kin || target.Kind == Role) && !target.Word.Plural
	if one && (p.howOld(t, in, target) || p.namesSpouses(in.Terms)) {
		return
	}
	p.takeSaid(in, target, one, t.Inside)
	p.twinAges(target)
	if w, ok := onlyWord(t.Inside); ok && target.Word.Plural {
		target.Sex = w.Sex // "padrinhos (homens)"
		if target.Kind == Kin {
			target.Word.Sex = w.Sex
		}
		return
	}
	p.takeUnknown(in, target, one)
	if len(in.Terms) == 1 && in.Terms[0].Kind == All {
		return
	}
	if p.beside(in.Terms) {
		return
	}
	if len(in.Terms) > 0 && target.Kind == Person && !slices.ContainsFunc(in.Terms, func(t *Term) bool { return !t.Minus }) {
		p.cur = append(p.cur, in.Terms...) // "the bridesmaids: Ann, Bea (without Tom)"
		return
	}
	p.out.Split = p.out.Split || in.Split
	if in.Apart || slices.ContainsFunc(in.Attrs, func(a Attribute) bool { return a.Class == "apart" }) {
		p.out.Apart = true
	}
	if one && slices.ContainsFunc(in.Attrs, func(a Attribute) bool { return a.Class == "minus" }) {
		return
	}
	if own := p.r.bracketOwner(in, target); own != nil && target.Owner == nil {
		target.Owner = own
		return
	}
	target.only = target.only || in.Solo
	target.Names = append(target.Names, in.Terms...)
}

// inside parses what stands in brackets behind a term.
func (p *parser) inside(t *Phrase, target *Term) Parsed {
	if target != nil && target.Kind == Kin && !target.Word.Plural && len(t.Inside) == 1 && t.Inside[0].Capital && !p.r.Loud {
		if w, kin := t.Inside[0].Word("kin"); kin && w.Arg != target.Word.Arg {
			t.Inside[0].Words = nil // "mom (Patti)"
		}
	}
	parse := func(ph []Phrase) Parsed {
		return (&parser{r: p.r, ph: ph, in: true, ages: target != nil && target.Kind != Role && target.Kind != All && target.Word.Arg != "family" && !refers(t.Inside)}).parse()
	}
	if in, ok := p.bySides(t.Inside, parse); ok {
		return in
	}
	return parse(t.Inside).more(t.Inside)
}

// headcount takes a number in brackets for how many people the line has, in a list that says so of its lines.
func (p *parser) headcount(t *Phrase) bool {
	k := len(t.Inside) - 1
	if !p.r.headcounts || k < 0 || k > 1 || t.Inside[k].Kind != 'n' || p.peek(1).Kind == 'w' {
		return false
	}
	p.out.Attrs = append(p.out.Attrs, Attribute{Class: "count", Num: t.Inside[k].Num, Text: t.Inside[k].Text, Start: t.Start, End: t.End})
	return true
}

// tellsOnly reports whether nobody is in the photograph for what a bracket says: "Ann, Bob (Ann will need to sit)", "(Ann and Bob
// not in one photograph)".
func (p *parser) tellsOnly(inside []Phrase, target *Term) bool {
	person := target != nil && target.Kind == Person
	return person && p.r.TellsOf(inside) && (p.r.NameLike(&inside[0]) || len(p.out.Terms) > 0) ||
		p.r.KeepsApart(inside) && (target == nil || person || !target.Word.Plural || len(target.Names) > 0)
}

// namesSpouses gives the names of a bracket to the two before it: "Mr & Mrs Lind (Karl, Vera)".
func (p *parser) namesSpouses(in []*Term) bool {
	all := append(slices.Clone(p.out.Terms), p.cur...)
	n := len(all)
	if len(in) != 2 || n < 2 || !in[0].plain() || !in[1].plain() || all[n-1].Sep != "&" && all[n-1].Sep != " " || all[n-1].Rank == "" || all[n-2].Rank == "" || all[n-1].Name != all[n-2].Name {
		return false
	}
	for k, t := range all[n-2:] {
		t.Name, t.Rank = in[k].Name+" "+t.Name, ""
		t.Text, t.Attrs = t.Name, append(t.Attrs, in[k].Attrs...)
	}
	return true
}

// saidOfOne gives what a bracket says of one of those before it to whom it names: "Oma und Opa (Opa im Rollstuhl)".
func (p *parser) saidOfOne(in Parsed, more bool) bool {
	if len(in.Terms) != 1 || in.Terms[0].Kind != Kin || in.Terms[0].Word.Plural || in.Terms[0].Owner != nil || len(in.Terms[0].Names) > 0 {
		return false
	}
	x := in.Terms[0]
	said := slices.DeleteFunc(append(slices.Clone(x.Attrs), in.Attrs...), func(a Attribute) bool { return a.Class == "note" })
	for _, t := range append(slices.Clone(p.out.Terms), p.cur...) {
		if t.Word.Class == "kin" && names.Plain(t.Word.Text) == names.Plain(x.Word.Text) && more {
			t.Attrs = append(t.Attrs, said...)
			return true
		}
	}
	return false
}

// howOld takes a bracket that says nothing but how old one is: "Mia (baby)", "Leo (U9)".
func (p *parser) howOld(t *Phrase, in Parsed, target *Term) bool {
	class := ""
	switch {
	case len(t.Inside) != 1:
	case t.Inside[0].Has("infant"):
		class = "infant"
	case len(in.Terms) == 1 && in.Terms[0].Kind == Label && len(in.Terms[0].Attrs) == 1:
		class = in.Terms[0].Attrs[0].Class
	}
	if class != "" {
		target.Attrs = append(target.Attrs, Attribute{Class: class, Text: t.Inside[0].Text, Start: t.Start, End: t.End})
	}
	return class != ""
}

// ofNothing takes a bracket with nobody before it: what it holds is known when the words of a label before it are.
func (p *parser) ofNothing(t *Phrase, in Parsed) {
	if len(in.Terms) == 1 && in.Terms[0].Kind == All {
		return
	}
	p.out.Attrs = append(p.out.Attrs, in.Attrs...)
	for _, a := range in.Unknown {
		a.Class = "note"
		p.out.Attrs = append(p.out.Attrs, a)
	}
	if (p.grp || len(p.lost) > 0) && !p.prep {
		p.holdRole(in.Terms)
		p.cur = append(p.cur, &Term{Kind: Label, Start: t.Start, End: t.Start, Sep: p.sep, Names: in.Terms})
		p.grp = true
	}
}

// refers reports whether a bracket says which other photographs are meant: "(all of 1 to 7)", "(nos 1-3)".
func refers(in []Phrase) bool {
	return len(in) > 1 && slices.ContainsFunc(in, func(t Phrase) bool { return t.Kind == 'n' }) && (in[0].Has("ref") || in[0].Has("all") || words.Listed("every", in[0].Key))
}

// toOthers reports whether a bracket refers to other photographs, and takes "everybody in" off it: "(everybody in 15 and 16 + Ann)".
func (p *parser) toOthers(t *Phrase) bool {
	i := t.Inside
	if !refers(i) {
		return false
	}
	if len(i) > 2 && i[0].Has("all") && words.Listed("where", i[1].Key) && i[2].Kind == 'n' {
		t.Inside = i[2:]
	}
	return true
}

// fromOthers takes those of other photographs for whom a family or group before them is.
func (p *parser) fromOthers(in []*Term) bool {
	if len(in) == 0 || in[0].number() == 0 || slices.ContainsFunc(in, func(t *Term) bool { return t.number() == 0 && !(t.plain() && t.Sep == "+") }) {
		return false
	}
	for _, t := range append(slices.Clone(p.out.Terms), p.cur...) {
		t.Shared = t.Shared || t.Kind == Label || t.Kind == Role && t.Word.Plural || t.Kind == Kin && t.Word.Arg == "family"
	}
	p.cur = append(p.cur, in...)
	return true
}

// ofBoth gives the one who is joined to the person before a bracket what it says of both: "Ann & Bob (both over 80, two chairs)".
func (p *parser) ofBoth(said []Attribute) {
	if n := len(p.out.Terms); n > 0 && len(p.cur) > 0 && p.cur[0].Sep == "&" && p.out.Terms[n-1].Kind == Person {
		for _, a := range said {
			if a.Class == "number" && a.Num <= 110 {
				a.Class = "years"
			}
			if a.Class == "need" || a.Class == "elder" || a.Class == "years" || a.Class == "months" || a.Class == "weeks" {
				p.out.Terms[n-1].Attrs = append(p.out.Terms[n-1].Attrs, a)
			}
		}
	}
}

// takeSaid gives what a bracket says to whom it stands behind, or to the photograph.
func (p *parser) takeSaid(in Parsed, target *Term, one bool, inside []Phrase) {
	for _, a := range in.Attrs {
		switch {
		case a.Class == "number" && (timeOf(inside, a) || a.Num > 1899 && a.Num < 2100): // "(has to go at 6)", "(they split up in 2001)"
		case a.Class == "number" && one && (target.Kind == Person || len(in.Terms) > 0) && a.Num <= 110:
			a.Class = "years"
			target.Attrs = append(target.Attrs, a)
		case a.Class == "number" || a.Class == "count":
			target.Count = a.Num
		case Personal[a.Class] && len(in.Terms) > 0 && p.out.lastAge(in, a):
		case Personal[a.Class] && (one || len(in.Terms) > 0):
			target.Attrs = append(target.Attrs, a)
		case a.Class == "open":
			target.Open = true
		case one && a.Class == "note" && len(in.Terms) == 0:
			target.Attrs = append(target.Attrs, a)
		default:
			p.out.Attrs = append(p.out.Attrs, a)
		}
	}
}

// takeUnknown keeps words of a bracket that mean nothing as a note of whom it stands behind, or of the photograph.
func (p *parser) takeUnknown(in Parsed, target *Term, one bool) {
	for _, a := range in.Unknown {
		a.Class = "note"
		if one && !(target.Kind == Label && len(in.Terms) == 0) {
			target.Attrs = append(target.Attrs, a)
		} else {
			p.out.Attrs = append(p.out.Attrs, a)
		}
	}
}

// TellsOf reports whether a bracket begins with somebody and tells what they need or when they go.
func (r *Reader) TellsOf(inside []Phrase) bool {
	if len(inside) < 2 || !r.NameLike(&inside[0]) && (!inside[0].Has("kin") || inside[0].Possessive) || r.NameLike(&inside[0]) && len(r.Find(inside[0].Text)) != 1 {
		return false
	}
	next := &inside[1]
	return next.Kind == 'w' && !r.NameLike(next) && (AnyHas(inside[1:2], "verb", "remark", "need", "absent", "departs", "until", "from")) && AnyHas(inside, "need", "absent", "departs", "until", "from")
}

// twinAges gives an age in a bracket to all who are named as twins before it: "twins Ann and Bob (7)".
func (p *parser) twinAges(target *Term) {
	if !words.Listed("twins", names.Plain(target.Word.Text)) {
		return
	}
	for k := len(p.out.Terms) - 1; k >= 0; k-- {
		t := p.out.Terms[k]
		if t.Kind != Person || t.Word != target.Word || HasAge(t) {
			return
		}
		for _, a := range target.Attrs {
			if a.Class == "years" || a.Class == "months" {
				t.Attrs = append(t.Attrs, a)
			}
		}
	}
}

// timeOf reports whether a number stands behind words for coming or going.
func timeOf(inside []Phrase, a Attribute) bool {
	k := slices.IndexFunc(inside, func(p Phrase) bool { return p.Start == a.Start })
	return k > 0 && AnyHas(inside[max(0, k-4):k], "departs", "until", "from")
}

// bracketOwner is whose kin a bracket says that people are: "Oma (bride's side)", "Dadi (Hamza's dadi, 85)", "Granny Ida (G, 88)".
func (r *Reader) bracketOwner(in Parsed, target *Term) *Owner {
	if len(in.Terms) == 0 && target.Kind == Person {
		return in.Owner
	}
	if len(in.Terms) == 1 && target.Kind == Person && target.Word.Class == "kin" {
		switch x := in.Terms[0]; {
		case x.Kind == Half:
			target.Attrs = append(target.Attrs, x.Attrs...)
			return &Owner{Half: x.Word.Sex}
		case x.Kind == Person && x.Word.Class == "" && r.InCouple(x.Name):
			target.Attrs = append(target.Attrs, x.Attrs...)
			return &Owner{Name: x.Name}
		}
	}
	if len(in.Terms) != 1 || in.Terms[0].Kind != Kin || in.Terms[0].Owner == nil || in.Terms[0].Owner.Kin != nil || len(in.Terms[0].Names) > 0 {
		return nil
	}
	t := in.Terms[0]
	if t.Word.Arg == "family" && t.Close == 0 || target.Kind == Kin && t.Word.Arg == target.Word.Arg && !t.Word.Plural {
		return t.Owner
	}
	return nil
}

// sayWho takes "(Callum knows who)" for a remark, and "Nain (Rhys's gran, Mair)" for the name of whose grandmother she is.
func (in *Parsed) sayWho(target *Term) {
	if len(in.Terms) == 1 && (in.Terms[0].Kind == Person || in.Terms[0].Kind == Kin && !in.Terms[0].Word.Plural) && (target == nil || target.Word.Plural || target.Kind == Label) && slices.ContainsFunc(in.Attrs, func(a Attribute) bool {
		return a.Class == "note" && (a.Start >= in.Terms[0].End && (strings.Contains(a.Text, " ") || words.Listed("helps", names.Plain(a.Text))) || a.End <= in.Terms[0].Start)
	}) {
		in.Terms = nil
	}
	if len(in.Terms) == 2 && target != nil && target.Kind == Kin && !target.Word.Plural && target.Owner == nil {
		if k, x := in.Terms[0], in.Terms[1]; k.Kind == Kin && k.Owner != nil && k.Word.Arg == target.Word.Arg && len(k.Names) == 0 && x.Kind == Person && x.Word.Class == "" {
			target.Owner, in.Terms = k.Owner, in.Terms[1:]
		}
	}
}

// remarked takes words of a bracket that tells what somebody needs for no names, where the script has no capitals and they stand
// nowhere else.
func (p *parser) remarked(in *Parsed) {
	tells := slices.ContainsFunc(in.Said(), func(a Attribute) bool {
		return Personal[a.Class] && a.Class != "nick" && a.Class != "say"
	})
	in.Terms = slices.DeleteFunc(in.Terms, func(t *Term) bool {
		first, _, _ := strings.Cut(names.Plain(t.Name), " ")
		if !tells || t.Kind != Person || t.Word.Class != "" || HasAge(t) || !p.r.onlySaid(&Phrase{Token: words.Token{Text: t.Name, Key: first}}) {
			return false
		}
		in.Attrs = append(append(in.Attrs, t.Attrs...), Attribute{Class: "note", Text: t.Name, Start: t.Start, End: t.End})
		return true
	})
}

// ofBothParents takes "(6, daughter of Paul and Ann)" for what somebody is to both.
func (in *Parsed) ofBothParents() {
	k := slices.IndexFunc(in.Terms, func(t *Term) bool {
		return t.Kind == Kin && t.Word.Arg == "child" && !t.Word.Plural && t.Owner != nil && t.Owner.Name != "" && len(t.Names) == 0
	})
	if k < 0 || k+1 >= len(in.Terms) || in.Terms[k+1].Kind != Person || in.Terms[k+1].Word.Class != "" || in.Terms[k+1].Sep == "," {
		return
	}
	other := *in.Terms[k]
	other.Owner, other.Attrs = &Owner{Name: in.Terms[k+1].Name}, nil
	in.Terms[k+1] = &other
}

// beside takes "(with partners)", "(no kids)" as more words of the line.
func (p *parser) beside(terms []*Term) bool {
	for _, t := range terms {
		if t.Kind != Kin || t.Word.Arg != "partner" && t.Word.Arg != "child" || len(t.Names) > 0 || t.Owner != nil || !t.Word.Plural && t.Word.Sex != 0 {
			return false
		}
	}
	for _, t := range terms {
		t.Sep, t.Word.Plural = "+", true
		p.cur = append(p.cur, t)
	}
	return len(terms) > 0
}

// lastAge gives "both 3" to all who are named before it.
func (out *Parsed) lastAge(in Parsed, a Attribute) bool {
	if a.Class != "years" && a.Class != "months" {
		return false
	}
	for _, t := range in.Terms {
		if t.Kind == Person && !HasAge(t) {
			t.Attrs = append(t.Attrs, a)
		}
	}
	return true
}

// target is what a bracket is about.
func (p *parser) target() *Term {
	if n := len(p.cur); n > 0 && !p.grp {
		return p.cur[n-1]
	}
	if p.grp || len(p.lost) > 0 {
		return nil
	}
	if n := len(p.out.Terms); n > 0 && p.sep != "+" && p.sep != "&" {
		return p.out.Terms[n-1]
	}
	return nil
}

// onlyWord is a word of a bracket that says of which sex those before it are, and nothing else.
func onlyWord(inside []Phrase) (words.Word, bool) {
	if len(inside) != 1 {
		return words.Word{}, false
	}
	return inside[0].Word("only")
}
