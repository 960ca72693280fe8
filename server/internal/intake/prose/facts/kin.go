package facts

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// ResolveKin returns who is meant by words of kin or a role, by the roll alone.
func (r *Reader) ResolveKin(t *speech.Term, c *Scope) []int {
	if t.Kind == speech.Role {
		return r.holdersMeant(t, c)
	}
	owners := r.Owners(t, c)
	if house := r.houseMeant(t, c, owners); len(house) > 0 {
		return house
	}
	out := r.kinMeant(t, c, owners)
	if len(out) == 0 && t.Word.Arg == "grandparent" && t.Word.Plural && t.Owner == nil && len(r.KinOf(people.BothOf, words.Word{Arg: "child"}, 0)) > 0 {
		out = r.KinOf(people.BothOf, words.Word{Arg: "parent", Sex: t.Word.Sex}, 0) // of the couple's children
	}
	if len(out) == 0 && r.Couple[0] < 0 {
		out = r.kinAtAll(t, len(owners) == 0)
	} else if r.Couple[0] < 0 && t.Word.Arg == "grandchild" && t.Word.Plural && t.Owner == nil { // and those of whom nothing else is said
		out = people.Union(out, slices.DeleteFunc(r.Children(t.Word), func(i int) bool { return len(r.Guests[i].Relations) > 0 }))
	}
	if o := t.Owner; len(out) == 0 && t.Word.Arg == "parent" && o != nil && o.Kin != nil && o.Kin.Word.Arg == "parent" && !o.Kin.Word.Plural && o.Kin.Word.Sex != 0 { // "father's parents"
		grand := *t
		grand.Word.Arg, grand.Owner, grand.Line = "grandparent", o.Kin.Owner, map[byte]byte{'w': 'm', 'm': 'p'}[o.Kin.Word.Sex]
		return r.ResolveKin(&grand, c)
	}
	if missing := t.Number - len(out); t.Word.Arg == "parent" && t.Word.Plural && !t.Word.Step && (t.Every || t.Sets || missing > 0) {
		step := *t
		step.Word.Step, step.Every, step.Sets = true, false, false
		if steps := r.ResolveKin(&step, c); t.Every || t.Sets || len(steps) == missing && (r.deadParent() || r.besideParents(steps, out)) { // "all 4 parents", of whom one is no longer alive
			out = people.Union(out, steps)
		}
	}
	if h := r.BrotherOf(out); t.Word.Arg == "sibling" && t.Owner == nil && len(out) > 1 && len(out) == t.Number-1 && h >= 0 {
		out = people.Union(out, []int{h}) // "the three brothers"
	}
	if i := r.ranked(t); i >= 0 {
		return []int{i}
	}
	if words.IsHan(t.Word.Text) && !t.Word.Plural && len(out) == 1 && (t.Word.Arg == "aunt" || t.Word.Arg == "cousin") {
		if rank := r.Guests[out[0]].Rank; rank != "" && !strings.ContainsAny(rank, t.Word.Text) { // 姑丈 is not 大伯國棟
			return nil
		}
	}
	if t.Qualified {
		out = r.calledBy(out, t.Word.Text)
	}
	switch {
	case !t.Word.Plural && len(out) > 1:
		if c.Chain {
			out = r.parentsOf(c.Set, out)
		}
		out = r.BySex(r.byText(out, t), t.Word)
	case t.Word.Arg == "parent" && t.Word.Sex != 0: // "both mums": one of each pair, where the list tells who
		var sides [3][]int
		for _, i := range out {
			sides[r.Guests[i].SideOf] = append(sides[r.Guests[i].SideOf], i)
		}
		out = slices.Concat(r.BySex(sides[1], t.Word), r.BySex(sides[2], t.Word), r.BySex(sides[0], t.Word))
	}
	return out
}

// besideParents reports whether each step-parent may be with the only parent of the same one of the couple: "mum Vera, stepdad Max".
func (r *Reader) besideParents(steps, parents []int) bool {
	return !slices.ContainsFunc(steps, func(s int) bool {
		own := slices.DeleteFunc(slices.Clone(parents), func(i int) bool { return r.Guests[i].SideOf != r.Guests[s].SideOf })
		return len(own) != 1 || r.Guests[own[0]].Sex == 0 || r.Guests[s].Sex == 0 || r.Guests[own[0]].Sex == r.Guests[s].Sex
	})
}

// deadParent reports whether the list names a parent of the couple who is no longer alive.
func (r *Reader) deadParent() bool {
	return slices.ContainsFunc(r.Guests, func(g people.Guest) bool {
		return g.Never && slices.ContainsFunc(g.Relations, func(x people.Relation) bool {
			return x.Word.Arg == "parent" && x.Of >= 0 && r.Guests[x.Of].Half > 0
		})
	})
}

