package facts

import (
	"cmp"
	"slices"
	"strings"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/speech"
	"kinorder.example/server/internal/intake/prose/words"
)

// targets are the words that a bracket after terms[k] names: it and those right before without names of their own.
func targets(terms []*speech.Term, k int) []*speech.Term {
	from := k
	for from > 0 && terms[from].Sep != "" && terms[from].Sep != ";" {
		t := terms[from-1]
		if t.Kind != speech.Kin && t.Kind != speech.Role || len(t.Names) > 0 || t.Minus || terms[from].Word.Arg == "family" && terms[from].Sep != " " || speech.Elder(t.Word.Arg) && descends(terms[from].Word.Arg) {
			break
		}
		from--
		if terms[from].Sep == " " {
			continue
		}
	}
	return terms[from : k+1]
}

// namedBehind reports whether the names in a bracket behind other words are also those of terms[k]: "Grandma & Grandpa Poole (Vi,
// Ted)".
func namedBehind(terms []*speech.Term, k int) bool {
	for j := k + 1; j < len(terms) && len(terms[k].Names) == 0; j++ {
		if len(terms[j].Names) > 0 {
			return (terms[j].Kind == speech.Kin || terms[j].Kind == speech.Role) && slices.Contains(targets(terms, j), terms[k])
		}
	}
	return false
}

// descends reports whether kin is younger than those whose kin it is: "grandparents with the grandchildren (Ava, Jude)".
func descends(arg string) bool { return arg == "grandchild" || arg == "child" || arg == "niece" }

// Distribute says of people in brackets what the words before are: "Mom and Step Dad (Peg, Russ)".
func (r *Reader) Distribute(targets []*speech.Term, sub []*speech.Term, c *Scope) {
	if r.twoByTwo(targets, sub, c) || r.joinedTo(targets, sub, c) || r.setBySet(targets, sub, c) {
		return
	}
	var free []*speech.Term // without kin of their own
	t := targets[len(targets)-1]
	r.parentsFirst(t, sub, c)
	inner := *c
	inner.Carry, inner.Last = nil, -1
	owners := r.Owners(t, c)
	if inner.Default = owners; t.Owner != nil && t.Word.Arg == "family" && t.Owner.Name != "" && len(owners) != 1 { // kin of all of a last name is that of the side
		inner.Default = nil
	} else {
		inner.Carry = t.Owner
	}
	defer func() {
		if !t.Word.Plural && len(free) == 1 && len(free[0].Guests) > 0 && r.Guests[free[0].Guests[0]].Half == 0 {
			c.Last = free[0].Guests[0]
		}
	}()
	commas := slices.ContainsFunc(sub, func(x *speech.Term) bool { return x.Sep == "," })
	for k, x := range sub {
		if x.Minus && t.Word.Arg == "partner" {
			continue // "spouses (not Rob)"
		}
		if x.Kind == speech.Kin && (namedBehind(sub, k) || k > 0 && namedBehind(sub[:k+1], k-1)) {
			if len(x.Names) > 0 {
				r.learnTerm(sub, k, x, &inner)
			}
			continue
		}
		if x.Kind == speech.Person && x.Sep == "+" && commas && len(free) > 0 && t.Word.Arg == "sibling" && x.Word.Class == "" {
			x.Word = words.Word{Class: "kin", Arg: "partner"}
			r.LearnPerson(x, &inner)
			continue
		}
		free = append(free, r.learnAs(t, x, owners, &inner)...)
	}
	if t.Word.Arg == "attendant" {
		r.pairUp(sub)
	}
	if t.Word.Arg == "parent" && t.Word.Plural && t.Word.Sex == 0 && len(free) == 2 && len(free[0].Guests)+len(free[1].Guests) == 2 {
		r.twoSexes(&r.Guests[free[0].Guests[0]], &r.Guests[free[1].Guests[0]])
	}
	r.inTheirOrder(t, free)
	r.alreadyKnown(t, free, owners)
	r.share(targets, free, c)
	if t.Kind == speech.Kin && !t.Word.Plural && len(free) == 1 && len(targets) == 1 {
		r.Describe(free[0].Guests[0], t.Attrs)
	}
}

// parentsFirst takes two without kin, before brothers and sisters of the immediate family of one, for the parents: "Noor immediate: Dr.
// Ada Noor, Mr. Bo Noor, brother Max".
func (r *Reader) parentsFirst(t *speech.Term, sub []*speech.Term, c *Scope) {
	owners := r.Owners(t, c)
	if t.Word.Arg != "family" || t.Close != 'i' || len(owners) != 1 || len(sub) < 3 || len(r.KinOf(owners[0], words.Word{Arg: "parent"}, 0)) > 0 {
		return
	}
	for k, x := range sub {
		if x.Kind != speech.Person || (x.Word.Class == "") != (k < 2) || k > 1 && x.Word.Arg != "sibling" {
			return
		}
	}
	for _, x := range sub[:2] {
		x.Word = words.Word{Class: "kin", Arg: "parent", Text: "parent"}
	}
}

