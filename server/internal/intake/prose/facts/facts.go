// Package facts learns from terms who somebody is, gives names to the words of kin and roles that they belong to, and finds
// who is meant by words of kin, and whose kin.
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

// Reader is what is learned of people while a list is read.
type Reader struct {
	speech.Reader
	Saying string // the kin that the current line says first
}

// Described takes kin and roles that follow names in a list of guests as what those are: "Rosa Benali - grandmother",
// "Hadi & Rim - uncle and aunt". What is left are the names.
func (r *Reader) Described(terms []*speech.Term, c *Scope) []*speech.Term {
	if len(terms) < 2 || terms[0].Kind != speech.Person || terms[0].Word.Class != "" {
		return terms
	}
	var named, kin []*speech.Term
	for _, t := range terms {
		switch {
		case t.Kind == speech.Person && len(kin) == 0:
			named = append(named, t)
		case (t.Kind == speech.Kin || t.Kind == speech.Role) && len(t.Names) == 0:
			kin = append(kin, t)
		case t.Kind == speech.Half && len(named) == 1:
			return terms
		default:
			return terms
		}
	}
	for k, t := range kin {
		of := named
		if len(kin) == len(named) && len(kin) > 1 {
			of = named[k : k+1]
		}
		if t.Word.Arg == "family" && t.Owner != nil { // "Amara's side"
			for _, x := range of {
				if r.Who(x) < 0 {
					continue
				}
				if ids, ok := r.OwnedBy(t.Owner, c); ok && len(ids) == 1 && r.Guests[r.Who(x)].Half == 0 {
					r.Guests[r.Who(x)].SideOf = r.Guests[ids[0]].Half
					if r.Line.Part == lines.GuestLine && r.Guests[ids[0]].Half == 0 { // no side without a couple
						r.Describe(r.Who(x), []speech.Attribute{{Class: "note", Text: r.span(t), Start: t.Start, End: t.End}})
					}
				}
			}
			continue
		}
		for _, x := range of {
			i := r.Who(x)
			if i < 0 {
				continue
			}
			r.Describe(i, t.Attrs)
			r.keepWords(i, t)
			inner := *c
			inner.Last = -1
			if t.Kind == speech.Role {
				r.Give(i, t.Word, t.Owner, &inner)
			} else {
				r.Relate(i, t.Word, r.Owners(t, &inner))
			}
		}
	}
	return named
}

// LearnTerms takes terms in their order.
func (r *Reader) LearnTerms(terms []*speech.Term, c *Scope) {
	for k, t := range terms {
		if !r.Effort.Spend(40) {
			return
		}
		r.learnTerm(terms, k, t, c)
	}
}

func (r *Reader) learnTerm(terms []*speech.Term, k int, t *speech.Term, c *Scope) {
	if t.Owner != nil && t.Word.Class == "kin" && t.Word.Arg != "partner" && t.Word.Arg != "child" {
		c.Carry = t.Owner
	}
	if r.ofSeveral(t) {
		t.Kind, t.Text = speech.Label, t.Name
	}
	switch t.Kind {
	case speech.Person:
		if r.HalfNamed(t.Name) > 0 {
			r.passBracket(terms, k, c)
		}
		if i := r.LearnPerson(t, c); i >= 0 && i == r.WriterID() {
			c.Set = append(c.Set, i)
		}
	case speech.Us:
		r.learnUs(t, c)
	case speech.Kin, speech.Role, speech.Label:
		if len(t.Names) > 0 {
			if k > 0 && t.Sep == "." && t.Word.Arg == "child" && len(terms[0].Guests) == 1 {
				c.Last = terms[0].Guests[0] // "Fermín, separado de Pilar. Hijos: ..."
			}
			t.Names = r.described(t.Names, c)
			r.Distribute(targets(terms, k), t.Names, c)
			return
		}
		if namedBehind(terms, k) {
			return
		}
		if t.Kind == speech.Kin && t.Word.Arg != "family" && !t.Word.Plural && c.Definition && r.ownName(t) {
			if t.Guests = r.ResolveKin(t, c); len(t.Guests) != 1 || r.Guests[t.Guests[0]].Unnamed {
				t.Guests = []int{r.Entry(t, r.Owners(t, c))}
			}
		}
		if t.Kind == speech.Kin && len(t.Guests) == 0 && !t.Word.Plural {
			c.nameless = t.Word.Sex
			if ids := r.ResolveKin(t, c); len(ids) == 1 {
				r.Describe(ids[0], t.Attrs)
				c.nameless = 0
				if r.Guests[ids[0]].Half == 0 {
					c.Last = ids[0]
				}
			}
		}
	case speech.Couple, speech.Half:
		r.passBracket(terms, k, c)
	}
}

