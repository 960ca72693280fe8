package solver

import (
	"math/bits"
	"slices"
)

// endsStep says how a state was made: from state parent of the layer with layer scenes left, by
// placing the run of a scene.
type endsStep struct {
	parent       int32
	layer, scene uint8
}

// endsLayer holds the states with one number of scenes left, each once and at its least cost.
type endsLayer struct {
	table       index[[4]uint64]
	cost, bound []int64
	step        []endsStep
}

// endsMade is a state on its way into its layer.
type endsMade struct {
	endsState
	endsStep
	cost, bound int64
}

// The bytes of what takes room, each with the copy that growing makes: a state (key, costs, step, its slots
// in the table, and what sorting out takes), the step that stays of it, and a successor on its way.
const (
	endsBytes     = (32+16+8)*9/4 + 32 + 12
	endsStepBytes = 8
	endsMadeBytes = 48 * 9 / 4
	// A layer begins with a few slots.
	endsLayerBytes = 512
)

// endsPass is a pass through the layers, from all scenes left to none. Every scene placed makes a
// state of a later layer, as do the scenes that cost nothing then.
type endsPass[S set] struct {
	r      *run[S]
	e      *ends
	layers []endsLayer
	width  int
	// open is the least bound of a state that was dropped for room.
	open int64
	// held counts the states with keys, steps all that were kept.
	held, steps int64
	// limit is what all of this may take; room counts it.
	limit int64
	room  claim
	// short says that states were dropped for want of room.
	short bool
}

// byEnds searches in passes of growing width, as exact does, the second wide enough for most problems. It
// returns whether the best order is proven.
func (r *run[S]) byEnds(e *ends) bool {
	for width := endsWider * r.width; ; width *= wider {
		p := &endsPass[S]{
			r: r, e: e, layers: make([]endsLayer, len(e.casts)+1), width: int(min(width, 1<<30)), open: never,
			limit: r.tables.left(), room: claim{of: r.tables},
		}
		ended := p.run()
		p.room.drop()
		switch {
		case !ended:
			return false
		case !r.improves(p.open):
			r.raise(r.total)
			return true
		}
		r.raise(p.open)
		if width >= 1<<30 || p.short {
			return false
		}
	}
}

// bytes is what the pass takes, with so many successors on their way.
func (p *endsPass[S]) bytes(successors int64) int64 {
	return p.held*endsBytes + p.steps*endsStepBytes + successors*(endsBytes+endsStepBytes+endsMadeBytes) + int64(len(p.layers))*endsLayerBytes
}

// batch is how many states are expanded at once: as many as leave room for the others.
func (p *endsPass[S]) batch(k int) int {
	return int(min(batch, p.limit/4/(endsBytes+endsStepBytes+endsMadeBytes)/int64(k)))
}

// run goes through the layers. It returns false when the solve is stopped, or there is too little room.
func (p *endsPass[S]) run() bool {
	w := &endsScratch{}
	start, paid := p.e.settle(p.e.start, 0, nil)
	p.enter(endsMade{endsState: start, cost: p.e.fixed + paid, bound: p.e.fixed + paid + p.e.bound(start, w)})
	for k := len(p.layers) - 1; k > 0; k-- {
		y := &p.layers[k]
		p.narrow(y, p.width)
		p.r.raise(min(p.open, p.least(k)))
		count := p.batch(k)
		for from := 0; from < len(y.cost); from += count {
			if count == 0 || !p.squeeze(k, int64(count*k)) || p.r.stopped() {
				return false
			}
			p.expand(k, from, min(from+count, len(y.cost)))
			if p.r.ctx.Err() != nil {
				return false
			}
		}
		p.held -= int64(len(y.cost))
		*y = endsLayer{step: y.step}
	}
	return true
}

// least is the least bound of the states from layer k on: a better order goes through one of them or
// through a state that was dropped.
func (p *endsPass[S]) least(k int) int64 {
	least := never
	for i := range k + 1 {
		for _, bound := range p.layers[i].bound {
			least = min(least, bound)
		}
	}
	return least
}

