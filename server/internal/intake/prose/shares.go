package prose

import (
	"slices"

	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/people"
	"kinorder.example/server/internal/intake/prose/words"
)

// targets are the words that a bracket after terms[k] names: it and those right before without names of their own.
func targets(terms []*term, k int) []*term {
	from := k
	for from > 0 && terms[from].sep != "" && terms[from].sep != ";" {
		t := terms[from-1]
		if t.kind != kinTerm && t.kind != role || len(t.sub) > 0 || t.minus || elder(t.w.Arg) && descends(terms[from].w.Arg) {
			break
		}
		from--
		if terms[from].sep == " " {
			continue
		}
	}
	return terms[from : k+1]
}

// descends reports whether kin is younger than those whose kin it is: "grandparents with the grandchildren (Ava, Jude)".
func descends(arg string) bool { return arg == "grandchild" || arg == "child" || arg == "niece" }

// distribute says of people in brackets what the words before are: "Mom and Step Dad (Peg, Russ)".
func (r *reader) distribute(targets []*term, sub []*term, c *scope) {
	if r.twoByTwo(targets, sub, c) {
		return
	}
	var free []*term // without kin of their own
	t := targets[len(targets)-1]
	inner := *c
	inner.carry, inner.last = nil, -1
	owners := r.owners(t, c)
	if t.own != nil && !(t.w.Arg == "family" && t.own.name != "" && len(owners) == 0) { // of a family whose name nobody has, kin is that of the side
		inner.carry = t.own
	}
	inner.default_ = owners
	defer func() {
		if !t.w.Plural && len(free) == 1 && len(free[0].who) > 0 && r.Guests[free[0].who[0]].Half == 0 {
			c.last = free[0].who[0]
		}
	}()
	commas := slices.ContainsFunc(sub, func(x *term) bool { return x.sep == "," })
	for _, x := range sub {
		switch {
		case x.kind == person && x.sep == "+" && commas && len(free) > 0 && t.w.Arg == "sibling" && x.w.Class == "":
			x.w = words.Word{Class: "kin", Arg: "partner"}
			r.learnPerson(x, &inner)
		case x.kind == person && x.w.Arg != "partner" && x.w.Arg != "child" && (t.w.Arg != "family" || x.w.Class == ""):
			if elder(x.w.Arg) && elder(t.w.Arg) {
				x.w.Arg = t.w.Arg
			}
			i := r.who(x)
			if i < 0 {
				continue
			}
			x.who = []int{i}
			r.describe(x.who[0], x.attrs)
			if x.w.Class == "kin" {
				r.Relate(x.who[0], x.w, owners)
			}
			inner.last = x.who[0]
			free = append(free, x)
			r.learnSub(x, &inner)
		case x.kind == person:
			r.learnPerson(x, &inner)
			if t.kind == role || t.kind == label {
				free = append(free, x)
			} else if t.w.Arg == "godparent" && t.w.Plural && len(x.who) > 0 { // "sponsors: Karen and her husband Iván"
				r.Relate(x.who[0], t.w, owners)
			}
		case nameIn(x): // "Grandparents: Nan (Iris)"
			y := x.sub[0]
			if y.w = x.w; r.learnPerson(y, &inner) >= 0 {
				free = append(free, y)
			}
		case x.kind == kinTerm && !x.w.Plural && (x.w.Arg == t.w.Arg || x.own == nil && elder(x.w.Arg) && elder(t.w.Arg)):
			x.w.Arg = t.w.Arg
			x.who = []int{r.entry(x, owners)}
			r.describe(x.who[0], x.attrs)
			free = append(free, x)
		case len(x.sub) > 0:
			r.learnTerm([]*term{x}, 0, x, &inner)
			if t.kind == label || t.kind == role {
				free = append(free, x.sub...)
			}
		}
	}
	if t.w.Arg == "attendant" {
		r.pairUp(sub)
	}
	if t.w.Arg == "parent" && t.w.Plural && t.w.Lang == "zh" && len(free) == 2 && len(free[0].who) > 0 && len(free[1].who) > 0 { // the father is named first
		for k, x := range free {
			if g := &r.Guests[x.who[0]]; g.Sex == 0 {
				g.Sex = "mw"[k]
			}
		}
	}
	r.share(targets, free, c)
	if t.kind == kinTerm && !t.w.Plural && len(free) == 1 && len(targets) == 1 {
		r.describe(free[0].who[0], t.attrs)
	}
}

