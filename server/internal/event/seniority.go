package event

import (
	"math/bits"
	"slices"
)

// A BrokenSeniority is a rule of seniority that cannot hold throughout: each photograph of the circle would come before
// the next one, and the last before the first, as the rule says. The circle is one of those that there are.
type BrokenSeniority struct {
	Rule   int
	Circle []int
}

// Seniorities lists the pairs of photographs of which rules of seniority have the first come before the second, where both
// are taken in one block. What a pin, a wish to come after or an earlier rule says holds against a later rule: photographs
// would be left out otherwise, one for each circle. Pairs that give way are not listed.
func Seniorities(e *Event, r *Index, shots []Shot) (pairs [][2]int, broken []BrokenSeniority) {
	if !slices.ContainsFunc(e.Rules, func(r Rule) bool { return r.Seniority != nil }) {
		return nil, nil
	}
	o := newOrdering(e, shots)
	listed := newBits(len(shots))
	for i, rule := range e.Rules {
		if rule.Seniority == nil {
			continue
		}
		told := false
		for _, pair := range ranked(e, r, rule, shots) {
			a, b := pair[0], pair[1]
			switch {
			case !o.meet(a, b) || listed.has(a, b):
			case !o.before(a, b) && !told:
				told = true
				broken = append(broken, BrokenSeniority{i, append([]int{a}, o.way(b, a)...)})
			case !o.reach.has(b, a):
				listed.set(a, b)
				pairs = append(pairs, pair)
			}
		}
	}
	return pairs, broken
}

// ranked lists pairs by the most senior entry that each photograph holds somebody of.
func ranked(e *Event, r *Index, rule Rule, shots []Shot) (pairs [][2]int) {
	entry := map[int]int{} // by person
	for rank, id := range rule.Seniority.People {
		for _, p := range r.Of(id) {
			if _, senior := entry[p]; !senior {
				entry[p] = rank
			}
		}
	}
	byRank := make([][]int, len(rule.Seniority.People))
	for s, shot := range shots {
		first := len(byRank)
		for _, p := range shot.Members {
			if rank, in := entry[p]; in {
				first = min(first, rank)
			}
		}
		if first < len(byRank) && (rule.ID == "" || !slices.Contains(e.Groupings[shot.Photo.Source].Confirms, rule.ID)) {
			byRank[first] = append(byRank[first], s)
		}
	}
	var before []int
	for _, here := range byRank {
		for _, b := range here {
			for _, a := range before {
				pairs = append(pairs, [2]int{a, b})
			}
		}
		before = append(before, here...)
	}
	return pairs
}

// matrix has a bit for each pair.
type matrix [][]uint64

func newBits(n int) matrix {
	m := make(matrix, n)
	for i := range m {
		m[i] = make([]uint64, (n+63)/64)
	}
	return m
}

func (m matrix) has(a, b int) bool { return m[a][b/64]&(1<<(b%64)) != 0 }
func (m matrix) set(a, b int)      { m[a][b/64] |= 1 << (b % 64) }

// ordering is what comes before what, directly and by way of others.
type ordering struct {
	blocks        []uint64 // by photograph, a bit for each block that it may be taken in
	direct, reach matrix
}

func newOrdering(e *Event, shots []Shot) *ordering {
	o := &ordering{blocks: make([]uint64, len(shots)), direct: newBits(len(shots)), reach: newBits(len(shots))}
	at := make(map[string]int, len(shots))
	for s, shot := range shots {
		at[shot.Photo.ID] = s
		for b, block := range e.Blocks {
			if slices.Contains(shot.Photo.Blocks, block.ID) {
				o.blocks[s] |= 1 << b
			}
		}
		if len(shot.Photo.Blocks) == 0 {
			o.blocks[s] = ^uint64(0)
		}
	}
	pins := map[Pin]int{PinFirst: -1, PinLast: 1}
	for s, shot := range shots {
		for _, id := range shot.Photo.After {
			if before, here := at[id]; here && o.meet(before, s) {
				o.before(before, s)
			}
		}
		for other := range shots {
			if pins[shot.Photo.Pin] < pins[shots[other].Photo.Pin] && o.meet(s, other) {
				o.before(s, other)
			}
		}
	}
	return o
}

// meet says that two photographs can be taken in one block.
func (o *ordering) meet(a, b int) bool { return o.blocks[a]&o.blocks[b] != 0 }

// before puts one photograph before another. It returns false, and does nothing, where that would close a circle.
func (o *ordering) before(a, b int) bool {
	if a == b || o.reach.has(b, a) {
		return false
	}
	o.direct.set(a, b)
	if o.reach.has(a, b) {
		return true
	}
	for x, row := range o.reach {
		if (x == a || o.reach.has(x, a)) && !o.reach.has(x, b) {
			o.reach.set(x, b)
			for i, word := range o.reach[b] {
				row[i] |= word
			}
		}
	}
	return true
}

// way is the shortest one from a photograph to another, without the other.
func (o *ordering) way(from, to int) []int {
	came, queue := map[int]int{from: from}, []int{from}
	for len(queue) > 0 {
		x := queue[0]
		queue = queue[1:]
		for i, word := range o.direct[x] {
			for ; word != 0; word &= word - 1 {
				y := 64*i + bits.TrailingZeros64(word)
				if _, seen := came[y]; !seen {
					came[y] = x
					queue = append(queue, y)
				}
			}
		}
	}
	var out []int
	for x := came[to]; x != from; x = came[x] {
		out = append(out, x)
	}
	out = append(out, from)
	slices.Reverse(out)
	return out
}
