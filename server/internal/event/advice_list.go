package event

import (
	"cmp"
	"fmt"
	"slices"
)

// maxNearlySame is how many pairs of nearly the same people are told.
const maxNearlySame = 3

// busyLeaders tells of circles whose leader is in the frame most of the time and so cannot gather
// anybody, when somebody else of the circle could.
func (c *checker) busyLeaders() {
	times, all := c.timesIn()
	for i, x := range c.e.Circles {
		leader, ok := c.r.people[x.Leader]
		if !ok || all < 4 || 2*times[leader] <= all {
			continue
		}
		best := -1
		for _, p := range c.coming(c.r.within[i]) {
			q := c.e.People[p]
			if q.AgeBand != Adult || len(q.Needs) > 0 || 4*times[p] > all {
				continue
			}
			if best < 0 || times[p] < times[best] {
				best = p
			}
		}
		if best < 0 {
			continue
		}
		c.add(Info, CodeLeaderInMost, fmt.Sprintf("circles[%d].leader", i), []string{x.ID, x.Leader, c.e.People[best].ID}, fmt.Sprintf(
			"%s is to gather the circle %s and is in %d of %d photographs. Somebody who is in few has the time: for example %s, who is in %d.",
			c.r.person(leader), quote(x.ID), times[leader], all, c.r.person(best), times[best]))
	}
}

// bitset holds people as a set, for comparing many photographs.
type bitset []uint64

func (b bitset) within(c bitset) bool {
	for i := range b {
		if b[i]&^c[i] != 0 {
			return false
		}
	}
	return true
}

// nearlySame tells of groupings that are another one with one or two people more, or a tenth more.
// Pairs that are meant are left alone: made with without, or with and without the couple.
func (c *checker) nearlySame() {
	often := c.x.often()
	type entry struct {
		shot  *shot
		set   bitset
		inner int // people who are not in most photographs anyway
	}
	var list []entry
	for i := range c.x.all {
		s := &c.x.all[i]
		if !s.taken() || s.photo.Portrait || len(c.e.Groupings[s.photo.Source].Without) > 0 {
			continue
		}
		e := entry{shot: s, set: make(bitset, len(c.e.People)/64+1)}
		for _, p := range s.members {
			e.set[p/64] |= 1 << (p % 64)
			if !often[p] {
				e.inner++
			}
		}
		list = append(list, e)
	}
	type pair struct{ smaller, larger, extra int }
	var pairs []pair
	for i, a := range list {
		for j, b := range list {
			extra := len(b.shot.members) - len(a.shot.members)
			if a.inner < 4 || extra < 1 || extra > max(2, a.inner/10) || b.inner == a.inner || !a.set.within(b.set) {
				continue
			}
			pairs = append(pairs, pair{i, j, extra})
		}
	}
	slices.SortStableFunc(pairs, func(p, q pair) int {
		return cmp.Compare(p.extra*len(list[q.smaller].shot.members), q.extra*len(list[p.smaller].shot.members))
	})
	// Of what adds to one grouping, the nearest stands for all.
	smaller := make(map[int]bool)
	pairs = slices.DeleteFunc(pairs, func(p pair) bool {
		double := smaller[p.smaller]
		smaller[p.smaller] = true
		return double
	})
	for k, p := range pairs[:min(len(pairs), maxNearlySame)] {
		a, b := list[p.smaller].shot, list[p.larger].shot
		more := ""
		if rest := len(pairs) - maxNearlySame; k == maxNearlySame-1 && rest > 0 {
			more = fmt.Sprintf(" The list has %s like it.", count(rest, "more pair", "more pairs"))
		}
		c.add(Info, CodeNearlySamePeople, fmt.Sprintf("groupings[%d]", b.photo.Source), []string{a.photo.ID, b.photo.ID}, fmt.Sprintf(
			"%s is %s with %s added: if time is short, one of the two will do.%s",
			quote(b.photo.ID), quote(a.photo.ID), c.few(slices.DeleteFunc(slices.Clone(b.members), func(p int) bool { return slices.Contains(a.members, p) })), more))
	}
}
