package solver

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
		if !m.loose(g) || !m.loose(h) || !m.sameNeighbours(g, h) {
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
	var out [][]int
	taken := make([]bool, m.n)
	for g := range m.n {
		if taken[g] {
			continue
		}
		class := []int{g}
		for h := g + 1; h < m.n; h++ {
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

// sorted returns a model in which twins come by rising number only, and the classes of twins.
func (m *model[S]) sorted() (*model[S], [][]int) {
	classes := m.twins()
	if len(classes) == 0 {
		return m, nil
	}
	out := *m
	out.before = append([]S(nil), m.before...)
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
			if isIn(class, j) {
				order[k] = class[next]
				next++
			}
		}
	}
}

func isIn(rising []int, j int) bool {
	for _, k := range rising {
		if k == j {
			return true
		}
	}
	return false
}