// parentsOf keeps those who are parents of some of a set, where any are.
func (r *Reader) parentsOf(set, ids []int) []int {
	var out []int
	for _, i := range set {
		for _, p := range r.KinOf(i, words.Word{Arg: "parent"}, 0) {
			if slices.Contains(ids, p) {
				out = people.Union(out, []int{p})
			}
		}
	}
	if len(out) > 0 {
		return out
	}
	return ids
}

// holdersMeant are those with the role that a term names, of the side that it or the line says.
func (r *Reader) holdersMeant(t *speech.Term, c *Scope) []int {
	side := 0
	if t.Owner != nil && !t.Owner.Both {
		if ids, ok := r.OwnedBy(t.Owner, c); ok && len(ids) == 1 {
			side = r.Guests[ids[0]].Half
		}
	} else if t.Word.Side == 0 && (t.Word.Arg == "party" || t.Word.Arg == "crew") && !t.All && t.Owner == nil {
		if side = c.subject(); side == 0 && t.Word.Arg == "crew" {
			side = c.Side
		}
	}
	if side == 0 && (t.Word.Arg == "brideparty" || t.Word.Arg == "groomparty") {
		side = r.HalfOf(t.Word.Side)
	}
	if t.Word.Side == 0 && t.Word.Arg == "witness" && t.Owner == nil && !t.All {
		side = c.subject()
	}
	ids := r.ofSex(r.Holders(t.Word, side), words.Word{Sex: t.Sex})
	if len(ids) > 0 || t.Word.Arg != "sponsor" {
		return ids
	}
	return r.KinOf(people.BothOf, words.Word{Class: "kin", Arg: "godparent", Plural: true}, 0)
}

// houseMeant is the household that "family" stands for: of whoever was named last, or of its owner.
func (r *Reader) houseMeant(t *speech.Term, c *Scope, owners []int) []int {
	switch {
	case t.Word.Arg != "family":
		return nil
	case len(owners) == 1 && len(r.Homes[owners[0]]) > 0:
		return r.Homes[owners[0]]
	case t.Owner == nil && c.Carry == nil && c.Last >= 0 && len(r.Household(c.Last)) > 0:
		return r.Household(c.Last)
	case len(owners) == 1 && r.Guests[owners[0]].Half == 0 && len(r.Household(owners[0])) > 0:
		return append([]int{owners[0]}, r.Household(owners[0])...)
	}
	return nil
}

// kinMeant is the kin of those whose it is, and where nobody is said, of those in the photograph so far.
func (r *Reader) kinMeant(t *speech.Term, c *Scope, owners []int) []int {
	var out []int
	theirs := t.Owner == nil || t.Owner.Pronoun == "their" && len(c.Set) > 1 // "cousins and their partners"
	switch {
	case t.Word.Arg == "family":
		return r.familyMeant(t, owners)
	case t.Word.Arg == "partner" && (t.Word.Plural || t.Minus) && theirs:
		if out = r.kinOfSet(t, c); t.Minus { // whose partner somebody is stays
			if len(out) == 0 {
				out = slices.DeleteFunc(slices.Clone(c.Set), func(i int) bool { return r.Guests[i].Half > 0 })
			}
			out = slices.DeleteFunc(out, func(i int) bool { return !r.Joined(i) })
		}
	case t.Word.Arg == "child" && t.Owner == nil && t.Word.Plural:
		own := r.KinOf(people.BothOf, t.Word, 0)
		if out = r.kinOfSet(t, c); len(own) > 0 && (len(out) == 0 || t.Number == len(own)) {
			return own // of the couple
		}
		if first := r.Generation(1); len(out) == 0 && t.Number > 0 && t.Number == len(first) {
			out = first
		}
		if len(out) == 0 && r.Honour >= 0 {
			out = r.KinOf(r.Honour, t.Word, 0)
		}
		if len(out) == 0 {
			out = r.Children(t.Word)
		}
	case len(owners) == 2 && owners[0] == r.Couple[0]:
		if out = people.Union(nil, r.KinOf(people.BothOf, t.Word, t.Line)); t.Word.Plural {
			out = people.Union(out, r.Derived(owners[0], t.Word, t.Line))
			out = people.Union(out, r.Derived(owners[1], t.Word, t.Line))
		}
	default:
		for _, o := range owners {
			if out = people.Union(out, r.KinOf(o, t.Word, t.Line)); len(out) == 0 && t.Word.Arg == "child" && r.Couple[0] < 0 && r.otherOf(o) >= 0 {
				out = r.KinOf(r.otherOf(o), t.Word, 0)
			}
			if t.Word.Plural || len(out) == 0 {
				out = people.Union(out, r.Derived(o, t.Word, t.Line))
			}
		}
	}
	return out
}

