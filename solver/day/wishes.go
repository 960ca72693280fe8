package day

import (
	"slices"

	"kinorder.example/solver"
)

// wishesHold checks the wishes that look at the whole candidate, once it is timed.
func (d *decoder) wishesHold(o orders) bool {
	s := &d.p.spec
	for g := range s.Groupings {
		if d.block[g] == nowhere {
			continue
		}
		for _, i := range s.Groupings[g].After {
			if d.block[i] != nowhere && d.finish[i] > d.start[g] {
				return false
			}
		}
	}
	for _, pair := range s.Ranks {
		a, b := pair[0], pair[1]
		if d.block[a] != nowhere && d.block[a] == d.block[b] && d.index[a] > d.index[b] {
			return false
		}
	}
	for _, set := range s.Together {
		if !d.togetherHolds(set, o) {
			return false
		}
	}
	for _, pair := range s.Turns {
		from0, until0, ok0 := d.stretch(pair[0])
		from1, until1, ok1 := d.stretch(pair[1])
		if ok0 && ok1 && until0 > from1 && until1 > from0 {
			return false
		}
	}
	for i := range s.Apart {
		if !d.apartHolds(&s.Apart[i]) {
			return false
		}
	}
	return true
}

// togetherHolds checks that in each block the members of the set form one run: each but one has a
// member right before it.
func (d *decoder) togetherHolds(set []solver.GroupingIndex, o orders) bool {
	for b := range o {
		count, heads := 0, 0
		for _, g := range set {
			if d.block[g] != BlockIndex(b) {
				continue
			}
			count++
			if k := d.index[g]; k == 0 || !slices.Contains(set, o[b][k-1]) {
				heads++
			}
		}
		if count > 1 && heads > 1 {
			return false
		}
	}
	return true
}

// stretch is the time from the first start to the last finish of a set.
func (d *decoder) stretch(set []solver.GroupingIndex) (from, until solver.Seconds, found bool) {
	for _, g := range set {
		if d.block[g] == nowhere {
			continue
		}
		if !found || d.start[g] < from {
			from = d.start[g]
		}
		until = max(until, d.finish[g])
		found = true
	}
	return from, until, found
}

func (d *decoder) apartHolds(rule *KeptApart) bool {
	for _, a := range rule.A {
		if d.block[a] == nowhere || d.start[a] >= rule.Until {
			continue
		}
		for _, b := range rule.B {
			if d.block[b] == nowhere || d.start[b] >= rule.Until {
				continue
			}
			if d.p.spec.Blocks[d.block[a]].Place != d.p.spec.Blocks[d.block[b]].Place {
				continue
			}
			if d.block[a] == d.block[b] || d.finish[a]+d.p.spec.Handover > d.start[b] && d.finish[b]+d.p.spec.Handover > d.start[a] {
				return false
			}
		}
	}
	return true
}
