package solver

import (
	"math/bits"
	"slices"
)

// bounder holds what lower bounds share. It is safe for use by several goroutines.
type bounder[S set] struct {
	m *model[S]
	// tree is nil where step-ins cost nothing, or there is no room for it.
	tree *tree
	// least[j] is the shortest slot of j after anything.
	least []int64
	// shift is the number of binary digits that split weights are rounded down to.
	shift uint
	// ladder is nil until it is worth building.
	ladder *ladder[S]
	// trees says that the spanning trees are worth their time beside the ladder.
	trees bool
	// memoryless is m.memoryless().
	memoryless bool
}

func (r *run[S]) newBounder() *bounder[S] {
	var t *tree
	if r.m.scale.steps > 0 && r.bounds.take(treeBytes(r.m.n)) {
		t = newTree(r.m.p)
	}
	return newBounder(r.m, t, r.best, r.stopped)
}

// newBounder prepares bounds; best is an order, if there is one, and stop ends the work on multipliers.
func newBounder[S set](m *model[S], t *tree, best []int, stop func() bool) *bounder[S] {
	b := &bounder[S]{m: m, tree: t, least: make([]int64, m.n), memoryless: m.memoryless()}
	if t != nil {
		rounds := treeRounds + treeRoundsEach*m.n
		if m.n > large {
			rounds = largeTreeRounds * m.n
		}
		b.tree.ascend(rounds, stop)
		if len(best) > 0 {
			steps, last := int64(0), -1
			for _, j := range best {
				steps += int64(m.p.stepIns[m.at(last, j)])
				last = j
			}
			b.tree.approach(2*fine*steps+b.tree.size[0], rounds, stop)
		}
	}
	for j := range m.n {
		b.least[j] = m.slot[j]
		for i := range m.n {
			if i != j {
				b.least[j] = min(b.least[j], m.slot[m.at(i, j)])
			}
		}
	}
	longest := m.p.longest() + 1
	for b.shift < 10 && m.release0 < never>>(b.shift+2)/longest {
		b.shift++
	}
	return b
}

// scratch is the working memory of one goroutine that computes bounds.
type scratch struct {
	left, nodes []int
	near        []int64
	from        []int32
	weight      []int64
	open        []int
	only        []int64
	try         []int
	ends        endsScratch
}

func newScratch(n int) *scratch {
	return &scratch{near: make([]int64, n+1), from: make([]int32, n+1), weight: make([]int64, n)}
}

// setBound is the part of the spanning tree bound that depends on the set alone.
type setBound struct {
	// time bounds the release cost still to come.
	time int64
	// tree is the spanning tree of what is left; see tree.
	tree int64
}

// ofSet bounds what must still be paid once exactly the groupings of done have been taken.
func (b *bounder[S]) ofSet(done S, w *scratch) setBound {
	w.left = members(minus(b.m.all, done), w.left[:0])
	var sb setBound
	if b.ladder == nil {
		sb.time = b.smith(done, w)
	}
	if b.memoryless {
		sb.time += b.m.idleToCome(done, w)
	}
	if b.tree != nil && len(w.left) > 0 {
		w.nodes = append(append(w.nodes[:0], w.left...), b.m.n)
		sb.tree = b.tree.span(w.nodes, w.near, w.from, nil)
	}
	return sb
}

// ofState completes the bound of a set for its last grouping. w must hold the set's groupings left.
func (b *bounder[S]) ofState(sb setBound, last int, w *scratch) int64 {
	total := sb.time
	if b.tree != nil && len(w.left) > 0 {
		length := sb.tree + b.tree.enter(last, w.left)
		total += b.m.scale.steps * b.tree.steps(last, length)
	}
	return total
}

// whole bounds the total of a state of the given cost by everything there is, from scratch.
func (b *bounder[S]) whole(cost int64, done S, last int, w *scratch) int64 {
	v := cost + b.ofState(b.ofSet(done, w), last, w)
	if l := b.ladder; l != nil {
		rest := l.whole(done, last)
		if rest >= never {
			return never
		}
		v = max(v, l.bound(cost, rest))
	}
	return v
}

// smith bounds the release cost still to come. Each person's weight is split evenly over their
// groupings left: the person is released no earlier than any of these ends, so no earlier than the
// average of their ends. With every slot at its shortest, that leaves jobs with a length and a
// weight, which Smith's rule (1956) puts in the best order, by length over weight. Shares are
// rounded down.
func (b *bounder[S]) smith(done S, w *scratch) int64 {
	m := b.m
	for _, j := range w.left {
		w.weight[j] = 0
	}
	for k := range m.classes {
		c := &m.classes[k]
		if c.release == 0 {
			continue
		}
		open := minus(c.in, done)
		n := size(open)
		if n == 0 {
			continue
		}
		share := c.release << b.shift / int64(n)
		for k := range len(open) {
			for x := open[k]; x != 0; x &= x - 1 {
				w.weight[k<<6+bits.TrailingZeros64(x)] += share
			}
		}
	}
	w.nodes = w.nodes[:0]
	for _, j := range w.left {
		if w.weight[j] > 0 { // Others come last; one that takes no time either would compare equal to all.
			w.nodes = append(w.nodes, j)
		}
	}
	slices.SortFunc(w.nodes, func(i, j int) int {
		return compareProducts(b.least[i], w.weight[j], b.least[j], w.weight[i])
	})
	var now, sum int64
	for _, j := range w.nodes {
		now += b.least[j]
		sum += now * w.weight[j]
	}
	return sum >> b.shift
}

// compareProducts compares a·b with c·d, all >= 0, without overflow.
func compareProducts(a, b, c, d int64) int {
	h1, l1 := bits.Mul64(uint64(a), uint64(b))
	h2, l2 := bits.Mul64(uint64(c), uint64(d))
	switch {
	case h1 < h2 || h1 == h2 && l1 < l2:
		return -1
	case h1 == h2 && l1 == l2:
		return 0
	}
	return 1
}
