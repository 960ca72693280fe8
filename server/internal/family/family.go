// Package family says whom a day is about and what the guests are to them, as far as the event says it: in a field, in
// circles, or in the words of relations. It guesses nothing of people of whom nothing is said.
package family

import (
	"slices"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
)

// Tree is what an event says of kin. People are indices of the event.
type Tree struct {
	e *event.Event
	r *event.Index
	x *event.Expansion
	// Kins are by person.
	Kins []Kinship
	// Couple is nil when it is not clear who they are.
	Couple *[2]int
	// said and band are what the words of each relation say, and the age band.
	said     []said
	band     []event.AgeBand
	called   []calls
	honoured []int
	leads    []bool
	attends  []bool   // by a circle
	circled  []Degree // by a circle
}

// said is what the words of a relation say; read is false where they are not understood.
type said struct {
	kin.Relation
	kin.Remarks
	read        bool
	owner, from string // those of the relation and the remarks in plain letters
}

// Half is the near family of one of those whom the day is about: people who are coming, each in one list, in the order
// of the event.
type Half struct {
	One, Other                      int // Other is -1 where there is nobody else
	Parents, StepParents            []int
	Siblings, HalfSiblings          []int
	SiblingPartners, SiblingsFamily []int // SiblingsFamily: children of siblings
	Grandparents, Children          []int
}

// Of reads the kin of an event. It changes nothing of what it is given.
func Of(e *event.Event, r *event.Index, x *event.Expansion) *Tree {
	t := &Tree{e: e, r: r, x: x, Kins: kinships(e.People)}
	for _, p := range e.People {
		name := Plain(p.Name)
		first, _, _ := strings.Cut(name, " ")
		t.called = append(t.called, calls{name, first, Plain(p.Relation)})
		w := said{Remarks: kin.Remarks{Age: -1}}
		if p.Relation != "" {
			w.Relation, w.read = kin.Read(p.Relation)
			w.Remarks = kin.ReadRemarks(p.Relation)
			w.owner, w.from = Plain(w.Owner), Plain(w.From)
		}
		t.said = append(t.said, w)
		if p.AgeBand == event.Adult && w.Age >= 0 {
			p.AgeBand = event.AgeBandAt(w.Age)
		}
		t.band = append(t.band, p.AgeBand)
	}
	t.Couple = t.findCouple()
	t.honoured, t.leads = t.findHonoured(), make([]bool, len(e.People))
	t.attends = make([]bool, len(e.People))
	for i, c := range e.Circles {
		for _, words := range []string{c.ID, c.Title} {
			if w, ok := kin.Read(words); ok && w.Kind == kin.Attendant {
				for _, p := range r.Within[i] {
					t.attends[p] = true
				}
			}
		}
	}
	for _, p := range t.honoured {
		t.leads[p] = true
	}
	t.circled = t.findCircled()
	return t
}

// About lists the ids of those whom an event says that it is about, else of the couple where that is no guess.
func About(e *event.Event) []string {
	t := &Tree{e: e, r: event.NewIndex(e), Kins: kinships(e.People)} // all that namedCouple needs
	if two := t.namedCouple(); two != nil && len(e.Honour) == 0 {
		return []string{e.People[two[0]].ID, e.People[two[1]].ID}
	}
	return e.Honour
}

// Honoured are those whom the day is about. The slice is not to be changed.
func (t *Tree) Honoured() []int { return t.honoured }

// findHonoured finds whom the event names, else the couple, else whoever is in most photographs.
func (t *Tree) findHonoured() []int {
	if out := t.r.PeopleOf(t.e.Honour...); len(out) > 0 {
		return out
	}
	if t.Couple != nil {
		return t.Couple[:]
	}
	return t.mostTaken()
}

// If the event does not say whom the day is about, it is about those in at least this share of the photographs, provided
// there are at least manyPhotographs. Common practice, no source.
const (
	mostNumerator, mostDenominator = 3, 5
	manyPhotographs                = 4
)

func (t *Tree) mostTaken() []int {
	times, all := t.TimesIn()
	var out []int
	for p, n := range times {
		if all >= manyPhotographs && n*mostDenominator >= all*mostNumerator {
			out = append(out, p)
		}
	}
	return out
}

