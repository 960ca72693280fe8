package solver

import (
	"math"
	"math/bits"
)

// subsets solves problems in which only idle time costs anything (see waits.go) by a table over all
// sets of scenes, a scene being a run of groupings with the same people. Let f(A) be the least idle
// cost during A when A is taken first. Idle is the same read backwards, so f(A) is also the least
// cost during A when A is taken last. Pick one scene p, to keep the table half as long: with A before
// and B after it, an order costs at least
//
//	f(A) + f(B) + length(p)·(idle weight of those called in A, in B or p, and not in p)
//
// and some order costs that. Tables beat pruning where little can be pruned.
type subsets struct {
	// casts are the people of each scene as bits, length its seconds; the last scene is p.
	casts  []uint64
	length []int64
	// low and high hold the people in any of the low and of the high half of a set of scenes.
	low, high []uint64
	half      uint
	// weight[k] holds the idle weight of people 8k … 8k+7 by their bits.
	weight [][256]int64
	cost   []uint32
}

// mostScenes bounds the table to 1<<(mostScenes-1) entries of four bytes.
const mostScenes = 26

// bySubsets proves the best order by a table when the problem is of that kind and small enough. It
// returns false when it is not, or when it was stopped.
func (r *run[S]) bySubsets() bool {
	if r.casts == nil || r.total >= never {
		return false
	}
	t, groups := r.scenes()
	n := len(t.casts)
	bytes := int64(4) << max(0, n-1)
	if n < 2 || n > mostScenes || bytes > r.o.MemoryLimit*3/4 || r.total/r.m.unit > math.MaxUint32/2 || r.o.NodeLimit > 0 {
		return false
	}
	r.stats.PeakBytes = max(r.stats.PeakBytes, bytes)
	limit := uint32(r.total / r.m.unit)
	if !t.fill(limit, r.stopped, &r.stats) {
		return false
	}
	first, total := t.best(limit)
	if total *= r.m.unit; total < r.total {
		var order []int
		for _, s := range t.order(first) {
			order = append(order, groups[s]...)
		}
		exact, ok := r.base.costOf(order)
		if !ok || exact != total {
			panic("solver: the table of sets and the model disagree")
		}
		r.offer(order, total)
	}
	r.raise(r.total)
	return true
}

// scenes merges groupings with the same people. Groupings without anybody who costs go to the end of
// the list; they are a scene like others.
func (r *run[S]) scenes() (*subsets, [][]int) {
	m := r.base
	t := &subsets{}
	at := map[uint64]int{}
	var groups [][]int
	for j := range m.n {
		k, ok := at[r.casts[j]]
		if !ok {
			k = len(groups)
			at[r.casts[j]] = k
			groups = append(groups, nil)
			t.casts, t.length = append(t.casts, r.casts[j]), append(t.length, 0)
		}
		groups[k] = append(groups[k], j)
		t.length[k] += m.slot[m.at(-1, j)]
	}
	t.weight = make([][256]int64, (len(m.classes)+7)/8)
	for k := range t.weight {
		for b := range 256 {
			for i := range 8 {
				if c := 8*k + i; b>>i&1 != 0 && c < len(m.classes) {
					t.weight[k][b] += m.classes[c].idle / m.unit
				}
			}
		}
	}
	return t, groups
}

func (t *subsets) weigh(people uint64) int64 {
	sum := int64(0)
	for k := range t.weight {
		sum += t.weight[k][uint8(people>>(8*k))]
	}
	return sum
}

// called are the people in any scene of a set.
func (t *subsets) called(set uint32) uint64 {
	return t.low[set&(1<<t.half-1)] | t.high[set>>t.half]
}

func unions(casts []uint64) []uint64 {
	out := make([]uint64, 1<<len(casts))
	for s := 1; s < len(out); s++ {
		out[s] = out[s&(s-1)] | casts[bits.TrailingZeros32(uint32(s))]
	}
	return out
}

// fill computes the cost of every set without p that can be part of an order of less than limit.
func (t *subsets) fill(limit uint32, stop func() bool, stats *Stats) bool {
	n := len(t.casts) - 1
	t.half = uint(n / 2)
	t.low, t.high = unions(t.casts[:t.half]), unions(t.casts[t.half:n])
	t.cost = make([]uint32, 1<<n)
	for s := range t.cost {
		t.cost[s] = math.MaxUint32
	}
	t.cost[0] = 0
	all := uint32(1<<n - 1)
	for s := range t.cost {
		if s&(1<<14-1) == 0 && stop() {
			return false
		}
		cost := t.cost[s]
		if cost >= limit {
			continue
		}
		stats.Nodes++
		set := uint32(s)
		left := all &^ set
		open := t.called(set) & (t.called(left) | t.casts[n])
		for x := left; x != 0; x &= x - 1 {
			j := bits.TrailingZeros32(x)
			v := int64(cost) + t.length[j]*t.weigh(open&^t.casts[j])
			if to := &t.cost[set|1<<j]; v < int64(*to) {
				*to = uint32(v)
			}
		}
	}
	stats.States += int64(len(t.cost))
	return true
}

// best returns the scenes before p in a best order, and its total.
func (t *subsets) best(limit uint32) (first uint32, total int64) {
	n := len(t.casts) - 1
	all := uint32(1<<n - 1)
	total = never / 1024 / 2
	for s, cost := range t.cost {
		rest := t.cost[all&^uint32(s)]
		if cost >= limit || rest >= limit {
			continue
		}
		before, after := t.called(uint32(s)), t.called(all&^uint32(s))
		v := int64(cost) + int64(rest) + t.length[n]*t.weigh(before&after&^t.casts[n])
		if v < total {
			first, total = uint32(s), v
		}
	}
	return first, total
}

// order lists the scenes of a best order: the set first, p, the others.
func (t *subsets) order(first uint32) []int {
	n := len(t.casts) - 1
	all := uint32(1<<n - 1)
	out := append(t.inward(first), n)
	after := t.inward(all &^ first)
	for k := len(after) - 1; k >= 0; k-- {
		out = append(out, after[k])
	}
	return out
}

// inward lists a set from the outer end to p.
func (t *subsets) inward(set uint32) []int {
	n := len(t.casts) - 1
	all := uint32(1<<n - 1)
	out := make([]int, bits.OnesCount32(set))
	for k := len(out) - 1; k >= 0; k-- {
		for x := set; x != 0; x &= x - 1 {
			j := bits.TrailingZeros32(x)
			from := set &^ (1 << j)
			open := t.called(from) & (t.called(all&^from) | t.casts[n])
			if t.cost[from] != math.MaxUint32 && int64(t.cost[from])+t.length[j]*t.weigh(open&^t.casts[j]) == int64(t.cost[set]) {
				out[k], set = j, from
				break
			}
		}
	}
	return out
}
