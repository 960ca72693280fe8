package prose

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// enterAs takes up whom a term names.
func (r *reader) enterAs(t *term) int {
	i := r.Add(t.name, t.rank)
	if t.kind == person {
		r.Call(i, t.name)
	}
	return i
}

// who returns the person that a term names, who is entered when nobody is known by that name.
func (r *reader) who(t *term) int {
	ids := slices.DeleteFunc(slices.Clone(r.Find(t.name)), func(i int) bool {
		return t.rank != "" && r.Guests[i].Rank != "" && names.Plain(t.rank) != names.Plain(r.Guests[i].Rank) && names.Plain(t.name) == names.Plain(r.Guests[i].Given)
	})
	ids = r.addressed(ids, t)
	if i, ok := r.namesake(t, ids); ok {
		return i
	}
	if len(ids) > 1 {
		ids = r.narrow(ids, t)
	}
	if len(ids) == 1 {
		i := ids[0]
		g := &r.Guests[i]
		if t.rank != "" && g.Name == g.Given && g.Half == 0 && !g.Base && (!r.Formal || r.Line.Part == lines.GuestLine) {
			g.Name, g.Rank = t.rank+" "+g.Given, t.rank
		}
		if len(names.Words(t.name)) > len(names.Words(g.Given)) && !g.Base && g.Half == 0 {
			g.Name = strings.Replace(g.Name, g.Given, t.name, 1)
			g.Given = t.name
			r.Call(i, t.name)
		}
		return i
	}
	if len(ids) > 1 {
		return -1 // asked about where the photograph is read
	}
	if i := r.Longer(t.name); i >= 0 {
		return i
	}
	if i := r.slip(t); i >= 0 {
		return i
	}
	if len(r.Guests) > event.MaxPeople {
		return 0
	}
	return r.enterAs(t)
}

// addressed keeps those whose form of address a term has; "FOG Big Hutch" is not the groom Hutch.
func (r *reader) addressed(ids []int, t *term) []int {
	if t.rank == "" {
		return ids
	}
	same := slices.DeleteFunc(slices.Clone(ids), func(i int) bool { return names.Plain(r.Guests[i].Rank) != names.Plain(t.rank) })
	if len(same) > 0 {
		return same
	}
	return slices.DeleteFunc(slices.Clone(ids), func(i int) bool {
		return r.Guests[i].Half > 0 && t.w.Class == "kin" && t.w.Arg != "partner"
	})
}

// slip finds the one whose name was written with a slip of the keyboard: of a list of guests, else of one who is
// named more often.
func (r *reader) slip(t *term) int {
	_, given := words.Given(names.Plain(t.name))
	if given && !r.Declared || t.rank != "" && !r.Declared || !r.SeenOnce(t.name) || r.Line.Part == lines.GuestLine { // which says itself who is there
		return -1
	}
	m := r.Index.FindAt(t.name, names.Near, func(i int) bool { return !r.Guests[i].Unnamed })
	i, ok := m.One()
	if !ok || m.How != names.Near || !r.Declared && (r.SeenOnce(r.Guests[i].Given) || r.Guests[i].Line == r.Line.Number) {
		return -1
	}
	r.At(t.s, event.Warning, place.CodeReadAs, t.name, wording.Say("list.readAs", place.Quoted(t.name), place.Quoted(r.Guests[i].Name)), r.Guests[i].Name)
	return i
}

// narrow picks among people of one name: by kin and side, or who is called just so.
func (r *reader) narrow(ids []int, t *term) []int {
	if len(ids) > place.MostNamed {
		return ids // of so many none stands out
	}
	exact := slices.DeleteFunc(slices.Clone(ids), func(i int) bool { return names.Plain(r.Guests[i].Given) != names.Plain(t.name) })
	if len(exact) == 1 {
		return exact
	}
	if len(exact) > 1 {
		ids = exact
	}
	if t.w.Class == "kin" {
		fit := slices.DeleteFunc(slices.Clone(ids), func(i int) bool {
			return !slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool { return people.Covers(t.w, x.Word) })
		})
		if len(fit) > 0 {
			return fit
		}
	}
	for _, i := range ids {
		if r.Guests[i].Half > 0 {
			return []int{i}
		}
	}
	return ids
}
