package solver

import "slices"

// twins finds groupings that can change places in any order without changing its cost or what it
// keeps: the model is the same after the exchange. One-by-one portraits of people with equal weights
// are the usual case. Being twins is an equivalence: the exchange of g and k is made of the exchanges
// of g and h and of h and k. So the members of a class can be put into any sequence, and of the many
// orders that differ only in that, one is enough: the one in which they come by rising number.
func (m *model[S]) twins() [][]int {
	type key struct {
		in             S
		started, stays bool
	}
	weight := make(map[key][2]int64, len(m.classes))
	for i := range m.classes {
		c := &m.classes[i]
		weight[key{c.in, c.started, c.stays}] = [2]int64{c.release, c.idle}
	}
	same := func(g, h int) bool {
		if !m.sameNeighbours(g, h) {
			return false
		}
		for _, j := range []int{g, h} {
			for _, k := range m.of[j] {
				c := &m.classes[k]
				if has(c.in, g) == has(c.in, h) {
					continue
				}
				swapped := with(without(c.in, j), g+h-j)
				if weight[key{swapped, c.started, c.stays}] != [2]int64{c.release, c.idle} {
					return false
				}
			}
		}
		return true
	}
	var loose []int
	for g := range m.n {
		if m.loose(g) {
			loose = append(loose, g)
		}
	}
	var out [][]int
	taken := make([]bool, m.n)
	for k, g := range loose {
		if taken[g] {
			continue
		}
		class := []int{g}
		for _, h := range loose[k+1:] {
			if !taken[h] && same(g, h) {
				taken[h] = true
				class = append(class, h)
			}
		}
		if len(class) > 1 {
			out = append(out, class)
		}
	}
	return out
}

// loose says that nothing is wished of grouping g alone.
func (m *model[S]) loose(g int) bool {
	var none S
	if m.run[g] != none || len(m.apart[g]) > 0 || len(m.p.spec.Groupings[g].Windows) > 0 {
		return false
	}
	for j := range m.n {
		if has(m.before[j], g) {
			return false
		}
	}
	return m.before[g] == none
}

// sameNeighbours says that slots and step-ins are the same after g and h have changed places.
func (m *model[S]) sameNeighbours(g, h int) bool {
	equal := func(a, b int) bool { return m.slot[a] == m.slot[b] && m.step[a] == m.step[b] }
	if !equal(m.at(g, h), m.at(h, g)) || !equal(m.at(-1, g), m.at(-1, h)) {
		return false
	}
	for j := range m.n {
		if j != g && j != h && (!equal(m.at(g, j), m.at(h, j)) || !equal(m.at(j, g), m.at(j, h))) {
			return false
		}
	}
	return true
}

// idlers finds groupings in which nobody weighs and that no best order takes before one in which somebody
// does, weighing being those. That holds for a set of them where release comes first, each can be put off,
// and for each of them, z, every i and every j outside the set
//
//	slot(i, z) + slot(z, j) > slot(i, j).
//
// Of an order that takes some before the last of those that weigh, take the last of them out: who follows
// it is outside the set, so all that follow end earlier, the last that weighs among them. Put back behind
// that one it holds nobody up. So the order was not the best.
func (m *model[S]) idlers() (idlers, weighing S) {
	for j, of := range m.of {
		switch {
		case len(of) > 0:
			weighing = with(weighing, j)
		case m.canWait(j):
			idlers = with(idlers, j)
		}
	}
	var none S
	if m.p.spec.Emphasis != EarlyRelease || m.timed || weighing == none || m.n > large {
		return none, none
	}
	for again := true; again; {
		again = false
		for _, z := range members(idlers, nil) {
			if !m.delays(z, minus(m.all, idlers)) {
				idlers, again = without(idlers, z), true
			}
		}
	}
	return idlers, weighing
}

// canWait says that grouping z can be put off in any order.
func (m *model[S]) canWait(z int) bool {
	for j := range m.n {
		if has(m.before[j], z) {
			return false
		}
	}
	return m.run[z] == *new(S) && len(m.apart[z]) == 0
}

// delays says that any of the others ends later for z before it.
func (m *model[S]) delays(z int, others S) bool {
	for _, j := range members(others, nil) {
		for i := -1; i < m.n; i++ {
			if i != j && i != z && m.slot[m.at(i, z)]+m.slot[m.at(z, j)] <= m.slot[m.at(i, j)] {
				return false
			}
		}
	}
	return true
}

// sorted returns a model in which twins come by rising number only and idlers come last, and the classes
// of twins.
func (m *model[S]) sorted() (*model[S], [][]int) {
	classes := m.twins()
	idlers, weighing := m.idlers()
	var none S
	if len(classes) == 0 && idlers == none {
		return m, nil
	}
	out := *m
	out.before = append([]S(nil), m.before...)
	for _, z := range members(idlers, nil) {
		out.before[z] = union(out.before[z], weighing)
	}
	for _, class := range classes {
		for k, j := range class[1:] {
			out.before[j] = with(out.before[j], class[k])
		}
	}
	out.free = false
	out.closePrecedence()
	return &out, classes
}

// sortTwins puts the twins of an order by rising number, in place.
func sortTwins(order []int, classes [][]int) {
	for _, class := range classes {
		next := 0
		for k, j := range order {
			if slices.Contains(class, j) {
				order[k] = class[next]
				next++
			}
		}
	}
}