// ofSeveral reports whether a word that no one is called by stands before a bracket of three people or more: "Officers (Ann Poole, Bob
// Moe, Cleo Ray)".
func (r *Reader) ofSeveral(t *speech.Term) bool {
	if _, given := words.Given(names.Plain(t.Name)); given || t.Kind != speech.Person || t.Word.Class != "" || t.Rank != "" || len(t.Names) < 3 || strings.Contains(t.Name, " ") || !strings.HasSuffix(t.Name, "s") || !r.SeenOnce(t.Name) {
		return false
	}
	return !slices.ContainsFunc(t.Names, func(x *speech.Term) bool {
		return x.Kind != speech.Person || x.Word.Class != "" || speech.HasAge(x)
	})
}

// learnUs keeps who "us three" are, as a bracket, a dash or a colon names them; of "us three kids" the parents are whom the day is
// about.
func (r *Reader) learnUs(t *speech.Term, c *Scope) {
	var ids []int
	for _, x := range t.Names {
		if x.Kind == speech.Person && r.LearnPerson(x, c) >= 0 {
			ids = append(ids, x.Guests[0])
		}
		for _, y := range x.Names { // "me (Ann)"
			if y.Kind == speech.Person && len(x.Guests) == 0 && r.LearnPerson(y, c) >= 0 {
				ids = append(ids, y.Guests[0])
			}
		}
	}
	if len(ids) > 1 && len(ids) == t.Number {
		r.Groups[UsKey(t.Number)] = ids
	}
	if day := r.Principals(); t.Word.Arg == "child" && len(day) > 0 && (r.Honour >= 0 || r.Child == "child") {
		for _, i := range ids {
			r.Relate(i, words.Word{Class: "kin", Arg: "child"}, day)
		}
	}
}

// UsKey is how "us three" is looked up.
func UsKey(n int) string { return "us " + string(rune('0'+n)) }

// described takes the last words of a bracket for what those named before them are: "twins (Oisín & Cian, Niamh's brothers)".
func (r *Reader) described(sub []*speech.Term, c *Scope) []*speech.Term {
	n := len(sub) - 1
	last := sub[n]
	if n < 1 || last.Kind != speech.Kin || last.Owner == nil || last.Owner.Half == 0 && last.Owner.Name == "" || last.Minus || last.Word.Arg == "family" || len(last.Names) > 0 || last.Sep != "," ||
		slices.ContainsFunc(sub[:n], func(x *speech.Term) bool {
			return x.Kind != speech.Person || x.Word.Class != "" || r.HalfNamed(x.Name) > 0
		}) {
		return sub
	}
	for _, x := range sub[:n] {
		if i := r.Who(x); i >= 0 {
			r.Relate(i, last.Word, r.Owners(last, c))
		}
	}
	return sub[:n]
}

// passBracket gives the names in a bracket behind one of the couple to the role or kin before: "bridesmaids with me (Ann,
// Bea)".
func (r *Reader) passBracket(terms []*speech.Term, k int, c *Scope) {
	t := terms[k]
	if len(t.Names) == 0 || k == 0 || !slices.ContainsFunc(t.Names, func(x *speech.Term) bool { return x.Kind == speech.Person }) {
		return
	}
	if ts := targets(terms, k-1); len(ts) > 0 && ts[0].Kind != speech.Couple && len(ts[0].Names) == 0 && (ts[0].Kind == speech.Role || ts[0].Kind == speech.Kin || ts[0].Kind == speech.Label && ts[0].Owner != nil && r.IsHonour(t.Name)) {
		r.Distribute(ts, t.Names, c)
		ts[len(ts)-1].Names, t.Names = t.Names, nil
	}
}

// ownName reports whether a word of kin is used as a name: "Nani", "Granda".
func (r *Reader) ownName(t *speech.Term) bool {
	switch t.Word.Arg {
	case "grandparent", "greatgrandparent", "parent", "aunt":
		return true
	}
	return false
}