// learnAs learns one term of a bracket behind the words t, and returns the people who are what these say.
func (r *Reader) learnAs(t, x *speech.Term, owners []int, inner *Scope) []*speech.Term {
	switch {
	case x.Kind == speech.Person && x.Word.Arg != "partner" && x.Word.Arg != "child" && (t.Word.Arg != "family" || x.Word.Class == ""):
		if speech.Elder(x.Word.Arg) && speech.Elder(t.Word.Arg) {
			x.Word.Arg = t.Word.Arg
		}
		i := r.Who(x)
		if i < 0 {
			return nil
		}
		x.Guests = []int{i}
		r.Describe(x.Guests[0], x.Attrs)
		if x.Word.Class == "kin" {
			of, beside := owners, *inner
			beside.Last = -1 // "both sets of parents (my dad Gil, my mum Rita)"
			if ids, ok := r.OwnedBy(cmp.Or(x.Owner, &speech.Owner{}), &beside); ok {
				of = ids
			}
			r.Relate(x.Guests[0], x.Word, of)
		}
		if x.Word.Class == "role" {
			r.Give(i, x.Word, x.Owner, inner)
		}
		inner.Last = x.Guests[0]
		if r.learnSub(x, inner); x.Word.Arg == "sibling" && t.Word.Arg == "parent" {
			return nil // "mum = Rita, sister Zoe"
		}
		return []*speech.Term{x}
	case x.Kind == speech.Label && len(x.Names) == 0 && t.Word.Arg == "godparent" && t.Word.Plural: // "padrinos: Ann; Fam. Poole; Joe"
		r.Relate(r.Entry(x, nil), t.Word, owners)
	case x.Kind == speech.Person:
		r.LearnPerson(x, inner)
		if t.Kind == speech.Role || t.Kind == speech.Label {
			return []*speech.Term{x}
		} else if t.Word.Arg == "godparent" && t.Word.Plural && len(x.Guests) > 0 { // "sponsors: Karen and her husband Iván"
			r.Relate(x.Guests[0], t.Word, owners)
		}
	case nameIn(x): // "Grandparents: Nan (Iris)"
		y := x.Names[0]
		if y.Word = x.Word; r.LearnPerson(y, inner) >= 0 {
			return []*speech.Term{y}
		}
	case x.Kind == speech.Kin && !x.Word.Plural && (x.Word.Arg == t.Word.Arg || x.Owner == nil && speech.Elder(x.Word.Arg) && speech.Elder(t.Word.Arg)):
		x.Word.Arg = t.Word.Arg
		x.Guests = []int{r.Entry(x, owners)}
		r.Describe(x.Guests[0], x.Attrs)
		return []*speech.Term{x}
	case len(x.Names) > 0:
		r.learnTerm([]*speech.Term{x}, 0, x, inner)
		if t.Kind == speech.Label || t.Kind == speech.Role {
			return x.Names
		}
	case x.Kind == speech.Kin && !x.Word.Plural:
		if beside := *inner; len(r.ResolveKin(x, &beside)) == 0 {
			inner.nameless = x.Word.Sex
		}
	}
	return nil
}

// twoByTwo takes "siblings with partners (Ana & Leo, Joe & Kit)": each with theirs.
func (r *Reader) twoByTwo(targets []*speech.Term, sub []*speech.Term, c *Scope) bool {
	n := len(targets)
	if n < 2 || targets[n-1].Word.Arg != "partner" || !targets[n-1].Word.Plural {
		return false
	}
	var all [][]*speech.Term // of one, or two joined
	two := false
	for _, x := range sub {
		switch {
		case x.Kind != speech.Person || x.Word.Class != "":
			return false
		case len(all) == 0 || x.Sep == "," || x.Sep == ";":
			all = append(all, []*speech.Term{x})
		case len(all[len(all)-1]) == 2:
			return false
		default:
			all[len(all)-1], two = append(all[len(all)-1], x), true
		}
	}
	if !two {
		return false
	}
	kin := targets[n-2]
	owners := r.Owners(kin, c)
	for _, two := range all {
		i := r.Who(two[0])
		if i < 0 {
			continue
		}
		two[0].Guests = []int{i}
		r.Describe(i, two[0].Attrs)
		if kin.Kind == speech.Role {
			r.Give(i, kin.Word, kin.Owner, c)
		} else {
			r.RelateAs(two[0], kin, owners)
		}
		if len(two) > 1 {
			two[1].Word = words.Word{Class: "kin", Arg: "partner"}
			r.LearnPerson(two[1], &Scope{Last: i})
		}
	}
	return true
}

