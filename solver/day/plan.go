package day

import (
	"errors"
	"fmt"
	"slices"

	"kinorder.example/solver"
)

// Slot is one grouping in its time. All times are seconds from the origin of the day.
type Slot struct {
	Grouping solver.GroupingIndex
	// Begin is the end of the slot before, or the time at which the block can begin. From Begin
	// to Start everybody waits, out of the frame.
	Begin  solver.Seconds
	Start  solver.Seconds
	Finish solver.Seconds
}

// Plan is what is taken when, and what is not.
type Plan struct {
	// Blocks holds the slots of each block of the Spec in order; a block may stay empty.
	Blocks [][]Slot
	// LeftOut lists the groupings that are not taken, by rising index.
	LeftOut []solver.GroupingIndex
}

// ErrPlan is wrapped by every error of Verify.
var ErrPlan = errors.New("plan breaks the day")

// Verify checks a plan against the whole Spec and that it costs what is claimed. It works from the
// Spec alone and shares no code with the search.
func Verify(p *Problem, plan Plan, claimed solver.Cost) error {
	v := verifier{spec: &p.spec, at: map[solver.GroupingIndex]position{}}
	for _, check := range []func(Plan) error{
		v.placeAll, v.times, v.windows, v.after, v.blocks, v.people, v.together, v.turns, v.ranks, v.apart,
	} {
		if err := check(plan); err != nil {
			return fmt.Errorf("%w: %w", ErrPlan, err)
		}
	}
	if cost := v.cost(plan); cost != claimed {
		return fmt.Errorf("%w: costs %+v, not %+v", ErrPlan, cost, claimed)
	}
	return nil
}

type position struct{ block, index int }

type verifier struct {
	spec *Spec
	at   map[solver.GroupingIndex]position
}

func (v *verifier) slot(plan Plan, g solver.GroupingIndex) (Slot, int, bool) {
	at, ok := v.at[g]
	if !ok {
		return Slot{}, 0, false
	}
	return plan.Blocks[at.block][at.index], at.block, true
}

func (v *verifier) placeAll(plan Plan) error {
	if len(plan.Blocks) != len(v.spec.Blocks) {
		return fmt.Errorf("%d of %d blocks", len(plan.Blocks), len(v.spec.Blocks))
	}
	for b, slots := range plan.Blocks {
		for k, s := range slots {
			if s.Grouping < 0 || int(s.Grouping) >= len(v.spec.Groupings) {
				return fmt.Errorf("no grouping %d", s.Grouping)
			}
			if _, twice := v.at[s.Grouping]; twice {
				return fmt.Errorf("grouping %d is taken twice", s.Grouping)
			}
			v.at[s.Grouping] = position{b, k}
			if !slices.Contains(v.spec.Groupings[s.Grouping].Blocks, BlockIndex(b)) {
				return fmt.Errorf("grouping %d is not allowed in block %d", s.Grouping, b)
			}
		}
	}
	for _, g := range plan.LeftOut {
		if _, taken := v.at[g]; taken {
			return fmt.Errorf("grouping %d is taken and left out", g)
		}
	}
	if len(v.at)+len(plan.LeftOut) != len(v.spec.Groupings) {
		return errors.New("a grouping is neither taken nor left out")
	}
	return nil
}

// times checks that slots follow each other and are as long as the model of movement says.
func (v *verifier) times(plan Plan) error {
	for b, slots := range plan.Blocks {
		block := v.spec.Blocks[b]
		now, frame := block.Open, block.Frame
		for k, s := range slots {
			if k > 0 && s.Begin != now || k == 0 && s.Begin < now || s.Start < s.Begin {
				return fmt.Errorf("grouping %d begins at %d, not after %d", s.Grouping, s.Begin, now)
			}
			if length := v.length(frame, s.Grouping); s.Finish-s.Start != length {
				return fmt.Errorf("grouping %d takes %d s, not %d", s.Grouping, length, s.Finish-s.Start)
			}
			now, frame = s.Finish, v.spec.Groupings[s.Grouping].Members
		}
		if block.Close > 0 && now > block.Close {
			return fmt.Errorf("block %d ends at %d, after its close", b, now)
		}
	}
	return nil
}

