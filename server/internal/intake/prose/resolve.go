package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// resolveKin returns who is meant by words of kin or a role, by the roster alone.
func (r *reader) resolveKin(t *term, c *scope) []int {
	if t.kind == role {
		side := 0
		if t.own != nil && !t.own.both {
			if ids, ok := r.ownedBy(t.own, c); ok && len(ids) == 1 {
				side = r.Guests[ids[0]].Half
			}
		} else if t.w.Side == 0 && (t.w.Arg == "party" || t.w.Arg == "crew") && !t.all && t.own == nil {
			if side = c.subject(); side == 0 && t.w.Arg == "crew" {
				side = c.side
			}
		}
		if side == 0 && (t.w.Arg == "brideparty" || t.w.Arg == "groomparty") {
			side = r.HalfOf(t.w.Side)
		}
		if t.w.Side == 0 && t.w.Arg == "witness" && t.own == nil && !t.all {
			side = c.subject()
		}
		ids := slices.DeleteFunc(r.Holders(t.w, side), func(i int) bool { return !people.SexFits(words.Word{Sex: t.sex}, &r.Guests[i]) })
		if len(ids) > 0 || t.w.Arg != "sponsor" {
			return ids
		}
		return r.KinOf(people.BothOf, words.Word{Class: "kin", Arg: "godparent", Plural: true}, 0)
	}
	owners := r.owners(t, c)
	var out []int
	add := func(ids []int) {
		for _, i := range ids {
			if !slices.Contains(out, i) {
				out = append(out, i)
			}
		}
	}
	switch {
	case t.w.Arg == "family" && t.own == nil && c.carry == nil && c.last >= 0 && len(r.Household(c.last)) > 0:
		return r.Household(c.last)
	case t.w.Arg == "family":
		if len(owners) == 1 && r.Guests[owners[0]].Half == 0 && len(r.Household(owners[0])) > 0 {
			return append([]int{owners[0]}, r.Household(owners[0])...)
		}
		if t.own != nil && t.own.kin != nil {
			add(owners)
		}
		if t.own != nil && t.own.name != "" && (len(owners) != 1 || r.Guests[owners[0]].Half > 0 && r.OfSurname(t.own.name)) {
			add(r.BySurname(t.own.name))
		}
		for _, o := range owners {
			add(r.Family(o, t.close))
			if o == r.Honour && len(out) > 0 && t.close != 'e' {
				add([]int{o})
			}
		}
	case t.w.Arg == "partner" && t.w.Plural && t.own == nil:
		for _, i := range c.set {
			if r.Guests[i].Half == 0 {
				add(r.KinOf(i, t.w, 0))
			}
		}
		if t.minus { // whose partner somebody is stays
			out = slices.DeleteFunc(out, func(i int) bool { return !r.Joined(i) })
		}
	case t.w.Arg == "child" && t.own == nil && t.w.Plural:
		for _, i := range c.set {
			if r.Guests[i].Half == 0 {
				add(r.KinOf(i, t.w, 0))
			}
		}
		if first := r.Generation(1); len(out) == 0 && t.num > 0 && t.num == len(first) {
			add(first)
		}
		if len(out) == 0 {
			add(r.Children(t.w))
		}
	case len(owners) == 2 && owners[0] == r.Couple[0]:
		add(r.KinOf(people.BothOf, t.w, t.line))
		if t.w.Plural {
			add(r.Derived(owners[0], t.w, t.line))
			add(r.Derived(owners[1], t.w, t.line))
		}
	default:
		for _, o := range owners {
			add(r.KinOf(o, t.w, t.line))
			if t.w.Plural || len(out) == 0 {
				add(r.Derived(o, t.w, t.line))
			}
		}
	}
	if len(out) == 0 && t.w.Arg == "grandchild" && r.Couple[0] < 0 {
		for _, i := range r.Generation(2) {
			if people.SexFits(t.w, &r.Guests[i]) {
				add([]int{i})
			}
		}
	}
	if len(out) == 0 && t.w.Arg == "grandchild" && r.Couple[0] < 0 {
		add(r.Children(t.w))
	}
	if len(out) == 0 && r.Couple[0] < 0 && len(owners) == 0 {
		for i := range r.Guests {
			if slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool { return people.Covers(t.w, x.Word) && people.SexFits(t.w, &r.Guests[i]) }) {
				out = append(out, i)
			}
		}
	}
	if t.w.Arg == "parent" && t.w.Plural && (t.every || t.sets) {
		step := *t
		step.w.Step, step.every, step.sets = true, false, false
		add(r.resolveKin(&step, c))
	}
	if h := r.BrotherOf(out); t.w.Arg == "sibling" && t.own == nil && len(out) > 1 && len(out) == t.num-1 && h >= 0 {
		add([]int{h}) // "the three brothers"
	}
	if t.qual {
		out = slices.DeleteFunc(out, func(i int) bool {
			return !slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool { return names.Plain(x.Word.Text) == names.Plain(t.w.Text) })
		})
	}
	if !t.w.Plural && len(out) > 1 {
		out = r.BySex(r.byText(out, t), t.w)
	}
	return out
}

