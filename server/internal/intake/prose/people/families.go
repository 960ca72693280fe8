package people

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake/names"
	"kinorder.example/server/internal/intake/prose/words"
)

// BrotherOf is who of the couple, or the honoured, all of these are brothers and sisters of, -1 for nobody.
func (r *Roll) BrotherOf(ids []int) int {
	for _, h := range []int{r.Couple[0], r.Couple[1], r.Honour} {
		if h >= 0 && !slices.ContainsFunc(ids, func(i int) bool {
			return !slices.ContainsFunc(r.Guests[i].Relations, func(x Relation) bool { return x.Of == h && x.Word.Arg == "sibling" })
		}) {
			return h
		}
	}
	return -1
}

// OfSurname reports whether "all the ..." before a name means those of that last name: nobody is called so alone.
func (r *Roll) OfSurname(name string) bool {
	_, given := words.Given(names.Plain(name))
	return !given && !slices.ContainsFunc(r.ByName[names.Plain(name)], func(i int) bool {
		given := names.Plain(r.Guests[i].Given)
		return given == names.Plain(name) || r.Guests[i].Half > 0 && !strings.HasSuffix(given, " "+names.Plain(name)) // what one of the couple is called too
	})
}

// BySurname is everybody of a last name, and of whose family one of the couple is who has it; else who stands below lines
// that name a family so.
func (r *Roll) BySurname(name string) []int {
	var out []int
	key := names.Plain(name)
	if base, ok := strings.CutSuffix(key, "s"); ok && len(r.ByWord[key]) == 0 { // "the Benalis"
		key = base
	}
	for _, i := range r.ByWord[key] {
		g := &r.Guests[i]
		ws, given := names.Words(g.Name), names.Plain(g.Given)
		if len(ws) > 1 && ws[len(ws)-1] == key || given != key && !strings.HasPrefix(given, key+" ") {
			if out = Union(out, []int{i}); g.Half > 0 {
				out = Union(out, r.Family(i, 0))
			}
		}
	}
	return Union(out, r.Groups[key])
}

// BySex picks among several for a word that stands for one: "dad" of two parents of whom one is no woman.
func (r *Roll) BySex(ids []int, w words.Word) []int {
	if w.Sex == 0 {
		return ids
	}
	sure := slices.DeleteFunc(slices.Clone(ids), func(i int) bool { return r.Guests[i].Sex != w.Sex })
	if len(sure) > 0 {
		return sure
	}
	return ids
}

// Children are all children who come.
func (r *Roll) Children(w words.Word) []int {
	var out []int
	for i := range r.Guests {
		g := &r.Guests[i]
		young := g.AgeBand == event.Child || g.AgeBand == event.Infant || g.Age >= 0 && g.Age < 18
		if young && !g.Never && g.Half == 0 && SexFits(w, g) {
			out = append(out, i)
		}
	}
	return out
}