// joinedTo takes "children and their spouses: Ifeoma (Chidi), Tunde (Ada)" where the list knows Chidi and Ada as the
// children: each is the partner of whom the bracket names.
func (r *Reader) joinedTo(targets []*speech.Term, sub []*speech.Term, c *Scope) bool {
	inner := *c
	known := r.ResolveKin(targets[len(targets)-1], &inner)
	for _, x := range sub {
		if len(sub) < 2 || x.Kind != speech.Person || x.Word.Class != "" || len(x.Names) != 1 || len(r.Find(x.Names[0].Name)) != 1 || !slices.Contains(known, r.Find(x.Names[0].Name)[0]) || slices.ContainsFunc(r.Find(x.Name), func(i int) bool { return slices.Contains(known, i) }) {
			return false
		}
	}
	for _, x := range sub {
		x.Word = words.Word{Class: "kin", Arg: "partner"}
		x.Names[0].Word = words.Word{}
		r.LearnPerson(&speech.Term{Kind: speech.Person, Name: x.Name, Rank: x.Rank, Word: x.Word, Attrs: x.Attrs}, &Scope{Last: r.Find(x.Names[0].Name)[0]})
	}
	targets[len(targets)-1].Names = nil // all the children, and their spouses
	return true
}

// setBySet takes "both sets of parents (Ann, Bob + Cleo, Dan)" for the parents of one of the couple and those of the other, in
// the order of the couple unless the list says of one of them whose side they are on.
func (r *Reader) setBySet(targets []*speech.Term, sub []*speech.Term, c *Scope) bool {
	t := targets[len(targets)-1]
	if len(targets) > 1 || t.Kind != speech.Kin || t.Word.Arg != "parent" || !t.Word.Plural || r.Couple[0] < 0 || !slices.Equal(r.Owners(t, c), r.Couple[:]) {
		return false
	}
	sets := twoSets(sub)
	if len(sub) == 2 && sub[1].Sep == "/" && t.Word.Sex != 0 { // "both dads (Ben / Dan)"
		sets = [][]*speech.Term{sub[:1], sub[1:]}
	}
	first := 0
	for k, set := range sets {
		for _, x := range set {
			i := r.Who(x)
			if i < 0 || x.Kind != speech.Person || x.Word.Class != "" || r.Guests[i].Half > 0 || x.Owner != nil {
				return false
			}
			if x.Guests = []int{i}; r.Guests[i].SideOf > 0 {
				first = (r.Guests[i].SideOf - 1) ^ k
			}
		}
	}
	for k, set := range sets {
		for _, x := range set {
			r.Describe(x.Guests[0], x.Attrs)
			r.RelateAs(x, t, r.Couple[first^k:][:1])
		}
	}
	return len(sets) > 0
}

// twoSets divides names at the one mark that differs from those between the others; an "and" does so in the middle of four only.
func twoSets(sub []*speech.Term) [][]*speech.Term {
	at := 0
	for k := 1; k < len(sub); k++ {
		others := slices.Concat(sub[1:k], sub[k+1:])
		if len(others) > 0 && !slices.ContainsFunc(others, func(x *speech.Term) bool { return x.Sep == sub[k].Sep || x.Sep != others[0].Sep }) && (sub[k].Sep != "&" && len(sub) > 3 || 2*k == len(sub)) {
			at = k
		}
	}
	if at == 0 {
		return nil
	}
	return [][]*speech.Term{sub[:at], sub[at:]}
}

// pairUp tells who is who of attendants that are named two by two, a man and a woman as is usual for them: "Léo e Carol".
func (r *Reader) pairUp(sub []*speech.Term) {
	for _, two := range Pairs(sub) {
		if len(two) != 2 || len(two[0].Guests) == 0 || len(two[1].Guests) == 0 {
			continue
		}
		r.twoSexes(&r.Guests[two[0].Guests[0]], &r.Guests[two[1].Guests[0]])
	}
}

// twoSexes takes two for a man and a woman where nothing says what one of them is.
func (r *Reader) twoSexes(a, b *people.Guest) {
	for range 2 {
		if a.Sex == 0 && b.Sex != 0 {
			a.Sex = map[byte]byte{'m': 'w', 'w': 'm'}[b.Sex]
		}
		if hers := strings.HasSuffix(names.Plain(a.Given), "a"); a.Sex == 0 && b.Sex == 0 && hers && !strings.HasSuffix(names.Plain(b.Given), "a") {
			a.Sex = 'w' // "Halina & Zbyszek"
		}
		a, b = b, a
	}
}

