package photographs

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/statements"
	"kinorder.example/server/internal/intake/prose/words"
)

// several divides a line that asks for several photographs: "Bride + mom / Bride + dad", "couples: A+B, C+D".
func (r *Reader) several(s *statements.Statement, terms []*speech.Term) [][]*speech.Term {
	var out [][]*speech.Term
	from := 0
	for k := 1; k < len(terms); k++ {
		if terms[k].Sep == "/" && r.Leads(terms[k]) && r.Leads(terms[from]) && k+1 < len(terms) && (k-from > 1 || len(terms) > k+1 && terms[k].Kind == terms[from].Kind && !r.BothHalves(terms[from], terms[k])) {
			out = append(out, terms[from:k])
			from = k
		} else if terms[k].Sep == "," && k-from > 1 && k+1 < len(terms) && terms[k+1].Sep != "," && again(terms[from], terms[k]) { // "me & Ann, me & Bob"
			out = append(out, terms[from:k])
			from = k
		}
	}
	out = append(out, terms[from:])
	if parts := r.labelledParts(s); len(parts) > 1 {
		return parts
	}
	if len(out) == 1 && s.Colon {
		if pairs := facts.Pairs(s.Body); len(pairs) > 1 && len(s.Head.Terms) <= 1 && !slices.ContainsFunc(s.Head.Terms, func(t *speech.Term) bool { return t.Every }) { // "all the parents: A & B, C & D" is one
			return pairs
		}
	}
	return out
}

// again reports whether a term names whom another does.
func again(a, b *speech.Term) bool {
	return (a.Kind == speech.Person || a.Kind == speech.Half) && a.Kind == b.Kind && a.Name == b.Name && a.Word.Sex == b.Word.Sex && len(a.Names)+len(b.Names) == 0
}

// labelledParts divides what stands behind a colon by the labels in it, each with whom the line begins with: "7. Couple + Tom's
// parents: 7a. with Joan 7b. with Bill".
func (r *Reader) labelledParts(s *statements.Statement) [][]*speech.Term {
	var out [][]*speech.Term
	for _, t := range s.Body {
		if t.Sep == speech.PartSep {
			out = append(out, slices.DeleteFunc(slices.Clone(s.Head.Terms), func(x *speech.Term) bool { return !r.Leads(x) }))
		}
		if n := len(out); n > 0 {
			out[n-1] = append(out[n-1], t)
		}
	}
	return out
}

// bothWays makes two of what is wanted "with and without partners".
func bothWays(groups [][]*speech.Term) [][]*speech.Term {
	var out [][]*speech.Term
	for _, g := range groups {
		if rest := speech.Without(g, func(t *speech.Term) bool { return t.Ways }); len(rest) > 0 && len(rest) < len(g) {
			for k, t := range rest {
				alone := *t
				alone.Names = speech.Without(t.Names, func(x *speech.Term) bool { return x.Word.Arg == "partner" })
				rest[k] = &alone
			}
			out = append(out, rest)
		}
		out = append(out, g)
	}
	return out
}

// setsNamed are the people of a photograph set by set, where the words for them name several with a mark between: "each set of
// grandparents: Nan & Pop (Vi, Ted); Granny Rose".
func (r *Reader) setsNamed(s *statements.Statement, ids []int) [][]int {
	at := slices.IndexFunc(s.Head.Terms, func(t *speech.Term) bool { return t.Sets && len(t.Names) > 1 })
	if at < 0 || s.Open != nil {
		return nil
	}
	has := func(sep string) bool {
		return slices.ContainsFunc(s.Head.Terms[at].Names, func(x *speech.Term) bool { return x.Sep == sep })
	}
	mark := ""
	switch {
	case has(";"):
		mark = ";"
	case has(",") && (has("&") || has("+") || has("/")):
		mark = ","
	default:
		return nil
	}
	var out [][]int
	for k, x := range s.Head.Terms[at].Names {
		if k == 0 || x.Sep == mark {
			out = append(out, nil)
		}
		for _, y := range append([]*speech.Term{x}, x.Names...) {
			out[len(out)-1] = people.Union(out[len(out)-1], y.Guests)
		}
	}
	for k := range out {
		out[k] = slices.DeleteFunc(out[k], func(i int) bool { return !slices.Contains(ids, i) })
	}
	return slices.DeleteFunc(out, func(set []int) bool { return len(set) == 0 })
}