// Family is all kin of somebody: of one of the couple, whoever is on that side and no friend or attendant only; of
// BothOf, kin of whom the list does not say on which side they are.
func (r *Roll) Family(o int, near byte) []int {
	var out []int
	if !r.Effort.Spend(10 * len(r.Guests)) {
		return nil
	}
	for i := range r.Guests {
		g := &r.Guests[i]
		if g.Never || g.Half > 0 || g.Unnamed && g.Many {
			continue
		}
		kin, close := false, false
		for _, x := range g.Relations {
			mine := x.Of == o
			if mine && x.Word.Arg != "partner" {
				kin = true
				close = close || x.Word.Arg == "parent" || x.Word.Arg == "sibling" || x.Word.Arg == "child" || x.Word.Arg == "family"
			}
			if !mine && o >= 0 && x.Of >= 0 && x.Of != i && r.Guests[o].Half > 0 && r.Guests[x.Of].SideOf == r.Guests[o].Half && r.Guests[x.Of].Half == 0 && (x.Word.Arg == "partner" || x.Word.Arg == "child" || x.Word.Arg == "parent") && len(r.Guests[x.Of].Relations) > 0 {
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

// Descent is all kin of somebody, the kin of these, and whoever is with one of them.
func (r *Roll) Descent(out []int) []int {
	for n := -1; n < len(out); {
		n = len(out)
		for i := range r.Guests {
			g := &r.Guests[i]
			if !r.Effort.Spend(4*len(g.Relations)) || g.Never || g.Unnamed && g.Many || slices.Contains(out, i) {
				continue
			}
			if slices.ContainsFunc(g.Relations, func(x Relation) bool { return x.Of == BothOf || slices.Contains(out, x.Of) }) {
				out = append(slices.Clip(out), i)
			}
		}
	}
	return out
}

// HasWiderFamily reports whether kin of somebody is named beyond parents, brothers and sisters.
func (r *Roll) HasWiderFamily(o int) bool {
	for _, arg := range []string{"aunt", "cousin", "niece", "greataunt"} {
		if len(r.KinOf(o, words.Word{Arg: arg}, 0)) > 0 {
			return true
		}
	}
	return false
}

// chain is kin as the kin of kin: a grandparent is a parent's parent, a sister-in-law a brother's wife.
var chain = map[string][2]string{
	"sibling inlaw": {"sibling", "partner"}, "child inlaw": {"child", "partner"}, "parent inlaw": {"partner", "parent"},
	"grandparent": {"parent", "parent"}, "greatgrandparent": {"parent", "grandparent"}, "grandchild": {"child", "child"},
	"aunt": {"parent", "sibling"}, "parent": {"sibling", "parent"}, "cousin": {"aunt", "child"}, "niece": {"sibling", "child"},
}

// Derived returns who is kin to somebody by what the list says of others: "Rachel's parents" are the grandparents of her son.
func (r *Roll) Derived(o int, want words.Word, line byte) []int {
	arg := want.Arg
	if want.Inlaw {
		arg += " inlaw"
	}
	steps, ok := chain[arg]
	if !ok || o < 0 || want.Step || want.Arg == "parent" && len(r.KinOf(o, want, line)) > 0 || !r.Effort.Spend(20*len(r.Guests)) {
		return nil
	}
	var out []int
	for _, p := range Union(r.KinOf(o, words.Word{Arg: steps[0]}, 0), r.inverse(o, steps[0])) {
		if steps[0] == "parent" && line != 0 && r.Guests[p].Sex == map[byte]byte{'m': 'm', 'p': 'w'}[line] {
			continue
		}
		second := words.Word{Arg: steps[1], Sex: want.Sex}
		out = Union(out, Union(r.KinOf(p, second, 0), r.inverse(p, steps[1])))
	}
	return slices.DeleteFunc(out, func(i int) bool { return i == o || r.Guests[i].Half > 0 || !SexFits(want, &r.Guests[i]) })
}

// inverse returns whose kin somebody is said to be, the other way round: a son's parents, a sister's brother.
func (r *Roll) inverse(o int, arg string) []int {
	back := map[string]string{"parent": "child", "child": "parent", "sibling": "sibling"}[arg]
	var out []int
	for _, x := range r.Guests[o].Relations {
		if x.Of >= 0 && x.Of != o && back != "" && x.Word.Arg == back && !x.Word.Step && !x.Word.Inlaw {
			out = Union(out, []int{x.Of})
		}
	}
	return out
}

// Generation are the children of the eldest whom a reunion names, or with 2 the children of these.
func (r *Roll) Generation(n int) []int {
	child := func(i int) bool {
		return slices.ContainsFunc(r.Guests[i].Relations, func(x Relation) bool { return x.Word.Arg == "child" })
	}
	var out []int
	for i := range r.Guests {
		if slices.ContainsFunc(r.Guests[i].Relations, func(x Relation) bool {
			return x.Word.Arg == "child" && x.Of >= 0 && child(x.Of) == (n == 2) && !r.Guests[i].Never && r.Effort.Spend(2)
		}) {
			out = append(out, i)
		}
	}
	return out
}

// Household are the others who come with somebody: of a line of guests, else of the smallest circle called so.
func (r *Roll) Household(i int) []int {
	var out []int
	if h := r.Guests[i].House; h != 0 && r.Effort.Spend(len(r.Guests)) {
		for j := range r.Guests {
			if r.Guests[j].House == h && j != i {
				out = append(out, j)
			}
		}
		return out
	}
	if r.Guests[i].Base {
		for _, j := range r.Build.Household(i) {
			if j < len(r.Guests) {
				out = append(out, j)
			}
		}
	}
	return out
}

// ofHousehold is the kin of somebody as a household tells it: its children, its only other grown-up, all of it.
func (r *Roll) ofHousehold(o int, want words.Word) []int {
	var out []int
	for _, i := range r.Household(o) {
		young := r.Guests[i].AgeBand == event.Child || r.Guests[i].AgeBand == event.Infant
		if want.Arg == "family" || young == (want.Arg == "child") {
			out = append(out, i)
		}
	}
	if want.Arg == "partner" && len(out) != 1 {
		return nil
	}
	return out
}

// Union is a, and those of b who are not in it yet.
func Union(a, b []int) []int {
	out := slices.Clone(a)
	for _, i := range b {
		if !slices.Contains(out, i) {
			out = append(out, i)
		}
	}
	return out
}
