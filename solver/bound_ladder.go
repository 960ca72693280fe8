package solver

// ladder bounds the cost still to come by the cheapest walk in a small graph. A person's release
// weight is split over their groupings: they are released no earlier than any of these ends, so no
// earlier than the weighted average of their ends. That gives every grouping j a weight w(j) and
//
//	weight of everybody unreleased after S  >=  Σ w(j), j not in S.
//
// Round the w(j) to whole rungs: rung(j) >= 1 of a unit each. An order that still has r rungs to go
// pays for each second at least rate(r), whatever it has done. So every order is a walk from the
// start on the top rung to rung 0, over nodes (rung, last grouping), that pays step(i, j) +
// slot(i, j)·rate(r) for going from i to j and comes down rung(j). The cheapest walk bounds the order
// from below, and the same table read at (rungs of what is left, last) bounds the rest from any
// state. A walk may visit a grouping twice and another not at all. To hold that down, every visit of
// j is paid for with a multiplier mu(j), positive or not, and Σ mu(j) over what is left is handed
// back: orders visit once each and keep their cost (Lagrangian relaxation). And a walk remembers, at
// grouping i, which of a few groupings near i it has met without leaving their neighbourhoods since,
// and does not visit those again (the ng relaxation of Baldacci, Mingozzi and Roberti, 2011).
//
// What the split leaves out is added by excess: a person whose groupings carry less than the whole
// weight among those left still waits, with the rest of it, for at least the shortest slots of all
// their groupings left.
//
// Idle is bounded through exits. Somebody who leaves the frame with groupings left idles through at least
// the next slot. Choose any time s. A walk pays idle·min(slot, s) at every exit; only the last exit of
// a person who does not stay may be free, so idle·s is handed back once for each of them whose last
// exit is still to come.
type ladder[S set] struct {
	m *model[S]
	// slot is as in the model, -1 where no order goes. step is price for each step-in and the exits.
	step, slot, exit []int64
	price            int64
	// most, when above 0, is a number of step-ins known to be the fewest. Then only orders with that
	// many are of interest and price is a multiplier too: a walk pays it for every step-in and is
	// handed back price·most.
	most int64
	// ends[i+1] says that an order can end with i.
	ends []bool
	// in[k] are the groupings of class k, share[k] the weights they carry for it, in 1/1<<fine.
	in    [][]int
	share [][]int64
	// handBack[k] is idle·s of class k.
	handBack []int64
	// weight[j] is the sum of the shares of j, in 1/1<<fine, rung[j] that in rungs.
	weight []int64
	rung   []int
	// high is the last rung of the table.
	high int
	rate []int64
	mu   []int64
	// least[j] is the shortest slot of j.
	least []int64

	// near[i+1] are the groupings remembered at i; seat[(i+1)*n+j] is j's bit there or -1.
	near [][]int
	seat []int8
	// first[i+1] is where i's entries begin in a rung of the table, one for each set of near[i+1];
	// width is the length of a rung.
	first []int
	width int
	// steer[(first[i+1]+met)*n+j] is the entry that a walk can go to j at from there, or -1.
	steer []int32
	// cost[r*width+first[i+1]+met] is the least cost of a walk from i on rung r having met those of
	// near[i+1]. It never exceeds blocked, which says that there is no walk.
	cost []int64
	fine uint
	// room counts what the ladder takes: fixed, and the table.
	room  claim
	fixed int64
}

// blocked stands for an infinite cost; sums of a few of it do not overflow.
const blocked = never / 8

// newLadder builds the ladder without multipliers, its shares leaning towards the groupings that come
// last in the given order.
func newLadder[S set](m *model[S], order []int) *ladder[S] {
	n := m.n
	l := &ladder[S]{m: m, mu: make([]int64, n), least: make([]int64, n)}
	l.step, l.exit = make([]int64, len(m.step)), make([]int64, len(m.step))
	l.slot = append([]int64(nil), m.slot...)
	l.ends = make([]bool, n+1)
	for j := range n {
		var early S // what comes before something that comes before j
		for _, k := range members(m.before[j], nil) {
			early = union(early, m.before[k])
		}
		for i := -1; i < n; i++ {
			if !m.follows(i, j, early) {
				l.slot[m.at(i, j)] = -1
			}
		}
		l.ends[j+1] = true
		for i := range n {
			if has(m.before[i], j) {
				l.ends[j+1] = false
			}
		}
	}
	for j := range n {
		l.least[j] = never
		for i := -1; i < n; i++ {
			if v := l.slot[m.at(i, j)]; v >= 0 {
				l.least[j] = min(l.least[j], v)
			}
		}
	}
	longest := m.p.longest() + 1
	for l.fine < 10 && m.release0 < never>>(l.fine+2)/longest {
		l.fine++
	}
	l.addExits(order)
	l.addShares(order)
	l.setPrice(m.scale.steps)
	return l
}

