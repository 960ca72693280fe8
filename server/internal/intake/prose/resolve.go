package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// resolveKin returns who is meant by words of kin or a role, by the roster alone.
func (r *reader) resolveKin(t *term, c *scope) []int {
	if t.kind == role {
		side := 0
		if t.own != nil && !t.own.both {
			if ids, ok := r.ownedBy(t.own, c); ok && len(ids) == 1 {
				side = r.guests[ids[0]].half
			}
		} else if t.w.Side == 0 && (t.w.Arg == "party" || t.w.Arg == "crew") && !t.all && t.own == nil {
			if side = c.subject(); side == 0 && t.w.Arg == "crew" {
				side = c.side
			}
		}
		if side == 0 && (t.w.Arg == "brideparty" || t.w.Arg == "groomparty") {
			side = r.halfOf(t.w.Side)
		}
		if t.w.Side == 0 && t.w.Arg == "witness" && t.own == nil && !t.all {
			side = c.subject()
		}
		ids := slices.DeleteFunc(r.holders(t.w, side), func(i int) bool { return !sexFits(words.Word{Sex: t.sex}, &r.guests[i]) })
		if len(ids) > 0 || t.w.Arg != "sponsor" {
			return ids
		}
		return r.kinOf(bothOf, words.Word{Class: "kin", Arg: "godparent", Plural: true}, 0)
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
	case t.w.Arg == "family" && t.own == nil && c.carry == nil && c.last >= 0 && len(r.household(c.last)) > 0:
		return r.household(c.last)
	case t.w.Arg == "family":
		if len(owners) == 1 && r.guests[owners[0]].half == 0 && len(r.household(owners[0])) > 0 {
			return append([]int{owners[0]}, r.household(owners[0])...)
		}
		if t.own != nil && t.own.kin != nil {
			add(owners)
		}
		if t.own != nil && t.own.name != "" && (len(owners) != 1 || r.guests[owners[0]].half > 0 && r.ofSurname(t.own.name)) {
			add(r.bySurname(t.own.name))
		}
		for _, o := range owners {
			add(r.family(o, t.close))
			if o == r.honour && len(out) > 0 && t.close != 'e' {
				add([]int{o})
			}
		}
	case t.w.Arg == "partner" && t.w.Plural && t.own == nil:
		for _, i := range c.set {
			if r.guests[i].half == 0 {
				add(r.kinOf(i, t.w, 0))
			}
		}
		if t.minus { // whose partner somebody is stays
			out = slices.DeleteFunc(out, func(i int) bool { return !r.joined(i) })
		}
	case t.w.Arg == "child" && t.own == nil && t.w.Plural:
		for _, i := range c.set {
			if r.guests[i].half == 0 {
				add(r.kinOf(i, t.w, 0))
			}
		}
		if first := r.generation(1); len(out) == 0 && t.num > 0 && t.num == len(first) {
			add(first)
		}
		if len(out) == 0 {
			add(r.children(t.w))
		}
	case len(owners) == 2 && owners[0] == r.couple[0]:
		add(r.kinOf(bothOf, t.w, t.line))
		if t.w.Plural {
			add(r.derived(owners[0], t.w, t.line))
			add(r.derived(owners[1], t.w, t.line))
		}
	default:
		for _, o := range owners {
			add(r.kinOf(o, t.w, t.line))
			if t.w.Plural || len(out) == 0 {
				add(r.derived(o, t.w, t.line))
			}
		}
	}
	if len(out) == 0 && t.w.Arg == "grandchild" && r.couple[0] < 0 {
		for _, i := range r.generation(2) {
			if sexFits(t.w, &r.guests[i]) {
				add([]int{i})
			}
		}
	}
	if len(out) == 0 && t.w.Arg == "grandchild" && r.couple[0] < 0 {
		add(r.children(t.w))
	}
	if len(out) == 0 && r.couple[0] < 0 && len(owners) == 0 {
		for i := range r.guests {
			if slices.ContainsFunc(r.guests[i].rels, func(x relation) bool { return covers(t.w, x.w) && sexFits(t.w, &r.guests[i]) }) {
				out = append(out, i)
			}
		}
	}
	if t.w.Arg == "parent" && t.w.Plural && (t.every || t.sets) {
		step := *t
		step.w.Step, step.every, step.sets = true, false, false
		add(r.resolveKin(&step, c))
	}
	if h := r.brotherOf(out); t.w.Arg == "sibling" && t.own == nil && len(out) > 1 && len(out) == t.num-1 && h >= 0 {
		add([]int{h}) // "the three brothers"
	}
	if t.qual {
		out = slices.DeleteFunc(out, func(i int) bool {
			return !slices.ContainsFunc(r.guests[i].rels, func(x relation) bool { return names.Plain(x.w.Text) == names.Plain(t.w.Text) })
		})
	}
	if !t.w.Plural && len(out) > 1 {
		out = r.bySex(r.byText(out, t), t.w)
	}
	return out
}