// byText picks those who are called by just that word of kin: "Bubbe" beside "Grandma Elaine".
func (r *reader) byText(ids []int, t *term) []int {
	same := slices.DeleteFunc(slices.Clone(ids), func(i int) bool {
		return !slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool { return names.Plain(x.Word.Text) == names.Plain(t.text) })
	})
	if len(same) > 0 {
		return same
	}
	return ids
}

// entry returns the labelled entry for people whom the list never names.
func (r *reader) entry(t *term, owners []int) int {
	owner := -2
	if len(owners) == 1 {
		owner = owners[0]
	} else if len(owners) > 1 {
		owner = people.BothOf
	}
	named := "" // by somebody whom the list does not name otherwise: "the Frys"
	if owner == -2 && t.own != nil && t.own.name != "" {
		named = r.entryName(t, owner)
	}
	for i := range r.Guests {
		g := &r.Guests[i]
		if g.Unnamed && g.Owner == owner && g.Kin.Arg == t.w.Arg && g.Kin.Sex == t.w.Sex && g.Kin.Plural == t.w.Plural && g.Kin.Class == t.w.Class && g.Kin.Step == t.w.Step && (t.kind != label || people.LabelKey(g.Given) == people.LabelKey(t.text)) &&
			(named == "" || g.Name == named) {
			if t.w.Class != "kin" || t.w.Plural || g.Kin.Text == t.w.Text || t.w.Arg != "grandparent" && t.w.Arg != "aunt" {
				return i
			}
		}
	}
	name := r.entryName(t, owner)
	i := r.Add(name, "")
	g := &r.Guests[i]
	g.Unnamed, g.Many, g.Owner, g.Kin, g.Sex = true, t.w.Plural || t.kind == label, owner, t.w, t.w.Sex
	if t.w.Class == "kin" && !g.Many {
		r.Relate(i, t.w, owners)
	}
	if t.kind == role {
		r.give(i, t.w, t.own, &scope{last: -1})
	}
	if owner >= 0 && g.SideOf == 0 {
		g.SideOf = max(r.Guests[owner].Half, r.Guests[owner].SideOf)
	}
	return i
}

// entryName is the label of an entry: as it is written where that says whose, else with whose kin it is.
func (r *reader) entryName(t *term, owner int) string {
	text := r.span(t)
	name := words.Capitalize(text)
	if t.own != nil && t.own.pron == "" || owner < 0 || t.kind == label || t.kind == role && t.own == nil {
		return name
	}
	if t.kind == kinTerm && !t.w.Plural && (t.w.Arg == "grandparent" || t.w.Arg == "aunt" || t.w.Arg == "greatgrandparent" || t.w.Lang == "zh") && len(r.ByName[people.LabelKey(t.text)]) == 0 {
		return words.Capitalize(t.text)
	}
	if t.w.Lang != "en" && t.w.Lang != "other" {
		return words.Capitalize(t.text) + " (" + r.Guests[owner].Name + ")"
	}
	return r.Guests[owner].Name + "'s " + strings.ToLower(t.text)
}

// span is what is written of a term, with whose it is.
func (r *reader) span(t *term) string {
	if t.kind == label {
		return t.text
	}
	if t.own != nil && t.own.pron == "" && t.e <= len(r.Line.Text) && t.s <= t.e {
		words := r.Line.Text[:t.e]
		if before := strings.LastIndexAny(words[:t.s], ",+&(/;:，、（；："); before >= 0 {
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
	return t.text
}

func shortened(list []string, write func(string) wording.Message) []wording.Message {
	var out []wording.Message
	for _, n := range list[:min(place.MostNamed, len(list))] {
		out = append(out, write(n))
	}
	if more := len(list) - place.MostNamed; more > 0 {
		out = append(out, wording.Say(wording.KeyMore, more))
	}
	return out
}

// either writes candidates into a sentence: A, B or C.
func either(candidates []string) wording.Arg {
	return wording.Or(shortened(candidates, func(c string) wording.Message { return wording.Say("%s", place.Quoted(c)) })...)
}
