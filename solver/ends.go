package solver

import "math/bits"

// Where slots remember nothing, step-ins cost nothing and nothing is wished (talent scheduling, and
// release with fixed slots), an order is built from both ends, after Cheng, Diamond and Lin (1993) and
// Garcia de la Banda, Stuckey and Chu (2011). Groupings with the same people are one scene. A state is
// (scenes left, people called at the front, people called at the back): what is left costs the same
// whatever order the two ends are in. Somebody called at both ends is there throughout what is left,
// which is paid at once; with few people that soon holds for nearly all of them.
//
// A release weight is the idle weight of somebody who is called before the first scene, and a constant:
// the seconds of the scenes with that person. So somebody with both weights is two people here.
type ends struct {
	// casts are the people of each scene as bits, length its seconds, groups its groupings.
	casts  []uint64
	length []int64
	groups [][]int
	// idle is the weight of each person, in the scenes of each person as bits.
	idle []int64
	in   []uint64
	// seconds[k] sums the lengths of scenes 8k … 8k+7 by their bits, weights[k] idle weights of people.
	seconds, weights [][256]int64
	// start is the state before anything is placed, fixed what every order pays.
	start endsState
	fixed int64
}

// mostEnds is the most scenes, and the most people, of an ends.
const mostEnds = 64

// endsState is what is left to be placed between the two ends.
type endsState struct {
	// left are scenes; front and back are people with scenes left, called at that end.
	left, front, back uint64
}

// newEnds returns nil when the model is not of the kind, or too large.
func newEnds[S set](m *model[S]) *ends {
	if !m.free || !m.memoryless() {
		return nil
	}
	e := &ends{}
	casts := make([]uint64, m.n)
	for i := range m.classes {
		c := &m.classes[i]
		own := int64(0)
		for _, j := range members(c.in, nil) {
			own += m.slot[j]
		}
		e.fixed += c.release * own
		e.addPerson(casts, c.idle, c.started, c.stays, members(c.in, nil))
		e.addPerson(casts, c.release, true, false, members(c.in, nil))
		if len(e.idle) > mostEnds {
			return nil
		}
	}
	at := map[uint64]int{}
	for j, cast := range casts {
		k, ok := at[cast]
		if !ok {
			k = len(e.casts)
			at[cast] = k
			e.casts, e.length, e.groups = append(e.casts, cast), append(e.length, 0), append(e.groups, nil)
		}
		e.length[k] += m.slot[j]
		e.groups[k] = append(e.groups[k], j)
	}
	if len(e.casts) > mostEnds {
		return nil
	}
	e.in = make([]uint64, len(e.idle))
	for s, cast := range e.casts {
		e.start.left |= 1 << s
		for x := cast; x != 0; x &= x - 1 {
			e.in[bits.TrailingZeros64(x)] |= 1 << s
		}
	}
	e.seconds, e.weights = sumsByByte(e.length), sumsByByte(e.idle)
	return e
}

func (e *ends) addPerson(casts []uint64, idle int64, started, stays bool, in []int) {
	if idle == 0 || len(e.idle) > mostEnds {
		return
	}
	bit := uint64(1) << len(e.idle)
	e.idle = append(e.idle, idle)
	for _, j := range in {
		casts[j] |= bit
	}
	if started {
		e.start.front |= bit
	}
	if stays {
		e.start.back |= bit
	}
}

// sumsByByte tabulates, for each eight values, the sums of all subsets.
func sumsByByte(v []int64) [][256]int64 {
	out := make([][256]int64, (len(v)+7)/8)
	for k := range out {
		for b := 1; b < 256; b++ {
			out[k][b] = out[k][b&(b-1)]
			if at := 8*k + bits.TrailingZeros(uint(b)); at < len(v) {
				out[k][b] += v[at]
			}
		}
	}
	return out
}

func sumOf(table [][256]int64, set uint64) int64 {
	sum := int64(0)
	for k := range table {
		sum += table[k][uint8(set>>(8*k))]
	}
	return sum
}

// duration is the seconds of a set of scenes.
func (e *ends) duration(scenes uint64) int64 { return sumOf(e.seconds, scenes) }

// weigh is the idle weight of a set of people.
func (e *ends) weigh(people uint64) int64 { return sumOf(e.weights, people) }

// endsOrder is the two ends of an order: scenes from the outside inwards.
type endsOrder struct {
	front, back []int
	// turned says that front and back have changed places.
	turned bool
}