// length is the formula of solver.Timing, written once more on purpose.
func (v *verifier) length(frame []solver.PersonIndex, g solver.GroupingIndex) solver.Seconds {
	w, t := v.spec.Groupings[g], v.spec.Timing
	if w.Fixed > 0 {
		return w.Fixed
	}
	in, stay, slowest := 0, 0, solver.Seconds(0)
	for _, q := range w.Members {
		if slices.Contains(frame, q) {
			stay++
		} else {
			in++
			slowest = max(slowest, v.spec.People[q].Slow)
		}
	}
	length := t.Settle + w.Shoot + slowest + t.PerStepIn*int64(in) + t.PerStepOut*int64(len(frame)-stay)
	if len(t.Arrange) > 0 {
		length += t.Arrange[min(in, len(t.Arrange)-1)]
	}
	if stay == 0 {
		length += t.Fresh
	}
	return length
}

func (v *verifier) windows(plan Plan) error {
	for _, slots := range plan.Blocks {
		for _, s := range slots {
			windows := v.spec.Groupings[s.Grouping].Windows
			fits := len(windows) == 0
			for _, w := range windows {
				fits = fits || s.Start >= w.Open && s.Finish <= w.Close
			}
			if !fits {
				return fmt.Errorf("grouping %d fits none of its windows", s.Grouping)
			}
		}
	}
	return nil
}

func (v *verifier) after(plan Plan) error {
	for g, w := range v.spec.Groupings {
		slot, _, taken := v.slot(plan, solver.GroupingIndex(g))
		if !taken {
			continue
		}
		for _, before := range w.After {
			if earlier, _, ok := v.slot(plan, before); ok && earlier.Finish > slot.Start {
				return fmt.Errorf("grouping %d starts before %d is over", g, before)
			}
		}
	}
	return nil
}

// blocks checks pins, prefixes and that no photographer is in two blocks at once.
func (v *verifier) blocks(plan Plan) error {
	for b, slots := range plan.Blocks {
		for k, g := range v.spec.Blocks[b].Prefix {
			if k >= len(slots) || slots[k].Grouping != g {
				return fmt.Errorf("block %d does not open with its prefix", b)
			}
		}
		for k := 1; k < len(slots); k++ {
			before := v.spec.Groupings[slots[k-1].Grouping].Pin
			here := v.spec.Groupings[slots[k].Grouping].Pin
			if here == solver.PinFirst && before != solver.PinFirst || before == solver.PinLast && here != solver.PinLast {
				return fmt.Errorf("block %d breaks a pin at entry %d", b, k)
			}
		}
		for c := range b {
			if v.spec.Blocks[b].Photographer != v.spec.Blocks[c].Photographer || len(slots) == 0 || len(plan.Blocks[c]) == 0 {
				continue
			}
			if !v.clear(span(slots), b, span(plan.Blocks[c]), c) {
				return fmt.Errorf("one photographer in blocks %d and %d at once", b, c)
			}
		}
	}
	return nil
}

// span is the stretch of time from the first start to the last finish.
func span(slots []Slot) solver.Window {
	return solver.Window{Open: slots[0].Start, Close: slots[len(slots)-1].Finish}
}

// clear says whether somebody can be in both stretches of time, walking from one place to the other.
func (v *verifier) clear(a solver.Window, blockA int, b solver.Window, blockB int) bool {
	var there, back solver.Seconds
	if v.spec.Walk != nil {
		pa, pb := v.spec.Blocks[blockA].Place, v.spec.Blocks[blockB].Place
		there, back = v.spec.Walk[pa][pb], v.spec.Walk[pb][pa]
	}
	return a.Close+there <= b.Open || b.Close+back <= a.Open
}

// people checks that nobody is needed in two places at once.
func (v *verifier) people(plan Plan) error {
	type stretch struct {
		solver.Window
		block int
	}
	busy := map[solver.PersonIndex][]stretch{}
	for b, slots := range plan.Blocks {
		for _, s := range slots {
			w := v.spec.Groupings[s.Grouping]
			here := stretch{solver.Window{Open: s.Start, Close: s.Finish}, b}
			for _, q := range append(slices.Clone(w.Members), w.Near...) {
				for _, other := range busy[q] {
					if other.block != b && !v.clear(here.Window, b, other.Window, other.block) {
						return fmt.Errorf("person %d is needed in blocks %d and %d at once", q, b, other.block)
					}
				}
				busy[q] = append(busy[q], here)
			}
		}
	}
	return nil
}