// brotherOf is who of the couple, or the honoured, all of these are brothers and sisters of, -1 for nobody.
func (r *reader) brotherOf(ids []int) int {
	for _, h := range []int{r.couple[0], r.couple[1], r.honour} {
		if h >= 0 && !slices.ContainsFunc(ids, func(i int) bool {
			return !slices.ContainsFunc(r.guests[i].rels, func(x relation) bool { return x.of == h && x.w.Arg == "sibling" })
		}) {
			return h
		}
	}
	return -1
}

// ofSurname reports whether "all the ..." before a name means those of that last name: nobody is called so alone.
func (r *reader) ofSurname(name string) bool {
	_, given := words.Given(names.Plain(name))
	return !given && !slices.ContainsFunc(r.byName[names.Plain(name)], func(i int) bool { return names.Plain(r.guests[i].given) == names.Plain(name) })
}

// bySurname is everybody of a last name, and of whose family one of the couple is who has it; else who stands below lines
// that name a family so.
func (r *reader) bySurname(name string) []int {
	var out []int
	key := names.Plain(name)
	if base, ok := strings.CutSuffix(key, "s"); ok && len(r.byWord[key]) == 0 { // "the Benalis"
		key = base
	}
	for _, i := range r.byWord[key] {
		g := &r.guests[i]
		ws, given := names.Words(g.Name), names.Plain(g.given)
		if len(ws) > 1 && ws[len(ws)-1] == key || given != key && !strings.HasPrefix(given, key+" ") {
			if out = union(out, []int{i}); g.half > 0 {
				out = union(out, r.family(i, 0))
			}
		}
	}
	return union(out, r.groups[key])
}

// byText picks those who are called by just that word of kin: "Bubbe" beside "Grandma Elaine".
func (r *reader) byText(ids []int, t *term) []int {
	same := slices.DeleteFunc(slices.Clone(ids), func(i int) bool {
		return !slices.ContainsFunc(r.guests[i].rels, func(x relation) bool { return names.Plain(x.w.Text) == names.Plain(t.text) })
	})
	if len(same) > 0 {
		return same
	}
	return ids
}

// bySex picks among several for a word that stands for one: "dad" of two parents of whom one is no woman.
func (r *reader) bySex(ids []int, w words.Word) []int {
	if w.Sex == 0 {
		return ids
	}
	sure := slices.DeleteFunc(slices.Clone(ids), func(i int) bool { return r.guests[i].sex != w.Sex })
	if len(sure) > 0 {
		return sure
	}
	return ids
}

// children are all children who come.
func (r *reader) children(w words.Word) []int {
	var out []int
	for i := range r.guests {
		g := &r.guests[i]
		young := g.AgeBand == event.Child || g.AgeBand == event.Infant || g.age >= 0 && g.age < 18
		if young && !g.never && g.half == 0 && sexFits(w, g) {
			out = append(out, i)
		}
	}
	return out
}