// settle completes a state after some scenes were placed or people called: it returns the state with
// everything done that costs nothing, and what is paid for those newly called at both ends. Before that
// the people in both were called at both ends.
//
//   - People without scenes left are no longer there.
//   - A scene whose people, without those called at both ends, are just those called at the front can be
//     placed there: nobody idles during it, and nobody waits longer if it is taken out of the middle.
//   - Idle is the same backwards, so front and back change places to make equal states look equal.
//
// placed, when given, is told of what is placed.
func (e *ends) settle(s endsState, both uint64, placed *endsOrder) (endsState, int64) {
	paid := int64(0)
	for x := s.front & s.back &^ both; x != 0; x &= x - 1 {
		q := bits.TrailingZeros64(x)
		paid += e.idle[q] * e.duration(s.left&^e.in[q])
	}
	for {
		people := uint64(0)
		for x := s.left; x != 0; x &= x - 1 {
			people |= e.casts[bits.TrailingZeros64(x)]
		}
		s.front &= people
		s.back &= people
		both = s.front & s.back
		free := uint64(0)
		for x := s.left; x != 0; x &= x - 1 {
			j := bits.TrailingZeros64(x)
			switch e.casts[j] &^ both {
			case s.front &^ both:
				placed.add(j, true)
			case s.back &^ both:
				placed.add(j, false)
			default:
				continue
			}
			free |= 1 << j
		}
		if free == 0 {
			break
		}
		s.left &^= free
	}
	if s.front > s.back {
		s.front, s.back = s.back, s.front
		placed.turn()
	}
	return s, paid
}

func (o *endsOrder) add(scene int, front bool) {
	switch {
	case o == nil:
	case front:
		o.front = append(o.front, scene)
	default:
		o.back = append(o.back, scene)
	}
}

func (o *endsOrder) turn() {
	if o != nil {
		o.front, o.back = o.back, o.front
		o.turned = !o.turned
	}
}

// merged lists the scenes left without those called at both ends, casts with their sets of scenes: of
// equal casts one run is enough. For move the later of two next to the earlier or the earlier next to the
// later: nobody new idles, and of the people idle between them either those who idle during the one or
// those who idle during the other gain. (Cheng, Diamond and Lin, 1993.)
func (e *ends) merged(s endsState, w *endsScratch) {
	both := s.front & s.back
	w.casts, w.runs = w.casts[:0], w.runs[:0]
next:
	for x := s.left; x != 0; x &= x - 1 {
		j := bits.TrailingZeros64(x)
		cast := e.casts[j] &^ both
		for k, c := range w.casts {
			if c == cast {
				w.runs[k] |= 1 << j
				continue next
			}
		}
		w.casts, w.runs = append(w.casts, cast), append(w.runs, 1<<j)
	}
}

// worthPlacing says whether a merged scene need be tried next at the front, where here are the people
// called there only. A scene s need not come next when some t is left with a(s) ⊊ a(t) ⊆ a(s) ∪ here, a
// being the people (Garcia de la Banda, Stuckey and Chu, 2011). For take an order s X t … of what is left
// that is best and begins with as many people as any best one does. Let F be the weight of those of here
// released during X and N the weight of those called during X who are still there at t. Moving t to the
// front costs at most length(t)·(F - N): s and t call the same people, so X costs no more. If F <= N this
// makes a best order that begins with more people. Moving s behind t costs at most length(s)·(N - F), so
// if F > N and s takes any time the order was not the best. Those called at the back are never released,
// and those called at both ends cost the same in any order, so both arguments hold with them.
func (e *ends) worthPlacing(at int, here uint64, w *endsScratch) bool {
	s := w.casts[at]
	for _, t := range w.casts {
		if t != s && s&^t == 0 && t&^(s|here) == 0 && e.duration(w.runs[at]) > 0 {
			return false
		}
	}
	return true
}

// atFront picks the end that the next scene is placed at: the one where fewer wait. Any rule will do
// that depends on the state alone; this one leaves the fewest states.
func (s endsState) atFront() bool {
	both := s.front & s.back
	return bits.OnesCount64(s.front&^both) <= bits.OnesCount64(s.back&^both)
}

// place puts a run of scenes with the given people at an end. It returns the state, not settled, and
// what those cost who idle meanwhile.
func (e *ends) place(s endsState, run, cast uint64, front bool) (endsState, int64) {
	here := s.front &^ s.back
	if !front {
		here = s.back &^ s.front
	}
	paid := e.duration(run) * e.weigh(here&^cast)
	s.left &^= run
	if front {
		s.front |= cast
	} else {
		s.back |= cast
	}
	return s, paid
}

// order lists the groupings of an order that is made by placing, from the start on, the runs of the
// given scenes.
func (e *ends) order(scenes []uint8) []int {
	w, placed := &endsScratch{}, &endsOrder{}
	s, _ := e.settle(e.start, 0, placed)
	for _, scene := range scenes {
		e.merged(s, w)
		front := s.atFront()
		for k, run := range w.runs {
			if run>>scene&1 == 0 {
				continue
			}
			for x := run; x != 0; x &= x - 1 {
				placed.add(bits.TrailingZeros64(x), front)
			}
			both := s.front & s.back
			s, _ = e.place(s, run, w.casts[k], front)
			s, _ = e.settle(s, both, placed)
			break
		}
	}
	if placed.turned {
		placed.front, placed.back = placed.back, placed.front
	}
	var out []int
	for _, scene := range placed.front {
		out = append(out, e.groups[scene]...)
	}
	for k := len(placed.back) - 1; k >= 0; k-- {
		out = append(out, e.groups[placed.back[k]]...)
	}
	return out
}
