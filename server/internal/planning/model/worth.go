package model

import (
	"math/bits"
	"slices"

	"kinorder.example/server/internal/family"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// Two photographs are almost the same when this share of all who are in one of them is in both. Guests without a name
// are taken for the same people where more than a couple is in both. Common practice, no source.
const (
	sameNumeratorOf, sameDenominatorOf = 5, 6
	coupleSize                         = 2
)

// What somebody's first time is worth by what they are to those whom the day is about, in that of a friend: what a family
// hangs up first, it misses most. An elder is worth no less than elderTimes, since elders who are slow would else always
// be dropped for people who are quick. Common practice, no source.
var firstTimes = map[family.Degree]float64{
	family.Parent: 6, family.Child: 6, family.Grandparent: 6, family.StepParent: 4, family.Sibling: 3, family.HalfSibling: 3,
	family.SiblingSpouse: 2, family.Nibling: 2,
}

const (
	elderTimes    = 4
	attendTimes   = 1.5
	bonusOfPin    = 4   // what is pinned is meant
	bonusOfFamily = 2   // it is one family, which frames it
	bonusOfHonour = 2   // those whom the day is about are in it
	bonusOfPair   = 0.5 // the same, when it is of one other or nobody: one of a run of many, as a rule
	gainOfSeries  = 1.4 // for two that people compare, when both are taken, and half of it for each further one
)

// addWorth says what photographs are worth beside each other when time is short: who counts more than others, which
// are almost the same or compared, and what the event says. The first of just those whom the day is about counts as if
// nobody had seen them yet.
func (pr *Problem) addWorth(tree *family.Tree) {
	pr.addLikeness()
	about, found := pr.whomItIsAbout(tree), false
	pr.addWorths(tree, about)
	pr.addCarers(tree)
	for i, photo := range pr.Photographs {
		w := &pr.Spec.Groupings[i]
		if own := pr.Event.Groupings[photo.Source].Worth; own != nil {
			w.Worth = max(1, int64(*own*day.WorthOfOne+0.5))
		}
		just := slices.ContainsFunc(about[:], func(ids []string) bool { return len(ids) > 0 && SameSet(ids, photo.Members) })
		if found || !just || w.Guests > 0 {
			continue
		}
		if found = true; w.Worth == 0 {
			w.Worth = int64(len(photo.Members)) * day.WorthOfOne
		}
	}
}

// addWorths says who counts more than others, and what people compare.
func (pr *Problem) addWorths(tree *family.Tree, about [2][]string) {
	for q := range pr.Event.People {
		worth := max(1, firstTimes[tree.DegreeOf(q)])
		if tree.Attendant(q) {
			worth = max(worth, attendTimes)
		}
		if tree.Senior(q) {
			worth = max(worth, elderTimes)
		}
		pr.Spec.Worths = append(pr.Spec.Worths, int64(worth*day.WorthOfOne))
	}
	honoured := slices.Concat(about[0], about[1])
	members := make([][]int, len(pr.Photographs))
	for i, photo := range pr.Photographs {
		w := &pr.Spec.Groupings[i]
		if w.Pin != solver.PinNone {
			w.Bonus += bonusOfPin * day.WorthOfOne
		}
		switch about := slices.ContainsFunc(photo.Members, func(id string) bool { return slices.Contains(honoured, id) }); {
		case about && photo.Size() > coupleSize:
			w.Bonus += bonusOfHonour * day.WorthOfOne
		case about:
			w.Bonus += bonusOfPair * day.WorthOfOne
		}
		if photo.Guests > 0 || len(w.Blocks) == 0 {
			continue
		}
		for _, q := range w.Members {
			members[i] = append(members[i], int(q))
		}
		if tree.Framed(members[i]) {
			w.Bonus += bonusOfFamily * day.WorthOfOne
		}
	}
	for i, list := range tree.Compare(members) {
		for _, g := range list {
			pr.Spec.Groupings[g].Series, pr.Spec.Groupings[g].Gain = i+1, int64(gainOfSeries*day.WorthOfOne/2)
		}
	}
}

// whomItIsAbout are those whom the day may be about: by what the event says and, where that is a guess since one of two may be
// in fewer, the two who are in most photographs.
func (pr *Problem) whomItIsAbout(tree *family.Tree) [2][]string {
	times, _ := tree.TimesIn()
	most := make([]int, len(times))
	for q := range most {
		most[q] = q
	}
	slices.SortStableFunc(most, func(a, b int) int { return times[b] - times[a] })
	var out [2][]string
	second := len(most) > 2 && times[most[1]] == times[most[2]] // the list's own order tells nothing
	if len(pr.Event.Honour) > 0 || tree.Couple != nil || second {
		most = nil
	}
	for i, people := range [2][]int{tree.Honoured(), most[:min(len(most), 2)]} {
		for _, q := range people {
			if p := pr.Event.People[q]; !p.Absent {
				out[i] = append(out[i], p.ID)
			}
		}
	}
	return out
}

// addLikeness numbers photographs that are almost the same as a larger one. What is almost the same as the smaller of
// two need not be like the larger: a list that grows by one person at a time does not end as a single photograph.
func (pr *Problem) addLikeness() {
	groupings := pr.Spec.Groupings
	sets := make([][]uint64, len(groupings))
	bySize := make([]int, len(groupings))
	size := func(g int) int { return len(groupings[g].Members) + groupings[g].Guests }
	for g, w := range groupings {
		bySize[g], sets[g] = g, make([]uint64, (len(pr.Event.People)+63)/64)
		for _, q := range w.Members {
			sets[g][q/64] |= 1 << (q % 64)
		}
	}
	slices.SortStableFunc(bySize, func(g, h int) int { return size(h) - size(g) })
	same := func(g, h int) bool {
		both, all := 0, 0
		for i, x := range sets[g] {
			both += bits.OnesCount64(x & sets[h][i])
			all += bits.OnesCount64(x | sets[h][i])
		}
		if n, m := groupings[g].Guests, groupings[h].Guests; both > coupleSize {
			both, all = both+min(n, m), all+max(n, m)
		} else {
			all += n + m
		}
		return both*sameDenominatorOf >= all*sameNumeratorOf
	}
	var largest []int
	for _, g := range bySize {
		like := slices.IndexFunc(largest, func(h int) bool { return same(g, h) })
		if like < 0 {
			like, largest = len(largest), append(largest, g)
		}
		groupings[g].Like = like + 1
	}
}