// otherOf is who is the other grandparent of a reunion with somebody, whose children are those of both; -1 for nobody.
func (r *Reader) otherOf(o int) int {
	found := people.BothOf
	is := func(i int) bool {
		return slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool { return x.Word.Arg == "grandparent" && x.Of == people.BothOf })
	}
	for i := range r.Guests {
		if i != o && is(i) {
			if found >= 0 || !is(o) || r.Guests[i].Sex == r.Guests[o].Sex {
				return people.BothOf
			}
			found = i
		}
	}
	return found
}

// familyMeant is the family of those whose it is, by kinship and by last name.
func (r *Reader) familyMeant(t *speech.Term, owners []int) []int {
	var out []int
	if t.Close == 'e' && !slices.ContainsFunc(owners, r.HasWiderFamily) {
		return nil // nobody of it is named
	}
	if t.Owner != nil && t.Owner.Kin != nil {
		out = people.Union(out, owners)
	}
	if t.Owner != nil && t.Owner.Name != "" && (len(owners) != 1 || r.Guests[owners[0]].Half > 0 && r.OfSurname(t.Owner.Name)) {
		out = people.Union(out, r.BySurname(t.Owner.Name))
	}
	if r.Child != "" && t.Owner == nil && t.Close == 0 && r.Couple[0] >= 0 { // of those whose golden wedding it is
		return r.Descent(r.Couple[:])
	}
	if len(owners) == 1 && r.Guests[owners[0]].Half == 0 && owners[0] != r.Honour && t.Close != 'e' {
		o := owners[0]
		if own := people.Union(r.PartnerOf(o), r.KinOf(o, words.Word{Arg: "child"}, 0)); len(own) > 0 { // "Andrew's family"
			return people.Union(people.Union(out, []int{o}), own)
		}
	}
	for _, o := range owners {
		if out = people.Union(out, r.Family(o, t.Close)); o == r.Honour && len(out) > 0 && t.Close != 'e' {
			out = people.Union(out, []int{o})
		}
	}
	if len(out) > 0 && len(owners) == 2 && owners[0] == r.Couple[0] {
		out = people.Union(out, r.Family(people.BothOf, t.Close))
	}
	return out
}

// kinOfSet is the kin of those in the photograph so far, the couple left out.
func (r *Reader) kinOfSet(t *speech.Term, c *Scope) []int {
	var out []int
	for _, i := range c.Set {
		if r.Guests[i].Half == 0 {
			out = people.Union(out, r.KinOf(i, t.Word, 0))
		}
	}
	return out
}

// kinAtAll is whoever is kin of that kind in a list without a couple: grandchildren are all children if need be; of
// nobody's, whoever is that to anybody.
func (r *Reader) kinAtAll(t *speech.Term, nobodys bool) []int {
	var out []int
	unknown := t.Word.Sex != 0 && slices.ContainsFunc(r.Generation(2), func(i int) bool { return r.Guests[i].Sex == 0 })
	if t.Word.Arg == "grandchild" || t.Word.Arg == "cousin" && t.Word.Plural && r.Honour < 0 && !unknown { // of a reunion
		if out = r.ofSex(r.Generation(2), t.Word); len(out) == 0 {
			out = r.Children(t.Word)
		}
	}
	if len(out) > 0 || !nobodys {
		return out
	}
	for i := range r.Guests {
		g := &r.Guests[i]
		if people.SexFits(t.Word, g) && slices.ContainsFunc(g.Relations, func(x people.Relation) bool { return people.Covers(t.Word, x.Word) }) {
			out = append(out, i)
		}
	}
	return out
}

// ofSex keeps those who may be meant by words of their sex.
func (r *Reader) ofSex(ids []int, w words.Word) []int {
	return slices.DeleteFunc(ids, func(i int) bool { return !people.SexFits(w, &r.Guests[i]) })
}

// calledBy keeps those whose kin is written just so.
func (r *Reader) calledBy(ids []int, text string) []int {
	return slices.DeleteFunc(slices.Clone(ids), func(i int) bool {
		return !slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool { return names.Plain(x.Word.Text) == names.Plain(text) })
	})
}

// byText picks those who are called by just that word of kin: "Bubbe" beside "Grandma Elaine".
func (r *Reader) byText(ids []int, t *speech.Term) []int {
	if same := r.calledBy(ids, t.Text); len(same) > 0 {
		return same
	}
	return ids
}

