package prose

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/kin"
	"kinorder.example/server/internal/wording"
)

// fromBase takes over the people and circles of the event that the list may refer to.
func (r *reader) fromBase() {
	for i, p := range r.base.People {
		j := r.enter(p.Name)
		g := &r.guests[j]
		g.Person, g.base, g.line, g.age = p, true, 0, -1
		for _, n := range p.Nicknames {
			r.call(j, n)
		}
		r.call(j, p.ID)
		_ = i
	}
	for _, c := range r.base.Circles {
		var ids []int
		for _, m := range event.Members(r.base, c.ID) {
			if k := slices.IndexFunc(r.base.People, func(p event.Person) bool { return p.ID == m }); k >= 0 {
				ids = append(ids, k)
			}
		}
		r.groups[labelKey(c.Title)] = ids
		r.keepTitle(c.Title)
		r.groups[labelKey(c.ID)] = ids
		if c.ID == "couple" && len(ids) == 2 {
			r.couple = [2]int{ids[0], ids[1]}
		}
	}
	if couple := r.build.Couple(); r.couple[0] < 0 && len(couple) == 2 {
		r.couple = [2]int{couple[0], couple[1]}
	}
	if r.couple[0] < 0 {
		return
	}
	for k, i := range r.couple {
		r.guests[i].half, r.guests[i].side = k+1, k+1
	}
	r.baseKin()
}

// baseKin reads the relations of the base.
func (r *reader) baseKin() {
	for i := range r.guests {
		g := &r.guests[i]
		if g.Side != "" && g.half == 0 {
			if o, ok := r.build.Owner(g.Side); ok {
				for k, c := range r.couple {
					if c == o {
						g.side = k + 1
					}
				}
			}
		}
		if g.Relation == "" {
			continue
		}
		r.cur = &lines.Line{Text: g.Relation, Raw: g.Relation}
		in := r.parse(r.phrasesOf(words.Tokenize(g.Relation)), false)
		for _, t := range in.terms {
			c := &scope{last: -1, side: g.side}
			switch t.kind {
			case half:
				r.brides[t.w.Sex] = g.half
				r.brides['w'+'m'-t.w.Sex] = 3 - g.half
			case kinTerm:
				r.relate(i, t.w, r.owners(t, c))
			case role:
				r.give(i, t.w, t.own, c)
			}
		}
	}
}

// finish puts the event together.
func (r *reader) finish() {
	ids := r.people()
	couple := ""
	if r.couple[0] >= 0 && ids[r.couple[0]] != "" && ids[r.couple[1]] != "" {
		a, b := ids[r.couple[0]], ids[r.couple[1]]
		if id, ok := r.build.CircleNamed("couple"); ok && len(r.build.PeopleOf(id)) == 2 {
			couple = id
		} else {
			couple = r.build.AddCircleAs("couple", r.guests[r.couple[0]].Name+" & "+r.guests[r.couple[1]].Name, []int{r.builtAt(a), r.builtAt(b)})
		}
	}
	everybody := ""
	for _, p := range r.photos {
		if p.dropped {
			continue
		}
		g := p.g
		switch {
		case p.fixed:
		case p.all:
			if everybody == "" {
				everybody = r.build.AddCircleAs("everybody", "Everybody", r.coming(ids))
			}
			g.Members = []string{everybody}
			g.Without = r.gathered(p, p.without, ids, couple)
		default:
			g.Members = r.gathered(p, p.set, ids, couple)
		}
		if len(p.each) > 0 {
			g.EachOf = r.build.Gather(r.eachTitle(p), r.builtAll(p.each, ids))
			if len(p.each) == 1 {
				g.EachOf, g.Members = "", append(g.Members, ids[p.each[0]])
			}
		}
		if g.ID == "" {
			g.ID = r.build.NewGroupingID(r.idOf(p))
		}
		r.build.Event.Groupings = append(r.build.Event.Groupings, g)
	}
	r.keptApart(ids)
	e := r.build.Event
	for _, set := range []struct {
		to   *string
		text string
	}{{&e.Date, r.event.Date}, {&e.Title, r.event.Title}, {&e.TimeZone, r.event.TimeZone}} {
		if set.text != "" {
			*set.to = set.text
		}
	}
	if r.honour >= 0 && ids[r.honour] != "" && len(e.Honour) == 0 {
		e.Honour = []string{ids[r.honour]}
	}
	if len(r.event.Blocks) > 0 && len(e.Blocks) == 0 {
		e.Blocks = r.event.Blocks
	}
	r.withoutDate(&e)
	r.event = e
	r.renumber()
	if len(e.Groupings) == 0 {
		r.report(1, 0, event.Error, place.CodeNoPhotographs, "", wording.Say("list.noLineAsksForAPhotograph"))
	}
}

