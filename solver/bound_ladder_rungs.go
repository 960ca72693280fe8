package solver

// mostRungs is the most rungs of a set: sums over all groupings stay inside 32 bits.
const mostRungs = 1 << 18

// ladderBytes is about what a ladder takes before its table, and what improves it.
func (m *model[S]) ladderBytes() int64 {
	in := int64(0)
	for _, of := range m.of {
		in += int64(len(of))
	}
	return 25*int64(m.n+1)*int64(m.n) + 40*in
}

// tableBytes is what the table of walks takes with width entries on a rung.
func (l *ladder[S]) tableBytes(width, high int) int64 {
	return 4*int64(width)*int64(l.m.n) + 8*int64(width)*int64(high+1)
}

// reserve makes room for a table. It returns false when there is none.
func (l *ladder[S]) reserve(width, high int) bool {
	if high > mostRungs {
		return false
	}
	return l.room.raise(l.fixed + l.tableBytes(width, high))
}

// setRungs rounds the weights of the groupings to rungs. The unit is chosen so that the heaviest of
// the given sets of groupings left has about so many rungs, and none that weighs no more than atMost
// has four times as many. The table of rates goes so far and no further: a grouping that all sets are
// done with may be heavier than all of what is left.
func (l *ladder[S]) setRungs(levels int, left []S, atMost int64) {
	n := l.m.n
	l.weight = make([]int64, n)
	for k, in := range l.in {
		for x, j := range in {
			l.weight[j] += l.share[k][x]
		}
	}
	heaviest := int64(0)
	for _, set := range left {
		total := int64(0)
		for j, w := range l.weight {
			if has(set, j) {
				total += w
			}
		}
		heaviest = max(heaviest, total)
	}
	unit := max(heaviest/int64(levels), atMost/int64(4*levels)) + 1
	l.rung = make([]int, n)
	all := 0
	for j, w := range l.weight {
		l.rung[j] = int(min(mostRungs, max(1, (w+unit/2)/unit)))
		all += l.rung[j]
	}
	l.setRates(min(all, n+int(min(mostRungs, atMost/unit))))
}

// setRates finds the least weight of any set of groupings with r rungs in all, up to a rung: no set left
// weighs less.
func (l *ladder[S]) setRates(high int) {
	l.rate = make([]int64, high+1)
	for r := range l.rate {
		l.rate[r] = never
	}
	l.rate[0] = 0
	reach := 0
	for j, w := range l.weight {
		reach = min(high, reach+l.rung[j])
		for r := reach; r >= l.rung[j]; r-- {
			l.rate[r] = min(l.rate[r], l.rate[r-l.rung[j]]+w)
		}
	}
	for r := range l.rate {
		if l.rate[r] >= never {
			l.rate[r] = 0 // No set has exactly r rungs.
		}
		l.rate[r] >>= l.fine
	}
	l.high = high
}

// reach fills the table as high as the given sets of groupings done need. It returns false when there is
// no room for that, or when stop says so.
func (l *ladder[S]) reach(done []S, stop func() bool) bool {
	high := 0
	for _, set := range done {
		high = max(high, l.rungs(minus(l.m.all, set)))
	}
	if high <= l.high {
		return true
	}
	if !l.reserve(l.width, high) {
		return false
	}
	if high > l.top() {
		l.setRates(high)
	}
	l.high = high
	l.fill(stop)
	return !stop()
}

// rungs is how many rungs the groupings of a set have.
func (l *ladder[S]) rungs(set S) int {
	sum := 0
	for j, r := range l.rung {
		if has(set, j) {
			sum += r
		}
	}
	return sum
}

func (l *ladder[S]) top() int { return len(l.rate) - 1 }
