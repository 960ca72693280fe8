package prose

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/doubt"
	"kinorder.example/server/internal/intake/prose/facts"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/photographs"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// fromBase takes over the people and circles of the event that the list may refer to.
func (r *reader) fromBase() {
	for i, p := range r.Base.People {
		j := r.Enter(p.Name)
		g := &r.Guests[j]
		g.Person, g.Base, g.Line, g.Age = p, true, 0, -1
		for _, n := range p.Nicknames {
			r.Call(j, n)
		}
		r.Call(j, p.ID)
		_ = i
	}
	index := event.NewIndex(&r.Base)
	for _, c := range r.Base.Circles {
		ids := index.PeopleOf(c.ID)
		r.Groups[people.LabelKey(c.Title)] = ids
		r.KeepTitle(c.Title)
		r.Groups[people.LabelKey(c.ID)] = ids
		if c.ID == "couple" && len(ids) == 2 {
			r.Couple = [2]int{ids[0], ids[1]}
		}
	}
	if couple := r.Build.Couple(); r.Couple[0] < 0 && len(couple) == 2 {
		r.Couple = [2]int{couple[0], couple[1]}
	}
	if r.Couple[0] < 0 {
		return
	}
	for k, i := range r.Couple {
		r.Guests[i].Half, r.Guests[i].SideOf = k+1, k+1
	}
	r.baseKin()
}

// baseKin reads the relations of the base.
func (r *reader) baseKin() {
	for i := range r.Guests {
		g := &r.Guests[i]
		if g.Side != "" && g.Half == 0 {
			if o, ok := r.Build.Owner(g.Side); ok {
				for k, c := range r.Couple {
					if c == o {
						g.SideOf = k + 1
					}
				}
			}
		}
		if g.Relation == "" {
			continue
		}
		r.Line = &lines.Line{Text: g.Relation, Raw: g.Relation}
		in := r.Parse(r.Phrases(words.Tokenize(g.Relation)), false)
		for _, t := range in.Terms {
			c := &facts.Scope{Last: -1, Side: g.SideOf}
			switch t.Kind {
			case speech.Half:
				r.Brides[t.Word.Sex] = g.Half
				r.Brides['w'+'m'-t.Word.Sex] = 3 - g.Half
			case speech.Kin:
				r.Relate(i, t.Word, r.Owners(t, c))
			case speech.Role:
				r.Give(i, t.Word, t.Owner, c)
			}
		}
	}
}

// finish puts the event together. asked says that photographs are expected.
func (r *reader) finish(asked bool) {
	doubt.Find(&r.Reader)
	ids := r.people()
	couple := ""
	if r.Couple[0] >= 0 && ids[r.Couple[0]] != "" && ids[r.Couple[1]] != "" {
		a, b := ids[r.Couple[0]], ids[r.Couple[1]]
		if id, ok := r.Build.CircleNamed("couple"); ok && len(r.Build.PeopleOf(id)) == 2 {
			couple = id
		} else {
			couple = r.Build.AddCircleAs("couple", r.Guests[r.Couple[0]].Name+" & "+r.Guests[r.Couple[1]].Name, []int{r.builtAt(a), r.builtAt(b)})
		}
	}
	everybody := ""
	for _, p := range r.Photographs {
		if p.Dropped {
			continue
		}
		g := p.Grouping
		if g.Guests == 0 {
			g.Guests = r.behindEntries(p)
		}
		switch {
		case p.Fixed:
		case p.All:
			if everybody == "" {
				everybody = r.Build.AddCircleAs("everybody", "Everybody", r.coming(ids))
			}
			g.Members = []string{everybody}
			g.Without = r.gathered(p, p.Without, ids, couple)
		default:
			g.Members = r.gathered(p, p.Set, ids, couple)
		}
		if len(p.Each) > 0 {
			g.EachOf = r.Build.Gather(r.eachTitle(p), r.builtAll(p.Each, ids))
			if len(p.Each) == 1 {
				g.EachOf, g.Members = "", append(g.Members, ids[p.Each[0]])
			}
		}
		if g.ID == "" {
			g.ID = r.Build.NewGroupingID(r.IDOf(p))
		}
		r.Build.Event.Groupings = append(r.Build.Event.Groupings, g)
	}
	r.keptApart(ids)
	r.tellDay(ids)
	r.renumber()
	if asked && len(r.Event.Groupings) == 0 {
		r.Tell(1, 0, event.Error, place.CodeNoPhotographs, "", wording.Say("list.noLineAsksForAPhotograph"))
	}
}