// renumber counts groupings anew where photographs were dropped, and places people at their lines.
func (r *reader) renumber() {
	at := make(map[string]string)
	n := len(r.base.Groupings)
	for k, p := range r.photos {
		from := field("groupings", len(r.base.Groupings)+k)
		if p.dropped {
			at[from] = ""
			continue
		}
		at[from] = field("groupings", n)
		n++
	}
	for _, u := range r.Uses {
		var out []string
		for _, f := range u.Fields {
			if to, ok := at[f]; ok {
				f = to
			}
			if f != "" && !slices.Contains(out, f) {
				out = append(out, f)
			}
		}
		u.Fields = out
	}
}

// builtAll are the places of people in the event.
func (r *reader) builtAll(guests []int, ids []string) []int {
	var out []int
	for _, i := range guests {
		if k := r.builtAt(ids[i]); k >= 0 && !slices.Contains(out, k) {
			out = append(out, k)
		}
	}
	return out
}

func (r *reader) builtAt(id string) int {
	return slices.IndexFunc(r.build.Event.People, func(p event.Person) bool { return p.ID == id })
}

// coming are all who are in photographs of everybody.
func (r *reader) coming(ids []string) []int {
	var out []int
	for i := range r.guests {
		if ids[i] != "" {
			out = append(out, r.builtAt(ids[i]))
		}
	}
	return out
}

// people enters the guests into the event and returns their ids; nobody who is struck out or dead.
func (r *reader) people() []string {
	ids := make([]string, len(r.guests))
	for _, i := range r.couple {
		if i >= 0 && !r.guests[i].base && !r.guests[i].never {
			ids[i] = r.build.ID(r.build.Add(r.guests[i].Person))
		}
	}
	sides := r.sides(ids)
	for i := range r.guests {
		g := &r.guests[i]
		if g.base {
			ids[i] = g.ID
			continue
		}
		if g.half > 0 && ids[i] != "" {
			r.build.Update(r.builtAt(ids[i]), func(p *event.Person) {
				p.Relation, p.Side = g.Relation, sides[g.half]
			})
			r.Use(max(1, g.line), place.Used, field("people", r.builtAt(ids[i])))
			continue
		}
		if g.never || !r.used(i) {
			continue
		}
		p := g.Person
		p.Relation = r.relationOf(g)
		if p.Side == "" && sides[g.side] != "" {
			p.Side = sides[g.side]
		}
		k := r.build.Add(p)
		ids[i] = r.build.ID(k)
		r.Use(max(1, g.line), place.Used, field("people", k))
	}
	return ids
}

// used reports whether somebody belongs into the event: whoever is named; an entry only where a photograph has it.
func (r *reader) used(i int) bool {
	g := &r.guests[i]
	if !g.unnamed || g.half > 0 {
		return true
	}
	return slices.ContainsFunc(r.photos, func(p *photograph) bool {
		return !p.dropped && (slices.Contains(p.set, i) || slices.Contains(p.each, i))
	})
}

// spelled are roles that lists shorten and sheets write out.
var spelled = map[string]string{"moh": "maid of honour", "bm": "best man", "bms": "bridesmaid", "gm": "groomsman", "gms": "groomsman", "fg": "flower girl", "fgs": "flower girl", "rb": "ring bearer", "rbs": "ring bearer"}

