package check

import (
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
)

// degree is what a person is to one half of the couple, as far as the advice needs to know.
type degree int

const (
	kinUnknown degree = iota // nothing that is understood: no claim is made
	kinCouple                // one of the couple
	kinSpouse                // somebody's partner
	kinParent
	kinStepParent // a parent's partner
	kinSibling
	kinHalfSibling // one parent in common, or none: step-siblings too
	kinSiblingSpouse
	kinNibling // a sibling's child
	kinGrandparent
	kinChild
	kinOther // understood and further away, such as an aunt
)

// kinAlone is what a relation is that stands alone; what is not in it is kinOther.
var kinAlone = map[kin.Kind]degree{
	kin.OfCouple: kinCouple, kin.Partner: kinSpouse, kin.Parent: kinParent, kin.Sibling: kinSibling,
	kin.Grandparent: kinGrandparent, kin.NieceNephew: kinNibling, kin.Offspring: kinChild,
}

// kinPairs is what the relative of a relative is, where that is near.
var kinPairs = map[[2]degree]degree{
	{kinParent, kinSpouse}:      kinStepParent,
	{kinParent, kinParent}:      kinGrandparent,
	{kinSibling, kinSpouse}:     kinSiblingSpouse,
	{kinHalfSibling, kinSpouse}: kinSiblingSpouse,
	{kinSibling, kinChild}:      kinNibling,
	{kinHalfSibling, kinChild}:  kinNibling,
	{kinStepParent, kinChild}:   kinHalfSibling,
}

// kinship is what the words of a person's relation say.
type kinship struct {
	kin   degree
	owner string // whose relative, where the words say so, as they are written
}

// near reports whether it is a relative whom a photograph of the family turns on.
func (k kinship) near() bool {
	switch k.kin {
	case kinParent, kinSibling, kinHalfSibling, kinGrandparent, kinChild:
		return true
	}
	return false
}

// kinOf says what one person with these words is. Words for several people and former partners say
// nothing that could be relied on.
func kinOf(text string) kinship {
	r, ok := kin.Read(text)
	if !ok {
		return kinship{}
	}
	return kinship{degreeOf(r), r.Owner}
}

func kinships(people []event.Person) []kinship {
	out := make([]kinship, len(people))
	for i, p := range people {
		if p.Relation != "" {
			out[i] = kinOf(p.Relation)
		}
	}
	return out
}

func degreeOf(r kin.Relation) degree {
	k, near := kinAlone[r.Kind]
	switch {
	case r.Plural || r.Former:
		return kinUnknown
	case !near:
		return kinOther
	case r.InLaw && k == kinSibling:
		k = kinSiblingSpouse
	case r.InLaw:
		k = kinOther
	case r.Step && k == kinParent:
		k = kinStepParent
	case (r.Step || r.Half) && k == kinSibling:
		k = kinHalfSibling
	}
	if r.Of == nil {
		return k
	}
	of := degreeOf(*r.Of)
	if of == kinUnknown {
		return kinUnknown
	}
	if pair, near := kinPairs[[2]degree{of, k}]; near {
		return pair
	}
	return kinOther
}

// plain writes words without case, accents and hyphens, for comparison: "Anne-Zoë" is "anne zoe".
func plain(s string) string { return kin.Bare(kin.Key(s)) }
