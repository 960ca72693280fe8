package solver

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// ring looks for an order with few step-ins when they come first and nothing is wished. As tree says,
// twice the step-ins are the length of a path from the start frame through all groupings to the empty
// frame, under symmetric distances, less a constant. The ring is that path closed by an edge from the
// empty frame to the start frame that costs so little that no move takes it out. Moves reverse a stretch
// or put a short one elsewhere, and only lead to near nodes; kicks exchange two neighbouring stretches.
type ring struct {
	// nodes are the groupings, then the start frame, then the empty frame.
	nodes int
	d     []int64
	// near[u] are the nodes nearest to u.
	near [][]int32
	// order is the ring, at where each node stands in it.
	order, at []int32
	// due are the nodes whose edges have changed; queued says which they are.
	due    []int32
	queued []bool
	// spare and stretch are working memory.
	spare, stretch []int32
}

func newRing(p *Problem, order []int) *ring {
	n := p.Groupings()
	g := &ring{nodes: n + 2}
	g.d = make([]int64, g.nodes*g.nodes)
	size := func(i int) int64 {
		if i < n {
			return p.spec.stepsOf(p.spec.Groupings[i].Members)
		}
		return p.spec.stepsOf(p.spec.Frame)
	}
	for i := range g.nodes {
		for j := range i {
			var v int64
			switch {
			case i == n+1 && j == n:
				v = -1 << 40
			case i == n+1:
				v = size(j)
			case i == n:
				v = 2*int64(p.StepIns(-1, GroupingIndex(j))) + size(i) - size(j)
			default:
				v = 2*int64(p.StepIns(GroupingIndex(i), GroupingIndex(j))) + size(i) - size(j)
			}
			g.d[i*g.nodes+j], g.d[j*g.nodes+i] = v, v
		}
	}
	g.near = make([][]int32, g.nodes)
	var list []int32
	for u := range g.nodes {
		list = list[:0]
		for v := range g.nodes {
			if v != u {
				list = append(list, int32(v))
			}
		}
		slices.SortStableFunc(list, func(a, b int32) int { return cmp.Compare(g.between(int32(u), a), g.between(int32(u), b)) })
		g.near[u] = slices.Clone(list[:min(nearNodes, len(list))])
	}
	g.at, g.queued = make([]int32, g.nodes), make([]bool, g.nodes)
	for _, j := range order {
		g.order = append(g.order, int32(j))
	}
	g.order = append(g.order, int32(n+1), int32(n))
	g.settle(0, g.nodes)
	return g
}

func (g *ring) between(u, v int32) int64 { return g.d[int(u)*g.nodes+int(v)] }

// step is the node that comes by places after position k.
func (g *ring) step(k, by int) int32 { return g.order[(k+by+g.nodes)%g.nodes] }

func (g *ring) settle(from, upto int) {
	for k := from; k < upto; k++ {
		g.at[g.order[k]] = int32(k)
	}
}

func (g *ring) length() int64 {
	sum := int64(0)
	for k, u := range g.order {
		sum += g.between(u, g.step(k, 1))
	}
	return sum
}

// path returns the groupings in the order of the ring.
func (g *ring) path() []int {
	n := g.nodes - 2
	start := int(g.at[n])
	by := 1
	if g.step(start, 1) == int32(n+1) {
		by = -1
	}
	out := make([]int, n)
	for k := range out {
		out[k] = int(g.step(start, by*(k+1)%g.nodes))
	}
	return out
}

func (g *ring) push(u int32) {
	if !g.queued[u] {
		g.queued[u] = true
		g.due = append(g.due, u)
	}
}

// descend makes moves at the nodes that are due until none gains.
func (g *ring) descend() {
	for len(g.due) > 0 {
		u := g.due[len(g.due)-1]
		g.due = g.due[:len(g.due)-1]
		g.queued[u] = false
		for g.improve(u) {
		}
	}
}

// improve makes the first move that gains and gives u an edge to a near node.
func (g *ring) improve(u int32) bool {
	for _, by := range []int{1, -1} {
		k := int(g.at[u])
		next := g.step(k, by)
		old := g.between(u, next)
		for _, v := range g.near[u] {
			gain := old - g.between(u, v)
			if gain <= 0 {
				break
			}
			x := int(g.at[v])
			after := g.step(x, by)
			if v != next && gain+g.between(v, after)-g.between(next, after) > 0 {
				g.exchange(k, x, by)
				return true
			}
			if g.carry(u, v, by) {
				return true
			}
		}
	}
	return false
}

// exchange takes out the edges from positions k and x to the next in the given direction, joins the two
// positions and joins the two others.
func (g *ring) exchange(k, x, by int) {
	if by > 0 {
		g.reverse(k+1, x)
	} else {
		g.reverse(x, k-1)
	}
}

