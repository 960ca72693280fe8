package day

import "kinorder.example/solver"

// Worth is counted in parts of what it is worth that one person is seen for the first time. That has
// divisors for the first ten times.
const (
	WorthOfOne = 2520
	// worthOfAny is what every photograph brings by itself, so that none is left out for nothing.
	worthOfAny = WorthOfOne / 100
)

// Lost is what a plan does without, in the order in which it counts; see doc.go, Losses.
type Lost [MaxTier + 4]int64

// The entries of Lost. Worth of tier 0 is at lostWorth, that of a higher tier t at lostWorth + 1 + t.
const (
	lostKept   = iota // groupings that are given up last
	lostFirst         // first times of people of groupings of tier 0 who are in none of them
	lostWorth         // worth of tier 0
	lostPeople        // first times of people of groupings who are in none
)

func worthAt(tier int) int {
	if tier == 0 {
		return lostWorth
	}
	return lostPeople + tier
}

// Less ranks losses: the first entry that differs decides.
func (l Lost) Less(m Lost) bool {
	for i := range l {
		if l[i] != m[i] {
			return l[i] < m[i]
		}
	}
	return false
}

// worthOf is what it is worth that somebody is seen for the first time.
func (s *Spec) worthOf(q solver.PersonIndex) int64 {
	if len(s.Worths) == 0 {
		return WorthOfOne
	}
	return s.Worths[q]
}

// likeness is what the tally knows of groupings that are almost the same photograph. Groupings that are like no
// other are in none.
type likeness struct {
	// sights[g] numbers, by member, who is seen in the groupings like g; nil where there are none. count is
	// how many numbers there are.
	sights [][]int32
	count  int
	// like[g] are the groupings that are like g, g among them; nil where g has neither guests nor a bonus.
	like [][]solver.GroupingIndex
	// series[g] are those of its series, g among them; nil where it is in none.
	series [][]solver.GroupingIndex
	// top is the highest tier of a grouping.
	top int
}

func newLikeness(spec *Spec) likeness {
	n := len(spec.Groupings)
	l := likeness{sights: make([][]int32, n), like: make([][]solver.GroupingIndex, n), series: make([][]solver.GroupingIndex, n)}
	alike, compared := map[int][]solver.GroupingIndex{}, map[int][]solver.GroupingIndex{}
	for g, w := range spec.Groupings {
		l.top = max(l.top, w.Tier)
		if w.Like > 0 {
			alike[w.Like] = append(alike[w.Like], solver.GroupingIndex(g))
		}
		if w.Series > 0 {
			compared[w.Series] = append(compared[w.Series], solver.GroupingIndex(g))
		}
	}
	type sight struct {
		like int
		q    solver.PersonIndex
	}
	number := map[sight]int32{}
	for g, w := range spec.Groupings {
		var same []solver.GroupingIndex
		if w.Guests > 0 || w.Bonus > 0 {
			same = []solver.GroupingIndex{solver.GroupingIndex(g)}
		}
		if w.Like > 0 && len(alike[w.Like]) > 1 {
			for _, q := range w.Members {
				at := sight{w.Like, q}
				if _, known := number[at]; !known {
					number[at] = int32(len(number))
				}
				l.sights[g] = append(l.sights[g], number[at])
			}
			if same != nil {
				same = alike[w.Like]
			}
		}
		l.like[g] = same
		l.series[g] = compared[w.Series]
	}
	l.count = len(number)
	return l
}

// tally keeps what a choice of groupings loses up to date while groupings come and go.
type tally struct {
	p     *Problem
	taken []bool
	lost  Lost
	// seen and first count, by person, the groupings taken that they are in: all, and those of tier 0.
	seen, first []int32
	// times counts by tier and person the different photographs up to that tier, sights by tier and number.
	times, sights [][]int32
}

// newTally begins with nothing taken.
func newTally(p *Problem) *tally {
	t := &tally{
		p: p, taken: make([]bool, len(p.spec.Groupings)),
		seen: make([]int32, len(p.spec.People)), first: make([]int32, len(p.spec.People)),
		lost: p.whole,
	}
	for range p.likeness.top + 1 {
		t.times = append(t.times, make([]int32, len(p.spec.People)))
		t.sights = append(t.sights, make([]int32, p.likeness.count))
	}
	return t
}

// fullTally begins with everything taken.
func fullTally(p *Problem) *tally {
	t := newTally(p)
	for g := range p.spec.Groupings {
		t.set(solver.GroupingIndex(g), true)
	}
	return t
}