// twoByTwo takes "siblings with partners (Ana & Leo, Joe & Kit)": each with theirs.
func (r *reader) twoByTwo(targets []*term, sub []*term, c *scope) bool {
	n := len(targets)
	if n < 2 || targets[n-1].w.Arg != "partner" || !targets[n-1].w.Plural {
		return false
	}
	var all [][]*term // of one, or two joined
	two := false
	for _, x := range sub {
		switch {
		case x.kind != person || x.w.Class != "":
			return false
		case len(all) == 0 || x.sep == "," || x.sep == ";":
			all = append(all, []*term{x})
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
	owners := r.owners(kin, c)
	for _, two := range all {
		i := r.who(two[0])
		if i < 0 {
			continue
		}
		two[0].who = []int{i}
		r.describe(i, two[0].attrs)
		if kin.kind == role {
			r.give(i, kin.w, kin.own, c)
		} else {
			r.relateAs(two[0], kin, owners)
		}
		if len(two) > 1 {
			two[1].w = words.Word{Class: "kin", Arg: "partner"}
			r.learnPerson(two[1], &scope{last: i})
		}
	}
	return true
}

// pairUp tells who is who of attendants that are named two by two, a man and a woman as is usual for them: "Léo e Carol".
func (r *reader) pairUp(sub []*term) {
	for _, two := range pairs(sub) {
		if len(two) != 2 || len(two[0].who) == 0 || len(two[1].who) == 0 {
			continue
		}
		a, b := &r.Guests[two[0].who[0]], &r.Guests[two[1].who[0]]
		for range 2 {
			if a.Sex == 0 && b.Sex != 0 {
				a.Sex = map[byte]byte{'m': 'w', 'w': 'm'}[b.Sex]
			}
			a, b = b, a
		}
	}
}

// nameIn reports whether a bracket behind kin holds the name of who that is.
func nameIn(x *term) bool {
	return x.kind == kinTerm && !x.w.Plural && len(x.sub) == 1 && x.sub[0].kind == person && (x.sub[0].w.Class == "" || x.sub[0].w == x.w)
}

// learnSub takes what is in brackets within brackets.
func (r *reader) learnSub(x *term, c *scope) {
	if len(x.sub) == 0 {
		return
	}
	y := *x
	y.w = words.Word{}
	r.learnPerson(&y, c)
}

// share gives each of several words its part of the names: one to a word for one, two to parents, the rest to the
// last; whom the roster knows as one of them already is not counted.
func (r *reader) share(targets []*term, free []*term, c *scope) {
	left := slices.Clone(free)
	single := len(free) == len(targets) && !slices.ContainsFunc(targets, func(t *term) bool { return t.w.Plural })
	for k, t := range targets {
		need := len(left)
		if k < len(targets)-1 {
			switch {
			case t.kind == person || t.kind == couple:
				continue
			case !t.w.Plural:
				need = 1
			case t.w.Arg == "parent":
				need = 2
			}
			if known := r.resolveKin(t, c); !single && len(known) > 0 && !slices.ContainsFunc(left, func(x *term) bool { return slices.Contains(known, x.who[0]) }) {
				continue
			}
			if len(free) < len(targets) {
				continue
			}
			t.shared = true
		}
		owners := r.owners(t, c)
		for _, x := range left[:min(need, len(left))] {
			if len(x.who) == 0 {
				continue
			}
			if t.name != "" && t.kind == kinTerm {
				r.Call(x.who[0], r.Guests[x.who[0]].Given+" "+t.name)
			}
			switch {
			case t.kind == role:
				r.give(x.who[0], t.w, firstOwnerOf(x.own, t.own), c)
			case t.kind == label:
				key := people.LabelKey(t.text)
				if !slices.Contains(r.Groups[key], x.who[0]) {
					r.Groups[key] = append(r.Groups[key], x.who[0])
				}
			case t.w.Arg == "family" && len(owners) != 1 && t.own != nil && t.own.name != "":
				key := names.Plain(t.own.name)
				r.Groups[key] = people.Union(r.Groups[key], x.who)
				if r.Honour >= 0 && x.who[0] != r.Honour {
					r.Relate(x.who[0], words.Word{Class: "kin", Arg: "family", Plural: true}, []int{r.Honour})
				}
			case t.w.Arg == "family":
				if x.w.Class == "" && len(owners) == 1 && r.Guests[x.who[0]].SideOf == 0 && r.Guests[x.who[0]].Half == 0 {
					r.Guests[x.who[0]].SideOf = max(r.Guests[owners[0]].Half, r.Guests[owners[0]].SideOf)
				}
				r.Relate(x.who[0], words.Word{Class: "kin", Arg: "family", Plural: true}, owners)
			case x.own != nil && x.own.pron == "" && x.w.Class == "":
				of, _ := r.ownedBy(x.own, c)
				r.relateAs(x, t, of)
			default:
				r.relateAs(x, t, owners)
			}
		}
		left = left[min(need, len(left)):]
	}
}

// relateAs says that somebody is one of those that words of kin stand for.
func (r *reader) relateAs(x, t *term, owners []int) {
	w := t.w
	if x.w.Class == "kin" && x.w.Arg == w.Arg {
		w.Sex, w.Step, w.Half = cmpByte(x.w.Sex, w.Sex), w.Step || x.w.Step, w.Half || x.w.Half
		w.Text = x.w.Text
	} else if x.w.Arg == "partner" || x.w.Arg == "child" {
		return
	}
	if slices.ContainsFunc(x.attrs, func(a attr) bool { return a.class == "infant" }) && w.Arg == "sibling" {
		return
	}
	if t.line != 0 {
		w.Line = t.line
	}
	r.Relate(x.who[0], w, owners)
}

// calledSo reports whether a name may be that of the kin before it: a plain one, or one with the kin that it is to somebody
// else, "her sister, Auntie Peggy".
func calledSo(t, x *term) bool {
	return x.w.Class == "" || x.w.Class == "kin" && (x.w.Arg == "aunt" || x.w.Arg == "greataunt") && (t.w.Arg == "sibling" || t.w.Arg == "godparent" || t.kind == role) || x.w.Class == "kin" && x.w.Arg == "grandparent" && t.w.Arg == "parent" && t.own != nil && t.own.name != ""
}

// apposed takes names behind a comma for those of the kin before it, where the list knows nobody else as that: "his best
// man, Nobby", "os pais, Graça e Fernando".
func (r *reader) apposed(terms []*term, c *scope) []*term {
	terms = slices.Clone(terms) // others hold them too
	for k := 0; k+1 < len(terms); k++ {
		t := terms[k]
		if r.describedBy(t, terms[k+1], c) {
			terms = slices.Delete(terms, k+1, k+2)
		}
		if t.kind != kinTerm && t.kind != role || len(t.sub) > 0 || !t.det && t.own == nil && !t.qual || t.minus || t.w.Arg == "family" || !r.Effort.Spend(50) {
			continue
		}
		end := k + 1
		for end < len(terms) && terms[end].kind == person && calledSo(t, terms[end]) && !terms[end].minus && r.HalfNamed(terms[end].name) == 0 && !r.IsHonour(terms[end].name) &&
			(end == k+1 && terms[end].sep == "," || end > k+1 && terms[end].sep == "&" && t.w.Plural) {
			end++
		}
		if n := end - k - 1; n == 0 || t.w.Plural && n == 1 || end < len(terms) && terms[end].sep == "," && terms[end].kind == person && terms[end].w.Class == "" && !terms[end].minus {
			continue
		}
		inner := *c
		known := r.resolveKin(t, &inner)
		if twoOf := t.own != nil && t.own.pron == "their" && t.w.Arg == "parent" && end-k == 3; !twoOf && slices.ContainsFunc(known, func(i int) bool {
			return !slices.ContainsFunc(terms[k+1:end], func(x *term) bool { return slices.Contains(r.Find(x.name), i) })
		}) {
			continue
		}
		t.sub = slices.Clone(terms[k+1 : end])
		terms = slices.Delete(terms, k+1, end)
	}
	return terms
}

// describedBy takes kin behind a comma for what the person before is: "Nuria, sister of the bride, with her husband".
func (r *reader) describedBy(t, next *term, c *scope) bool {
	if t.kind != person || t.w.Class != "" || r.HalfNamed(t.name) > 0 || next.kind != kinTerm || next.sep != "," || next.w.Plural || next.minus || len(next.sub) > 0 ||
		next.own == nil || next.own.half == 0 && next.own.name == "" {
		return false
	}
	i := r.who(t)
	inner := *c
	if i < 0 || slices.ContainsFunc(r.resolveKin(next, &inner), func(j int) bool { return j != i }) {
		return false
	}
	r.Relate(i, next.w, r.owners(next, &inner))
	return true
}
