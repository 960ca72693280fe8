package check

import (
	"cmp"
	"fmt"
	"math/bits"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
)

// maxNearlySame is how many pairs of nearly the same people are told.
const maxNearlySame = 3

// busyLeaders tells of circles whose leader is in the frame most of the time and so cannot gather
// anybody, when somebody else of the circle could.
func (c *checker) busyLeaders() {
	times, all := c.tree.TimesIn()
	for i, x := range c.e.Circles {
		leader, ok := c.r.People[x.Leader]
		if !ok || all < 4 || 2*times[leader] <= all {
			continue
		}
		best := -1
		for _, p := range c.tree.Coming(c.r.Within[i]) {
			q := c.e.People[p]
			if q.AgeBand != event.Adult || len(q.Needs) > 0 || 4*times[p] > all {
				continue
			}
			if best < 0 || times[p] < times[best] {
				best = p
			}
		}
		if best < 0 {
			continue
		}
		c.add(event.Info, event.CodeLeaderInMost, fmt.Sprintf("circles[%d].leader", i), []string{x.ID, x.Leader, c.e.People[best].ID}, wording.Say(
			"advice.toGatherTheCircleAndIs",
			c.person(leader), groupOf(x), times[leader], all, c.person(best), times[best]))
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

// without lists who is in b and not in c.
func (b bitset) without(c bitset) []int {
	var out []int
	for i := range b {
		for rest := b[i] &^ c[i]; rest != 0; rest &= rest - 1 {
			out = append(out, 64*i+bits.TrailingZeros64(rest))
		}
	}
	return out
}

// entry is a photograph that may be nearly the same as another.
type entry struct {
	shot  *event.Shot
	set   bitset
	inner int // people who are not of the couple
}

// comparable lists the photographs that nearlySame compares.
func (c *checker) comparable() []entry {
	anyway := crowd(c.x.Often())
	if c.tree.Couple != nil {
		anyway = c.among(c.tree.Couple[0], c.tree.Couple[1])
	}
	var list []entry
	for i := range c.x.All {
		s := &c.x.All[i]
		if !s.Taken() || s.Photo.Portrait || len(c.e.Groupings[s.Photo.Source].Without) > 0 {
			continue
		}
		e := entry{shot: s, set: make(bitset, len(c.e.People)/64+1)}
		for _, p := range s.Members {
			e.set[p/64] |= 1 << (p % 64)
			if !anyway[p] {
				e.inner++
			}
		}
		list = append(list, e)
	}
	return list
}

// nearlySame tells of groupings that are another one with one person more for every four, at most two or
// a tenth. Pairs that are meant are left alone: made with without, with and without the couple, or with and
// without a parent, grandparent, sibling or child.
func (c *checker) nearlySame() {
	list := c.comparable()
	type pair struct{ smaller, larger, extra int }
	var pairs []pair
	for i, a := range list {
		for j, b := range list {
			extra := len(b.shot.Members) - len(a.shot.Members)
			if extra < 1 || extra > min(a.inner/4, max(2, a.inner/10)) || b.inner == a.inner || !a.set.within(b.set) {
				continue
			}
			pairs = append(pairs, pair{i, j, extra})
		}
	}
	added := func(p pair) []int { return list[p.larger].set.without(list[p.smaller].set) }
	slices.SortStableFunc(pairs, func(p, q pair) int {
		return cmp.Compare(p.extra*len(list[q.smaller].shot.Members), q.extra*len(list[p.smaller].shot.Members))
	})
	// Of what adds to one grouping, the nearest stands for all.
	smaller := make(map[int]bool)
	pairs = slices.DeleteFunc(pairs, func(p pair) bool {
		if slices.ContainsFunc(added(p), func(q int) bool { return c.tree.Kins[q].Near() }) {
			return true
		}
		double := smaller[p.smaller]
		smaller[p.smaller] = true
		return double
	})
	for k, p := range pairs[:min(len(pairs), maxNearlySame)] {
		a, b := list[p.smaller].shot, list[p.larger].shot
		more := wording.Message{}
		if rest := len(pairs) - maxNearlySame; k == maxNearlySame-1 && rest > 0 {
			more = wording.Say("advice.listHasLikeIt", wording.Say("sheet.morePairs", rest))
		}
		c.add(event.Info, event.CodeNearlySamePeople, fmt.Sprintf("groupings[%d]", b.Photo.Source), []string{a.Photo.ID, b.Photo.ID}, wording.Sentences(wording.Say(
			"advice.withAdded",
			c.photo(b.Photo), c.photo(a.Photo), c.few(added(p))), more))
	}
}
