package solver

import "math"

// tree bounds the step-ins still needed from below. Write d(i, j) for the number of people in one
// of i and j but not in both. Along any order, 2·step-ins = Σ d + (size of the last frame) - (size
// of the first), so from grouping i through the set U to an empty frame
//
//	2·step-ins = (length of the path i, U in some sequence, ∅ under d) - |i|.
//
// A spanning tree of U ∪ {∅} and the shortest edge from i into U are no longer than that path. The
// Lagrangian of Held and Karp (1970) adds a number π to every edge at a node and takes back π times
// the degree the node has on a path, which changes no path and lengthens the trees.
type tree struct {
	n int
	// d[(i+1)*(n+1)+j] is fine·d(i, j) + π(i) + π(j); row 0 is the start frame (its π is 0), column
	// n the empty frame.
	d []int64
	// pi are the multipliers of 0 … n, n for the empty frame.
	pi []int64
	// size[i+1] is fine·|i|.
	size []int64
}

// fine is the denominator of multipliers, a power of two.
const fine = 64

// treeBytes is what a tree takes, and what dear makes of it.
func treeBytes(n int) int64 { return 9 * int64(n+1) * int64(n+2) }

func newTree(p *Problem) *tree {
	n := p.Groupings()
	t := &tree{n: n, d: make([]int64, (n+1)*(n+1)), pi: make([]int64, n+1), size: make([]int64, n+1)}
	t.size[0] = fine * p.spec.stepsOf(p.spec.Frame)
	for j, g := range p.spec.Groupings {
		t.size[j+1] = fine * p.spec.stepsOf(g.Members)
	}
	t.fill(func(i, j int) int64 {
		in := fine * int64(p.StepIns(GroupingIndex(i), GroupingIndex(j)))
		return 2*in + t.size[i+1] - t.size[j+1]
	})
	return t
}

// fill sets the distances between groupings from a function, and those to the empty frame.
func (t *tree) fill(d func(i, j int) int64) {
	for i := -1; i < t.n; i++ {
		row := t.d[(i+1)*(t.n+1):]
		for j := range t.n {
			if i != j {
				row[j] = d(i, j)
			}
		}
		row[t.n] = t.size[i+1]
	}
}

// span is the length of a minimum spanning tree of the nodes, which are groupings or n for the
// empty frame, less the multipliers of a path that ends at the empty frame: Prim's algorithm. deg,
// when given, receives the degrees.
func (t *tree) span(nodes []int, near []int64, from []int32, deg []int32) int64 {
	total := int64(0)
	for _, u := range nodes {
		total -= 2 * t.pi[u]
	}
	// Prim: the last node of the list starts the tree; nodes[:k] are outside it.
	k := len(nodes) - 1
	in := nodes[k]
	for x := range k {
		near[x], from[x] = never, int32(in)
	}
	for ; k > 0; k-- {
		row := t.d[(in+1)*(t.n+1):]
		if in == t.n {
			row = nil
		}
		pick := 0
		for x := range k {
			u := nodes[x]
			var v int64
			if row != nil {
				v = row[u]
			} else {
				v = t.d[(u+1)*(t.n+1)+t.n]
			}
			if v < near[x] {
				near[x], from[x] = v, int32(in)
			}
			if near[x] < near[pick] {
				pick = x
			}
		}
		total += near[pick]
		if deg != nil {
			deg[nodes[pick]]++
			deg[from[pick]]++
		}
		in = nodes[pick]
		nodes[pick], nodes[k-1] = nodes[k-1], nodes[pick]
		near[pick], near[k-1] = near[k-1], near[pick]
		from[pick], from[k-1] = from[k-1], from[pick]
	}
	return total + t.pi[t.n]
}

// enter is the least edge from i into the groupings of nodes (the empty frame is passed over), with
// the multiplier of i taken out again.
func (t *tree) enter(i int, nodes []int) int64 {
	best := never
	row := t.d[(i+1)*(t.n+1):]
	for _, u := range nodes {
		if u < t.n {
			best = min(best, row[u])
		}
	}
	if i >= 0 {
		best -= t.pi[i]
	}
	return best
}

// shift adds to the multiplier of node u.
func (t *tree) shift(u int, by int64) {
	if by == 0 {
		return
	}
	t.pi[u] += by
	w := t.n + 1
	for i := range t.n + 1 {
		if i-1 != u {
			t.d[i*w+u] += by
		}
	}
	if u < t.n {
		for j := range w {
			if j != u {
				t.d[(u+1)*w+j] += by
			}
		}
	}
}

// steps turns a length under d, from grouping i on, into step-ins, rounded up.
func (t *tree) steps(i int, length int64) int64 {
	return max(0, ceilDiv(length-t.size[i+1], 2*fine))
}

func ceilDiv(a, b int64) int64 {
	q := a / b
	if a%b > 0 {
		q++
	}
	return q
}

// rootTree measures the tree of a whole list.
type rootTree struct {
	nodes []int
	near  []int64
	from  []int32
	// slope[u] is by how much the degree of u exceeds that on a path.
	slope []float64
	deg   []int32
}

func newRootTree(n int) *rootTree {
	return &rootTree{nodes: make([]int, n+1), near: make([]int64, n+1), from: make([]int32, n+1), slope: make([]float64, n+1), deg: make([]int32, n+1)}
}