// expand makes the states that come of states from … upto-1 of layer k.
func (p *endsPass[S]) expand(k, from, upto int) {
	y := &p.layers[k]
	pieces := make([][]endsMade, (upto-from+piece-1)/piece)
	p.r.parallel(len(pieces), func(at int, w *scratch) {
		for i := from + at*piece; i < min(from+(at+1)*piece, upto); i++ {
			if p.r.improves(y.bound[i]) {
				key := y.table.keys[i]
				s := endsMade{endsState: endsState{key[0], key[1], key[2]}, endsStep: endsStep{parent: int32(i), layer: uint8(k)}, cost: y.cost[i]}
				pieces[at] = p.successors(s, pieces[at], &w.ends)
			}
		}
	})
	successors := 0
	for _, made := range pieces {
		successors += len(made)
		for _, s := range made {
			p.enter(s)
		}
	}
	if !p.room.raise(p.bytes(0) + int64(successors)*endsMadeBytes) {
		panic("solver: the search from both ends takes more room than there is")
	}
	p.r.stats.Nodes += int64(upto - from)
}

// successors appends what can come of s, which also holds the step that is to be noted.
func (p *endsPass[S]) successors(s endsMade, out []endsMade, w *endsScratch) []endsMade {
	e, front := p.e, s.atFront()
	here, both := s.front&^s.back, s.front&s.back
	if !front {
		here = s.back &^ s.front
	}
	e.merged(s.endsState, w)
	for at, run := range w.runs {
		if !e.worthPlacing(at, here, w) {
			continue
		}
		next, idle := e.place(s.endsState, run, w.casts[at], front)
		if !p.r.improves(s.cost + idle) {
			continue
		}
		next, paid := e.settle(next, both, nil)
		made := endsMade{endsState: next, endsStep: s.endsStep, cost: s.cost + idle + paid}
		made.scene = uint8(bits.TrailingZeros64(run))
		if made.bound = made.cost; p.r.improves(made.bound) {
			if made.bound += e.bound(next, w); p.r.improves(made.bound) {
				out = append(out, made)
			}
		}
	}
	return out
}

// enter puts a state into its layer unless it is there at no more cost. A state with nothing left is an
// order.
func (p *endsPass[S]) enter(s endsMade) {
	if !p.r.improves(s.bound) {
		return
	}
	if s.left == 0 {
		p.offer(s)
		return
	}
	y := &p.layers[bits.OnesCount64(s.left)]
	if y.cost == nil {
		y.table.reset(0)
	}
	id, fresh := y.table.add([4]uint64{s.left, s.front, s.back})
	switch {
	case fresh:
		y.cost, y.bound, y.step = append(y.cost, s.cost), append(y.bound, s.bound), append(y.step, s.endsStep)
		p.held++
		p.steps++
		p.r.stats.States++
	case s.cost < y.cost[id]:
		y.cost[id], y.bound[id], y.step[id] = s.cost, s.bound, s.endsStep
	}
}

// offer rebuilds the order of a state with nothing left.
func (p *endsPass[S]) offer(s endsMade) {
	var scenes []uint8
	for step := s.endsStep; step.layer > 0; step = p.layers[step.layer].step[step.parent] {
		scenes = append(scenes, step.scene)
	}
	slices.Reverse(scenes)
	order := p.e.order(scenes)
	total, ok := p.r.base.costOf(order)
	if !ok || total != s.cost {
		panic("solver: the search from both ends and the model disagree")
	}
	p.r.offer(order, total)
}

// squeeze halves the layers after k that wait until there is room for the successors. It returns
// false when there never is.
func (p *endsPass[S]) squeeze(k int, successors int64) bool {
	for p.bytes(successors) > p.limit {
		before := p.held
		p.short = true
		for i := range p.layers[:k] {
			p.narrow(&p.layers[i], max(1, len(p.layers[i].cost)/2))
		}
		if p.held == before {
			return false
		}
	}
	return true
}

// narrow keeps the states of least bound in a layer that is not expanded yet.
func (p *endsPass[S]) narrow(y *endsLayer, width int) {
	if len(y.cost) <= width {
		return
	}
	limit, atLimit := cut(y.bound, width)
	p.open = min(p.open, limit)
	kept := 0
	for i, bound := range y.bound {
		if bound > limit || bound == limit && atLimit == 0 {
			continue
		}
		if bound == limit {
			atLimit--
		}
		y.table.keys[kept] = y.table.keys[i]
		y.cost[kept], y.bound[kept], y.step[kept] = y.cost[i], bound, y.step[i]
		kept++
	}
	y.table.cut(kept)
	dropped := int64(len(y.cost) - kept)
	p.held, p.steps = p.held-dropped, p.steps-dropped
	y.cost, y.bound, y.step = slices.Clone(y.cost[:kept]), slices.Clone(y.bound[:kept]), slices.Clone(y.step[:kept])
}
