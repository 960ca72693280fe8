package solver

// sampled is a state on the way, for which a ladder is tuned.
type sampled[S set] struct {
	done S
	last int
	cost int64
}

// tune goes on with walks that remember, from given states. It climbs on the mean of their bounds,
// and each time a cheapest walk comes back to a grouping it makes every grouping on the way remember
// it, up to most at each. It leaves the best shares and multipliers in the ladder, with the table
// filled up to the rungs of the states. It returns false when there is no room for the table.
func (c *climber[S]) tune(states []sampled[S], rounds, most int, total int64, stop func() bool) bool {
	l := c.l
	n := l.m.n
	if l.near == nil {
		l.near = make([][]int, n+1)
	}
	for !l.reserve(l.entries(), c.levels+n) {
		if c.levels /= 2; c.levels < fewLevels {
			return false
		}
	}
	c.left = c.left[:0]
	target := 0.0
	for _, s := range states {
		c.left = append(c.left, minus(l.m.all, s.done))
		target += float64(total-s.cost) / float64(len(states))
		if l.most > 0 {
			steps := s.cost / l.m.scale.steps
			target -= float64((l.most-steps)*l.m.scale.steps) / float64(len(states))
		}
	}
	grown := true
	c.ascend(ascent{stride: tuneStride, shrink: tuneShrink, patience: tunePatience, follow: tuneFollow, rounds: rounds, target: target}, stop, func() float64 {
		if grown {
			l.layOut()
		}
		var bound float64
		if l.fillFor(c.left, stop); !stop() {
			bound, grown = c.follow(states, most)
		}
		return bound
	})
	l.layOut()
	l.fillFor(c.left, stop)
	return true
}

// fillFor fills the table as high as the given sets of groupings left need.
func (l *ladder[S]) fillFor(left []S, stop func() bool) {
	l.high = 1
	for _, set := range left {
		l.high = max(l.high, l.rungs(set))
	}
	l.fill(stop)
}

// follow takes the cheapest walk from each state. It returns the mean of their costs with everything
// handed back, and notes what they missed and mean ends.
func (c *climber[S]) follow(states []sampled[S], most int) (bound float64, grown bool) {
	l, m := c.l, c.l.m
	clear(c.missed)
	clear(c.ends)
	share := 1 / float64(len(states))
	excess := 0.0
	seen, end := make([]float64, m.n), make([]float64, m.n)
	// The walks are noted after all are done: until then the table is laid out as it was.
	walks := make([][]int, len(states))
	for x, s := range states {
		r := l.rungs(c.left[x])
		e := l.entry(s.last, s.done)
		cost := l.cost[r*l.width+e]
		now, steps, i := 0.0, int64(0), s.last
		clear(seen)
		clear(end)
		for r > 0 && cost < blocked/2 {
			j, to := l.next(r, i, e)
			if j < 0 {
				break
			}
			at := m.at(i, j)
			now += float64(l.slot[at])
			steps += int64(m.p.stepIns[at])
			i, e = j, to
			r -= l.rung[i]
			seen[i]++
			end[i] += now
			walks[x] = append(walks[x], i)
		}
		if l.most > 0 {
			before := s.cost / m.scale.steps
			cost -= l.price * (l.most - before)
			excess += share * float64(before+steps-l.most) / float64(l.most)
		}
		for j := range m.n {
			if has(s.done, j) {
				c.missed[j] -= share * seen[j]
				continue
			}
			cost += l.mu[j]
			c.missed[j] += share * (1 - seen[j])
			if seen[j] > 0 {
				c.ends[j] += share * end[j] / seen[j]
			} else {
				c.ends[j] += share * now
			}
		}
		bound += share * float64(cost)
	}
	for _, walk := range walks {
		grown = l.note(walk, most, c.levels+m.n) || grown
	}
	c.over = excess
	return bound, grown
}

// refine returns a ladder tuned for a layer, whose states are expected to be many, starting from
// another; nil when there is no room for one.
func (r *run[S]) refine(l *ladder[S], next *layer[S]) *ladder[S] {
	out := *l
	out.room = claim{of: r.bounds}
	if out.fixed = r.m.ladderBytes(); !out.reserve(0, 0) {
		return nil
	}
	out.rung, out.mu, out.cost = nil, append([]int64(nil), l.mu...), nil
	out.step = append([]int64(nil), l.step...)
	out.near = make([][]int, len(l.near))
	for i, list := range l.near {
		out.near[i] = append([]int(nil), list...)
	}
	out.share = make([][]int64, len(l.share))
	for k, s := range l.share {
		out.share[k] = append([]int64(nil), s...)
	}
	c := newClimber(&out, layerRungsEach*l.m.n)
	for j, v := range l.mu {
		c.mu[j] = float64(v)
	}
	c.atMost = 0
	for _, rate := range next.rate {
		c.atMost = max(c.atMost, rate.release<<l.fine)
	}
	if !c.tune(next.sample(retuneSample), retuneRounds, mostRemembered, r.total, r.stopped) {
		out.room.drop()
		return nil
	}
	return &out
}

// retune gives the bounder a ladder tuned for layer k, where that is worth it, and drops the states
// that it shows to be no better than the incumbent.
func (r *run[S]) retune(b *bounder[S], k int, next *layer[S]) {
	if b.ladder == nil || k >= r.m.n-retuneLast {
		return
	}
	l, known := r.ladders[k]
	if !known {
		since := k
		for at := range r.ladders {
			if at < k {
				since = min(since, k-at)
			}
		}
		if len(next.last) < r.crowd || since < retuneEvery {
			return
		}
		if l = r.refine(b.ladder, next); l == nil || r.stopped() {
			return
		}
		r.ladders[k] = l
	}
	if !l.reach(next.sets, r.stopped) {
		return
	}
	for i, set := range next.sets {
		next.place[i] = l.stand(set)
	}
	b.ladder = l
	next.keep(func(set, state int) bool {
		done, last := next.sets[set], int(next.last[state])
		rest := l.whole(done, last)
		return rest < never && r.improves(l.bound(next.cost[state], rest))
	})
}

// sample picks up to count states spread evenly over the layer.
func (y *layer[S]) sample(count int) []sampled[S] {
	var out []sampled[S]
	set := 0
	for x := range count {
		state := int(int64(x) * int64(len(y.last)) / int64(count))
		for int(y.first[set+1]) <= state {
			set++
		}
		out = append(out, sampled[S]{done: y.sets[set], last: int(y.last[state]), cost: y.cost[state]})
	}
	return out
}

// keep drops the states for which ok is false, and sets without states.
func (y *layer[S]) keep(ok func(set, state int) bool) {
	sets, states, from := 0, int32(0), int32(0)
	for i := range y.sets {
		begin, upto := states, y.first[i+1]
		for k := from; k < upto; k++ {
			if !ok(i, int(k)) {
				continue
			}
			y.last[states], y.cost[states], y.parent[states] = y.last[k], y.cost[k], y.parent[k]
			if y.now != nil {
				y.now[states] = y.now[k]
			}
			states++
		}
		from = upto
		if states > begin {
			y.sets[sets], y.rate[sets], y.place[sets] = y.sets[i], y.rate[i], y.place[i]
			sets++
			y.first[sets] = states
		}
	}
	y.sets, y.rate, y.place, y.first = y.sets[:sets], y.rate[:sets], y.place[:sets], y.first[:sets+1]
	y.last, y.cost, y.parent = y.last[:states], y.cost[:states], y.parent[:states]
	if y.now != nil {
		y.now = y.now[:states]
	}
}
