package people

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

// Cast is what was changed of a photo: who is in it, over what its line says, or that it is Gone. ID and Title are those of
// the list; In and Out are labels.
type Cast struct {
	ID, Title string
	In, Out   []string `json:",omitempty"`
	Gone      bool     `json:",omitempty"`
}

// label is somebody's id with what they are called, so that what was decided can be told without the list.
func label(p event.Person) string { return p.ID + "/" + firstOf(p.Name, p.ID) }

func idIn(label string) string   { id, _, _ := strings.Cut(label, "/"); return id }
func nameIn(label string) string { _, name, _ := strings.Cut(label, "/"); return name }

// castField carries all that was changed. The fields of a photo that is open begin with inIt.
const castField, inIt = "casts", "photo.of."

// recast takes what somebody changed of the photo that is open, and what a button says of one.
func (o *Over) recast(p fields.Posted) {
	c := Cast{ID: p.Line(inIt + "id"), Title: p.Line(inIt + "title")}
	act, id, _ := strings.Cut(p.Line("act"), ":")
	at := slices.IndexFunc(o.Casts, func(x Cast) bool { return x.ID == firstOf(c.ID, id) })
	if at >= 0 {
		c = o.Casts[at]
	}
	for name := range p.Values {
		if who, ok := strings.CutPrefix(name, inIt+"was."); ok && !p.Has(inIt+"in."+idIn(who)) && !slices.Contains(c.Out, who) {
			c.Out, c.In = append(c.Out, who), slices.DeleteFunc(c.In, func(x string) bool { return x == who })
		}
	}
	if who := p.Line(inIt + "add"); who != "" && !slices.Contains(c.In, who) {
		c.In, c.Out = append(c.In, who), slices.DeleteFunc(c.Out, func(x string) bool { return x == who })
	}
	slices.Sort(c.Out)
	if c.Gone = c.Gone || act == "photo-gone" && id == c.ID; at >= 0 {
		o.Casts = slices.Delete(slices.Clone(o.Casts), at, at+1)
	}
	if c.ID != "" && len(c.In)+len(c.Out) > 0 || c.Gone {
		o.Casts = append(o.Casts, c)
	}
	if act == "photo-listed" {
		o.Casts = slices.DeleteFunc(o.Casts, func(x Cast) bool { return x.ID == id })
	}
}

// Settle puts into an event who is in its photos, and takes out of it whoever and whatever is gone. It returns the lines of
// the list with the places that are left, and comes after all that goes by places or names of the list.
func (o Over) Settle(e *event.Event, lines []intake.Line) []intake.Line {
	gone := o.cast(e)
	o.miss(e)
	ids := map[string]string{}
	end := func(id string) string { // whoever stays at the end of a row
		for to, ok := ids[id]; ok; to, ok = ids[id] {
			id = to
		}
		return id
	}
	for _, m := range o.People {
		if to := idIn(m.Fields["same"]); at(e, m.ID) >= 0 && at(e, to) >= 0 && end(to) != m.ID { // a ring would leave nobody
			ids[m.ID] = to
		} else if at(e, m.ID) >= 0 && m.Fields["gone"] != "" {
			ids[m.ID] = ""
		}
	}
	for id := range ids {
		ids[id] = end(id)
	}
	if len(gone)+len(ids) == 0 {
		return lines
	}
	stand(e, ids)
	lost := map[string]bool{}
	for k := range e.Groupings {
		lost[event.GroupingID(e, k)] = slices.Contains(gone, k)
	}
	people, photos := make([]int, len(e.People)), make([]int, len(e.Groupings)) // where they are from now on
	e.People = left(e.People, people, func(k int) bool { _, out := ids[e.People[k].ID]; return out })
	e.Groupings = left(e.Groupings, photos, func(k int) bool { return slices.Contains(gone, k) })
	for k := range e.Groupings {
		e.Groupings[k].After = slices.DeleteFunc(slices.Clone(e.Groupings[k].After), func(id string) bool { return lost[id] })
	}
	e.LeftOut = slices.DeleteFunc(slices.Clone(e.LeftOut), func(id string) bool { return lost[id] })
	e.Order = slices.DeleteFunc(slices.Clone(e.Order), func(h event.HandPlace) bool { return lost[h.Grouping] })
	lines = slices.Clone(lines)
	for i, l := range lines {
		lines[i].Fields = nil
		for _, f := range l.Fields {
			if f = moved(moved(f, "people", people), "groupings", photos); f != "" {
				lines[i].Fields = append(lines[i].Fields, f)
			}
		}
	}
	return lines
}

