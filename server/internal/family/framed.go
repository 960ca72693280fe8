package family

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
)

// mostFramed is how many people one family is at most. More are worth enough by how many they are.
const mostFramed = 24

// Framed reports whether people make the photograph that a family hangs up: parents with their own children, and their
// partners, and nobody else but those whom the day is about. These are of the family where they are the parents: a couple with
// her mother is none yet.
func (t *Tree) Framed(members []int) bool {
	if len(members) < 2 || len(members) > mostFramed {
		return false
	}
	guests := slices.DeleteFunc(slices.Clone(members), func(p int) bool { return t.leads[p] })
	if len(members) == 2 && (len(guests) < 2 || !slices.ContainsFunc(guests, t.young)) {
		return false
	}
	halves := t.Halves()
	parents := slices.ContainsFunc(t.honoured, func(p int) bool {
		return slices.Contains(members, p) && slices.ContainsFunc(guests, func(q int) bool { return t.parentOf(p, q, halves) })
	})
	return t.oneFamily(guests, halves) || parents && t.oneFamily(members, halves)
}

// oneFamily reports whether everybody is the partner, parent or child of another, and some are parents; or they are a circle
// that has children in it.
func (t *Tree) oneFamily(people []int, halves []Half) bool {
	if slices.ContainsFunc(t.r.Within, func(circle []int) bool { return len(circle) == len(people) && t.homeOf(circle, people) }) {
		return true
	}
	partners, parents := t.couples(halves), false
	seen := make([]bool, len(people))
	for next := []int{0}; len(people) > 1 && len(next) > 0; next = next[1:] {
		a := people[next[0]]
		seen[next[0]] = true
		for i, b := range people {
			of := t.parentOf(a, b, halves) || t.parentOf(b, a, halves)
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
func (t *Tree) couples(halves []Half) [][2]int {
	out := t.Partners()
	for _, f := range halves {
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

// parentOf reports whether one is a parent of another, by the words or as a parent of whom the day is about and of their brothers
// and sisters, or may well be.
func (t *Tree) parentOf(grown, child int, halves []Half) bool {
	if grown == child {
		return false
	}
	for _, f := range halves {
		if slices.Contains(f.Parents, grown) && (child == f.One || slices.Contains(f.Siblings, child)) {
			return true
		}
	}
	of := t.Kindred(child, grown)
	return of == OwnParent || of == NearKin || t.said[child].Kind == kin.Grandchild && t.DegreeOf(grown) == Child
}