func (v *verifier) together(Plan) error {
	for i, set := range v.spec.Together {
		lo, hi, count := map[int]int{}, map[int]int{}, map[int]int{}
		for _, g := range set {
			at, ok := v.at[g]
			if !ok {
				continue
			}
			if count[at.block] == 0 {
				lo[at.block], hi[at.block] = at.index, at.index
			}
			lo[at.block], hi[at.block] = min(lo[at.block], at.index), max(hi[at.block], at.index)
			count[at.block]++
		}
		for b, n := range count {
			if hi[b]-lo[b]+1 != n {
				return fmt.Errorf("together[%d] is broken up in block %d", i, b)
			}
		}
	}
	return nil
}

func (v *verifier) turns(plan Plan) error {
	for i, pair := range v.spec.Turns {
		var stretches []solver.Window
		for _, set := range pair {
			var whole solver.Window
			found := false
			for _, g := range set {
				s, _, ok := v.slot(plan, g)
				if !ok {
					continue
				}
				if !found {
					whole, found = solver.Window{Open: s.Start, Close: s.Finish}, true
				}
				whole.Open, whole.Close = min(whole.Open, s.Start), max(whole.Close, s.Finish)
			}
			if found {
				stretches = append(stretches, whole)
			}
		}
		if len(stretches) == 2 && stretches[0].Close > stretches[1].Open && stretches[1].Close > stretches[0].Open {
			return fmt.Errorf("turns[%d] interleave", i)
		}
	}
	return nil
}

func (v *verifier) ranks(Plan) error {
	for i, pair := range v.spec.Ranks {
		first, ok := v.at[pair[0]]
		second, both := v.at[pair[1]]
		if ok && both && first.block == second.block && first.index > second.index {
			return fmt.Errorf("ranks[%d] is turned round", i)
		}
	}
	return nil
}

func (v *verifier) apart(plan Plan) error {
	for i, rule := range v.spec.Apart {
		for _, a := range rule.A {
			for _, b := range rule.B {
				sa, blockA, okA := v.slot(plan, a)
				sb, blockB, okB := v.slot(plan, b)
				if !okA || !okB || min(sa.Start, sb.Start) >= rule.Until || max(sa.Start, sb.Start) >= rule.Until {
					continue
				}
				if v.spec.Blocks[blockA].Place != v.spec.Blocks[blockB].Place {
					continue
				}
				if blockA == blockB || sa.Finish+v.spec.Handover > sb.Start && sb.Finish+v.spec.Handover > sa.Start {
					return fmt.Errorf("apart[%d]: groupings %d and %d bring people together", i, a, b)
				}
			}
		}
	}
	return nil
}

// cost sums step-ins, release and idle person by person.
func (v *verifier) cost(plan Plan) solver.Cost {
	var c solver.Cost
	origin := v.origin()
	release := make([]solver.Seconds, len(v.spec.People))
	for b, slots := range plan.Blocks {
		frame := v.spec.Blocks[b].Frame
		first, last, inFrame := map[solver.PersonIndex]solver.Seconds{}, map[solver.PersonIndex]solver.Seconds{}, map[solver.PersonIndex]solver.Seconds{}
		for _, s := range slots {
			members := v.spec.Groupings[s.Grouping].Members
			for _, q := range members {
				if !slices.Contains(frame, q) {
					c.StepIns++
				}
				if _, seen := first[q]; !seen {
					first[q] = s.Start
				}
				last[q] = s.Finish
				inFrame[q] += s.Finish - s.Start
				release[q] = max(release[q], s.Finish-origin)
			}
			frame = members
		}
		for q, w := range v.spec.People {
			from, seen := first[solver.PersonIndex(q)]
			until := last[solver.PersonIndex(q)]
			if w.Started && len(slots) > 0 {
				from, seen = slots[0].Begin, true
			}
			if w.Stays && len(slots) > 0 {
				until = slots[len(slots)-1].Finish
			}
			if seen && until > from {
				c.Idle += w.IdleWeight * (until - from - inFrame[solver.PersonIndex(q)])
			}
		}
	}
	for q, w := range v.spec.People {
		if !w.Stays {
			c.Release += w.ReleaseWeight * release[q]
		}
	}
	return c
}

// origin is the opening of the first block.
func (v *verifier) origin() solver.Seconds {
	origin := v.spec.Blocks[0].Open
	for _, b := range v.spec.Blocks {
		origin = min(origin, b.Open)
	}
	return origin
}