func (l *ladder[S]) setPrice(price int64) {
	l.price = price
	for at, v := range l.exit {
		l.step[at] = v + price*int64(l.m.p.stepIns[at])
	}
}

// follows says whether any order can take j right after i, of which none is early.
func (m *model[S]) follows(i, j int, early S) bool {
	if m.barred != nil && m.barred[m.at(i, j)] {
		return false
	}
	if i < 0 {
		var none S
		return m.before[j] == none
	}
	return i != j && !has(m.before[i], j) && !has(early, i)
}

func (l *ladder[S]) addExits(order []int) {
	m := l.m
	l.handBack = make([]int64, len(m.classes))
	typical, last := int64(0), -1
	for _, j := range order {
		typical += m.slot[m.at(last, j)]
		last = j
	}
	typical /= int64(max(1, len(order)))
	for k := range m.classes {
		c := &m.classes[k]
		if c.idle == 0 {
			continue
		}
		if !c.stays {
			l.handBack[k] = c.idle * typical
		}
		for i := -1; i < m.n; i++ {
			if i < 0 && !c.started || i >= 0 && !has(c.in, i) {
				continue
			}
			for j := range m.n {
				at := m.at(i, j)
				if l.slot[at] < 0 || has(c.in, j) {
					continue
				}
				if i < 0 {
					l.exit[at] += c.idle * l.slot[at]
				} else {
					l.exit[at] += c.idle * min(l.slot[at], typical)
				}
			}
		}
	}
}

func (l *ladder[S]) addShares(order []int) {
	m := l.m
	at := make([]int, m.n)
	for k, j := range order {
		at[j] = k
	}
	for k := range m.classes {
		c := &m.classes[k]
		in := members(c.in, nil)
		share := make([]int64, len(in))
		whole := c.release << l.fine
		last := 0
		for x, j := range in {
			if at[j] > at[in[last]] {
				last = x
			}
		}
		for x := range in {
			share[x] = whole / 2 / int64(len(in))
		}
		if len(in) > 0 {
			share[last] += whole - whole/2
		}
		l.in, l.share = append(l.in, in), append(l.share, share)
	}
}

// excess bounds what the walk leaves out of the release cost after a set.
func (l *ladder[S]) excess(done S) int64 {
	total := int64(0)
	for k := range l.m.classes {
		c := &l.m.classes[k]
		if c.release == 0 || within(c.in, done) {
			continue
		}
		rest, wait := c.release<<l.fine, int64(0)
		for x, j := range l.in[k] {
			if !has(done, j) {
				rest -= l.share[k][x]
				wait += l.least[j]
			}
		}
		if rest > 0 {
			total += rest * wait
		}
	}
	return total >> l.fine
}

// place is the rung that a set has reached, kept up to date as groupings are done.
type place struct {
	rung int32
	// give is what is handed back: the multipliers of what is left, less the free exits.
	give int64
}

// stand is the place of a set.
func (l *ladder[S]) stand(done S) place {
	p := place{give: -l.price * l.most}
	for j := range l.m.n {
		if !has(done, j) {
			p.rung += int32(l.rung[j])
			p.give += l.mu[j]
		}
	}
	for k := range l.m.classes {
		if l.handBack[k] != 0 && !within(l.m.classes[k].in, done) {
			p.give -= l.handBack[k]
		}
	}
	return p
}

// past moves a place past grouping j, done before it. owed is to be handed back as well while j is
// the last grouping: the walk still pays for the exit of those whom j releases.
func (l *ladder[S]) past(p place, done S, j int) (next place, owed int64) {
	p.rung -= int32(l.rung[j])
	p.give -= l.mu[j]
	after := with(done, j)
	for _, k := range l.m.of[j] {
		if l.handBack[k] != 0 && within(l.m.classes[k].in, after) {
			p.give += l.handBack[k]
			owed += l.handBack[k]
		}
	}
	return p, owed
}

// whole is what the walk and what is handed back come to for a state, from scratch; see bound.
func (l *ladder[S]) whole(done S, last int) int64 {
	p, owed := l.stand(done), int64(0)
	if last >= 0 {
		p, owed = l.past(l.stand(without(done, last)), without(done, last), last)
	}
	v := l.read(int(p.rung), last, done)
	if v >= blocked/2 {
		return never
	}
	return v + p.give - owed + l.excess(done)
}

// bound bounds the total of a state of the given cost, rest being what the walk and what is handed
// back come to.
func (l *ladder[S]) bound(cost, rest int64) int64 {
	if l.most == 0 {
		return max(cost, cost+rest)
	}
	steps := cost / l.m.scale.steps
	base := l.m.scale.steps * l.most
	return max(cost, base+cost-steps*l.m.scale.steps+l.price*steps+rest)
}
