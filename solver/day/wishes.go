package day

import (
	"fmt"
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
	if !d.ranksHold(o) {
		return false
	}
	for _, set := range s.Together {
		if !d.togetherHolds(set, o) {
			return false
		}
	}
	return d.turnsHold() && d.apartHolds(o)
}

// ranksHold checks that nothing in a block stands behind what comes after it.
func (d *decoder) ranksHold(o orders) bool {
	after := d.p.wishes.after
	if after == nil {
		return true
	}
	for _, list := range o {
		clear(d.before)
		for _, g := range list {
			for i, behind := range after[g] {
				if behind&d.before[i] != 0 {
					return false
				}
			}
			d.before[g/64] |= 1 << (g % 64)
		}
	}
	return true
}

func (d *decoder) turnsHold() bool {
	for i, set := range d.p.wishes.sets {
		d.stretches[i] = d.stretch(set)
	}
	for _, pair := range d.p.wishes.turns {
		if x, y := d.stretches[pair[0]], d.stretches[pair[1]]; x.Close > y.Open && y.Close > x.Open {
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

// stretch is the time from the first start to the last finish of a set; it closes at 0 where none of it is taken.
func (d *decoder) stretch(set []solver.GroupingIndex) solver.Window {
	w := solver.Window{Open: solver.MaxSeconds}
	for _, g := range set {
		if d.block[g] != nowhere {
			w.Open, w.Close = min(w.Open, d.start[g]), max(w.Close, d.finish[g])
		}
	}
	return w
}

func (d *decoder) apartHolds(o orders) bool {
	if d.p.wishes.apart == nil {
		return true
	}
	for b, list := range o {
		for _, g := range list {
			for c, others := range o[:b+1] {
				if d.p.spec.Blocks[b].Place == d.p.spec.Blocks[c].Place && !d.apartFrom(g, others, b == c) {
					return false
				}
			}
		}
	}
	return true
}

// apartFrom says that a grouping does not meet those of a list of its place, which may be of its own block.
func (d *decoder) apartFrom(g solver.GroupingIndex, others []solver.GroupingIndex, sameBlock bool) bool {
	for _, h := range others {
		if until := d.p.wishes.apart[g][h]; d.start[g] >= until || d.start[h] >= until {
			continue
		}
		if sameBlock || d.finish[g]+d.p.spec.Handover > d.start[h] && d.finish[h]+d.p.spec.Handover > d.start[g] {
			return false
		}
	}
	return true
}

// wishes are those of a Spec as a look at a day needs them.
type wishes struct {
	// after[g] has a bit for each grouping that comes after g in one block, by Ranks or After; nil without any.
	after [][]uint64
	// sets are the different sets of Turns, turns the pairs of them.
	sets  [][]solver.GroupingIndex
	turns [][2]int
	// apart[g][h] is until when g and h must not meet; nil without any.
	apart [][]solver.Seconds
	// look counts the groupings that a look goes through.
	look int
}

func newWishes(s *Spec) wishes {
	n := len(s.Groupings)
	var w wishes
	follow := func(g, h solver.GroupingIndex) {
		if w.after == nil {
			w.after, w.look = make([][]uint64, n), w.look+n*(n+63)/64
			for g := range w.after {
				w.after[g] = make([]uint64, (n+63)/64)
			}
		}
		w.after[g][h/64] |= 1 << (h % 64)
	}
	for _, pair := range s.Ranks {
		follow(pair[0], pair[1])
	}
	for g, x := range s.Groupings {
		w.look += len(x.After)
		for _, h := range x.After {
			follow(h, solver.GroupingIndex(g))
		}
	}
	w.addTurns(s.Turns)
	if len(s.Apart) > 0 {
		w.apart, w.look = make([][]solver.Seconds, n), w.look+n*n
		for g := range w.apart {
			w.apart[g] = make([]solver.Seconds, n)
		}
		for _, rule := range s.Apart {
			for _, a := range rule.A {
				for _, b := range rule.B {
					until := max(rule.Until, w.apart[a][b])
					w.apart[a][b], w.apart[b][a] = until, until
				}
			}
		}
	}
	for _, set := range s.Together {
		w.look += len(set)
	}
	return w
}

// comesAfter says that h comes after g wherever both are in one block.
func (w *wishes) comesAfter(h, g solver.GroupingIndex) bool {
	return w.after != nil && w.after[g][h/64]&(1<<(h%64)) != 0
}

func (w *wishes) addTurns(turns [][2][]solver.GroupingIndex) {
	number := map[string]int{}
	for _, pair := range turns {
		var t [2]int
		for i, set := range pair {
			key := fmt.Sprint(set)
			at, known := number[key]
			if !known {
				at, number[key] = len(w.sets), len(w.sets)
				w.sets, w.look = append(w.sets, set), w.look+len(set)
			}
			t[i] = at
		}
		w.turns = append(w.turns, t)
	}
	w.look += len(w.turns)
}

// Look is the work of one look at a whole day, in people and groupings of wishes gone through.
func (p *Problem) Look() int {
	work := p.wishes.look
	for _, g := range p.spec.Groupings {
		work += len(g.Members)
	}
	return work
}