// wholeWorth is what is lost when nothing is taken.
func (p *Problem) wholeWorth() Lost {
	var whole Lost
	for i, gained := range fullTally(p).lost {
		whole[i] = -gained
	}
	return whole
}

// set takes a grouping, or leaves it out.
func (t *tally) set(g solver.GroupingIndex, taken bool) {
	if t.taken[g] == taken {
		return
	}
	w := &t.p.spec.Groupings[g]
	guests := t.guests(g, t.p.likeness.top, false)
	inFirst := t.guests(g, 0, false)
	t.worth(g, taken)
	t.complete(g)
	step, sign := int32(1), int64(-1)
	if !taken {
		step, sign = -1, 1
	}
	if w.Keep {
		t.lost[lostKept] += sign
	}
	for _, q := range w.Members {
		t.lost[lostPeople] += fewer(&t.seen[q], step) * t.p.spec.worthOf(q)
		if w.Tier == 0 {
			t.lost[lostFirst] += fewer(&t.first[q], step) * t.p.spec.worthOf(q)
		}
	}
	t.lost[lostPeople] -= t.guests(g, t.p.likeness.top, false) - guests
	t.lost[lostFirst] -= t.guests(g, 0, false) - inFirst
}

// complete counts the series when a grouping completes it, or breaks when it is left out.
func (t *tally) complete(g solver.GroupingIndex) {
	tier, gain := 0, int64(0)
	for _, h := range t.p.likeness.series[g] {
		if h != g && !t.taken[h] {
			return
		}
		tier = max(tier, t.p.spec.Groupings[h].Tier)
		gain += t.p.spec.Groupings[h].Gain
	}
	if !t.taken[g] {
		gain = -gain
	}
	for ; tier <= t.p.likeness.top; tier++ {
		t.lost[worthAt(tier)] -= gain
	}
}

// fewer changes a number, and says whether one more person goes without, below 0 for one fewer.
func fewer(n *int32, step int32) int64 {
	was := *n
	*n += step
	switch {
	case was == 0:
		return -1
	case *n == 0:
		return 1
	}
	return 0
}

// worth adds up, tier by tier, what a grouping brings beside what is taken, and takes it or leaves it out.
func (t *tally) worth(g solver.GroupingIndex, taken bool) {
	w := &t.p.spec.Groupings[g]
	for tier := w.Tier; tier <= t.p.likeness.top; tier++ {
		guests := t.guests(g, tier, true)
		t.taken[g] = taken
		gain := t.guests(g, tier, true) - guests
		t.taken[g] = !taken
		own := int64(worthOfAny)
		if w.Worth > 0 {
			own = w.Worth
		}
		if !taken {
			own = -own
		}
		gain += own
		if w.Worth == 0 {
			gain += t.people(g, tier, taken)
		}
		t.lost[worthAt(tier)] -= gain
	}
	t.taken[g] = taken
}

// people is what those of a grouping gain up to a tier when it is taken, below 0 when it is left out.
func (t *tally) people(g solver.GroupingIndex, tier int, taken bool) (gain int64) {
	sights, times := t.p.likeness.sights[g], t.times[tier]
	for k, q := range t.p.spec.Groupings[g].Members {
		if sights != nil {
			n := &t.sights[tier][sights[k]]
			was := *n
			if taken {
				*n++
			} else {
				*n--
			}
			if was > 0 && *n > 0 {
				continue // seen in another one like it
			}
		}
		worth := t.p.spec.worthOf(q)
		if taken {
			times[q]++
			gain += worth / int64(times[q])
		} else {
			gain -= worth / int64(times[q])
			times[q]--
		}
	}
	return gain
}

// guests is what the guests are worth that are seen up to a tier in what is taken of the groupings like g: theirs are the
// same. With beside, the bonus counts too, and groupings that have a worth of their own do not.
func (t *tally) guests(g solver.GroupingIndex, tier int, beside bool) int64 {
	var most, bonus int64
	for _, h := range t.p.likeness.like[g] {
		w := &t.p.spec.Groupings[h]
		if !t.taken[h] || w.Tier > tier || beside && w.Worth > 0 {
			continue
		}
		if most = max(most, WorthOfOne*int64(w.Guests)); beside {
			bonus = max(bonus, w.Bonus)
		}
	}
	return most + bonus
}

// gain ranks groupings for a search: what one would bring, tier by tier. It is worked out by taking it for a moment.
func (t *tally) gain(g solver.GroupingIndex) Lost {
	was := t.lost
	t.set(g, true)
	now := t.lost
	t.set(g, false)
	for i := range was {
		was[i] -= now[i]
	}
	return was
}
