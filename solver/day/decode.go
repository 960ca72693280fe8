package day

import (
	"slices"

	"kinorder.example/solver"
)

// orders is a candidate: an order for each block. Groupings in none are left out.
type orders [][]solver.GroupingIndex

func (o orders) clone() orders {
	out := make(orders, len(o))
	for b, list := range o {
		out[b] = append(make([]solver.GroupingIndex, 0, len(list)+4), list...)
	}
	return out
}

// score ranks candidates: losses, then the total cost.
type score struct {
	lost  Lost
	total int64
	// busy is the time that all blocks take together. It ranks nothing, but a plan that takes less
	// has more room for what is left out.
	busy solver.Seconds
}

func (s score) less(t score) bool {
	if s.lost != t.lost {
		return s.lost.Less(t.lost)
	}
	return s.total < t.total
}

// decoder times and costs candidates. It holds scratch memory: one for each goroutine.
type decoder struct {
	p *Problem
	// per grouping
	block         []BlockIndex
	index         []int
	start, finish []solver.Seconds
	begin         []solver.Seconds
	decoded       []bool
	// per person
	release   []solver.Seconds
	lastBlock []BlockIndex // in which block the person was seen last in this decode
	first     []solver.Seconds
	last      []solver.Seconds
	inFrame   []solver.Seconds
	busy      [][]busyTime
	seen      []solver.PersonIndex // people of the block being decoded
	touched   []solver.PersonIndex // people with busy entries
	shared    bool                 // more than one block is in use
	cost      solver.Cost
	busyTime  solver.Seconds // that all blocks take together
	tally     *tally
	before    []uint64        // of ranksHold
	stretches []solver.Window // by set of turns
	work      int             // people looked at in all decodes
}

// busyTime is a stretch of time in which a person is in a block.
type busyTime struct {
	start, finish solver.Seconds
	block         BlockIndex
}

func newDecoder(p *Problem) *decoder {
	n, m := len(p.spec.Groupings), len(p.spec.People)
	return &decoder{
		p:       p,
		block:   make([]BlockIndex, n),
		index:   make([]int, n),
		start:   make([]solver.Seconds, n),
		finish:  make([]solver.Seconds, n),
		begin:   make([]solver.Seconds, n),
		decoded: make([]bool, n),
		release: make([]solver.Seconds, m), lastBlock: make([]BlockIndex, m),
		first: make([]solver.Seconds, m), last: make([]solver.Seconds, m), inFrame: make([]solver.Seconds, m),
		busy:  make([][]busyTime, m),
		tally: newTally(p), before: make([]uint64, (n+63)/64), stretches: make([]solver.Window, len(p.wishes.sets)),
	}
}

// decode times a candidate as early as possible. It returns false when the candidate breaks a wish.
func (d *decoder) decode(o orders) (score, bool) {
	d.reset(o)
	for _, b := range d.p.sequence {
		if !d.opensWithPrefix(b, o[b]) || len(o[b]) > 0 && !d.decodeBlock(b, o[b]) {
			return score{}, false
		}
	}
	if !d.wishesHold(o) {
		return score{}, false
	}
	return d.score(), true
}

func (d *decoder) reset(o orders) {
	for g := range d.block {
		d.block[g] = nowhere
		d.decoded[g] = false
	}
	used := 0
	for b, list := range o {
		if len(list) > 0 {
			used++
		}
		for k, g := range list {
			d.block[g], d.index[g] = BlockIndex(b), k
		}
	}
	d.shared = used > 1
	clear(d.release)
	for _, q := range d.seen { // left over from a decode that broke off
		d.lastBlock[q] = 0
	}
	d.seen = d.seen[:0]
	for _, q := range d.touched {
		d.busy[q] = d.busy[q][:0]
	}
	d.touched = d.touched[:0]
	d.cost, d.busyTime = solver.Cost{}, 0
}

// opening is when a block can begin: its opening, or when its photographer has arrived.
func (d *decoder) opening(b BlockIndex) solver.Seconds {
	open := d.p.spec.Blocks[b].Open
	for g, at := range d.block {
		if at >= 0 && at != b && d.decoded[g] && d.p.spec.Blocks[at].Photographer == d.p.spec.Blocks[b].Photographer {
			open = max(open, d.finish[g]+d.p.walk(at, b))
		}
	}
	return open
}

func (d *decoder) opensWithPrefix(b BlockIndex, order []solver.GroupingIndex) bool {
	prefix := d.p.spec.Blocks[b].Prefix
	return len(order) >= len(prefix) && slices.Equal(order[:len(prefix)], prefix)
}

func (d *decoder) decodeBlock(b BlockIndex, order []solver.GroupingIndex) bool {
	block := &d.p.spec.Blocks[b]
	now := block.Open
	if d.shared {
		now = d.opening(b)
	}
	before := solver.GroupingIndex(-1)
	blockStart := now
	for k, g := range order {
		if k > 0 && !d.pinsHold(before, g) {
			return false
		}
		length := d.p.slot(b, before, g)
		start, ok := d.earliest(b, g, now, length)
		if !ok || block.Close > 0 && start+length > block.Close {
			return false
		}
		d.begin[g], d.start[g], d.finish[g], d.decoded[g] = now, start, start+length, true
		d.cost.StepIns += int64(d.p.stepIns(b, before, g))
		d.occupy(b, g)
		d.work += len(d.p.spec.Groupings[g].Members)
		now, before = d.finish[g], g
	}
	d.closeBlock(b, blockStart, now)
	d.busyTime += now - blockStart
	return true
}