// OwnerOf is whose an entry for people is whom a list never names: of several the couple's, of none -2.
func OwnerOf(owners []int) int {
	switch len(owners) {
	case 0:
		return -2
	case 1:
		return owners[0]
	}
	return people.BothOf
}

// Entry returns the labelled entry for people whom the list never names.
func (r *Reader) Entry(t *speech.Term, owners []int) int {
	owner := OwnerOf(owners)
	named := "" // by somebody whom the list does not name otherwise: "the Frys"
	if owner == -2 && t.Owner != nil && t.Owner.Name != "" {
		named = r.EntryName(t, owner)
	}
	label := ""
	if t.Kind == speech.Label {
		label = people.LabelKey(t.Text)
	}
	r.Effort.Spend(len(r.Guests))
	for i := range r.Guests {
		g := &r.Guests[i]
		if g.Unnamed && g.Owner == owner && g.Kin.Arg == t.Word.Arg && g.Kin.Sex == t.Word.Sex && g.Kin.Plural == t.Word.Plural && g.Kin.Class == t.Word.Class && g.Kin.Step == t.Word.Step && g.Kin.Inlaw == t.Word.Inlaw && (t.Kind != speech.Label || g.Label == label) &&
			(named == "" || g.Name == named) {
			if t.Word.Class != "kin" || t.Word.Plural || g.Kin.Text == t.Word.Text || t.Word.Arg != "grandparent" && t.Word.Arg != "aunt" && (t.Word.Lang != "zh" || t.Word.Arg == "parent") {
				return i
			}
		}
	}
	name := r.EntryName(t, owner)
	i := r.Add(name, "")
	g := &r.Guests[i]
	g.Label = people.LabelKey(g.Given)
	g.Unnamed, g.Many, g.Owner, g.Kin, g.Sex = true, t.Word.Plural || t.Kind == speech.Label, owner, t.Word, t.Word.Sex
	if t.Word.Class == "kin" && !g.Many {
		r.Relate(i, t.Word, owners)
	}
	if t.Kind == speech.Role {
		r.Give(i, t.Word, t.Owner, &Scope{Last: -1})
	}
	if owner >= 0 && g.SideOf == 0 {
		g.SideOf = max(r.Guests[owner].Half, r.Guests[owner].SideOf)
	}
	return i
}

// EntryName is the label of an entry: as it is written where that says whose, else with whose kin it is.
func (r *Reader) EntryName(t *speech.Term, owner int) string {
	text := r.span(t)
	name := words.Capitalize(text)
	if t.Owner != nil && t.Owner.Pronoun == "" || owner < 0 || t.Kind == speech.Label || t.Kind == speech.Role && t.Owner == nil {
		return name
	}
	if t.Kind == speech.Kin && !t.Word.Plural && (t.Word.Arg == "grandparent" || t.Word.Arg == "aunt" || t.Word.Arg == "greatgrandparent" || t.Word.Lang == "zh" || words.Listed("calling", words.Key(t.Text))) && len(r.ByName[people.LabelKey(t.Text)]) == 0 && !r.anotherCalled(words.Capitalize(t.Text), owner) {
		return words.Capitalize(t.Text)
	}
	if t.Word.Lang != "en" && t.Word.Lang != "other" {
		return words.Capitalize(t.Text) + " (" + r.Guests[owner].Name + ")"
	}
	return r.Guests[owner].Name + "'s " + strings.ToLower(t.Text)
}

// anotherCalled reports whether an entry for kin of somebody else has a name.
func (r *Reader) anotherCalled(name string, owner int) bool {
	return r.Effort.Spend(len(r.Guests)) && slices.ContainsFunc(r.Guests, func(g people.Guest) bool { return g.Unnamed && g.Name == name && g.Owner != owner })
}

// span is what is written of a term, with whose it is.
func (r *Reader) span(t *speech.Term) string {
	if t.Kind == speech.Label {
		return t.Text
	}
	if t.Owner != nil && t.Owner.Pronoun == "" && t.End <= len(r.Line.Text) && t.Start <= t.End {
		words := r.Line.Text[:t.End]
		if t.Word.Lang == "ar" { // whose they are stands behind
			return words[t.Start:]
		}
		if before := strings.LastIndexAny(words[:t.Start], ",+&(/;:，、（；："); before >= 0 {
			words = strings.TrimLeft(words[before:], ",+&(/;:，、（；：")
		}
		words = strings.TrimSpace(words)
		for _, join := range []string{"with ", "w/ ", "w/", "avec ", "com ", "con ", "mit ", "and "} {
			if k := strings.LastIndex(strings.ToLower(words), join); k >= 0 {
				words = strings.TrimSpace(words[k+len(join):])
			}
		}
		if words != "" {
			return words
		}
	}
	return t.Text
}
