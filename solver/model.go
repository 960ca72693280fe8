package solver

import "slices"

// class is a set of people who are in the same groupings, with their weights added up. Only the
// weights of people matter to a search once the slots are known, so nobody else is kept.
type class[S set] struct {
	in      S
	release int64
	idle    int64
	started bool
	stays   bool
}

// model is a Problem in the form that searches work on: costs folded into one integer and
// constraints as sets.
type model[S set] struct {
	p       *Problem
	n       int
	all     S
	classes []class[S]
	// of[j] are the classes in grouping j.
	of [][]int32
	// unit is how much finer costs are inside than totals, as long as that keeps them far below 1<<53:
	// bounds may lie between two totals. No order costs
	// more than most.
	unit  int64
	most  int64
	scale scale
	// step[(i+1)*n+j] is the folded cost of the step-ins of j after i, row 0 after the start frame.
	step []int64
	slot []Seconds
	// before[j] must be done when j is taken. Invariant: transitively closed.
	before []S
	// run[j] is the Together set of j, or empty.
	run []S
	// runs are the distinct non-empty Together sets.
	runs []S
	// apart[j] are the sets of which none or all must be done when j is taken.
	apart [][]S
	// barred, when set, marks pairs (i, j) that no order worth finding takes one right after the other.
	barred []bool
	// free says that any order of the groupings is allowed.
	free bool
	// timed says that windows or the close make time a part of the state.
	timed bool
	// waits says that a slot may begin after the one before it ends.
	waits bool
	// gaps says that a grouping has several windows, so that a later arrival can wait longer.
	gaps bool
	// blocked says that the order constraints contradict each other.
	blocked bool
	// release0 and idle0 are the rates before the first grouping.
	release0, idle0 int64
}

func newModel[S set](p *Problem) *model[S] {
	s := &p.spec
	n := len(s.Groupings)
	m := &model[S]{p: p, n: n, all: full[S](n), slot: p.slots, step: make([]int64, len(p.stepIns))}
	most := p.most()
	m.unit = 1024
	for m.unit > 1 && most > 1<<44/m.unit {
		m.unit /= 2
	}
	m.most = most * m.unit
	m.scale = scale{p.scale.steps * m.unit, p.scale.release * m.unit, p.scale.idle * m.unit}
	for k, v := range p.stepIns {
		m.step[k] = m.scale.steps * int64(v)
	}
	m.addClasses()
	m.addPrecedence()
	m.addRuns()
	m.free = len(m.runs) == 0
	for j := range n {
		var none S
		m.free = m.free && m.before[j] == none && len(m.apart[j]) == 0
	}
	m.timed = s.Close > 0
	for _, g := range s.Groupings {
		m.timed = m.timed || len(g.Windows) > 0
		m.waits = m.waits || len(g.Windows) > 1 || len(g.Windows) == 1 && g.Windows[0].Open > 0
		m.gaps = m.gaps || len(g.Windows) > 1
	}
	return m
}

// most is a total that no order exceeds.
func (p *Problem) most() int64 {
	s := &p.spec
	var weights, steps int64
	for _, q := range s.People {
		weights += p.scale.release*q.ReleaseWeight + p.scale.idle*q.IdleWeight
	}
	for _, g := range s.Groupings {
		steps += s.stepsOf(g.Members)
		weights += p.scale.release * g.ReleaseWeight
	}
	return weights*(p.longest()+1) + p.scale.steps*steps + 1
}

// total turns a cost inside into a total; bounds are rounded up, as every total is whole.
func (m *model[S]) total(inside int64) int64 { return ceilDiv(inside, m.unit) }

// addClasses merges people of equal membership and flags. People without a weight are left out, and
// so are those whose cost no order changes.
func (m *model[S]) addClasses() {
	s := &m.p.spec
	in := make([]S, len(s.People))
	for j, g := range s.Groupings {
		for _, q := range g.Members {
			in[q] = with(in[q], j)
		}
	}
	type key struct {
		in             S
		started, stays bool
	}
	at := map[key]int{}
	var none S
	add := func(c class[S]) {
		k := key{c.in, c.started, c.stays}
		i, ok := at[k]
		if !ok {
			i = len(m.classes)
			at[k] = i
			m.classes = append(m.classes, class[S]{in: c.in, started: c.started, stays: c.stays})
		}
		m.classes[i].release += c.release
		m.classes[i].idle += c.idle
	}
	for j, g := range s.Groupings {
		if weight := m.scale.release * g.ReleaseWeight; weight > 0 {
			add(class[S]{in: with(none, j), release: weight})
		}
	}
	for q, w := range s.People {
		c := class[S]{in: in[q], started: w.Started, stays: w.Stays}
		c.idle = m.scale.idle * w.IdleWeight
		if !w.Stays {
			c.release = m.scale.release * w.ReleaseWeight
		}
		if c.idle == 0 && c.release == 0 || in[q] == none && !(w.Started && w.Stays) {
			continue
		}
		add(c)
	}
	m.of = make([][]int32, m.n)
	for i, c := range m.classes {
		m.release0 += c.release
		if c.started {
			m.idle0 += c.idle
		}
		for _, j := range members(c.in, nil) {
			m.of[j] = append(m.of[j], int32(i))
		}
	}
}