// oneByOne are the people of a photograph set by set, where what stands behind a colon asks for one with each: "her parents: one with Ida, one
// with Karl", "a) with Ida and her husband b) with Karl". Who stands before the colon only is in all.
func (r *Reader) oneByOne(s *statements.Statement, ids []int) [][]int {
	at := speech.ColonAt(s.Phrases)
	var starts []int
	for k := at + 1; at >= 0 && k+2 < len(s.Phrases); k++ {
		p, next := &s.Phrases[k], &s.Phrases[k+1]
		if p.Has("wish") && next.Has("with") || next.Key == ")" && p.Key == string(rune('a'+len(starts))) {
			starts = append(starts, p.Start)
		}
	}
	if len(starts) < 2 || starts[0] != s.Phrases[at+1].Start {
		return nil
	}
	out, all := make([][]int, len(starts)), []int(nil)
	for _, t := range flat(s.Terms(), nil) {
		k := len(starts) - 1
		for k >= 0 && t.Start < starts[k] {
			k--
		}
		if found := t.Guests; k >= 0 && t.Kind == speech.Person {
			if len(found) == 0 {
				found = r.Find(t.Name)
			}
			if len(found) != 1 || !slices.Contains(ids, found[0]) {
				return nil
			}
			out[k], all = people.Union(out[k], found), people.Union(all, found)
		}
	}
	for k := range out {
		if len(out[k]) == 0 {
			return nil
		}
		for _, i := range ids {
			if !slices.Contains(all, i) {
				out[k] = people.Union(out[k], []int{i})
			}
		}
	}
	return out
}

// flat are terms with those of their brackets.
func flat(terms, out []*speech.Term) []*speech.Term {
	for _, t := range terms {
		out = flat(t.Names, append(out, t))
	}
	return out
}

// sideOf is who of the couple belongs to the people of their side behind a colon: "Tom's side: parents, sister".
func (r *Reader) sideOf(s *statements.Statement) []int {
	if !s.Colon || len(s.Head.Terms) != 1 || s.Head.Solo {
		return nil
	}
	t := s.Head.Terms[0]
	named := append(slices.Clone(t.Names), s.Tail.Terms...)
	ofKin := func(x *speech.Term) bool { return x.Word.Class == "kin" && x.Rank == "" } // not "Nana Joan"
	if t.Kind != speech.Kin || t.Word.Arg != "family" || t.Owner == nil || len(named) < 2 || t.Owner.Pronoun != "my" && !slices.ContainsFunc(named, ofKin) || slices.ContainsFunc(named, r.Leads) {
		return nil
	}
	ids, _ := r.OwnedBy(t.Owner, &facts.Scope{Last: -1})
	return slices.DeleteFunc(slices.Clone(ids), func(i int) bool { return r.Guests[i].Half == 0 })
}

// wholeParty reports whether words stand for the wedding party of both, which the couple are part of.
func wholeParty(t *speech.Term) bool {
	return t.Kind == speech.Role && t.Word.Side == 0 && !t.Minus && (len(t.Names) == 0 || ofBothParties(t.Names)) && (t.Word.Arg == "party" || t.Word.Arg == "entourage")
}

// ofBothParties reports whether words name the attendants of both: "bridal party: bridesmaids, best man Ann, groomsmen Bob and Cleo".
func ofBothParties(terms []*speech.Term) bool {
	side := func(side byte) bool {
		return slices.ContainsFunc(terms, func(t *speech.Term) bool { return t.Word.Class == "role" && t.Word.Side == side })
	}
	return side('w') && side('m')
}

// allAttendants takes "bridesmaids and groomsmen all together" for the whole wedding party, with the maid of honour and the best man.
func allAttendants(terms []*speech.Term) []*speech.Term {
	hers, his, all := -1, -1, false
	for k, t := range terms {
		if t.Kind != speech.Role || !t.Word.Plural || len(t.Names) > 0 || t.Minus || t.Owner != nil {
			continue
		}
		if all = all || t.All && !t.Every; t.Word.Arg == "bridesmaid" {
			hers = k
		} else if t.Word.Arg == "groomsman" {
			his = k
		}
	}
	if hers < 0 || his < 0 || !all {
		return terms
	}
	party := *terms[min(hers, his)]
	party.Word.Arg, party.Word.Side, party.Word.Sex = "party", 0, 0
	out := slices.Clone(terms)
	out[min(hers, his)] = &party
	return slices.Delete(out, max(hers, his), max(hers, his)+1)
}

