package solver

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
	if cap(l.steer) < l.width*n {
		l.steer = nil // It must not be held while the next is made.
	}
	l.steer = growTo(l.steer, l.width*n)
	for i := -1; i < n; i++ {
		for met := range 1 << len(l.near[i+1]) {
			l.hops(i, met, l.steer[(l.first[i+1]+met)*n:][:n])
		}
	}
}

// entries is how many entries a rung has.
func (l *ladder[S]) entries() int {
	sum := 0
	for _, near := range l.near {
		sum += 1 << len(near)
	}
	return sum
}

// hops notes in out, by grouping, the entries that a walk can go to from i that remembers met; -1 where
// it cannot.
func (l *ladder[S]) hops(i, met int, out []int32) {
	m := l.m
	for j := range m.n {
		at := m.at(i, j)
		out[j] = -1
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
		out[j] = int32(to)
	}
}

// leg is a way on from a grouping.
type leg struct {
	// least is the cost of the cheapest walk that begins with it and remembers nothing before.
	least int64
	// base is what going to the grouping costs, row where its rung of the table begins.
	base    int64
	row, to int32
}

// fill computes the table. When stop says so it gives up, and the table must not be read.
//
// The more a walk remembers, the fewer ways on it has, and the more it still remembers after each. So
// what a way on costs after remembering nothing bounds what it costs, and most need not be looked at.
func (l *ladder[S]) fill(stop func() bool) {
	m := l.m
	n := m.n
	if cap(l.cost) < (l.high+1)*l.width {
		l.cost = nil
	}
	l.cost = growTo(l.cost, (l.high+1)*l.width)
	for i := -1; i < n; i++ {
		v := int64(blocked)
		if l.ends[i+1] {
			v = 0
		}
		for met := range 1 << len(l.near[i+1]) {
			l.cost[l.first[i+1]+met] = v
		}
	}
	legs := make([]leg, n)
	for r := 1; r <= l.high; r++ {
		if r%pollRungs == 0 && stop() {
			return
		}
		for i := -1; i < n; i++ {
			if i < 0 && r < l.top() {
				continue
			}
			list, others := l.legs(r, i, legs)
			row := l.cost[r*l.width+l.first[i+1]:][:1<<len(l.near[i+1])]
			row[0] = blocked
			if len(list) > 0 {
				row[0] = list[0].least
			}
			for met := 1; met < len(row); met++ {
				row[met] = l.onward(list, others, l.first[i+1]+met)
			}
		}
	}
}

// legs lists the ways on from i on rung r. The first sorted come first, by rising bound; others is the
// least bound of the rest.
func (l *ladder[S]) legs(r, i int, legs []leg) (list []leg, others int64) {
	n := l.m.n
	steer := l.steer[l.first[i+1]*n:][:n]
	steps, slots, rate := l.step[(i+1)*n:][:n], l.slot[(i+1)*n:][:n], l.rate[r]
	list = legs[:0]
	for j, to := range steer {
		if to < 0 || l.rung[j] > r {
			continue
		}
		g := leg{base: steps[j] + slots[j]*rate - l.mu[j], row: int32((r - l.rung[j]) * l.width), to: int32(j)}
		if g.least = g.base + l.cost[g.row+to]; g.least < blocked {
			list = append(list, g)
		}
	}
	for k := range min(sorted+1, len(list)) {
		least := k
		for x := k + 1; x < len(list); x++ {
			if list[x].least < list[least].least {
				least = x
			}
		}
		list[k], list[least] = list[least], list[k]
	}
	if len(list) <= sorted {
		return list, blocked
	}
	return list, list[sorted].least
}

// sorted is how many ways on are sorted: the best is nearly always one of them.
const sorted = 3

// onward is the least cost of going on from an entry.
func (l *ladder[S]) onward(list []leg, others int64, entry int) int64 {
	steer := l.steer[entry*l.m.n:][:l.m.n]
	best := int64(blocked)
	for k := range list {
		if k == sorted && others >= best {
			break
		}
		if g := &list[k]; g.least < best {
			if to := steer[g.to]; to >= 0 {
				best = min(best, g.base+l.cost[g.row+to])
			}
		}
	}
	return best
}

// next returns the grouping that the cheapest walk goes to from entry e of rung r, at grouping i, and
// its entry there; -1 when there is none.
func (l *ladder[S]) next(r, i, e int) (j, entry int) {
	best := int64(blocked)
	j = -1
	for k, to := range l.steer[e*l.m.n:][:l.m.n] {
		if to < 0 || l.rung[k] > r {
			continue
		}
		at := l.m.at(i, k)
		v := l.step[at] + l.slot[at]*l.rate[r] - l.mu[k] + l.cost[(r-l.rung[k])*l.width+int(to)]
		if v < best {
			best, j, entry = v, k, int(to)
		}
	}
	return j, entry
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