// measure returns the length of the tree and the edge from the start frame into it.
func (w *rootTree) measure(t *tree) int64 {
	for u := range w.nodes {
		w.nodes[u], w.deg[u] = u, 0
	}
	length := t.span(w.nodes, w.near, w.from, w.deg)
	first, edge := 0, never
	for j := range t.n {
		if t.d[j] < edge {
			first, edge = j, t.d[j]
		}
	}
	w.deg[first]++
	for u := range w.slope {
		w.slope[u] = float64(w.deg[u] - 2)
	}
	w.slope[t.n]++
	return length + edge
}

// flat says that the tree is a path, so that no multipliers are better.
func (w *rootTree) flat() bool {
	for _, s := range w.slope {
		if s != 0 {
			return false
		}
	}
	return true
}

// ascend improves the multipliers at the root by subgradient steps that shrink geometrically, after
// Volgenant and Jonker (1982), and keeps the best.
func (t *tree) ascend(rounds int, stop func() bool) {
	n := t.n
	if n < 2 {
		return
	}
	w := newRootTree(n)
	before := make([]float64, n+1)
	best, bestPi := -never, make([]int64, n+1)
	stride := t.mean() / 2
	shrink := math.Pow(0.5/(1+stride), 1/float64(rounds))
	for range rounds {
		if stop() {
			break
		}
		if length := w.measure(t); length > best {
			best = length
			copy(bestPi, t.pi)
		}
		for u, slope := range w.slope {
			t.shift(u, int64(stride*(slopeShare*slope+(1-slopeShare)*before[u])))
			before[u] = slope
		}
		if w.flat() {
			break
		}
		stride *= shrink
	}
	t.setPi(bestPi)
}

func (t *tree) setPi(pi []int64) {
	for u, v := range pi {
		t.shift(u, v-t.pi[u])
	}
}

// approach goes on from the multipliers there are by steps measured by the distance to a known length
// (Polyak, 1969), shorter ones when they stop gaining, and keeps the best. On lists in which few people
// link many groupings it gains much that ascend leaves.
func (t *tree) approach(known int64, rounds int, stop func() bool) {
	n := t.n
	if n < 2 {
		return
	}
	w := newRootTree(n)
	pi, slope, bestPi := make([]float64, n+1), make([]float64, n+1), append([]int64(nil), t.pi...)
	for u, v := range t.pi {
		pi[u] = float64(v)
	}
	best, stride, stale := -never, knownStride, 0
	for range rounds {
		length := w.measure(t)
		if length > best {
			best, stale = length, 0
			copy(bestPi, t.pi)
		} else if stale++; stale > knownPatience {
			stride, stale = stride*knownShrink, 0
			for u, v := range bestPi {
				pi[u], slope[u] = float64(v), 0
			}
		}
		if stop() || w.flat() || best >= known || stride < leastKnownStride {
			break
		}
		norm := 0.0
		for u, s := range w.slope {
			slope[u] = slopeShare*s + (1-slopeShare)*slope[u]
			norm += slope[u] * slope[u]
		}
		by := stride * float64(max(known-length, fine)) / max(norm, 1e-9)
		for u, s := range slope {
			pi[u] += by * s
			t.shift(u, int64(math.Round(pi[u]))-t.pi[u])
		}
	}
	t.setPi(bestPi)
}

// mean is the mean distance between groupings.
func (t *tree) mean() float64 {
	sum := 0.0
	for i := range t.n {
		for j := range t.n {
			if i != j {
				sum += float64(t.d[(i+1)*(t.n+1)+j])
			}
		}
	}
	return sum / float64(t.n*t.n)
}

// dear says for each pair (i, j), as in the model, and each end (i, n) whether no order with at most
// most step-ins takes j right after i. A tree that must hold an edge is the shortest one with the
// longest edge between the two ends taken out.
func (t *tree) dear(most int64) (pair, end []bool) {
	n := t.n
	nodes := make([]int, n+1)
	near, from := make([]int64, n+1), make([]int32, n+1)
	for u := range nodes {
		nodes[u] = u
	}
	length := t.span(nodes, near, from, nil)
	// After Prim, from[x] is the neighbour of nodes[x] in the tree, joined later than it.
	links := make([][]int, n+1)
	for x := range n {
		u, v := nodes[x], int(from[x])
		links[u], links[v] = append(links[u], v), append(links[v], u)
	}
	edge := func(u, v int) int64 {
		if u == n {
			u, v = v, u
		}
		return t.d[(u+1)*(n+1)+v]
	}
	enter := never
	for j := range n {
		enter = min(enter, t.d[j])
	}
	pair, end = make([]bool, (n+1)*n), make([]bool, n+1)
	for j := range n {
		pair[j] = t.steps(-1, length+t.d[j]) > most
	}
	longest := make([]int64, n+1)
	var walk func(root, u, from int)
	walk = func(root, u, from int) {
		for _, v := range links[u] {
			if v == from {
				continue
			}
			longest[v] = max(longest[u], edge(u, v))
			tooLong := t.steps(-1, length+enter+edge(root, v)-longest[v]) > most
			if v == n {
				end[root+1] = tooLong
			} else {
				pair[(root+1)*n+v] = tooLong
			}
			walk(root, v, u)
		}
	}
	for i := range n {
		longest[i] = -never
		walk(i, i, -1)
	}
	return pair, end
}
