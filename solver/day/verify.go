package day

import (
	"errors"
	"fmt"
	"slices"

	"kinorder.example/solver"
)

// ErrPlan is wrapped by every error of Verify.
var ErrPlan = errors.New("plan breaks the day")

// Verify checks a plan against the whole Spec: that its orders keep every wish, that every slot is where
// doc.go, Timing, puts it, and that it costs and loses what is claimed. It works from the Spec alone and shares no
// code with the search. Its errors wrap ErrPlan.
func Verify(p *Problem, plan Plan, claimed solver.Cost, loses Lost) error {
	v := newVerifier(p)
	if err := v.valid(plan); err != nil {
		return fmt.Errorf("%w: %w", ErrPlan, err)
	}
	if cost := v.cost(plan); cost != claimed {
		return fmt.Errorf("%w: costs %+v, not %+v", ErrPlan, cost, claimed)
	}
	if lost := v.losses(plan); lost != loses {
		return fmt.Errorf("%w: loses %v, not %v", ErrPlan, lost, loses)
	}
	return nil
}

type position struct{ block, index int }

type verifier struct {
	spec *Spec
	at   map[solver.GroupingIndex]position
}

func newVerifier(p *Problem) *verifier {
	return &verifier{spec: &p.spec, at: map[solver.GroupingIndex]position{}}
}

// valid checks everything but the cost.
func (v *verifier) valid(plan Plan) error {
	for _, check := range []func(Plan) error{v.placeAll, v.times, v.after, v.blocks, v.together, v.turns, v.ranks, v.apart} {
		if err := check(plan); err != nil {
			return err
		}
	}
	return nil
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
	var rest []solver.GroupingIndex
	for g := range v.spec.Groupings {
		if _, taken := v.at[solver.GroupingIndex(g)]; !taken {
			rest = append(rest, solver.GroupingIndex(g))
		}
	}
	if !slices.Equal(plan.LeftOut, rest) {
		return fmt.Errorf("leaves out %v, not %v", rest, plan.LeftOut)
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

// blocks checks pins and prefixes.
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
				if !okA || !okB || max(sa.Start, sb.Start) >= rule.Until {
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
			members, standing := v.spec.Groupings[s.Grouping].Members, v.marked(frame)
			c.Release += v.spec.Groupings[s.Grouping].ReleaseWeight * (s.Finish - origin) // of who waits without a number
			for _, q := range members {
				if !standing[q] {
					c.StepIns += 1 + int64(v.spec.People[q].Extra)
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

// lastTier is the highest tier that a spec may have.
const lastTier = 3

// losses is doc.go, Losses, written a second time: what all groupings together bring less what the plan's bring.
func (v *verifier) losses(plan Plan) Lost {
	var everything, taken []solver.GroupingIndex
	for g := range v.spec.Groupings {
		everything = append(everything, solver.GroupingIndex(g))
	}
	for _, slots := range plan.Blocks {
		for _, s := range slots {
			taken = append(taken, s.Grouping)
		}
	}
	lost := Lost{0, v.people(everything, 0) - v.people(taken, 0), 0, v.people(everything, lastTier) - v.people(taken, lastTier)}
	for _, g := range everything {
		if v.spec.Groupings[g].Keep && !slices.Contains(taken, g) {
			lost[0]++
		}
	}
	for tier, at := range []int{2, 4, 5, 6} {
		if tier <= v.highest() {
			lost[at] = v.worth(everything, tier) - v.worth(taken, tier)
		}
	}
	return lost
}

func (v *verifier) highest() int {
	top := 0
	for _, w := range v.spec.Groupings {
		top = max(top, w.Tier)
	}
	return top
}

// people is what all are worth who are in some groupings up to a tier, guests as well.
func (v *verifier) people(groupings []solver.GroupingIndex, tier int) int64 {
	in, guests := map[solver.PersonIndex]bool{}, map[int]int{}
	for _, g := range groupings {
		if w := v.spec.Groupings[g]; w.Tier <= tier {
			guests[v.sameAs(g)] = max(guests[v.sameAs(g)], w.Guests)
			for _, q := range w.Members {
				in[q] = true
			}
		}
	}
	sum := 2520 * sumOf(guests)
	for q := range in {
		sum += v.first(q)
	}
	return sum
}

// first is what it is worth that somebody is seen for the first time.
func (v *verifier) first(q solver.PersonIndex) int64 {
	if v.spec.Worths == nil {
		return 2520
	}
	return v.spec.Worths[q]
}

// worth is what some groupings up to a tier are worth.
func (v *verifier) worth(groupings []solver.GroupingIndex, tier int) int64 {
	type sight struct {
		q    solver.PersonIndex
		same int
	}
	seen, times, guests := map[sight]bool{}, map[solver.PersonIndex]int64{}, map[int]int{}
	sum, bonus := v.series(groupings, tier), map[int]int64{}
	for _, g := range groupings {
		w := v.spec.Groupings[g]
		switch {
		case w.Tier > tier:
			continue
		case w.Worth > 0:
			sum += w.Worth
			continue
		}
		sum += 25
		guests[v.sameAs(g)] = max(guests[v.sameAs(g)], w.Guests)
		bonus[v.sameAs(g)] = max(bonus[v.sameAs(g)], w.Bonus)
		for _, q := range w.Members {
			if at := (sight{q, v.sameAs(g)}); !seen[at] {
				seen[at] = true
				times[q]++
				sum += v.first(q) / times[q]
			}
		}
	}
	for _, b := range bonus {
		sum += b
	}
	return sum + 2520*sumOf(guests)
}

// series is what those series are worth of which some groupings up to a tier have all.
func (v *verifier) series(groupings []solver.GroupingIndex, tier int) (sum int64) {
	gains, broken := map[int]int64{}, map[int]bool{}
	for g, w := range v.spec.Groupings {
		gains[w.Series] += w.Gain
		if w.Tier > tier || !slices.Contains(groupings, solver.GroupingIndex(g)) {
			broken[w.Series] = true
		}
	}
	for s, gain := range gains {
		if s > 0 && !broken[s] {
			sum += gain
		}
	}
	return sum
}

// sameAs numbers photographs by what they are almost the same as; below 0 when it is like no other.
func (v *verifier) sameAs(g solver.GroupingIndex) int {
	if like := v.spec.Groupings[g].Like; like > 0 {
		return like
	}
	return -1 - int(g)
}

func sumOf(guests map[int]int) (sum int64) {
	for _, n := range guests {
		sum += int64(n)
	}
	return sum
}

// origin is the opening of the first block.
func (v *verifier) origin() solver.Seconds {
	origin := v.spec.Blocks[0].Open
	for _, b := range v.spec.Blocks {
		origin = min(origin, b.Open)
	}
	return origin
}
