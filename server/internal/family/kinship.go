package family

import (
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
)

// Degree is what a person is to one of those whom the day is about.
type Degree int

// The degrees. Of the zero value no claim is made.
const (
	Unknown  Degree = iota // nothing that is understood: no claim is made
	OfCouple               // one of the couple
	Spouse                 // somebody's partner
	Parent
	StepParent // a parent's partner
	Sibling
	HalfSibling // one parent in common, or none: step-siblings too
	SiblingSpouse
	Nibling // a sibling's child
	Grandparent
	Child
	Other // understood and further away, such as an aunt
)

// kinAlone is what a relation is that stands alone; what is not in it is Other.
var kinAlone = map[kin.Kind]Degree{
	kin.OfCouple: OfCouple, kin.Partner: Spouse, kin.Parent: Parent, kin.Sibling: Sibling,
	kin.Grandparent: Grandparent, kin.NieceNephew: Nibling, kin.Offspring: Child,
}

// kinPairs is what the relative of a relative is, where that is near.
var kinPairs = map[[2]Degree]Degree{
	{Parent, Spouse}:      StepParent,
	{Parent, Parent}:      Grandparent,
	{Sibling, Spouse}:     SiblingSpouse,
	{HalfSibling, Spouse}: SiblingSpouse,
	{Sibling, Child}:      Nibling,
	{HalfSibling, Child}:  Nibling,
	{StepParent, Child}:   HalfSibling,
}

// Kinship is what the words of a person's relation say.
type Kinship struct {
	Degree Degree
	Owner  string // whose relative, where the words say so, as they are written
}

// Near reports whether it is a relative whom a photograph of the family turns on.
func (k Kinship) Near() bool {
	switch k.Degree {
	case Parent, Sibling, HalfSibling, Grandparent, Child:
		return true
	}
	return false
}

// kinOf says what one person with these words is. Words for several people and former partners say
// nothing that could be relied on.
func kinOf(text string) Kinship {
	r, ok := kin.Read(text)
	if !ok {
		return Kinship{}
	}
	return Kinship{degreeOf(r), r.Owner}
}

func kinships(people []event.Person) []Kinship {
	out := make([]Kinship, len(people))
	for i, p := range people {
		if p.Relation != "" {
			out[i] = kinOf(p.Relation)
		}
	}
	return out
}

func degreeOf(r kin.Relation) Degree {
	k, near := kinAlone[r.Kind]
	switch {
	case r.Plural || r.Former:
		return Unknown
	case !near:
		return Other
	case r.InLaw && k == Sibling:
		k = SiblingSpouse
	case r.InLaw:
		k = Other
	case r.Step && k == Parent:
		k = StepParent
	case (r.Step || r.Half) && k == Sibling:
		k = HalfSibling
	}
	if r.Of == nil {
		return k
	}
	of := degreeOf(*r.Of)
	if of == Unknown {
		return Unknown
	}
	if pair, near := kinPairs[[2]Degree{of, k}]; near {
		return pair
	}
	return Other
}

// Plain writes words without case, accents and hyphens, for comparison: "Anne-Zoë" is "anne zoe".
func Plain(s string) string { return kin.Bare(kin.Key(s)) }