// miss has no photo called after somebody who was put down as not coming.
func (o Over) miss(e *event.Event) {
	for _, m := range o.People {
		k := at(e, m.ID)
		if k < 0 || m.Fields["absent"] == "" {
			continue
		}
		e.Groupings = slices.Clone(e.Groupings)
		for i := range e.Groupings {
			if g := &e.Groupings[i]; slices.Contains(g.Members, m.ID) && len(g.Members) > 1 {
				untitle(g, e.People[k].Name)
			}
		}
	}
}

// left leaves what is not out, and says where each is from now on, -1 for nowhere.
func left[T any](list []T, at []int, out func(int) bool) []T {
	var kept []T
	for k, x := range list {
		if at[k] = -1; !out(k) {
			at[k] = len(kept)
			kept = append(kept, x)
		}
	}
	return kept
}

// moved is a place in an event where it is from now on; empty where it is gone.
func moved(field, of string, at []int) string {
	var k int
	if n, _ := fmt.Sscanf(field, of+"[%d]", &k); n != 1 || k >= len(at) {
		return field
	}
	if at[k] < 0 {
		return ""
	}
	_, rest, _ := strings.Cut(field, "]")
	return fmt.Sprintf("%s[%d]%s", of, at[k], rest)
}

// cast puts people into photos and takes them out, and says which photos are gone.
func (o Over) cast(e *event.Event) (gone []int) {
	if len(o.Casts) == 0 {
		return nil
	}
	e.Groupings = slices.Clone(e.Groupings)
	index := event.NewIndex(e)
	for _, c := range o.Casts {
		k := c.find(e)
		if k < 0 {
			continue
		}
		if c.Gone {
			gone = append(gone, k)
			continue
		}
		g := &e.Groupings[k]
		g.Members, g.Without = slices.Clone(g.Members), slices.Clone(g.Without)
		in := func(id string) bool {
			return slices.ContainsFunc(index.PeopleOf(append(slices.Clone(g.Members), g.EachOf)...), func(p int) bool { return e.People[p].ID == id })
		}
		for _, who := range c.Out {
			is := func(id string) bool { return id == idIn(who) }
			if g.Members = slices.DeleteFunc(g.Members, is); in(idIn(who)) && !slices.ContainsFunc(g.Without, is) {
				g.Without = append(g.Without, idIn(who))
			}
			untitle(g, nameIn(who))
		}
		for _, who := range c.In {
			id := idIn(who)
			if g.Without = slices.DeleteFunc(g.Without, func(x string) bool { return x == id }); len(index.Of(id)) > 0 && !in(id) {
				g.Members = append(g.Members, id)
			}
		}
	}
	return gone
}

// untitle takes the title off a photo that names somebody who is not in it.
func untitle(g *event.Grouping, name string) {
	given, _, _ := strings.Cut(name, " ")
	if slices.Contains(strings.FieldsFunc(g.Title, func(r rune) bool { return !unicode.IsLetter(r) }), given) {
		g.Title = ""
	}
}

// find finds a photo in an event, -1 where it is not there any more.
func (c Cast) find(e *event.Event) int {
	for k := range e.Groupings {
		if event.GroupingID(e, k) == c.ID {
			return k
		}
	}
	return slices.IndexFunc(e.Groupings, func(g event.Grouping) bool { return g.Title == c.Title && c.Title != "" })
}