// carry moves u, with up to two nodes behind it, between v and a neighbour of v, if that gains. The
// stretch begins at u and goes away from u's neighbour in direction by.
func (g *ring) carry(u, v int32, by int) bool {
	k, x := int(g.at[u]), int(g.at[v])
	for length := 1; length <= 3; length++ {
		end := g.step(k, -by*(length-1))
		if end == v {
			return false
		}
		before, after := g.step(k, by), g.step(k, -by*length)
		if before == after || after == v && length+2 >= g.nodes {
			return false
		}
		removed := g.between(u, before) + g.between(end, after) - g.between(before, after)
		for _, side := range []int{1, -1} {
			w := g.step(x, side)
			if g.inStretch(w, k, by, length) || g.inStretch(v, k, by, length) {
				continue
			}
			if v == before && w == after || v == after && w == before {
				continue
			}
			if removed-g.between(u, v)-g.between(end, w)+g.between(v, w) > 0 {
				g.put(k, by, length, v, w)
				return true
			}
		}
	}
	return false
}

func (g *ring) inStretch(w int32, k, by, length int) bool {
	for s := range length {
		if g.step(k, -by*s) == w {
			return true
		}
	}
	return false
}

// put takes the stretch that begins at position k out and puts it between v, next to its beginning, and
// w, next to its end.
func (g *ring) put(k, by, length int, v, w int32) {
	g.stretch = g.stretch[:0]
	for s := range length {
		g.stretch = append(g.stretch, g.step(k, -by*s))
	}
	stretch, kept := g.stretch, g.spare[:0]
	for _, u := range []int32{g.step(k, by), g.step(k, -by*length), v, w, stretch[0], stretch[length-1]} {
		g.push(u)
	}
	forward := g.step(int(g.at[v]), 1) == w
	for _, u := range g.order {
		if slices.Contains(stretch, u) {
			continue
		}
		if u == v && !forward {
			// w comes before v: the end of the stretch is next to w.
			for s := length - 1; s >= 0; s-- {
				kept = append(kept, stretch[s])
			}
		}
		kept = append(kept, u)
		if u == v && forward {
			kept = append(kept, stretch...)
		}
	}
	g.order, g.spare = kept, g.order
	g.settle(0, g.nodes)
}

// reverse turns the stretch from position a to position b, which may go past the end of the ring, or
// the rest of the ring, whichever is shorter.
func (g *ring) reverse(a, b int) {
	n := g.nodes
	a, b = (a+n)%n, (b+n)%n
	inside := (b-a+n)%n + 1
	for _, k := range []int{a - 1, a, b, b + 1} {
		g.push(g.order[(k+n)%n])
	}
	if 2*inside > n {
		a, b, inside = (b+1)%n, (a-1+n)%n, n-inside
	}
	for range inside / 2 {
		g.order[a], g.order[b] = g.order[b], g.order[a]
		g.at[g.order[a]], g.at[g.order[b]] = int32(a), int32(b)
		a, b = (a+1)%n, (b-1+n)%n
	}
}

// kick exchanges two neighbouring stretches of up to longest nodes.
func (g *ring) kick(rng *rand.Rand, longest int) {
	n := g.nodes
	longest = min(longest, (n-2)/2)
	first, second := 1+rng.IntN(longest), 1+rng.IntN(longest)
	a := rng.IntN(n - first - second + 1)
	b, c := a+first, a+first+second
	for _, k := range []int{a - 1, a, b - 1, b, c - 1, c} {
		g.push(g.order[(k+n)%n])
	}
	g.spare = append(append(g.spare[:0], g.order[b:c]...), g.order[a:b]...)
	copy(g.order[a:c], g.spare)
	g.settle(a, c)
}

// shorten looks for orders with fewer step-ins by kicks, as many as given.
func (r *run[S]) shorten(rng *rand.Rand, kicks int) {
	m := r.base
	if m.p.spec.Emphasis != FewestSteps || !m.free || m.timed || m.n < 8 || r.total >= never {
		return
	}
	room := claim{of: r.tables}
	defer room.drop()
	if nodes := int64(m.n + 2); !room.raise(8*nodes*nodes + 128*nodes) {
		return
	}
	g := newRing(m.p, r.best)
	for u := range g.nodes {
		g.push(int32(u))
	}
	g.descend()
	best := g.length()
	order := slices.Clone(g.order)
	for range kicks {
		if r.stopped() {
			break
		}
		g.kick(rng, longestKicked)
		g.descend()
		if length := g.length(); length <= best {
			best = length
			copy(order, g.order)
		} else {
			copy(g.order, order)
			g.settle(0, g.nodes)
		}
	}
	path := g.path()
	if cost, ok := m.costOf(path); ok {
		r.offer(path, cost)
	}
}