// behindEntries is how many are in a photograph beside whom it lists: entries stand for as many as the list says.
func (r *reader) behindEntries(p *photographs.Photograph) int {
	n := 0
	for i, g := range r.Guests {
		in := slices.Contains(p.Set, i) || p.All && r.used(i) && !r.OfOthers(i) && !slices.Contains(p.Without, i)
		if in && g.Unnamed && g.Count > 1 {
			n += g.Count - 1
		}
	}
	return min(n, event.MaxPeople)
}

// tellDay puts what the list says of the day into the event.
func (r *reader) tellDay(ids []string) {
	e := r.Build.Event
	for _, set := range []struct {
		to   *string
		text string
	}{{&e.Date, r.Event.Date}, {&e.Title, r.Event.Title}, {&e.TimeZone, r.Event.TimeZone}} {
		if set.text != "" {
			*set.to = set.text
		}
	}
	if r.Honour >= 0 && ids[r.Honour] != "" && len(e.Honour) == 0 {
		e.Honour = []string{ids[r.Honour]}
	}
	if len(r.Event.Blocks) > 0 && len(e.Blocks) == 0 {
		e.Blocks = r.Event.Blocks
	}
	r.withoutDate(&e)
	r.Event = e
}

// renumber counts groupings anew where photographs were dropped, and places people at their lines.
func (r *reader) renumber() {
	at := make(map[string]string)
	n := len(r.Base.Groupings)
	for k, p := range r.Photographs {
		from := photographs.Field("groupings", len(r.Base.Groupings)+k)
		if p.Dropped {
			at[from] = ""
			continue
		}
		at[from] = photographs.Field("groupings", n)
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
	return slices.IndexFunc(r.Build.Event.People, func(p event.Person) bool { return p.ID == id })
}

// coming are all who are in photographs of everybody.
func (r *reader) coming(ids []string) []int {
	var out []int
	for i := range r.Guests {
		if ids[i] != "" && !r.OfOthers(i) {
			out = append(out, r.builtAt(ids[i]))
		}
	}
	return out
}

// people enters the guests into the event and returns their ids; nobody who is struck out or dead.
func (r *reader) people() []string {
	ids := make([]string, len(r.Guests))
	for _, i := range r.Couple {
		if i >= 0 && !r.Guests[i].Base && !r.Guests[i].Never {
			ids[i] = r.Build.ID(r.Build.Add(r.Guests[i].Person))
		}
	}
	sides := r.sides(ids)
	for i := range r.Guests {
		g := &r.Guests[i]
		if g.Base {
			ids[i] = g.ID
			continue
		}
		if g.Half > 0 && ids[i] != "" {
			r.Build.Update(r.builtAt(ids[i]), func(p *event.Person) {
				p.Relation, p.Side = g.Relation, sides[g.Half]
			})
			r.Use(max(1, g.Line), place.Used, photographs.Field("people", r.builtAt(ids[i])))
			continue
		}
		if g.Never || !r.used(i) {
			continue
		}
		p := g.Person
		p.Relation = r.RelationOf(g)
		if p.Side == "" && sides[g.SideOf] != "" {
			p.Side = sides[g.SideOf]
		}
		k := r.Build.Add(p)
		ids[i] = r.Build.ID(k)
		r.Use(max(1, g.Line), place.Used, photographs.Field("people", k))
	}
	return ids
}

// used reports whether somebody belongs into the event: whoever is named; an entry only where a photograph has it.
func (r *reader) used(i int) bool {
	g := &r.Guests[i]
	if !g.Unnamed || g.Half > 0 {
		return true
	}
	return slices.ContainsFunc(r.Photographs, func(p *photographs.Photograph) bool {
		return !p.Dropped && (slices.Contains(p.Set, i) || slices.Contains(p.Each, i))
	})
}

// sides makes a side for each of the couple whose kin the list tells.
func (r *reader) sides(ids []string) [3]string {
	var out [3]string
	if r.Couple[0] < 0 {
		return out
	}
	for h := 1; h <= 2; h++ {
		owner := &r.Guests[r.Couple[h-1]]
		if owner.Base || ids[r.Couple[h-1]] == "" {
			continue
		}
		if !slices.ContainsFunc(r.Guests, func(g people.Guest) bool { return g.SideOf == h && g.Half == 0 && !g.Base }) {
			continue
		}
		out[h] = r.Build.AddSideAs(r.Build.ID(r.builtAt(ids[r.Couple[h-1]])), cmp.Or(r.SideLabels[h], owner.Name+"'s side"))
	}
	return out
}

// keptApart makes rules of who is to be kept apart. Everybody is everybody: who is to be in no photo together is in that
// one, and not side by side.
func (r *reader) keptApart(ids []string) {
	e := &r.Build.Event
	for _, pair := range r.Apart {
		a, b := ids[pair.One], ids[pair.Other]
		if a == "" || b == "" || a == b {
			continue
		}
		rule := event.Rule{Apart: &event.Apart{People: []string{a, b}, Scope: event.Neighbours}}
		if pair.Frame {
			frame := event.Rule{ID: fmt.Sprintf("apart-%d", len(e.Rules)+1), Apart: &event.Apart{People: []string{a, b}, Scope: event.Frame}}
			e.Rules = append(e.Rules, frame)
			all := false
			for k := range e.Groupings {
				if slices.Contains(e.Groupings[k].Members, "everybody") {
					e.Groupings[k].Confirms = append(e.Groupings[k].Confirms, frame.ID)
					all = true
				}
			}
			if !all {
				continue
			}
		}
		e.Rules = append(e.Rules, rule)
	}
}

// eachTitle is the title of the circle of those who are each in a photograph of their own.
func (r *reader) eachTitle(p *photographs.Photograph) string {
	for _, t := range p.Statement.Head.Terms {
		if t.Each || t.Kind == speech.Role || t.Kind == speech.Kin {
			return words.Capitalize(strings.ToLower(t.Text))
		}
	}
	return strings.Join(r.Names(p.Each[:min(3, len(p.Each))]), ", ")
}

// withoutDate moves times of people into notes when the list has no date, which times need.
func (r *reader) withoutDate(e *event.Event) {
	if e.Date != "" {
		return
	}
	if len(e.Blocks) == 1 && len(r.Base.Blocks) == 0 && e.Blocks[0].Opens != "" {
		b := &e.Blocks[0]
		r.Tell(1, 0, event.Warning, place.CodeNotUsed, "", wording.Say("list.timeFromToNeedsADate", b.Opens, b.Closes))
		b.Opens, b.Closes = "", ""
	}
	for i := len(r.Base.People); i < len(e.People); i++ {
		p := &e.People[i]
		if p.PresentFrom == "" && p.PresentUntil == "" {
			continue
		}
		r.Tell(1, 0, event.Warning, place.CodeKeptAsNote, p.Name, wording.Say("list.notThereAllTheTimeAnd", place.Quoted(p.Name)))
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

// gathered are the ids of people, with circles for those whom words stand for.
func (r *reader) gathered(p *photographs.Photograph, set []int, ids []string, couple string) []string {
	circle := make(map[int]string)
	for _, n := range p.Named {
		if !slices.ContainsFunc(n.Guests, func(i int) bool { return !slices.Contains(set, i) || circle[i] != "" || ids[i] == "" }) {
			id := r.Build.Gather(n.Title, r.builtAll(n.Guests, ids))
			for _, i := range n.Guests {
				circle[i] = id
			}
		}
	}
	var out []string
	both := couple != "" && slices.Contains(set, r.Couple[0]) && slices.Contains(set, r.Couple[1])
	for _, i := range set {
		id := ids[i]
		switch {
		case both && r.Guests[i].Half > 0:
			id = couple
		case circle[i] != "":
			id = circle[i]
		}
		if id != "" && !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	return out
}
