package check

import (
	"fmt"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/family"
	"kinorder.example/server/internal/wording"
)

// kindred is the near family of one half of the couple.
type kindred struct {
	family.Half
	// separated says that the parents are not to be asked into one photograph: one of them has another
	// partner, a rule keeps them apart, or the list itself takes them one at a time.
	separated bool
}

// families returns the near families of the couple, nil when it is not clear who they are.
func (c *checker) families() []kindred {
	if c.tree.Couple == nil {
		return nil
	}
	var out []kindred
	for _, half := range c.tree.Halves() {
		f := kindred{Half: half}
		f.separated = c.separated(&f)
		out = append(out, f)
	}
	return out
}

func (c *checker) separated(f *kindred) bool {
	if len(f.Parents) < 2 {
		return false
	}
	if len(f.Parents) > 2 || len(f.StepParents) > 0 || c.keptApart(f.Parents) {
		return true
	}
	near := c.among(f.One, f.Other, f.Parents, f.Siblings, f.HalfSiblings, f.SiblingPartners, f.SiblingsFamily, f.Children)
	var alone [2]bool
	for _, s := range c.x.All {
		if !s.Taken() {
			continue
		}
		one, other := slices.Contains(s.Members, f.Parents[0]), slices.Contains(s.Members, f.Parents[1])
		if one && other && near.holds(s.Members) {
			return false
		}
		alone[0], alone[1] = alone[0] || one && !other, alone[1] || other && !one
	}
	return alone[0] && alone[1]
}

// withoutCouple tells of photographs of near family in which neither of the couple is: many lists that say "the bride's
// parents" mean them with the couple. Whoever left them out on purpose has said so.
func (c *checker) withoutCouple(two []kindred) {
	if len(two) == 0 {
		return
	}
	var near []int
	for i := range two {
		f := &two[i]
		near = slices.Concat(near, f.Parents, f.StepParents, f.Grandparents, f.Siblings, f.HalfSiblings)
	}
	told := 0
	for i := range c.x.All {
		s := &c.x.All[i]
		asked := c.e.Groupings[s.Photo.Source]
		related := 0
		for _, p := range s.Members {
			switch {
			case slices.Contains(c.tree.Couple[:], p):
				related = -len(c.e.People)
			case slices.Contains(near, p):
				related++
			}
		}
		if !s.Taken() || related < 2 || len(asked.Without) > 0 || told == maxFamily {
			continue
		}
		told++
		title := c.photo(s.Photo)
		if asked.Title == "" {
			title = wording.Say("%s", c.few(s.Members))
		}
		c.add(event.Info, event.CodeWithoutCouple, fmt.Sprintf("groupings[%d]", s.Photo.Source), []string{s.Photo.ID}, wording.Say("advice.neitherOfTheCouple", title))
	}
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