// relationOf writes what somebody is, as event files do; nouns have capitals in German.
func (r *reader) relationOf(g *guest) string {
	text := r.relationTo(g)
	if r.main == "de" && !strings.ContainsAny(text, "'’") {
		return capital(text)
	}
	return text
}

func (r *reader) relationTo(g *guest) string {
	if g.Relation != "" || g.half > 0 {
		return g.Relation
	}
	for _, x := range g.rels {
		text := strings.ToLower(x.w.Text)
		if x.w.Arg == "family" || text == "" {
			continue
		}
		if x.w.Plural {
			text = cmp.Or(words.Singular(x.w, g.sex), kin.Singular(text))
		}
		if x.of >= 0 && r.guests[x.of].half == 0 {
			return possessiveOf(r.guests[x.of].given) + " " + text
		}
		return text
	}
	for _, h := range g.roles {
		if h.arg != "group" && h.arg != "crew" && h.arg != "party" {
			return cmp.Or(spelled[h.text], h.one, kin.Singular(h.text))
		}
	}
	return ""
}

// sides makes a side for each of the couple whose kin the list tells.
func (r *reader) sides(ids []string) [3]string {
	var out [3]string
	if r.couple[0] < 0 {
		return out
	}
	for h := 1; h <= 2; h++ {
		owner := &r.guests[r.couple[h-1]]
		if owner.base {
			continue
		}
		if !slices.ContainsFunc(r.guests, func(g guest) bool { return g.side == h && g.half == 0 && !g.base }) {
			continue
		}
		out[h] = r.build.AddSideAs(r.build.ID(r.builtAt(ids[r.couple[h-1]])), cmp.Or(r.sideLabels[h], possessiveOf(owner.Name)+" side"))
	}
	return out
}

// keptApart makes rules of who is to be kept apart.
func (r *reader) keptApart(ids []string) {
	for _, pair := range r.apart {
		if a, b := ids[pair[0]], ids[pair[1]]; a != "" && b != "" && a != b {
			r.build.Event.Rules = append(r.build.Event.Rules, event.Rule{Apart: &event.Apart{People: []string{a, b}, Scope: event.Neighbours}})
		}
	}
}

// eachTitle is the title of the circle of those who are each in a photograph of their own.
func (r *reader) eachTitle(p *photograph) string {
	for _, t := range p.s.head.terms {
		if t.each || t.kind == role || t.kind == kinTerm {
			return capital(strings.ToLower(t.text))
		}
	}
	return strings.Join(r.names(p.each[:min(3, len(p.each))]), ", ")
}

// withoutDate moves times of people into notes when the list has no date, which times need.
func (r *reader) withoutDate(e *event.Event) {
	if e.Date != "" {
		return
	}
	if len(e.Blocks) == 1 && len(r.base.Blocks) == 0 && e.Blocks[0].Opens != "" {
		b := &e.Blocks[0]
		r.report(1, 0, event.Warning, place.CodeNotUsed, "", wording.Say("list.timeFromToNeedsADate", b.Opens, b.Closes))
		b.Opens, b.Closes = "", ""
	}
	for i := len(r.base.People); i < len(e.People); i++ {
		p := &e.People[i]
		if p.PresentFrom == "" && p.PresentUntil == "" {
			continue
		}
		r.report(1, 0, event.Warning, place.CodeKeptAsNote, p.Name, wording.Say("list.notThereAllTheTimeAnd", place.Quoted(p.Name)))
		note := strings.TrimSpace("there " + prefixed("from ", p.PresentFrom) + " " + prefixed("until ", p.PresentUntil))
		p.PrivateNote = strings.TrimPrefix(p.PrivateNote+"; "+note, "; ")
		p.PresentFrom, p.PresentUntil = "", ""
	}
}

func prefixed(prefix, s string) string {
	if s == "" {
		return ""
	}
	return prefix + s
}
