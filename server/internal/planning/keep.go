package planning

import (
	"cmp"
	"context"
	"errors"
	"maps"
	"slices"

	"kinorder.example/server/internal/planning/model"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// lateWeight is what it costs, in step-ins, to end a photograph after the planned end of its block, by
// tier. Common practice, no source.
var lateWeight = []int64{20, 5, 2, 1}

// arranged is a plan of the rest with what is to be weighed of it.
type arranged struct {
	problem *day.Problem
	orders  [][]solver.GroupingIndex
	result  day.Result
	// lost is what has no place, early counts those that come before something that must be taken, where
	// time is short, and musts those that must be taken and end after the planned end. late counts the blocks that this order
	// alone ends after what they may run over to.
	lost  day.Lost
	early int
	musts int
	late  int
	// cost is in person-seconds: walking, release and waiting, what is late, and what moves.
	cost int64
}

// less ranks what is left out first, then what must be taken and comes late, then the cost.
func (a arranged) less(b arranged) bool {
	if a.lost != b.lost {
		return a.lost.Less(b.lost)
	}
	return cmp.Or(cmp.Compare(a.early, b.early), cmp.Compare(a.musts, b.musts), cmp.Compare(a.late, b.late), cmp.Compare(a.cost, b.cost)) < 0
}

// kept arranges the rest by the order in force: what is new to it goes where it costs least, and what must be
// taken goes first where time is short.
func (r *rest) kept(ctx context.Context) (arranged, error) {
	whole, told := r.Spec, slices.Clone(r.next)
	r.hurry, r.was, r.base = make([]bool, len(r.Blocks)), r.inForce(nil), nil
	r.musts, r.urgent = r.urgency(nil), r.urgency(r.openFor(arranged{}))
	for b := range r.Blocks {
		r.closings = append(r.closings, r.closing(b))
	}
	keep := func(before arranged) (arranged, error) { // what had a place keeps it
		r.Spec = whole
		r.Spec.Blocks = r.prefixes()
		p, err := day.New(r.Spec)
		if err != nil {
			return arranged{}, err
		}
		a, ok := r.build(ctx, p, r.mustFirst(r.inForce(r.next)))
		if !ok {
			return a, errNoOrder
		}
		if a.early > 0 { // what is new to the order in force had not been in it to go first
			if again, ok := r.build(ctx, p, r.mustFirst(a.result.Plan.Orders())); ok && again.less(a) {
				a = again
			}
		}
		if len(before.orders) > 0 && before.lost.Less(a.lost) {
			if again, ok := r.build(ctx, p, before.orders); ok && again.less(a) {
				a = again
			}
		}
		return a, nil
	}
	best, err := keep(arranged{})
	if errors.Is(err, errNoOrder) && r.forget(func(int, solver.GroupingIndex) bool { return true }) {
		told = r.next
		best, err = keep(arranged{})
	}
	if err != nil {
		return arranged{}, err
	}
	// Nobody stands by at the price of a photograph that has no place then.
	if spec := r.Spec; best.lost != (day.Lost{}) && r.forget(func(int, solver.GroupingIndex) bool { return true }) {
		free, err := keep(best)
		if err != nil {
			return arranged{}, err
		}
		if free.lost.Less(best.lost) {
			best = free
		} else {
			r.next, r.Spec = told, spec
		}
	}
	if r.lift(&whole, best.result.Plan.LeftOut, r.hasBegun) {
		r.Spec = whole
		r.urgent = r.urgency(r.openFor(arranged{}))
		if best, err = keep(best); err != nil {
			return arranged{}, err
		}
	}
	return r.makeRoom(ctx, best, keep)
}

// eitherFirst finds the order with each of the blocks at work timed first, for whom others wait then, and takes the best: a second
// that one is later by would decide it anew with each mark.
func (r *rest) eitherFirst(find func(*rest) (arranged, error)) (arranged, error) {
	var due []int
	opens := func(b, c int) int { return cmp.Compare(r.Spec.Blocks[b].Open, r.Spec.Blocks[c].Open) }
	for b, block := range r.Spec.Blocks {
		theirs := func(c int) bool { return r.Spec.Blocks[c].Photographer == block.Photographer }
		if block.Open <= r.now+1 && !slices.ContainsFunc(due, theirs) {
			due = append(due, b)
		}
	}
	slices.SortStableFunc(due, opens)
	begun, spec := *r, r.Spec
	begun.late = maps.Clone(r.late)
	best, err := find(r)
	chosen := r.Spec
	for _, first := range due[min(1, len(due)):] {
		tried := begun
		tried.late, tried.Spec, tried.Spec.Blocks = maps.Clone(begun.late), spec, slices.Clone(spec.Blocks)
		for _, b := range due {
			tried.Spec.Blocks[b].Open = r.now + 1
		}
		tried.Spec.Blocks[first].Open = r.now
		if a, failed := find(&tried); failed == nil && (err != nil || a.less(best)) {
			best, err, *r, chosen = a, nil, tried, tried.Spec
		}
	}
	r.Spec = chosen
	return best, err
}

// makeRoom lets go of who stands by where that helps: nobody waits for people who are elsewhere while others are here, and what goes
// first where time is short may take longer, or go elsewhere.
func (r *rest) makeRoom(ctx context.Context, best arranged, keep func(arranged) (arranged, error)) (arranged, error) {
	var err error
	told, spec := r.next, r.Spec
	if r.forget(func(b int, g solver.GroupingIndex) bool { return idles(best, b, g) }) {
		free, err := keep(best)
		if err != nil {
			return arranged{}, err
		}
		if r.saved(ctx, best, free, told) {
			best = free
		} else {
			r.next, r.Spec = told, spec
		}
	}
	for r.inHurry(best) {
		r.forget(r.makesRoom)
		if best, err = keep(best); err != nil {
			return arranged{}, err
		}
	}
	return best, nil
}

// saved says that something is taken sooner in a block where nobody is next any more of those who were told.
func (r *rest) saved(ctx context.Context, was, free arranged, told []solver.GroupingIndex) bool {
	better := r.better
	free = r.takeMeanwhile(ctx, free)
	r.better = better
	for b, g := range told {
		k := slices.Index(was.orders[b], g)
		if r.next[b] != g && k < len(free.orders[b]) && was.result.Plan.Blocks[b][k].Start-free.result.Plan.Blocks[b][k].Start >= mostWaiting {
			return true
		}
	}
	return false
}

// idles says that everybody would wait in a block for people of a photograph.
func idles(a arranged, b int, g solver.GroupingIndex) bool {
	k := slices.Index(a.orders[b], g)
	return k >= 0 && k+1 < len(a.orders[b]) && waiting(a, b, k) >= mostWaiting
}

// makesRoom says that who stands by makes room for what must be taken, where time is short. Those whose names are up, as
// the first of the order in force with nothing being taken, are not sent away again.
func (r *rest) makesRoom(b int, g solver.GroupingIndex) bool {
	order := r.today.Orders[r.Blocks[b].ID]
	called := r.current[b] < 0 && len(order) > 0 && r.Photographs[g].ID == order[0]
	return r.hurry[b] && !called && r.urgent[g] > 0 && r.mustFollow(b)
}

// forget has those who were told to stand by no longer come next. It reports whether there is anybody.
func (r *rest) forget(which func(b int, g solver.GroupingIndex) bool) bool {
	found := false
	r.next = slices.Clone(r.next)
	for b, g := range r.next {
		if g >= 0 && which(b, g) {
			r.next[b], found = -1, true
		}
	}
	return found
}

// mustFollow says that a block has something left that must be taken and is not being taken.
func (r *rest) mustFollow(b int) bool {
	for g, w := range r.Spec.Groupings {
		if r.urgent[g] == 0 && solver.GroupingIndex(g) != r.current[b] && slices.Contains(w.Blocks, day.BlockIndex(b)) {
			return true
		}
	}
	return false
}

// inForce is the order of the plan in force as far as it is left, behind what is being taken and what comes
// next in each block; next is nil for none.
func (r *rest) inForce(next []solver.GroupingIndex) [][]solver.GroupingIndex {
	out := make([][]solver.GroupingIndex, len(r.Blocks))
	placed := map[solver.GroupingIndex]bool{}
	put := func(b int, g solver.GroupingIndex) {
		if g >= 0 && !placed[g] && slices.Contains(r.Spec.Groupings[g].Blocks, day.BlockIndex(b)) {
			placed[g] = true
			out[b] = append(out[b], g)
		}
	}
	for b := range r.Blocks {
		put(b, r.current[b])
		if next != nil {
			put(b, next[b])
		}
	}
	for b, block := range r.Blocks {
		for _, id := range r.today.Orders[block.ID] {
			put(b, r.index(id))
		}
	}
	return out
}

// arrange times and weighs orders; false when they break a wish.
func (r *rest) arrange(p *day.Problem, orders [][]solver.GroupingIndex) (arranged, bool) {
	result, ok := day.Fix(p, orders)
	if !ok {
		return arranged{}, false
	}
	a := arranged{problem: p, orders: result.Plan.Orders(), result: result, lost: result.Lost, early: r.early(result.Plan)}
	late := int64(0)
	for b, slots := range result.Plan.Blocks {
		closes := r.closings[b]
		if n := len(slots); n > 0 && closes > 0 && slots[n-1].Finish > closes+r.Give[b] && !r.hurry[b] {
			a.late++
		}
		for _, s := range slots {
			if closes > 0 && s.Finish > closes {
				late += lateWeight[r.Spec.Groupings[s.Grouping].Tier]
			}
			if r.lateMust(b, s) {
				a.musts++
			}
		}
	}
	a.cost = result.Cost.Release + result.Cost.Idle + r.Spec.StepWeight*(result.Cost.StepIns+late+r.moved(a.orders))
	return a, true
}

// lateMust says that something that must be taken ends after the planned end of its block, which is still to come.
func (r *rest) lateMust(b int, s day.Slot) bool {
	return r.Spec.Groupings[s.Grouping].Tier == 0 && r.closings[b] > 0 && s.Finish > r.closings[b]-r.Give[b]
}

// moved weighs the photographs that stand elsewhere than in the order in force, in step-ins. Where time is short that what
// must be taken goes first costs nothing; each half keeps its order.
func (r *rest) moved(orders [][]solver.GroupingIndex) int64 {
	if r.base == nil {
		r.base = r.mustFirst(r.inForce(nil))
	}
	sum := int64(0)
	for b, was := range r.base {
		_, moved := model.Stays(was, model.Places(orders[b]))
		sum += moved
	}
	return sum
}

// lift takes away the times of photographs when all of them are past, or have begun of what has no place for want of
// them: whoever is there still has not left. Who said on the day when to leave is not called after it. It reports whether
// there is any.
func (r *rest) lift(spec *day.Spec, which []solver.GroupingIndex, past func(solver.Window) bool) bool {
	lifted := false
	for _, g := range which {
		w := spec.Groupings[g]
		ahead := func(x solver.Window) bool { return !past(x) }
		needed := slices.Concat(w.Members, w.Near)
		if len(w.Windows) == 0 || slices.ContainsFunc(w.Windows, ahead) || slices.ContainsFunc(needed, r.yetToCome) || slices.ContainsFunc(needed, r.leaves) {
			continue
		}
		if !lifted {
			lifted, spec.Groupings = true, slices.Clone(spec.Groupings)
		}
		spec.Groupings[g].Windows = nil
		r.late[r.Photographs[g].ID] = true
	}
	return lifted
}

func (r *rest) hasBegun(x solver.Window) bool { return x.Open <= r.now }

func (r *rest) isPast(x solver.Window) bool { return x.Close <= r.now }

// leaves says that somebody has said on the day when to leave.
func (r *rest) leaves(q solver.PersonIndex) bool {
	_, leaves := r.today.Leaving[r.Event.People[q].ID]
	return leaves
}

// yetToCome says that somebody is expected and cannot be there yet.
func (r *rest) yetToCome(q solver.PersonIndex) bool {
	there, err := r.Presence(q)
	here := func(x solver.Window) bool { return x.Open <= r.now && r.now < x.Close }
	ahead := func(x solver.Window) bool { return x.Open > r.now }
	return err == nil && !slices.ContainsFunc(there, here) && slices.ContainsFunc(there, ahead)
}

// plain arranges the order in force without any wish: it exists whatever went wrong.
func (r *rest) plain() (arranged, error) {
	spec := day.Spec{
		People: r.Spec.People, Blocks: slices.Clone(r.Spec.Blocks), Walk: r.Spec.Walk,
		Timing: r.Spec.Timing, Emphasis: r.Spec.Emphasis, StepWeight: r.Spec.StepWeight,
	}
	for b := range spec.Blocks {
		spec.Blocks[b].Prefix, spec.Blocks[b].Close = nil, 0
	}
	for _, w := range r.Spec.Groupings {
		w.Windows, w.After, w.Pin, w.From, w.Near = nil, nil, solver.PinNone, nil, nil
		spec.Groupings = append(spec.Groupings, w)
	}
	p, err := day.New(spec)
	if err != nil {
		return arranged{}, err
	}
	r.Spec = spec
	orders := r.inForce(r.next)
	for g, w := range spec.Groupings {
		at := solver.GroupingIndex(g)
		if len(w.Blocks) > 0 && !slices.ContainsFunc(orders, func(list []solver.GroupingIndex) bool { return slices.Contains(list, at) }) {
			orders[w.Blocks[0]] = append(orders[w.Blocks[0]], at)
		}
	}
	result, ok := day.Fix(p, orders)
	if !ok {
		return arranged{}, errNoOrder
	}
	return arranged{problem: p, orders: orders, result: result}, nil
}