// addPrecedence folds After, pins and the prefix into one closed relation.
func (m *model[S]) addPrecedence() {
	s := &m.p.spec
	m.before = make([]S, m.n)
	var first, last, opened S
	for j, g := range s.Groupings {
		for _, i := range g.After {
			m.before[j] = with(m.before[j], int(i))
		}
		switch g.Pin {
		case PinFirst:
			first = with(first, j)
		case PinLast:
			last = with(last, j)
		}
	}
	for _, g := range s.Prefix {
		m.before[g] = union(m.before[g], opened)
		opened = with(opened, int(g))
	}
	for j := range m.n {
		if !has(opened, j) {
			m.before[j] = union(m.before[j], opened)
		}
		if !has(first, j) {
			m.before[j] = union(m.before[j], first)
		}
		if has(last, j) {
			m.before[j] = union(m.before[j], minus(m.all, last))
		}
	}
	m.closePrecedence()
}

// closePrecedence makes before transitive (Warshall) and notices circles.
func (m *model[S]) closePrecedence() {
	for k := range m.n {
		for j := range m.n {
			if has(m.before[j], k) {
				m.before[j] = union(m.before[j], m.before[k])
			}
		}
	}
	for j := range m.n {
		m.blocked = m.blocked || has(m.before[j], j)
	}
}

func (m *model[S]) addRuns() {
	s := &m.p.spec
	m.run = make([]S, m.n)
	m.apart = make([][]S, m.n)
	for _, t := range s.Together {
		if len(t) < 2 {
			continue
		}
		r := setOf[S](t)
		m.runs = append(m.runs, r)
		for _, j := range t {
			m.run[j] = r
		}
	}
	for _, pair := range s.Separate {
		if len(pair[0]) == 0 || len(pair[1]) == 0 {
			continue
		}
		a, b := setOf[S](pair[0]), setOf[S](pair[1])
		for _, j := range pair[0] {
			m.apart[j] = append(m.apart[j], b)
		}
		for _, j := range pair[1] {
			m.apart[j] = append(m.apart[j], a)
		}
	}
}

func setOf[S set](list []GroupingIndex) S {
	var s S
	for _, j := range list {
		s = with(s, int(j))
	}
	return s
}

// allows says whether j may follow once exactly the groupings of done have been taken.
func (m *model[S]) allows(done S, j int) bool {
	if !within(m.before[j], done) {
		return false
	}
	for _, a := range m.apart[j] {
		if meets(a, done) && !within(a, done) {
			return false
		}
	}
	for _, r := range m.runs {
		if !has(r, j) && meets(r, done) && !within(r, done) {
			return false
		}
	}
	return true
}

// rates are the costs of a second at one point of an order.
type rates struct {
	// release is the weight of everybody who is not yet released.
	release int64
	// idle is the idle weight of everybody called and not released, in the frame or out of it.
	idle int64
}

// take moves the rates past grouping j and returns the cost of each second of j's slot: everybody
// unreleased before it, and everybody called, unreleased and not in j.
func (m *model[S]) take(done S, r rates, j int) (perSecond int64, next rates) {
	perSecond = r.release + r.idle
	next = r
	after := with(done, j)
	for _, k := range m.of[j] {
		c := &m.classes[k]
		if c.idle > 0 {
			if c.started || meets(c.in, done) {
				perSecond -= c.idle
			} else {
				next.idle += c.idle
			}
		}
		if !c.stays && within(c.in, after) {
			next.release -= c.release
			next.idle -= c.idle
		}
	}
	return perSecond, next
}

// at is the index of the pair (i, j) in step and slot; i = -1 is the start frame.
func (m *model[S]) at(i, j int) int { return (i+1)*m.n + j }

// place returns the end of j's slot when the one before it, of grouping i, ended at now.
func (m *model[S]) place(i, j int, now Seconds) (Seconds, bool) {
	length := m.slot[m.at(i, j)]
	s := &m.p.spec
	windows := s.Groupings[j].Windows
	start, fits := now, len(windows) == 0
	for _, w := range windows {
		if at := max(now, w.Open); at+length <= w.Close {
			start, fits = at, true
			break
		}
	}
	end := start + length
	return end, fits && (s.Close == 0 || end <= s.Close)
}

// costOf returns the folded cost of an order, or false when it breaks a constraint.
func (m *model[S]) costOf(order []int) (int64, bool) {
	var done S
	r := rates{m.release0, m.idle0}
	total, now, last := int64(0), Seconds(0), -1
	for _, j := range order {
		if has(done, j) || !m.allows(done, j) {
			return 0, false
		}
		end, ok := m.place(last, j, now)
		if !ok {
			return 0, false
		}
		perSecond, next := m.take(done, r, j)
		total += m.step[m.at(last, j)] + (end-now)*perSecond
		done, r, now, last = with(done, j), next, end, j
	}
	return total, true
}

func toIndexes(order []int) []GroupingIndex {
	out := make([]GroupingIndex, len(order))
	for k, j := range order {
		out[k] = GroupingIndex(j)
	}
	return out
}

func toInts(order []GroupingIndex) []int {
	out := make([]int, len(order))
	for k, j := range order {
		out[k] = int(j)
	}
	return out
}

// isPermutation says whether order holds 0 … n-1 once each.
func isPermutation(order []int, n int) bool {
	if len(order) != n {
		return false
	}
	sorted := slices.Clone(order)
	slices.Sort(sorted)
	for k, j := range sorted {
		if k != j {
			return false
		}
	}
	return true
}
