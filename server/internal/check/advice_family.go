package check

import (
	"slices"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
)

// family is the near family of one half of the couple: people who are coming, by index, each in one
// list, in the order of the event. Nobody is in it on a guess.
type family struct {
	half, other                     int // the two of the couple
	parents, stepParents            []int
	siblings, halfSiblings          []int
	siblingPartners, siblingsFamily []int // siblingsFamily: children of siblings
	grandparents, children          []int
	// separated says that the parents are not to be asked into one photograph: one of them has another
	// partner, a rule keeps them apart, or the list itself takes them one at a time.
	separated bool
}

// families finds the couple and what the relations say of the families of the two. It returns nil
// when it is not clear who the couple is.
func (c *checker) families() []family {
	if c.couple == nil {
		return nil
	}
	a, b := c.couple[0], c.couple[1]
	out := []family{{half: a, other: b}, {half: b, other: a}}
	for i, p := range c.e.People {
		if p.Absent || i == a || i == b {
			continue
		}
		f := c.familyOf(p, c.kins[i].owner, out)
		if f == nil {
			continue
		}
		if list := f.list(c.kins[i].kin); list != nil {
			*list = append(*list, i)
		}
	}
	for i := range out {
		out[i].separated = c.separated(&out[i])
	}
	return out
}

// list returns the list for relatives of a kind, nil for those further away.
func (f *family) list(k degree) *[]int {
	switch k {
	case kinParent:
		return &f.parents
	case kinStepParent:
		return &f.stepParents
	case kinSibling:
		return &f.siblings
	case kinHalfSibling:
		return &f.halfSiblings
	case kinSiblingSpouse:
		return &f.siblingPartners
	case kinNibling:
		return &f.siblingsFamily
	case kinGrandparent:
		return &f.grandparents
	case kinChild:
		return &f.children
	}
	return nil
}

// familyOf says whose relative a person is: whom the relation names, or by the side. Nil when neither
// tells, or they contradict each other.
func (c *checker) familyOf(p event.Person, owner string, two []family) *family {
	sides := [2]string{c.e.People[two[0].half].Side, c.e.People[two[1].half].Side}
	if owner == "" {
		for i := range two {
			if p.Side != "" && p.Side == sides[i] && sides[0] != sides[1] {
				return &two[i]
			}
		}
		return nil
	}
	var found *family
	for i := range two {
		if !c.calledSo(two[i].half, owner) {
			continue
		}
		if found != nil {
			return nil
		}
		found = &two[i]
		if p.Side != "" && sides[i] != "" && p.Side != sides[i] {
			return nil
		}
	}
	return found
}

// calledSo reports whether one half of the couple goes by a word: the name, its first part, or the own
// relation.
func (c *checker) calledSo(half int, word string) bool {
	p := c.e.People[half]
	name := plain(p.Name)
	first, _, _ := strings.Cut(name, " ")
	word = plain(word)
	return word == name || word == first || word == plain(p.Relation)
}

// findCouple finds the two whom it is all about: by their relations, by the circle that is named as
// theirs, or as the only two without another relation in at least half of the photographs.
func (c *checker) findCouple() *[2]int {
	var named, often []int
	times, all := c.timesIn()
	for i, p := range c.e.People {
		if p.Absent {
			continue
		}
		k := c.kins[i]
		if k == (kinship{kin: kinCouple}) {
			named = append(named, i)
		}
		if all >= 4 && 2*times[i] >= all && (!event.Visible(p.Relation) || k == kinship{kin: kinCouple} || k == kinship{kin: kinSpouse}) {
			often = append(often, i)
		}
	}
	if len(named) == 2 {
		return &[2]int{named[0], named[1]}
	}
	for i, x := range c.e.Circles {
		if two := c.coming(c.r.Within[i]); len(two) == 2 && (isCouple(x.ID) || isCouple(x.Title)) {
			return &[2]int{two[0], two[1]}
		}
	}
	// A third who is in as many photographs makes it a guess.
	if len(often) == 2 && c.e.People[often[0]].Side != c.e.People[often[1]].Side {
		return &[2]int{often[0], often[1]}
	}
	return nil
}

// isCouple reports whether words stand for the couple, as "couple" and "Brautpaar" do.
func isCouple(words string) bool {
	r, ok := kin.Read(words)
	return ok && r.Kind == kin.OfCouple && r.Plural && r.Owner == "" && r.Of == nil
}

// timesIn counts the photographs that each person is in, and all that are taken.
func (c *checker) timesIn() (times []int, all int) {
	times = make([]int, len(c.e.People))
	for _, s := range c.x.All {
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

// coming leaves out who is absent.
func (c *checker) coming(people []int) []int {
	return slices.DeleteFunc(slices.Clone(people), func(p int) bool { return c.e.People[p].Absent })
}

func (c *checker) separated(f *family) bool {
	if len(f.parents) < 2 {
		return false
	}
	if len(f.parents) > 2 || len(f.stepParents) > 0 || c.keptApart(f.parents) {
		return true
	}
	near := c.among(f.half, f.other, f.parents, f.siblings, f.halfSiblings, f.siblingPartners, f.siblingsFamily, f.children)
	var alone [2]bool
	for _, s := range c.x.All {
		if !s.Taken() {
			continue
		}
		one, other := slices.Contains(s.Members, f.parents[0]), slices.Contains(s.Members, f.parents[1])
		if one && other && near.holds(s.Members) {
			return false
		}
		alone[0], alone[1] = alone[0] || one && !other, alone[1] || other && !one
	}
	return alone[0] && alone[1]
}

// keptApart reports whether a rule keeps any two of the people apart for the whole day, in whatever
// way: bringing them together is then nothing to suggest.
func (c *checker) keptApart(people []int) bool {
	for _, r := range c.e.Rules {
		if r.Apart == nil || r.Apart.Until != "" {
			continue
		}
		entry := make(map[int]int, len(people))
		for k, id := range r.Apart.People {
			for _, p := range c.r.Of(id) {
				if !slices.Contains(people, p) {
					continue
				}
				if first, is := entry[p]; is && first != k {
					continue
				}
				entry[p] = k
			}
		}
		seen := -1
		for _, k := range entry {
			if seen >= 0 && k != seen {
				return true
			}
			seen = k
		}
	}
	return false
}

// mayMeet reports whether people can be suggested for one photograph: no rule keeps any of them apart, and
// there is a time between the coming of the last and the going of the first.
func (c *checker) mayMeet(people []int) bool {
	if c.keptApart(people) {
		return false
	}
	if c.clock == nil {
		return true
	}
	var from, until time.Time
	for _, p := range people {
		if t, err := c.clock.InstantOf(c.e.People[p].PresentFrom); err == nil && t.After(from) {
			from = t
		}
		if t, err := c.clock.InstantOf(c.e.People[p].PresentUntil); err == nil && (until.IsZero() || t.Before(until)) {
			until = t
		}
	}
	return from.IsZero() || until.IsZero() || from.Before(until)
}

// crowd says of each person, by index, whether they belong.
type crowd []bool

// among makes a crowd of the two of the couple and of lists.
func (c *checker) among(half, other int, lists ...[]int) crowd {
	in := make(crowd, len(c.e.People))
	in[half], in[other] = true, true
	for _, p := range slices.Concat(lists...) {
		in[p] = true
	}
	return in
}

// holds reports whether all of the people belong.
func (in crowd) holds(people []int) bool {
	return !slices.ContainsFunc(people, func(p int) bool { return !in[p] })
}
