package solver

// Where release comes first and few people weigh, most groupings are left when the last of these people
// is released. Then nothing but step-ins counts, and what is left is a list of its own: its fewest
// step-ins are found far sooner than by going on from each of the many states that lead there.

// rest is what is left after a state.
type rest[S set] struct {
	done S
	last uint16
}

// restAlone solves for what is left of the candidates from begin on that have nobody left to be
// released, and drops those that lead to nothing better.
func (g *growth[S]) restAlone(begin int, traces []trace) {
	r := g.r
	if r.m.p.spec.Emphasis != EarlyRelease || g.b.ladder == nil {
		return
	}
	kept := g.cands[:begin]
	for _, c := range g.cands[begin:] {
		done := g.table.keys[c.group]
		if g.rate[c.group] == (rates{}) && r.improves(c.bound) {
			prefix := append(unwind(traces, c.parent), int(c.last))
			c.bound = max(c.bound, c.cost+r.m.scale.steps*r.fewestAfter(done, prefix))
		}
		if r.improves(c.bound) {
			kept = append(kept, c)
		}
	}
	g.cands = kept
}

// fewestAfter bounds the step-ins of what is left after a prefix, the groupings of done, and offers the
// best order that it finds. It returns 0 when it was stopped or too much is solved already.
func (r *run[S]) fewestAfter(done S, prefix []int) int64 {
	key := rest[S]{done, uint16(prefix[len(prefix)-1])}
	if bound, known := r.rests[key]; known {
		return bound
	}
	if len(r.rests) >= mostAlone || r.stopped() {
		return 0
	}
	left, s := r.listAfter(done, key.last)
	p, err := NewProblem(s)
	if err != nil {
		panic("solver: what is left of a problem is none: " + err.Error())
	}
	o := r.o
	o.OnImprove, o.Incumbent, o.NodeLimit = nil, nil, aloneNodes
	if r.o.NodeLimit > 0 {
		o.NodeLimit = min(o.NodeLimit, r.o.NodeLimit-r.stats.Nodes)
	}
	at := make(map[int]GroupingIndex, len(left))
	for k, j := range left {
		at[j] = GroupingIndex(k)
	}
	for _, j := range r.best {
		if k, ok := at[j]; ok {
			o.Incumbent = append(o.Incumbent, k)
		}
	}
	res := r.within(p, o)
	if res.Status == Found {
		order := prefix
		for _, k := range res.Order {
			order = append(order, left[k])
		}
		if total, fits := r.base.costOf(order); fits {
			r.offer(order, total)
		}
	}
	if r.rests == nil {
		r.rests = map[rest[S]]int64{}
	}
	r.rests[key] = p.StepInsOf(res.Bound)
	if res.Status == Infeasible {
		r.rests[key] = never / r.m.scale.steps / 2
	}
	return r.rests[key]
}

// listAfter describes what is left after a state, and numbers it. Wishes that bind what is left to what is
// done, and times, are left out: the bound holds all the same.
func (r *run[S]) listAfter(done S, last uint16) (left []int, s Spec) {
	given := &r.m.p.spec
	left = members(minus(r.m.all, done), nil)
	number := map[GroupingIndex]GroupingIndex{}
	for k, j := range left {
		number[GroupingIndex(j)] = GroupingIndex(k)
	}
	translate := func(list []GroupingIndex) (out []GroupingIndex) {
		for _, j := range list {
			if k, ok := number[j]; ok {
				out = append(out, k)
			}
		}
		return out
	}
	s = Spec{Emphasis: FewestSteps, People: make([]Person, len(given.People)), Frame: given.Groupings[last].Members}
	for q := range s.People {
		s.People[q].Extra = given.People[q].Extra
	}
	for _, j := range left {
		g := given.Groupings[j]
		s.Groupings = append(s.Groupings, Grouping{Members: g.Members, After: translate(g.After), Pin: g.Pin})
	}
	for _, set := range given.Together {
		s.Together = append(s.Together, translate(set))
	}
	for _, pair := range given.Separate {
		s.Separate = append(s.Separate, [2][]GroupingIndex{translate(pair[0]), translate(pair[1])})
	}
	return left, s
}