// LearnPerson learns whom a term names and what it says of them, and returns the guest, or -1 when several may be meant.
func (r *Reader) LearnPerson(t *speech.Term, c *Scope) int {
	if !r.Again && t.Word.Class == "" && len(r.Find(t.Name)) == 0 && r.SeveralNames(t.Name) { // "Ann Bea", where both are known: two when it is read again
		return -1
	}
	before, said := len(r.Guests), *c
	i := r.Who(t)
	if i < 0 {
		return i
	}
	if len(r.Guests) > before && r.Declared && !c.Definition && t.Word.Class == "" {
		r.At(t.Start, event.Warning, place.CodeAddedPerson, t.Text, wording.Say("list.notInTheListOfGuests", place.Quoted(r.Guests[i].Name)))
	}
	t.Guests = []int{i}
	g := &r.Guests[i]
	switch {
	case t.Word.Arg == "aunt" && t.Owner == nil && slices.ContainsFunc(g.Relations, func(x people.Relation) bool { return x.Word.Arg == "parent" && x.Of >= 0 && r.Guests[x.Of].Half > 0 }):
		// "Rajesh uncle" of a friend's father
	case t.Word.Arg == "child" && t.Owner == nil && t.IsInfant() && c.Last >= 0 && r.Guests[c.Last].AgeBand != event.Adult && r.Guests[c.Last].AgeBand != event.Elder:
		// "Mats 7, Lotta 5, baby Fiete": a child has none, so it is what that child is.
		if of := r.Guests[c.Last].Relations; len(g.Relations) == 0 && len(of) > 0 {
			g.Relations = slices.Clone(of[:1])
		}
	case t.Word.Class == "kin" && (t.Word.Arg != "partner" || c.nameless == 0):
		owners := r.Owners(t, c)
		if r.Relate(i, t.Word, owners); t.Word.Arg == "child" && words.Listed("young", words.Key(t.Word.Text)) && len(owners) == 1 && r.ofAge(owners[0]) && len(t.Names) == 0 {
			r.Describe(i, []speech.Attribute{{Class: "child"}})
		}
	case t.Word.Class == "role":
		r.Give(i, t.Word, t.Owner, c)
	}
	c.nameless = 0
	r.Describe(i, t.Attrs)
	if r.childOf(i) >= 0 {
		c.elders++
	}
	if g.Half == 0 {
		if c.Definition && g.SideOf == 0 && len(c.Default) == 1 {
			g.SideOf = r.Guests[c.Default[0]].Half
		}
		if c.Definition && g.SideOf == 0 && c.Side > 0 {
			g.SideOf = c.Side
		}
		if c.kid = 0; t.Word.Arg == "child" && !t.Word.Plural {
			c.kid = i + 1
		}
		if t.Word.Arg != "partner" && t.Word.Arg != "child" || c.Last < 0 && t.Word.Arg == "partner" {
			c.Last = i
		}
	}
	if r.Guests[i].Half == 0 || c.Definition {
		r.learnNames(i, t, c, &said)
	}
	return i
}

// ofAge reports whether somebody is about as old as the couple, so that their "kids" are some.
func (r *Reader) ofAge(i int) bool {
	return slices.ContainsFunc(r.Guests[i].Relations, func(x people.Relation) bool {
		return x.Word.Arg == "sibling" || x.Word.Arg == "cousin" || x.Word.Arg == "partner" && x.Of >= 0 && r.Guests[x.Of].Half == 0 && slices.ContainsFunc(r.Guests[x.Of].Relations, func(y people.Relation) bool {
			return y.Word.Arg == "sibling" || y.Word.Arg == "cousin"
		})
	})
}

