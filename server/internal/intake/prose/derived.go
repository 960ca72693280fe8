package prose

import (
	"slices"

	"kinorder.example/server/internal/intake/prose/words"
)

// chain is kin as the kin of kin: a grandparent is a parent's parent.
var chain = map[string][2]string{
	"grandparent": {"parent", "parent"}, "greatgrandparent": {"parent", "grandparent"}, "grandchild": {"child", "child"},
	"aunt": {"parent", "sibling"}, "cousin": {"aunt", "child"}, "niece": {"sibling", "child"},
}

// derived returns who is kin to somebody by what the list says of others: "Rachel's parents" are the grandparents of her son.
func (r *reader) derived(o int, want words.Word, line byte) []int {
	steps, ok := chain[want.Arg]
	if !ok || o < 0 || want.Step || want.Inlaw || !r.m.Spend(20*len(r.guests)) {
		return nil
	}
	var out []int
	for _, p := range union(r.kinOf(o, words.Word{Arg: steps[0]}, 0), r.inverse(o, steps[0])) {
		if steps[0] == "parent" && line != 0 && r.guests[p].sex == map[byte]byte{'m': 'm', 'p': 'w'}[line] {
			continue
		}
		second := words.Word{Arg: steps[1], Sex: want.Sex}
		out = union(out, union(r.kinOf(p, second, 0), r.inverse(p, steps[1])))
	}
	return slices.DeleteFunc(out, func(i int) bool { return i == o || r.guests[i].half > 0 || !sexFits(want, &r.guests[i]) })
}

// inverse returns whose kin somebody is said to be, the other way round: a son's parents, a sister's brother.
func (r *reader) inverse(o int, arg string) []int {
	back := map[string]string{"parent": "child", "child": "parent", "sibling": "sibling"}[arg]
	var out []int
	for _, x := range r.guests[o].rels {
		if x.of >= 0 && x.of != o && back != "" && x.w.Arg == back && !x.w.Step && !x.w.Inlaw {
			out = union(out, []int{x.of})
		}
	}
	return out
}

// generation are the children of the eldest whom a reunion names, or with 2 the children of these.
func (r *reader) generation(n int) []int {
	child := func(i int) bool {
		return slices.ContainsFunc(r.guests[i].rels, func(x relation) bool { return x.w.Arg == "child" })
	}
	var out []int
	for i := range r.guests {
		if slices.ContainsFunc(r.guests[i].rels, func(x relation) bool {
			return x.w.Arg == "child" && x.of >= 0 && child(x.of) == (n == 2) && !r.guests[i].never && r.m.Spend(2)
		}) {
			out = append(out, i)
		}
	}
	return out
}
