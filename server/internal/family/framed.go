package family

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
)

// mostFramed is how many people one family is at most. More are worth enough by how many they are.
const mostFramed = 24

// Framed reports whether people make the photograph that a family hangs up: parents with their own children, and their
// partners, and nobody else but those whom the day is about. A mother with a son who is grown up is a pair and no family.
func (t *Tree) Framed(members []int) bool {
	if len(members) < 2 || len(members) > mostFramed {
		return false
	}
	guests := slices.DeleteFunc(slices.Clone(members), func(p int) bool { return t.leads[p] })
	if len(members) == 2 && (len(guests) < 2 || !slices.ContainsFunc(guests, t.young)) {
		return false
	}
	return t.oneFamily(guests) || len(guests) < len(members) && t.oneFamily(members)
}

// oneFamily reports whether everybody is the partner, parent or child of another, and some are parents; or they are a circle
// that has children in it.
func (t *Tree) oneFamily(people []int) bool {
	if slices.ContainsFunc(t.r.Within, func(circle []int) bool { return len(circle) == len(people) && t.homeOf(circle, people) }) {
		return true
	}
	partners, halves, parents := t.couples(), t.Halves(), false
	seen := make([]bool, len(people))
	for next := []int{0}; len(people) > 1 && len(next) > 0; next = next[1:] {
		a := people[next[0]]
		seen[next[0]] = true
		for i, b := range people {
			of := t.parentOf(a, b, people, halves) || t.parentOf(b, a, people, halves)
			parents = parents || of
			if !seen[i] && (of || slices.Contains(partners, [2]int{min(a, b), max(a, b)})) {
				seen[i] = true
				next = append(next, i)
			}
		}
	}
	return parents && !slices.Contains(seen, false)
}

// homeOf reports whether a circle is just these people, with grown-ups and children.
func (t *Tree) homeOf(circle, people []int) bool {
	grown := func(p int) bool { return t.Band(p) == event.Adult || t.Band(p) == event.Elder }
	return slices.ContainsFunc(people, t.young) && slices.ContainsFunc(people, grown) &&
		!slices.ContainsFunc(people, func(p int) bool { return !slices.Contains(circle, p) })
}

// couples are all pairs of partners, with the couple and their parents.
func (t *Tree) couples() [][2]int {
	out := t.Partners()
	for _, f := range t.Halves() {
		if len(f.Parents) == 2 {
			out = append(out, [2]int(f.Parents))
		}
	}
	if t.Couple != nil {
		out = append(out, *t.Couple)
	}
	for i := range out {
		out[i] = [2]int{min(out[i][0], out[i][1]), max(out[i][0], out[i][1])}
	}
	return out
}

// parentOf reports whether one is a parent of another: by the words, as a parent of whom the day is about and of their brothers
// and sisters, or as the only one among people who can be.
func (t *Tree) parentOf(grown, child int, people []int, halves []Half) bool {
	if grown == child {
		return false
	}
	for _, f := range halves {
		if slices.Contains(f.Parents, grown) && (child == f.One || slices.Contains(f.Siblings, child)) {
			return true
		}
	}
	switch t.Kindred(child, grown) {
	case OwnParent:
		return true
	case NearKin:
		return t.oneOf(people, Sibling, HalfSibling)
	}
	return t.said[child].Kind == kin.Grandchild && t.DegreeOf(grown) == Child && t.oneOf(people, Child)
}

// oneOf reports whether just one of some people is this to whom the day is about.
func (t *Tree) oneOf(people []int, what ...Degree) bool {
	n := 0
	for _, p := range people {
		if slices.Contains(what, t.DegreeOf(p)) {
			n++
		}
	}
	return n == 1
}
