package facts

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/place"
	"kinorder.example/server/internal/intake/prose/lines"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
	"kinorder.example/server/internal/wording"
)

// enterAs takes up whom a term names.
func (r *Reader) enterAs(t *speech.Term) int {
	i := r.Add(t.Name, t.Rank)
	switch {
	case t.Kind != speech.Person:
	case t.Rank != "" && r.HalfNamed(t.Name) > 0: // "Chief Okafor", of whose last name one of the couple is
		r.CallLast(i, t.Name)
	default:
		r.Call(i, t.Name)
	}
	return i
}

// Who returns the person that a term names, who is entered when nobody is known by that name.
func (r *Reader) Who(t *speech.Term) int {
	ids := slices.DeleteFunc(slices.Clone(r.Find(t.Name)), func(i int) bool {
		return t.Rank != "" && r.Guests[i].Rank != "" && names.Plain(t.Rank) != names.Plain(r.Guests[i].Rank) && names.Plain(t.Name) == names.Plain(r.Guests[i].Given)
	})
	ids = r.addressed(ids, t)
	if i, ok := r.namesake(t, ids); ok {
		return i
	}
	if len(ids) > 1 {
		ids = r.Narrow(ids, t)
	}
	if len(ids) == 1 {
		i := ids[0]
		g := &r.Guests[i]
		if t.Rank != "" && g.Name == g.Given && g.Half == 0 && !g.Base && (!r.Formal || r.Line.Part == lines.GuestLine) {
			g.Name, g.Rank = people.Ranked(t.Rank, g.Given), t.Rank
		}
		if len(names.Words(t.Name)) > len(names.Words(g.Given)) && !g.Base && g.Half == 0 {
			g.Name = strings.Replace(g.Name, g.Given, t.Name, 1)
			g.Given = t.Name
			r.Call(i, t.Name)
		}
		return i
	}
	if len(ids) > 1 {
		return -1 // asked about where the photograph is read
	}
	if i := r.Longer(t.Name); i >= 0 {
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
func (r *Reader) addressed(ids []int, t *speech.Term) []int {
	if t.Rank == "" {
		return ids
	}
	same := slices.DeleteFunc(slices.Clone(ids), func(i int) bool { return names.Plain(r.Guests[i].Rank) != names.Plain(t.Rank) })
	if len(same) > 0 {
		return same
	}
	return slices.DeleteFunc(slices.Clone(ids), func(i int) bool { // "Chief Okafor", where the groom is Chidi Okafor
		given := names.Words(r.Guests[i].Given)
		if t.Word.Arg == "grandparent" && len(given) > 1 && strings.HasPrefix(given[len(given)-1], "j") && words.Listed("junior", given[len(given)-1]) { // "Grandpa Kofi", where there is Kofi Jr
			return true
		}
		last := !strings.HasPrefix(names.Plain(r.Guests[i].Given)+" ", names.Plain(t.Name)+" ")
		return last && r.Guests[i].Rank != "" || r.Guests[i].Half > 0 && (last || t.Word.Class == "kin" && t.Word.Arg != "partner")
	})
}

// slip finds the one whose name was written with a slip of the keyboard: of a list of guests, else of one who is
// named more often.
func (r *Reader) slip(t *speech.Term) int {
	_, given := words.Given(names.Plain(t.Name))
	if given && (!r.Declared || r.otherLetter(t.Name)) || t.Rank != "" && !r.Declared || !r.SeenOnce(t.Name) || r.Line.Part == lines.GuestLine { // which says itself who is there
		return -1
	}
	m := r.Index.FindAt(t.Name, names.Near, func(i int) bool { return !r.Guests[i].Unnamed })
	i, ok := m.One()
	if ok && t.Word.Class == "kin" && len(r.Guests[i].Relations) > 0 && !slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool { return people.Covers(t.Word, x.Word) || people.Covers(x.Word, t.Word) }) {
		return -1 // "cousins Ann and Noam", where there is Grandpa Norm
	}
	if !ok || strings.Contains(names.Plain(r.Line.Text), names.Plain(r.Guests[i].Given)) || m.How != names.Near || !r.Declared && (r.SeenOnce(r.Guests[i].Given) || r.Guests[i].Line == r.Line.Number) {
		return -1
	}
	r.At(t.Start, event.Warning, place.CodeReadAs, t.Name, wording.Say("list.readAs", place.Quoted(t.Name), place.Quoted(r.Guests[i].Name)), r.Guests[i].Name)
	return i
}

// otherLetter reports whether nobody is called by a name of the same first letter, which slips leave alone: Bill is not Will.
func (r *Reader) otherLetter(name string) bool {
	first := func(s string) string { return string([]rune(names.Plain(s) + " ")[:1]) }
	i, ok := r.Index.FindAt(name, names.Near, func(i int) bool { return !r.Guests[i].Unnamed }).One()
	return !ok || first(r.Guests[i].Given) != first(name)
}

// Narrow picks among people of one name: by kin and side, or who is called just so.
func (r *Reader) Narrow(ids []int, t *speech.Term) []int {
	if len(ids) > place.MostNamed {
		return ids // of so many none stands out
	}
	exact := slices.DeleteFunc(slices.Clone(ids), func(i int) bool { return names.Plain(r.Guests[i].Given) != names.Plain(t.Name) })
	if len(exact) == 1 {
		return exact
	}
	if len(exact) > 1 {
		ids = exact
	}
	if t.Word.Class == "kin" {
		fit := slices.DeleteFunc(slices.Clone(ids), func(i int) bool {
			return !slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool { return people.Covers(t.Word, x.Word) })
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

// namesake finds whom a line of guests means among those of one name: whoever is that kin, else somebody new.
func (r *Reader) namesake(t *speech.Term, ids []int) (int, bool) {
	if r.Line.Part != lines.GuestLine || r.Saying == "" || len(ids) == 0 {
		return 0, false
	}
	for _, i := range ids {
		g := &r.Guests[i]
		if g.Base || g.Half > 0 || len(g.Relations) == 0 || g.Line == r.Line.Number || names.Plain(g.Given) != names.Plain(t.Name) || g.Relations[0].Word.Arg == r.Saying {
			return i, g.Line == r.Line.Number || len(ids) > 1 && len(g.Relations) > 0 && g.Relations[0].Word.Arg == r.Saying
		}
	}
	return r.enterAs(t), true
}

// Doubtful reports whether a word is taken for a person that nothing says to be one: it stands once in the list, is no name that is
// often given, and no kin, role or form of address stands with it.
func (r *Reader) Doubtful(t *speech.Term) bool {
	key := names.Plain(t.Name)
	_, given := words.Given(key)
	if t.Kind != speech.Person || given || t.Word.Class != "" || t.Rank != "" || len(t.Names) > 0 || strings.Contains(key, " ") || !words.Cased(key) || !r.SeenOnce(t.Name) || r.Declared {
		return false
	}
	return !slices.ContainsFunc(r.Find(t.Name), func(i int) bool {
		g := &r.Guests[i]
		return g.Base || g.Half > 0 || names.Plain(g.Given) != key || i == r.WriterID()
	})
}
