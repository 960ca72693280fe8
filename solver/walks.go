package solver

// hop is a way on: to grouping to, at an entry of its rung.
type hop struct{ to, entry int32 }

// layOut prepares the table for the sets near.
func (l *ladder[S]) layOut() {
	m := l.m
	n := m.n
	l.seat = make([]int8, (n+1)*n)
	l.first = make([]int, n+1)
	l.width = 0
	for i := -1; i < n; i++ {
		for j := range n {
			l.seat[m.at(i, j)] = -1
		}
		for x, j := range l.near[i+1] {
			l.seat[m.at(i, j)] = int8(x)
		}
		l.first[i+1] = l.width
		l.width += 1 << len(l.near[i+1])
	}
	l.steer = make([][]hop, l.width)
	for i := -1; i < n; i++ {
		for met := range 1 << len(l.near[i+1]) {
			l.steer[l.first[i+1]+met] = l.hops(i, met)
		}
	}
}

// hops lists where a walk can go from i that remembers met.
func (l *ladder[S]) hops(i, met int) (out []hop) {
	m := l.m
	for j := range m.n {
		at := m.at(i, j)
		if s := l.seat[at]; l.slot[at] < 0 || s >= 0 && met>>uint(s)&1 != 0 {
			continue
		}
		to := l.first[j+1]
		for x, k := range l.near[i+1] {
			if s := l.seat[m.at(j, k)]; met>>uint(x)&1 != 0 && s >= 0 {
				to += 1 << uint(s)
			}
		}
		if i >= 0 {
			if s := l.seat[m.at(j, i)]; s >= 0 {
				to += 1 << uint(s)
			}
		}
		out = append(out, hop{int32(j), int32(to)})
	}
	return out
}

// fill computes the table. When dead says so it gives up, and the table must not be read.
func (l *ladder[S]) fill(dead func() bool) {
	m := l.m
	n := m.n
	if need := (l.high + 1) * l.width; cap(l.cost) < need {
		l.cost = make([]int64, need)
	} else {
		l.cost = l.cost[:need]
	}
	for i := -1; i < n; i++ {
		v := int64(blocked)
		if l.ends[i+1] {
			v = 0
		}
		for met := range 1 << len(l.near[i+1]) {
			l.cost[l.first[i+1]+met] = v
		}
	}
	// legs[j] is what going to j costs and where its rung begins.
	type leg struct {
		base int64
		row  int
	}
	legs, cost := make([]leg, n), l.cost
	for r := 1; r <= l.high; r++ {
		if r%pollRungs == 0 && dead() {
			return
		}
		for i := -1; i < n; i++ {
			if i < 0 && r < l.top() {
				continue
			}
			for j := range n {
				legs[j] = leg{base: blocked}
				if l.rung[j] <= r {
					at := m.at(i, j)
					legs[j] = leg{l.step[at] + l.slot[at]*l.rate[r] - l.mu[j], (r - l.rung[j]) * l.width}
				}
			}
			for met := range 1 << len(l.near[i+1]) {
				e := l.first[i+1] + met
				best := int64(blocked)
				for _, h := range l.steer[e] {
					to := &legs[h.to]
					best = min(best, to.base+cost[to.row+int(h.entry)])
				}
				cost[r*l.width+e] = best
			}
		}
	}
}

// next returns the grouping that the cheapest walk goes to from entry e of rung r, at grouping i.
func (l *ladder[S]) next(r, i, e int) hop {
	best, out := int64(blocked), hop{to: -1}
	for _, h := range l.steer[e] {
		j := int(h.to)
		if l.rung[j] > r {
			continue
		}
		at := l.m.at(i, j)
		v := l.step[at] + l.slot[at]*l.rate[r] - l.mu[j] + l.cost[(r-l.rung[j])*l.width+int(h.entry)]
		if v < best {
			best, out = v, h
		}
	}
	return out
}

// read returns the least cost of a walk from last on rung r after the set done, multipliers not yet
// handed back; blocked or more when there is none.
func (l *ladder[S]) read(r, last int, done S) int64 {
	return l.cost[r*l.width+l.entry(last, done)]
}

// entry is where a rung of the table holds last after the set done.
func (l *ladder[S]) entry(last int, done S) int {
	e := l.first[last+1]
	for x, j := range l.near[last+1] {
		if has(done, j) {
			e += 1 << uint(x)
		}
	}
	return e
}

// pollRungs is how many rungs are worked on between two looks at whether to stop.
const pollRungs = 16