// family is all kin of somebody: of one of the couple, whoever is on that side and no friend or attendant only.
func (r *reader) family(o int, near byte) []int {
	var out []int
	if !r.m.Spend(10 * len(r.guests)) {
		return nil
	}
	for i := range r.guests {
		g := &r.guests[i]
		if g.never || g.half > 0 || g.unnamed && g.many {
			continue
		}
		kin, close := false, false
		for _, x := range g.rels {
			mine := x.of == o
			if mine && x.w.Arg != "partner" {
				kin = true
				close = close || x.w.Arg == "parent" || x.w.Arg == "sibling" || x.w.Arg == "child" || x.w.Arg == "family"
			}
			if !mine && x.of >= 0 && x.of != i && r.guests[o].half > 0 && r.guests[x.of].side == r.guests[o].half && r.guests[x.of].half == 0 && (x.w.Arg == "partner" || x.w.Arg == "child" || x.w.Arg == "parent") && len(r.guests[x.of].rels) > 0 {
				kin = true
			}
		}
		if near == 'i' && !close || !kin {
			continue
		}
		out = append(out, i)
	}
	return out
}

// entry returns the labelled entry for people whom the list never names.
func (r *reader) entry(t *term, owners []int) int {
	owner := -2
	if len(owners) == 1 {
		owner = owners[0]
	} else if len(owners) > 1 {
		owner = bothOf
	}
	named := "" // by somebody whom the list does not name otherwise: "the Frys"
	if owner == -2 && t.own != nil && t.own.name != "" {
		named = r.entryName(t, owner)
	}
	for i := range r.guests {
		g := &r.guests[i]
		if g.unnamed && g.owner == owner && g.kin.Arg == t.w.Arg && g.kin.Sex == t.w.Sex && g.kin.Plural == t.w.Plural && g.kin.Class == t.w.Class && g.kin.Step == t.w.Step && (t.kind != label || labelKey(g.given) == labelKey(t.text)) &&
			(named == "" || g.Name == named) {
			if t.w.Class != "kin" || t.w.Plural || g.kin.Text == t.w.Text || t.w.Arg != "grandparent" && t.w.Arg != "aunt" {
				return i
			}
		}
	}
	name := r.entryName(t, owner)
	i := r.add(name, "")
	g := &r.guests[i]
	g.unnamed, g.many, g.owner, g.kin, g.sex = true, t.w.Plural || t.kind == label, owner, t.w, t.w.Sex
	if t.w.Class == "kin" && !g.many {
		r.relate(i, t.w, owners)
	}
	if t.kind == role {
		r.give(i, t.w, t.own, &scope{last: -1})
	}
	if owner >= 0 && g.side == 0 {
		g.side = max(r.guests[owner].half, r.guests[owner].side)
	}
	return i
}

// entryName is the label of an entry: as it is written where that says whose, else with whose kin it is.
func (r *reader) entryName(t *term, owner int) string {
	text := r.span(t)
	name := capital(text)
	if t.own != nil && t.own.pron == "" || owner < 0 || t.kind == label || t.kind == role && t.own == nil {
		return name
	}
	if t.kind == kinTerm && !t.w.Plural && (t.w.Arg == "grandparent" || t.w.Arg == "aunt" || t.w.Arg == "greatgrandparent" || t.w.Lang == "zh") && len(r.byName[labelKey(t.text)]) == 0 {
		return capital(t.text)
	}
	if t.w.Lang != "en" && t.w.Lang != "other" {
		return capital(t.text) + " (" + r.guests[owner].Name + ")"
	}
	return possessiveOf(r.guests[owner].Name) + " " + strings.ToLower(t.text)
}

// span is what is written of a term, with whose it is.
func (r *reader) span(t *term) string {
	if t.kind == label {
		return t.text
	}
	if t.own != nil && t.own.pron == "" && t.e <= len(r.cur.Text) && t.s <= t.e {
		words := r.cur.Text[:t.e]
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

func possessiveOf(name string) string { return name + "'s" }

func capital(s string) string {
	for i, c := range s {
		return strings.ToUpper(string(c)) + s[i+len(string(c)):]
	}
	return s
}

// names lists the names of guests.
func (r *reader) names(ids []int) []string {
	out := make([]string, len(ids))
	for k, i := range ids {
		out[k] = r.guests[i].Name
	}
	return out
}

// and are the names of people, the last after "and".
func (r *reader) and(ids []int) wording.Arg { return wording.And(r.names(ids)...) }

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
