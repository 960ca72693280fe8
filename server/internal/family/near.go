package family

import (
	"cmp"
	"slices"

	"kinorder.example/server/internal/kin"
)

// DegreeOf is what a person is to those whom the day is about, also where a name stands for several ("Rosa's parents").
// Of kin of somebody else, or of nobody, it is Unknown.
func (t *Tree) DegreeOf(person int) Degree {
	r := t.said[person].Relation
	if !t.said[person].read {
		return t.circled[person]
	}
	anybodys := r.Kind == kin.Offspring && r.Of == nil && r.Owner == "" && r.Sex == kin.AnySex // "child"
	if r.Plural = false; anybodys || !t.ofTheDay(r.Owner) {
		return Unknown
	}
	if r.Kind == kin.GreatGrandparent {
		r.Kind = kin.Grandparent
	}
	return degreeOf(r)
}

// ofTheDay reports whether an owner of kin is one of those whom the day is about. Where words name nobody, it is.
func (t *Tree) ofTheDay(owner string) bool {
	return owner == "" || isCouple(owner) || ledBy(owner) ||
		slices.ContainsFunc(t.honoured, func(p int) bool { return t.calledSo(p, Plain(owner)) })
}

// Near reports whether somebody is a parent, grandparent, brother, sister or child of those whom the day is about.
func (t *Tree) Near(person int) bool {
	d := t.DegreeOf(person)
	return d == StepParent || Kinship{Degree: d}.Near()
}

// Relative reports whether somebody is family of those whom the day is about, near or far.
func (t *Tree) Relative(person int) bool {
	switch t.said[person].Kind {
	case kin.NoKin, kin.Friend, kin.Attendant, kin.Godparent, kin.Godchild:
		return false
	}
	return t.DegreeOf(person) != Unknown
}

// findCircled reads circles as relations: those of "Rosa's parents" are parents.
func (t *Tree) findCircled() []Degree {
	out := make([]Degree, len(t.e.People))
	for i, c := range t.e.Circles {
		w, ok := kin.Read(c.Title)
		if !ok || !t.ofTheDay(w.Owner) || w.Kind == kin.Offspring {
			continue
		}
		w.Plural = false
		for _, p := range t.r.Within[i] {
			out[p] = degreeOf(w)
		}
	}
	return out
}

// sideOf numbers whose relative or guest somebody is: by the one whom the relation names, whoever that is a relative of,
// or by the side. It is -1 where nothing says so, and steps keeps it from walking in a circle.
func (t *Tree) sideOf(person int, halves []Half, steps int) int {
	p := t.e.People[person]
	owner := t.Kins[person].Owner
	for i := range halves {
		if person == halves[i].One {
			return i
		}
	}
	if f := t.halfOf(p, owner, halves); f != nil {
		return slices.IndexFunc(halves, func(h Half) bool { return h.One == f.One })
	}
	if p.Side != "" {
		return slices.IndexFunc(halves, func(h Half) bool { return t.e.People[h.One].Side == p.Side })
	}
	if owner == "" || steps == 0 {
		return -1
	}
	plain := Plain(owner)
	for q := range t.e.People {
		if q != person && t.calledSo(q, plain) {
			return t.sideOf(q, halves, steps-1)
		}
	}
	return -1
}

// kindOf is what photographs are of that people compare.
type kindOf int

const (
	ofNoKind kindOf = iota
	ofParents
	ofGrandparents
	ofSiblings // of one side
	ofAttendants
	ofFamily
	ofOneOfSeveral // of one brother, sister or child with their own
)

// compared is what a photograph is compared as: its kind, how many of those whom the day is about are in it, and of
// which side it is. One is the brother, sister or child whom it is of, or -1; sex is that of a parent alone.
type compared struct {
	kind    kindOf
	honours int
	side    int
	one     int
	sex     kin.Sex
}

// Compare lists photographs that people compare, given by who is in them: those of the two sides that are of the same
// kind, and those of brothers and sisters, or of the children, one for each. A photograph is in one
// list at most.
func (t *Tree) Compare(photographs [][]int) [][]int {
	halves := t.Halves()
	what := make([]compared, len(photographs))
	bySize := make([]int, len(photographs))
	for i, members := range photographs {
		what[i], bySize[i] = t.compareAs(members, halves), i
	}
	slices.SortStableFunc(bySize, func(a, b int) int { // a mother is held against a mother
		return cmp.Or(len(photographs[b])-len(photographs[a]), cmp.Compare(what[a].sex, what[b].sex))
	})
	var out [][]int
	ones := map[compared][]int{}
	var order []compared
	for _, i := range bySize {
		w := what[i]
		if w.kind == ofNoKind {
			continue
		}
		if w.one, w.sex = -1, kin.AnySex; w.kind != ofOneOfSeveral {
			// The largest of one side is held against the largest of the other.
		} else if slices.ContainsFunc(ones[w], func(j int) bool { return what[j].one == what[i].one }) {
			continue
		}
		if ones[w] == nil {
			order = append(order, w)
		}
		ones[w] = append(ones[w], i)
	}
	for _, w := range order {
		switch {
		case w.kind == ofOneOfSeveral:
			if len(ones[w]) > 1 {
				out = append(out, ones[w])
			}
		case w.side == 0:
			other := w
			other.side = 1
			for k := range min(len(ones[w]), len(ones[other])) {
				out = append(out, []int{ones[w][k], ones[other][k]})
			}
		}
	}
	return out
}

// compareAs says what a photograph is compared as.
func (t *Tree) compareAs(members []int, halves []Half) compared {
	w := compared{side: -1, one: -1}
	count := map[Degree]int{}
	attendants, all, mixed, alone := 0, 0, false, -1
	for _, p := range members {
		if t.leads[p] {
			w.honours++
			continue
		}
		all, alone = all+1, p
		d := t.DegreeOf(p)
		switch count[d]++; {
		case d == Sibling || d == HalfSibling || d == Child:
			w.one = p
		case t.Attendant(p):
			attendants++
		}
		if side := t.sideOf(p, halves, 2); all == 1 {
			w.side = side
		} else if side != w.side {
			mixed = true
		}
	}
	siblings, parents := count[Sibling]+count[HalfSibling]+count[Child], count[Parent]+count[StepParent]
	switch {
	case all == 0:
	case siblings == 1 && w.honours > 0 && !slices.ContainsFunc(members, func(p int) bool {
		return p != w.one && !t.leads[p] && !t.ownOf(p, w.one)
	}):
		w.kind = ofOneOfSeveral
	case mixed || w.side < 0:
	case parents == all:
		if w.kind = ofParents; all == 1 {
			w.sex = t.said[alone].Sex
		}
	case count[Grandparent] == all:
		w.kind = ofGrandparents
	case siblings > 0 && siblings+count[SiblingSpouse]+count[Nibling] == all:
		w.kind = ofSiblings
	case attendants == all:
		w.kind = ofAttendants
	case parents+siblings+count[Grandparent] > 0:
		w.kind = ofFamily
	}
	return w
}

// ownOf reports whether somebody belongs to a brother, sister or child: by the words, or by a household of theirs.
func (t *Tree) ownOf(person, one int) bool {
	if d := t.DegreeOf(person); d == SiblingSpouse || d == Nibling {
		return true
	}
	if owner := t.Kins[person].Owner; owner != "" {
		return t.calledSo(one, Plain(owner))
	}
	return !t.Near(person) && slices.ContainsFunc(t.r.Within, func(people []int) bool {
		return slices.Contains(people, person) && slices.Contains(people, one)
	})
}
