package placing

import (
	"fmt"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
	"kinorder.example/solver/standing"
)

// kindred is what an event says of who belongs to whom.
type kindred struct {
	tree       *family.Tree
	shots      [][]uint64 // by person: the photographs that they are in
	importance []int
	sides      []standing.Side
	partners   [][]int  // by person, by the words
	apart      [][2]int // pairs who are not to stand side by side, by index, the smaller first
	// near keeps what people are to children, because it is asked for every photograph.
	near map[[2]int]family.Kindred
	// own are partners, and those whom the day is about with each of their parents; grandparents count as partners.
	own []standing.Tie
}

var leftAndRight = [2]standing.Side{standing.Left, standing.Right}

func newKindred(e *event.Event) *kindred {
	r := event.NewIndex(e)
	x := event.NewExpansion(e, r)
	k := &kindred{tree: family.Of(e, r, x), shots: taken(len(e.People), x), importance: make([]int, len(e.People)), sides: make([]standing.Side, len(e.People)), near: map[[2]int]family.Kindred{}}
	for i, p := range e.People {
		for s, side := range e.Sides[:min(len(e.Sides), 2)] {
			if p.Side == side.ID {
				k.sides[i] = leftAndRight[s]
			}
		}
	}
	halves := k.tree.Halves()
	for h, half := range halves {
		young := func(p int) bool { return k.tree.Band(p) == event.Child || k.tree.Band(p) == event.Infant }
		grown := slices.DeleteFunc(slices.Clone(half.Children), young)
		for importance, people := range map[int][]int{
			parental: half.Parents, grandparental: slices.Concat(half.StepParents, half.Grandparents, grown),
			sibling: slices.Concat(half.Siblings, half.HalfSiblings, half.SiblingPartners), 0: slices.Concat(half.SiblingsFamily, []int{half.One}),
		} {
			for _, p := range people {
				k.importance[p] = importance
				if importance == parental {
					k.own = append(k.own, standing.Tie{Bond: standing.Household, Members: []int{half.One, p}})
				}
				if len(halves) == 2 && len(e.Sides) == 0 { // "Karl's mother" says whose she is
					k.sides[p] = leftAndRight[h]
				}
			}
		}
	}
	k.sideWith(halves, k.shots)
	for i := range e.People {
		if k.tree.Attendant(i) {
			k.importance[i] = max(k.importance[i], attending)
		}
	}
	for _, p := range k.tree.Honoured() {
		k.importance[p] = leading
	}
	k.keepApart(e, r)
	k.pair(halves)
	return k
}

// keepApart finds partners, and who are not to stand side by side: by the words, and by the rules.
func (k *kindred) keepApart(e *event.Event, r *event.Index) {
	k.partners = make([][]int, len(e.People))
	for _, two := range k.tree.Partners() {
		k.partners[two[0]], k.partners[two[1]] = append(k.partners[two[0]], two[1]), append(k.partners[two[1]], two[0])
	}
	k.apart = k.tree.Uneasy()
	seen := map[[2]int]bool{}
	for _, pair := range k.apart {
		seen[pair] = true
	}
	for _, rule := range e.Rules {
		// Whoever is kept out of a block until a time may meet from then on: a couple before the ceremony.
		if rule.Apart == nil || rule.Apart.Scope == event.InBlock && rule.Apart.Until != "" {
			continue
		}
		for _, q := range rule.Apart.PairsIn(r) {
			if pair := [2]int{min(q.One, q.Other), max(q.One, q.Other)}; !seen[pair] {
				seen[pair] = true
				k.apart = append(k.apart, pair)
			}
		}
	}
}

// pair ties partners, and the two parents of one whom the day is about, unless they are to be kept apart.
func (k *kindred) pair(halves []family.Half) {
	pairs := k.tree.Partners()
	for _, half := range halves {
		if len(half.Parents) == 2 {
			pairs = append(pairs, [2]int(half.Parents))
		}
	}
	for _, pair := range pairs {
		slices.Sort(pair[:])
		if slices.Contains(k.apart, pair) {
			continue
		}
		k.asNear(pair)
		k.own = append(k.own, standing.Tie{Bond: standing.Couple, Members: pair[:]})
	}
}

// asNear has partners be as near as the nearer of them is. The one of a parent stands back for the parents, and the one of
// whom the day is about is as near as a parent.
func (k *kindred) asNear(two [2]int) {
	near := min(max(k.importance[two[0]], k.importance[two[1]]), leading)
	if near == leading {
		near = parental
	} else {
		near = min(near, grandparental)
	}
	for _, p := range two {
		k.importance[p] = max(k.importance[p], near)
	}
}

// kindred is what a grown-up is to a child.
func (k *kindred) kindred(child, grown int) family.Kindred {
	pair := [2]int{child, grown}
	out, known := k.near[pair]
	if !known {
		out = k.tree.Kindred(child, grown)
		k.near[pair] = out
	}
	return out
}

// places says where each person of the event is among ids, -1 for who is not.
func (p *placer) places(ids []string) []int {
	out := slices.Repeat([]int{-1}, len(p.event.People))
	for at, id := range ids {
		out[p.index[id]] = at
	}
	return out
}