// nameIn reports whether a bracket behind kin holds the name of who that is.
func nameIn(x *speech.Term) bool {
	return x.Kind == speech.Kin && !x.Word.Plural && len(x.Names) == 1 && x.Names[0].Kind == speech.Person && (x.Names[0].Word.Class == "" || x.Names[0].Word == x.Word)
}

// learnSub takes what is in brackets within brackets.
func (r *Reader) learnSub(x *speech.Term, c *Scope) {
	if len(x.Names) == 0 {
		return
	}
	y := *x
	y.Word = words.Word{}
	r.LearnPerson(&y, c)
}

// share gives each of several words its part of the names: one to a word for one, two to parents, the rest to the
// last; whom the roster knows as one of them already is not counted.
func (r *Reader) share(targets []*speech.Term, free []*speech.Term, c *Scope) {
	left := slices.Clone(free)
	single := len(free) == len(targets) && !slices.ContainsFunc(targets, func(t *speech.Term) bool { return t.Word.Plural })
	for k, t := range targets {
		need := len(left)
		if k < len(targets)-1 {
			switch {
			case t.Kind == speech.Person || t.Kind == speech.Couple:
				continue
			case !t.Word.Plural:
				need = 1
			case t.Word.Arg == "parent":
				need = 2
			}
			if known := r.ResolveKin(t, c); !single && len(known) > 0 && !slices.ContainsFunc(left, func(x *speech.Term) bool { return slices.Contains(known, x.Guests[0]) }) {
				continue
			}
			if len(free) < len(targets) {
				continue
			}
			t.Shared = true
		}
		owners := r.Owners(t, c)
		for _, x := range left[:min(need, len(left))] {
			if len(x.Guests) == 0 {
				continue
			}
			if t.Name != "" && t.Kind == speech.Kin {
				r.Call(x.Guests[0], r.Guests[x.Guests[0]].Given+" "+t.Name)
			}
			switch {
			case t.Kind == speech.Role:
				r.Give(x.Guests[0], t.Word, cmp.Or(x.Owner, t.Owner), c)
			case t.Kind == speech.Label:
				r.ofGroup(t, x.Guests[0])
			case t.Word.Arg == "family" && len(owners) != 1 && t.Owner != nil && t.Owner.Name != "":
				key := names.Plain(t.Owner.Name)
				r.Groups[key] = people.Union(r.Groups[key], x.Guests)
				if r.Honour >= 0 && x.Guests[0] != r.Honour {
					r.Relate(x.Guests[0], words.Word{Class: "kin", Arg: "family", Plural: true}, []int{r.Honour})
				}
			case t.Word.Arg == "family":
				if x.Word.Class == "" && len(owners) == 1 && r.Guests[x.Guests[0]].SideOf == 0 && r.Guests[x.Guests[0]].Half == 0 {
					r.Guests[x.Guests[0]].SideOf = max(r.Guests[owners[0]].Half, r.Guests[owners[0]].SideOf)
				}
				r.Relate(x.Guests[0], words.Word{Class: "kin", Arg: "family", Plural: true}, owners)
			case x.Owner != nil && (x.Owner.Pronoun == "" || x.Owner.Pronoun == "my") && x.Word.Class == "":
				of, _ := r.OwnedBy(x.Owner, c)
				r.RelateAs(x, t, r.asSibling(of, t))
			default:
				r.RelateAs(x, t, owners)
			}
		}
		left = left[min(need, len(left)):]
	}
}

// RelateAs says that somebody is one of those that words of kin stand for.
func (r *Reader) RelateAs(x, t *speech.Term, owners []int) {
	w := t.Word
	if x.Word.Class == "kin" && x.Word.Arg == w.Arg {
		w.Sex, w.Step, w.Half = cmp.Or(x.Word.Sex, w.Sex), w.Step || x.Word.Step, w.Half || x.Word.Half
		w.Text = x.Word.Text
	} else if (x.Word.Arg == "partner" || x.Word.Arg == "child") && !(w.Arg == "parent" && x.Owner != nil && x.Owner.Pronoun == "my") { // but "parents (me and my husband Bob)"
		return
	}
	if x.IsInfant() && w.Arg == "sibling" {
		return
	}
	if t.Line != 0 {
		w.Line = t.Line
	}
	r.Relate(x.Guests[0], w, owners)
}