// leadOwners is who of the couple the names of a bracket begin with, whose kin the others are: "3 generations (bride, mother,
// grandmother)".
func (r *Reader) leadOwners(t *speech.Term, otherwise []int) []int {
	switch first := t.Names[0]; {
	case first.Kind == speech.Half && r.HalfOf(first.Word.Sex) > 0 && r.Couple[0] >= 0:
		return []int{r.Couple[r.HalfOf(first.Word.Sex)-1]}
	case first.Kind == speech.Person && r.HalfNamed(first.Name) > 0:
		return []int{r.Couple[r.HalfNamed(first.Name)-1]}
	}
	return otherwise
}

// familyUnsaid is who a family is whose it is not said: those told of before, on a day without a couple all.
func (r *Reader) familyUnsaid(p *Photograph, t *speech.Term, c *facts.Scope) ([]int, bool) {
	switch {
	case p.Statement.Opens != 0 && len(r.Topic(p.Statement)) > 0: // "one of the whole family with us"
		return r.topical(p.Statement), true
	case r.Couple[0] >= 0 || t.Minus:
		return nil, false
	case r.Honour < 0 && c.Carry == nil && c.Last < 0 && !t.Each && len(p.Set) == 0:
		p.All = true // of a reunion
		return nil, true
	}
	return r.wholeFamily(), r.Honour >= 0 && t.Close == 0 && wholly(t)
}

// withoutParents leaves out who is named only to say whose children follow, with the one who is their other parent: "us with Ann & Tom's
// kids".
func (r *Reader) withoutParents(terms []*speech.Term) []*speech.Term {
	for k := 1; k < len(terms); k++ {
		t, before := terms[k], terms[k-1]
		if t.Word.Arg != "child" || t.Owner == nil || t.Owner.Name == "" || t.Sep != "&" || before.Kind != speech.Person || before.Word.Class != "" || len(before.Attrs)+len(before.Names) > 0 {
			continue
		}
		ids, other := r.Find(before.Name), r.Find(t.Owner.Name)
		if len(ids) == 1 && len(other) == 1 && r.Guests[ids[0]].Half == 0 && slices.Equal(r.PartnerOf(ids[0]), other) {
			terms = slices.Concat(terms[:k-1], terms[k:])
			k--
		}
	}
	return terms
}

// halfOfAbove is who of the photograph above "just the girls" and "just the lads" are, where all in it but the couple are known for
// one or the other.
func (r *Reader) halfOfAbove(p *Photograph, t *speech.Term) []int {
	ws := strings.Fields(words.Key(t.Text))
	just := len(p.Statement.Phrases) < 5 && speech.AnyHas(p.Statement.Phrases[:1], "alone") && len(p.Set) == 0 && len(ws) > 0
	if !just || !words.Listed("daughters", ws[len(ws)-1]) && !words.Listed("sons", ws[len(ws)-1]) {
		return nil
	}
	for k := len(r.Photographs) - 1; k >= max(0, len(r.Photographs)-2); k-- {
		var halves [2][]int
		for _, i := range less(r.Photographs[k].Set, r.Principals()) {
			sex := r.Guests[i].Sex
			for _, h := range r.Guests[i].Roles {
				sex = cmp.Or(sex, map[string]byte{"bridesmaid": 'w', "groomsman": 'm'}[h.Arg])
			}
			if sex == 0 {
				return nil
			}
			at := map[byte]int{'w': 0, 'm': 1}[sex]
			halves[at] = append(halves[at], i)
		}
		if len(halves[0]) > 0 && len(halves[1]) > 0 {
			if words.Listed("daughters", ws[len(ws)-1]) {
				return halves[0]
			}
			return halves[1]
		}
	}
	return nil
}

// wholly reports whether words stand for all of a family: "ALL family", "the whole family".
func wholly(t *speech.Term) bool {
	first, _, _ := strings.Cut(words.Key(t.Text), " ")
	return t.All || t.Every || first == "all" || words.Listed("whole", first)
}

// wholeFamily is, on a day without a couple, whoever is kin to anybody or is addressed so: "ALL family".
func (r *Reader) wholeFamily() []int {
	var out []int
	kin := func(rank string) bool {
		return slices.ContainsFunc(words.Find(names.Plain(rank)), func(w words.Word) bool { return w.Class == "kin" })
	}
	for i := range r.Guests {
		if g := &r.Guests[i]; i == r.Honour || (len(g.Relations) > 0 || kin(g.Rank)) && !g.Never && !(g.Unnamed && g.Many) {
			out = append(out, i)
		}
	}
	return out
}