// stand has others stand where some stood, or nobody.
func stand(e *event.Event, ids map[string]string) {
	fix := func(list []string) []string {
		var out []string
		for _, id := range list {
			if to, ok := ids[id]; ok {
				id = to
			}
			if id != "" && !slices.Contains(out, id) {
				out = append(out, id)
			}
		}
		return out
	}
	for _, from := range slices.Sorted(maps.Keys(ids)) { // what several say is taken of the first
		a, b := at(e, from), at(e, ids[from])
		if a >= 0 && b >= 0 {
			p, q := e.People[a], &e.People[b]
			q.Relation, q.Side, q.SayAs = firstOf(q.Relation, p.Relation), firstOf(q.Side, p.Side), firstOf(q.SayAs, p.SayAs)
			if q.AgeBand == event.Adult {
				q.AgeBand = p.AgeBand
			}
			q.Needs = append(slices.Clone(q.Needs), p.Needs...)
			slices.Sort(q.Needs)
			q.Needs = slices.Compact(q.Needs)
		}
	}
	ids = maps.Clone(ids)
	e.Circles = slices.Clone(e.Circles)
	for k := range e.Circles {
		c := &e.Circles[k]
		had := len(c.Members)
		if c.Members = fix(c.Members); had > 0 && len(c.Members) == 0 {
			ids[c.ID] = ""
		}
		c.Leader = strings.Join(fix([]string{c.Leader}), "")
	}
	e.Circles = slices.DeleteFunc(e.Circles, func(c event.Circle) bool { _, out := ids[c.ID]; return out })
	e.Groupings, e.Rules, e.Honour = slices.Clone(e.Groupings), slices.Clone(e.Rules), fix(e.Honour)
	for k := range e.Groupings {
		g := &e.Groupings[k]
		g.Members, g.Without, g.EachOf = fix(g.Members), fix(g.Without), strings.Join(fix([]string{g.EachOf}), "")
	}
	for k := range e.People {
		e.People[k].Interpreter = strings.Join(fix([]string{e.People[k].Interpreter}), "")
	}
	e.Rules = slices.DeleteFunc(e.Rules, func(r event.Rule) bool {
		who := 0
		for _, list := range people(&r) {
			*list = fix(*list)
			who += len(*list)
		}
		return who < 2
	})
}

// people are the lists of a rule, which becomes one of its own.
func people(r *event.Rule) []*[]string {
	switch {
	case r.Apart != nil:
		x := *r.Apart
		r.Apart = &x
		return []*[]string{&x.People}
	case r.Turns != nil:
		x := *r.Turns
		r.Turns = &x
		return []*[]string{&x.People}
	case r.Seniority != nil:
		x := *r.Seniority
		r.Seniority = &x
		return []*[]string{&x.People}
	}
	return nil
}

// at is where somebody is in an event, -1 for nowhere.
func at(e *event.Event, id string) int {
	return slices.IndexFunc(e.People, func(p event.Person) bool { return p.ID == id })
}

// told writes what was changed of a photo.
func (c Cast) told(w *wording.Catalogue) string {
	var parts []string
	if c.Gone {
		parts = append(parts, w.Say("page.removed"))
	}
	for _, who := range c.In {
		parts = append(parts, "+ "+nameIn(who))
	}
	for _, who := range c.Out {
		parts = append(parts, "− "+nameIn(who))
	}
	return strings.Join(parts, w.Say("sheet.listSeparator"))
}

// Casting are the fields of the photo that is open.
type Casting struct {
	ID, Title string
	Hidden    []fields.Hidden
	Ticks     []Tick
	Others    []Option
	Changed   bool
	Theirs    bool // it is on the page of the couple, who take none off
}

// CastingOf are they: who is in it is ticked, and somebody else can be chosen.
func CastingOf(e *event.Event, k int, changed bool) *Casting {
	g, index := e.Groupings[k], event.NewIndex(e)
	v := &Casting{ID: event.GroupingID(e, k), Title: g.Title, Changed: changed}
	v.Hidden = []fields.Hidden{{Name: inIt + "id", Value: v.ID}, {Name: inIt + "title", Value: g.Title}}
	in, without := index.PeopleOf(append(slices.Clone(g.Members), g.EachOf)...), index.PeopleOf(g.Without...)
	for k, p := range e.People {
		name := firstOf(p.Name, p.ID)
		if slices.Contains(in, k) && !slices.Contains(without, k) {
			v.Hidden = append(v.Hidden, fields.Hidden{Name: inIt + "was." + label(p), Value: "1"})
			v.Ticks = append(v.Ticks, Tick{inIt + "in." + p.ID, name, true})
			continue
		}
		v.Others = append(v.Others, Option{Value: label(p), Text: firstOf(strings.Join([]string{name, p.Relation}, " · "))})
	}
	return v
}