// learnNames learns what stands in brackets behind the name of a guest: a partner, children, what they are. before is what was said
// before that name: "Ida, Karl (her husband)".
func (r *Reader) learnNames(i int, t *speech.Term, c, before *Scope) {
	inner := &Scope{Last: i, Side: c.Side, Definition: c.Definition}
	if r.Guests[i].Half > 0 {
		inner.Default = []int{i} // "Ann (mum Ida, dad Karl)"
	}
	for k, x := range t.Names {
		r.keepWords(i, x)
		switch {
		case x.Kind == speech.Person && x.Word.Class == "kin" && slices.Contains(r.Find(x.Name), i): // a letter: "M (her mum Rita)"
			r.Describe(i, x.Attrs)
			r.Relate(i, x.Word, r.Owners(x, c))
		case k == 0 && x.Kind == speech.Person && x.Word.Class == "" && len(t.Names) > 1 && tellsWho(t.Names[1]) && len(r.Find(x.Name)) == 0: // "Biji (Surjit Kaur, our grandmother)"
			r.Call(i, x.Name)
			r.Describe(i, x.Attrs)
		case r.Line.Part == lines.GuestLine && x.Kind == speech.Person && words.Cased(x.Name) != words.Cased(t.Name): // "Samir Haddad (سمير)"
			r.Describe(i, []speech.Attribute{{Class: "nick", Text: x.Name}})
		case x.Kind == speech.Person && x.Word.Class == "" && !x.Minus && (t.Word.Arg == "grandparent" && !strings.Contains(t.Name, " ") || r.shortOf(x.Name, i)) && len(t.Names) == 1 && (len(r.Find(x.Name)) == 0 || slices.Equal(r.Find(x.Name), []int{i})):
			r.Call(i, x.Name) // "Granny Coombe (Enid, 88)", "Margarethe (Gretl)"
			r.Describe(i, x.Attrs)
		case x.Kind == speech.Person && x.Word.Class == "" && !x.Minus:
			x.Word = words.Word{Class: "kin", Arg: "partner"}
			r.LearnPerson(x, inner)
			inner.Last = i
		case x.Kind == speech.Person:
			r.LearnPerson(x, inner)
		case x.Kind == speech.Kin && t.Word.Class == "" && x.Owner == nil && !x.Word.Plural && x.Word.Arg != "partner" && x.Word.Arg != "child":
			r.Relate(i, x.Word, r.Owners(x, c))
		case x.Kind == speech.Kin && x.Owner != nil && !x.Word.Plural:
			r.Describe(i, slices.DeleteFunc(slices.Clone(x.Attrs), func(a speech.Attribute) bool { return a.Class == "dead" })) // "our late Papa's brother"
			of := c
			if x.Word.Arg == "partner" && x.Owner.Pronoun != "" {
				of = before
			}
			if ids, ok := r.OwnedBy(x.Owner, of); ok {
				r.Relate(i, x.Word, r.asSibling(ids, x))
			}
		case x.Kind == speech.Role && !x.Word.Plural:
			r.Give(i, x.Word, x.Owner, c)
		}
	}
}

// shortOf reports whether a name may be what the one before its bracket is called too: both begin alike, or the short one is in the
// other, and they are not of a woman and a man.
func (r *Reader) shortOf(name string, i int) bool {
	short, long := names.Plain(name), names.Plain(r.Guests[i].Given)
	one, two := people.SexOf(short), people.SexOf(long)
	n := len([]rune(short))
	return n > 1 && !strings.Contains(short, " ") && (one == two || one == 0 || two == 0) && !words.IsHan(name) && words.Cased(name) &&
		(strings.HasPrefix(long, string([]rune(short)[:min(n, 3)])) || n > 2 && strings.Contains(long, string([]rune(short)[:3])) || n > 3 && strings.Contains(long, string([]rune(short)[1:4])))
}

// tellsWho reports whether words of a bracket say what the one before is to others: "our grandmother", "Otto's mum".
func tellsWho(t *speech.Term) bool {
	return t.Kind == speech.Kin && t.Owner != nil && !t.Word.Plural && t.Sep == "," && len(t.Names) == 0 && t.Word.Arg != "partner" && t.Word.Arg != "child"
}

// Give gives somebody a role, on the side that is said or usual for it.
func (r *Reader) Give(i int, w words.Word, o *speech.Owner, c *Scope) {
	side := 0
	if o != nil {
		if ids, ok := r.OwnedBy(o, c); ok && len(ids) == 1 {
			side = r.Guests[ids[0]].Half
		}
	}
	if side == 0 {
		if side = c.subject(); side == 0 && w.Side != 0 {
			side = r.HalfOf(w.Side)
		}
	}
	g := &r.Guests[i]
	h := people.Held{Arg: w.Arg, Text: names.Plain(w.Text), Side: side}
	if w.Plural && (w.Sex == 0 || w.Sex == g.Sex) {
		h.One = words.Singular(w, g.Sex)
	}
	if !slices.Contains(g.Roles, h) {
		g.Roles = append(g.Roles, h)
	}
	if w.Arg == "flowergirl" || w.Arg == "bearer" {
		if g.AgeBand == event.Adult && !g.Base {
			g.AgeBand = event.Child
		}
	}
	if g.Sex == 0 {
		g.Sex = w.Sex
	}
}