// ties are the circles of which two people or more, and not everybody, are in a photograph, children with their
// parents, partners, and below half a crowd also whom the day is about with theirs: among more, these stand where the
// middle and the sides put them.
func (p *placer) ties(ids []string) []standing.Tie {
	var out []standing.Tie
	with := make([][]int, len(p.circles))
	for at, id := range ids {
		for _, c := range p.circlesOf[p.index[id]] {
			with[c] = append(with[c], at)
		}
	}
	for c, members := range with {
		if n := len(members); n == 2 || n > 2 && n < len(ids) {
			out = append(out, standing.Tie{Bond: p.circles[c].bond, Members: members})
		}
	}
	here := p.places(ids)
	for _, t := range p.kin.own {
		if one, other := here[t.Members[0]], here[t.Members[1]]; one >= 0 && other >= 0 && len(ids) > 2 && (t.Bond == standing.Couple || len(ids) < crowd/2) {
			out = append(out, standing.Tie{Bond: t.Bond, Members: []int{min(one, other), max(one, other)}})
		}
	}
	return append(out, p.homes(ids)...)
}

// homes are parents in a photograph with their children: small ones close by, grown ones not far.
func (p *placer) homes(ids []string) []standing.Tie {
	var out []standing.Tie
	of := map[string]int{}
	for at, id := range ids {
		parents := p.parents(ids, id)
		if len(parents) == 0 {
			continue
		}
		bond := standing.Household
		if p.grown(p.index[id]) {
			if bond = standing.Circle; len(ids) >= crowd {
				continue
			}
		}
		key := fmt.Sprint(bond, parents)
		if k, known := of[key]; known {
			out[k].Members = append(out[k].Members, at)
			continue
		}
		of[key] = len(out)
		out = append(out, standing.Tie{Bond: bond, Members: append(parents, at)})
	}
	for _, t := range out {
		slices.Sort(t.Members)
	}
	return out
}

// parents are the parents of somebody who are in the photograph too, with their partners, or those whom a child belongs to. Of
// those whom the day is about, and of their children who are grown, nothing is said here.
func (p *placer) parents(ids []string, child string) []int {
	c := p.index[child]
	leads, grown := p.kin.tree.Honoured(), p.grown(c)
	if slices.Contains(leads, c) {
		return nil
	}
	own := func(q int) bool {
		return p.kin.kindred(c, q) == family.OwnParent && !(grown && slices.Contains(leads, q))
	}
	var out []int
	for at, id := range ids {
		if q := p.index[id]; q != c && p.grown(q) && (own(q) || slices.Contains(p.company[c], q) || slices.ContainsFunc(p.kin.partners[q], own)) {
			out = append(out, at)
		}
	}
	return out
}

func (p *placer) grown(person int) bool {
	b := p.kin.tree.Band(person)
	return b == event.Adult || b == event.Elder
}

// Ranks of who holds an infant beside those that package standing has for ties: 10 in a household, 30 in a circle, 50
// for all others.
const (
	parentArms, kinArms, sideArms = 0, 20, 40
)

// arms says in whose arms infants belong: their parents', then their household's, then those of near kin, of a circle
// and of people of the same side.
func (p *placer) arms(ids []string) []standing.Arms {
	var out []standing.Arms
	for infant, id := range ids {
		i := p.index[id]
		if p.kin.tree.Band(i) != event.Infant {
			continue
		}
		bonds := p.bonds(i, ids)
		for holder, other := range ids {
			h := p.index[other]
			if holder == infant || !p.grown(h) {
				continue
			}
			near, bond := p.kin.kindred(i, h), bonds[holder]
			switch side := p.event.People[i].Side; {
			case near == family.OwnParent:
				out = append(out, standing.Arms{Infant: infant, Holder: holder, Rank: parentArms})
			case bond < standing.Circle:
			case near == family.NearKin || slices.Contains(p.company[i], h):
				out = append(out, standing.Arms{Infant: infant, Holder: holder, Rank: kinArms})
			case bond > standing.Circle && side != "" && side == p.event.People[h].Side:
				out = append(out, standing.Arms{Infant: infant, Holder: holder, Rank: sideArms})
			}
		}
	}
	return out
}

// bonds is the closest circle that somebody shares with each of the others, above standing.Circle for none.
func (p *placer) bonds(person int, others []string) []standing.Bond {
	out := slices.Repeat([]standing.Bond{standing.Circle + 1}, len(others))
	at := p.places(others)
	for _, c := range p.circlesOf[person] {
		for _, q := range p.circles[c].people {
			if k := at[q]; k >= 0 {
				out[k] = min(out[k], p.circles[c].bond)
			}
		}
	}
	return out
}

// apart lists the pairs who are not to stand side by side: by a rule, in whatever way it keeps them apart, and who are
// divorced.
func (p *placer) apart(ids []string) [][2]int {
	var out [][2]int
	at := p.places(ids)
	for _, pair := range p.kin.apart {
		if one, other := at[pair[0]], at[pair[1]]; one >= 0 && other >= 0 {
			out = append(out, [2]int{min(one, other), max(one, other)})
		}
	}
	return out
}