// Halves are the near families of the couple, or of the one whom the day is about; none when it is not clear who that is.
func (t *Tree) Halves() []Half {
	var out []Half
	switch who := t.Honoured(); {
	case t.Couple != nil:
		a, b := t.Couple[0], t.Couple[1]
		out = []Half{{One: a, Other: b}, {One: b, Other: a}}
	case len(who) == 1:
		out = []Half{{One: who[0], Other: -1}}
	default:
		return nil
	}
	for i, p := range t.e.People {
		if p.Absent || slices.ContainsFunc(out, func(f Half) bool { return f.One == i }) {
			continue
		}
		if f := t.halfOf(p, t.Kins[i].Owner, out); f != nil {
			if list := f.list(t.Kins[i].Degree); list != nil {
				*list = append(*list, i)
			}
		}
	}
	return out
}

// list returns the list for relatives of a kind, nil for those further away.
func (f *Half) list(k Degree) *[]int {
	switch k {
	case Parent:
		return &f.Parents
	case StepParent:
		return &f.StepParents
	case Sibling:
		return &f.Siblings
	case HalfSibling:
		return &f.HalfSiblings
	case SiblingSpouse:
		return &f.SiblingPartners
	case Nibling:
		return &f.SiblingsFamily
	case Grandparent:
		return &f.Grandparents
	case Child:
		return &f.Children
	}
	return nil
}

// halfOf says whose relative a person is: whom the relation names, or by the side. Nil when neither tells, or they
// contradict each other.
func (t *Tree) halfOf(p event.Person, owner string, halves []Half) *Half {
	side := func(f *Half) string { return t.e.People[f.One].Side }
	if owner == "" {
		if len(halves) == 1 {
			return &halves[0]
		}
		for i := range halves {
			if p.Side != "" && p.Side == side(&halves[i]) && side(&halves[0]) != side(&halves[1]) {
				return &halves[i]
			}
		}
		return nil
	}
	var found *Half
	for i := range halves {
		if !t.calledSo(halves[i].One, Plain(owner)) {
			continue
		}
		if found != nil {
			return nil
		}
		found = &halves[i]
		if s := side(found); p.Side != "" && s != "" && p.Side != s {
			return nil
		}
	}
	return found
}

// calls are what somebody goes by, each in plain letters.
type calls struct{ name, first, relation string }

// calledSo reports whether somebody goes by a word in plain letters: the name, its first part, or the own relation.
func (t *Tree) calledSo(person int, word string) bool {
	c := &t.called[person]
	return word != "" && (word == c.name || word == c.first || word == c.relation)
}

// namedCouple finds the two whom it is all about by their relations, or by the circle that is named as theirs.
func (t *Tree) namedCouple() *[2]int {
	var named []int
	for i, p := range t.e.People {
		if !p.Absent && t.Kins[i] == (Kinship{Degree: OfCouple}) {
			named = append(named, i)
		}
	}
	if len(named) == 2 {
		return &[2]int{named[0], named[1]}
	}
	for i, x := range t.e.Circles {
		if two := t.Coming(t.r.Within[i]); len(two) == 2 && (isCouple(x.ID) || isCouple(x.Title)) {
			return &[2]int{two[0], two[1]}
		}
	}
	return nil
}

// findCouple finds them also as the only two without another relation in at least half of the photographs.
func (t *Tree) findCouple() *[2]int {
	if two := t.namedCouple(); two != nil {
		return two
	}
	var often []int
	times, all := t.TimesIn()
	for i, p := range t.e.People {
		k := t.Kins[i]
		if !p.Absent && all >= manyPhotographs && 2*times[i] >= all && (!event.Visible(p.Relation) || k == Kinship{Degree: OfCouple} || k == Kinship{Degree: Spouse}) {
			often = append(often, i)
		}
	}
	// A third who is in as many photographs makes it a guess.
	if len(often) == 2 && t.e.People[often[0]].Side != t.e.People[often[1]].Side {
		return &[2]int{often[0], often[1]}
	}
	return nil
}

// TimesIn counts the photographs that each person is in, and all that are taken.
func (t *Tree) TimesIn() (times []int, all int) {
	times = make([]int, len(t.e.People))
	for _, s := range t.x.All {
		if !s.Taken() {
			continue
		}
		all++
		for _, p := range s.Members {
			times[p]++
		}
	}
	return times, all
}

// Coming leaves out who is absent.
func (t *Tree) Coming(people []int) []int {
	return slices.DeleteFunc(slices.Clone(people), func(p int) bool { return t.e.People[p].Absent })
}
