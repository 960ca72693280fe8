package family

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
)

// Band is the age band of a person: that of the event, or where it says nothing the one that goes with the age in the
// words of the relation.
func (t *Tree) Band(person int) event.AgeBand { return t.band[person] }

// Senior reports whether somebody is seated or stands in front: an elder, or a grandparent of those whom the day is about.
func (t *Tree) Senior(person int) bool {
	if t.Band(person) == event.Elder {
		return true
	}
	r := t.said[person]
	return r.read && !r.Plural && !r.Former && !r.InLaw && r.Of == nil && (r.Kind == kin.Grandparent || r.Kind == kin.GreatGrandparent)
}

// Attendant reports whether somebody is one of the attendants, by the relation or by a circle of theirs.
func (t *Tree) Attendant(person int) bool {
	w := &t.said[person]
	return w.read && w.Kind == kin.Attendant || t.attends[person]
}

func (t *Tree) young(person int) bool {
	b := t.Band(person)
	return b == event.Child || b == event.Infant
}

// Kindred is how near a child is to somebody, as far as the event says it.
type Kindred int

// From the nearest. The zero value is for who is not known to be of the family.
const (
	Stranger Kindred = iota
	OwnParent
	NearKin // may well be the parent: a nephew to a sister
)

// Kindred says what a grown-up is to a child.
func (t *Tree) Kindred(child, grown int) Kindred {
	c, g := t.e.People[child], t.e.People[grown]
	r, of := &t.said[child], &t.said[grown]
	if !r.read || r.Plural {
		return Stranger
	}
	sameSide := c.Side == g.Side || c.Side == ""
	switch r.Kind {
	case kin.Offspring:
		switch {
		case r.Of != nil: // sister's son: of the sister
			if of.read && sameSide && r.Of.Covers(of.Relation) {
				return OwnParent
			}
		case r.Owner != "":
			called := func(p int) bool { return t.calledSo(p, r.owner) }
			if called(grown) || t.leads[grown] && (isCouple(r.Owner) || ledBy(r.Owner) && sameSide && !slices.ContainsFunc(t.honoured, called)) {
				return OwnParent
			}
		case r.Sex != kin.AnySex && t.leads[grown]: // "daughter"; "baby" alone is anybody's
			return OwnParent
		}
	case kin.NieceNephew:
		switch t.Kins[grown].Degree {
		case Sibling, HalfSibling, SiblingSpouse:
			if sameSide {
				return NearKin
			}
		}
	}
	return Stranger
}

// ledBy reports whether a word stands for one of a couple: "bride".
func ledBy(word string) bool {
	r, ok := kin.Read(word)
	return ok && r.Kind == kin.OfCouple
}

// isCouple reports whether words stand for the couple, as "couple" and "Brautpaar" do.
func isCouple(words string) bool {
	r, ok := kin.Read(words)
	return ok && r.Kind == kin.OfCouple && r.Plural && r.Owner == "" && r.Of == nil
}

// Parted are pairs who are divorced or separated: whom the words of a relation say so of, and parents of whom each, or
// one by the words, has another partner.
func (t *Tree) Parted() [][2]int {
	var out [][2]int
	add := func(a, b int) {
		if pair := [2]int{min(a, b), max(a, b)}; a != b && !slices.Contains(out, pair) {
			out = append(out, pair)
		}
	}
	for _, f := range t.Halves() {
		if len(f.Parents) == 2 && (len(f.StepParents) > 0 || t.said[f.Parents[0]].Divorced || t.said[f.Parents[1]].Divorced || t.partnered(f.Parents)) {
			add(f.Parents[0], f.Parents[1])
		}
	}
	for i, p := range t.e.People {
		r := &t.said[i]
		former := r.read && r.Former && r.Kind == kin.Partner
		if !former && r.from == "" {
			continue
		}
		for j, q := range t.e.People {
			of := &t.said[j]
			switch {
			case t.calledSo(j, r.from) && (p.Side == q.Side || r.from != t.called[j].relation),
				former && r.Of != nil && of.read && p.Side == q.Side && r.Of.Covers(of.Relation),
				former && r.Of == nil && t.calledSo(j, r.owner):
				add(i, j)
			}
		}
	}
	return out
}

// Uneasy are pairs who would rather not stand side by side: who have parted, and either of them with the partner whom the
// other has now.
func (t *Tree) Uneasy() [][2]int {
	parted, partners := t.Parted(), t.Partners()
	out := slices.Clone(parted)
	for _, two := range parted {
		for k, p := range two {
			for _, pair := range partners {
				if at := slices.Index(pair[:], two[1-k]); at >= 0 && pair[1-at] != p {
					out = append(out, [2]int{min(p, pair[1-at]), max(p, pair[1-at])})
				}
			}
		}
	}
	slices.SortFunc(out, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	return slices.Compact(out)
}

// Partners are pairs of whom the words of one say whose partner it is, the two grandparents of one of the couple, and a
// stepfather with the mother, a stepmother with the father.
func (t *Tree) Partners() [][2]int {
	var out [][2]int
	for _, f := range t.Halves() {
		if len(f.Grandparents) == 2 {
			out = append(out, [2]int(f.Grandparents))
		}
		for _, step := range f.StepParents {
			sex := t.said[step].Sex
			alike, other := t.ofSex(f.StepParents, sex), t.ofSex(f.Parents, kin.Woman+kin.Man-sex)
			if t.said[step].Kind == kin.Parent && sex != kin.AnySex && len(alike) == 1 && len(other) == 1 {
				out = append(out, [2]int{other[0], step})
			}
		}
	}
	for i, p := range t.e.People {
		r := &t.said[i]
		if !r.read || r.Former || r.Plural || r.Kind != kin.Partner || t.leads[i] {
			continue
		}
		var with []int
		for j, q := range t.e.People {
			of := &t.said[j]
			if i != j && (t.calledSo(j, r.owner) || r.Of != nil && of.read && p.Side == q.Side && r.Of.Covers(of.Relation)) {
				with = append(with, j)
			}
		}
		if len(with) == 1 {
			out = append(out, [2]int{with[0], i})
		}
	}
	return out
}

func (t *Tree) ofSex(people []int, sex kin.Sex) []int {
	return slices.DeleteFunc(slices.Clone(people), func(p int) bool { return t.said[p].Sex != sex })
}

// partnered reports whether one of two people has another partner by the words, or each is one of a circle of two
// grown-ups, and not of the same.
func (t *Tree) partnered(two []int) bool {
	for _, pair := range t.Partners() {
		if slices.Contains(two, pair[0]) != slices.Contains(two, pair[1]) {
			return true
		}
	}
	var with [2]bool
	for _, people := range t.r.Within {
		if len(people) != 2 || t.young(people[0]) || t.young(people[1]) {
			continue
		}
		one, other := slices.Contains(people, two[0]), slices.Contains(people, two[1])
		if one && other {
			return false
		}
		with[0], with[1] = with[0] || one, with[1] || other
	}
	return with[0] && with[1]
}