func (d *decoder) pinsHold(before, here solver.GroupingIndex) bool {
	x, y := d.p.spec.Groupings[before].Pin, d.p.spec.Groupings[here].Pin
	return !(y == solver.PinFirst && x != solver.PinFirst || x == solver.PinLast && y != solver.PinLast)
}

// earliest returns the first start at or after now that every window, person and earlier grouping
// allows.
func (d *decoder) earliest(b BlockIndex, g solver.GroupingIndex, now, length solver.Seconds) (solver.Seconds, bool) {
	w := &d.p.spec.Groupings[g]
	start := max(now, d.p.notBefore[g][b])
	for _, i := range w.After {
		switch {
		case d.block[i] == nowhere:
		case d.decoded[i]:
			start = max(start, d.finish[i])
		case d.block[i] == b:
			return 0, false // later in this very order
		}
	}
	for {
		moved, ok := d.intoWindow(w, start, length)
		if !ok {
			return 0, false
		}
		if d.shared {
			moved = d.whenFree(b, w, moved, length)
		}
		if moved == start {
			return start, true
		}
		start = moved
	}
}

func (d *decoder) intoWindow(w *Grouping, start, length solver.Seconds) (solver.Seconds, bool) {
	if len(w.Windows) == 0 {
		return start, start+length <= solver.MaxSeconds // a wait without an end is no plan
	}
	for _, window := range w.Windows {
		if at := max(start, window.Open); at+length <= window.Close {
			return at, true
		}
	}
	return 0, false
}

// whenFree moves a start behind every stretch of time in which somebody of the grouping is in
// another block, walking included.
func (d *decoder) whenFree(b BlockIndex, w *Grouping, start, length solver.Seconds) solver.Seconds {
	for _, people := range [2][]solver.PersonIndex{w.Members, w.Near} {
		for _, q := range people {
			for _, t := range d.busy[q] {
				if t.block == b {
					continue
				}
				free := t.finish + d.p.walk(t.block, b)
				if start < free && start+length+d.p.walk(b, t.block) > t.start {
					start = free
				}
			}
		}
	}
	return start
}

// occupy books the people of a slot.
func (d *decoder) occupy(b BlockIndex, g solver.GroupingIndex) {
	w := &d.p.spec.Groupings[g]
	origin := d.p.spec.Blocks[d.p.sequence[0]].Open
	for _, q := range w.Members {
		if d.lastBlock[q] != b+1 {
			d.lastBlock[q] = b + 1
			d.seen = append(d.seen, q)
			d.first[q], d.inFrame[q] = d.start[g], 0
		}
		d.last[q] = d.finish[g]
		d.inFrame[q] += d.finish[g] - d.start[g]
		d.release[q] = max(d.release[q], d.finish[g]-origin)
	}
	if !d.shared {
		return
	}
	for _, people := range [2][]solver.PersonIndex{w.Members, w.Near} {
		for _, q := range people {
			n := len(d.busy[q])
			switch {
			case n == 0:
				d.touched = append(d.touched, q)
			case d.busy[q][n-1].block == b && d.busy[q][n-1].finish == d.start[g]:
				d.busy[q][n-1].finish = d.finish[g]
				continue
			}
			d.busy[q] = append(d.busy[q], busyTime{d.start[g], d.finish[g], b})
		}
	}
}

// closeBlock adds the idle time of a block and forgets its people.
func (d *decoder) closeBlock(b BlockIndex, begin, end solver.Seconds) {
	people := d.p.spec.People
	defer func() { d.seen = d.seen[:0] }()
	for _, q := range d.seen {
		d.lastBlock[q] = 0
		if people[q].IdleWeight == 0 {
			continue
		}
		from, until := d.first[q], d.last[q]
		if people[q].Started {
			from = begin
		}
		if people[q].Stays {
			until = end
		}
		d.cost.Idle += people[q].IdleWeight * (until - from - d.inFrame[q])
	}
	if len(d.p.spec.Blocks) > 1 {
		return // nobody has started or stays
	}
	for q := range people {
		if people[q].Started && people[q].Stays && people[q].IdleWeight > 0 && !d.inBlock(solver.PersonIndex(q)) {
			d.cost.Idle += people[q].IdleWeight * (end - begin)
		}
	}
}

func (d *decoder) inBlock(q solver.PersonIndex) bool {
	for _, s := range d.seen {
		if s == q {
			return true
		}
	}
	return false
}

func (d *decoder) score() score {
	var s score
	for g, b := range d.block {
		d.tally.set(solver.GroupingIndex(g), b != nowhere)
		if b != nowhere {
			d.cost.Release += d.p.spec.Groupings[g].ReleaseWeight * (d.finish[g] - d.p.spec.Blocks[d.p.sequence[0]].Open)
		}
	}
	for q, w := range d.p.spec.People {
		if !w.Stays {
			d.cost.Release += w.ReleaseWeight * d.release[q]
		}
	}
	s.lost, s.total, s.busy = d.tally.lost, d.p.Total(d.cost), d.busyTime
	return s
}

// plan writes down the candidate decoded last.
func (d *decoder) plan(o orders) Plan {
	plan := Plan{Blocks: make([][]Slot, len(o))}
	for b, list := range o {
		for _, g := range list {
			plan.Blocks[b] = append(plan.Blocks[b], Slot{Grouping: g, Begin: d.begin[g], Start: d.start[g], Finish: d.finish[g]})
		}
	}
	for g, b := range d.block {
		if b == nowhere {
			plan.LeftOut = append(plan.LeftOut, solver.GroupingIndex(g))
		}
	}
	return plan
}
