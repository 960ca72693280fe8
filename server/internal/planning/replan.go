package planning

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// DefaultReplanBudget is how long Replan searches when it is given no budget: people stand and wait.
const DefaultReplanBudget = 60 * time.Millisecond

// Today is what a day has come to. Times, Calling and Timed are what it has said of blocks and groupings.
type (
	Today   = model.Today
	Times   = model.Times
	Calling = model.Calling
	Timed   = model.Timed
	Move    = model.Move
)

// Outlook is what is left of a day.
type Outlook struct {
	Made time.Time // from when it looks ahead
	// Sheet orders what is left. A grouping that is being taken opens its block.
	Sheet event.CallSheet
	// Next are the groupings whose people have to stand by, by block.
	Next map[string]string `json:",omitempty"`
	// Owed lists all that is not taken, in the order of the list: planned or not.
	Owed []Owed
	// Forecasts has one for each block in which something is left to do.
	Forecasts []Forecast
	// Changes say, a sentence each, what is different from the order in force and why.
	Changes []Change     `json:",omitempty"`
	Past    []model.Past `json:",omitempty"` // orders that were in force, the newest last
	// Numbers are those that photographs have on paper. Swapped is the last change of the list, nil while it is the first.
	Numbers map[string]int `json:",omitempty"`
	Swapped *model.Swap    `json:",omitempty"`
	// Fault is set when the search went wrong and the order is a plain one.
	Fault *Fault `json:"-"`
}

// Fault is what is needed to search once more for what went wrong. It holds numbers and no name.
type Fault struct {
	Cause  string
	Spec   day.Spec
	Orders [][]solver.GroupingIndex
}

// Change is a sentence about the order, Owed a grouping that is still to be taken, and Forecast says when a block ends.
type (
	Change   = model.Change
	Owed     = model.Owed
	Forecast = model.Forecast
)

// Replan plans what is left of a day. What is done stays done; what is being taken is finished; groupings of
// people who are away wait. All others are planned while their blocks are not closed, beyond the planned end
// too: there is a next one as long as any can be taken. The order in force stays unless another is worth the
// photographs that move (see model.Stays); those who were called or told to stand by stay next unless somebody
// of them is missing, or, of those who only stand by, time is short and something else must be taken. When time is short, what must be
// taken goes first. However little time there is to look, nothing is left out that has a place at the end of a block, before
// what was put off or has to come last there. It searches for the budget of
// the options, 0 means DefaultReplanBudget, or by their Work; nothing else of them is looked at.
//
// Durations follow the pace of the day so far. It expects an event in which check.Event finds no Error, as in all that are
// kept. Its errors are those of ctx, and one when nothing can be made of the order in force.
func Replan(ctx context.Context, e event.Event, t Today, o Options) (Outlook, error) {
	if o.Budget <= 0 {
		o.Budget = DefaultReplanBudget
	}
	if o.Work > 0 {
		o.Budget = math.MaxInt64
	}
	r, err := newRest(e, t)
	if err != nil {
		return Outlook{}, err
	}
	if err := r.solve(model.Within(ctx, o.Budget), o); err != nil {
		return Outlook{}, err
	}
	return r.outlook(), ctx.Err()
}

// solve finds the order: the one in force as far as it is left, or what a search finds when that is better
// by more than the photographs weigh that move, and no hand made it.
func (r *rest) solve(ctx context.Context, o Options) error {
	best, err := r.eitherFirst(func(r *rest) (arranged, error) {
		best, err := r.kept(ctx)
		if err == nil && !r.byHand(best) {
			best, err = r.improved(ctx, o, best)
		}
		if err == nil {
			best = r.filled(ctx, r.takeMeanwhile(ctx, r.forward(ctx, r.takeAfter(ctx, best))))
		}
		return best, err
	})
	if err == nil {
		err = r.verify(best.problem, best.result.Plan, best.result.Cost, best.result.Lost)
	}
	if err != nil {
		r.fault = &Fault{Cause: err.Error(), Spec: r.Spec, Orders: r.inForce(r.next)}
		if best, err = r.plain(); err != nil {
			return fmt.Errorf("planning: %w", err)
		}
	}
	r.plan, r.result = best.result.Plan, day.Bounded(best.problem, best.result)
	return nil
}

// byHand says that the order in force was made by hand and takes everything in time: nothing is worth more than that.
func (r *rest) byHand(kept arranged) bool {
	return len(r.Event.Order) > 0 && len(r.today.Orders) > 0 && kept.lost == (day.Lost{}) && kept.early == 0 && kept.late == 0
}

// improved searches for a better order. While the search lasts blocks close when they are planned to, so that
// photographs with a choice go where there is time for them.
func (r *rest) improved(ctx context.Context, o Options, kept arranged) (arranged, error) {
	spec := r.Spec
	spec.Blocks = slices.Clone(spec.Blocks)
	for b := range spec.Blocks {
		if r.closings[b] > 0 {
			spec.Blocks[b].Close = r.closings[b]
		}
	}
	spec.Ranks = slices.Concat(spec.Ranks, r.mustRanks())
	p, err := day.New(spec)
	if err != nil {
		return kept, err
	}
	limits := o.limits()
	limits.Incumbent, limits.MemoryLimit, limits.Workers = kept.orders, smallMemory, 0
	found, err := day.Solve(ctx, p, limits)
	if err != nil || found.Status != day.Found {
		return kept, err
	}
	better, ok := r.build(ctx, kept.problem, r.mustFirst(found.Plan.Orders()))
	if !ok || !better.less(kept) {
		return kept, nil
	}
	if r.inHurry(better) { // it has a place for more, and less time
		first, ok := r.build(ctx, kept.problem, r.mustFirst(better.result.Plan.Orders()))
		if ok && !better.lost.Less(first.lost) {
			better = first
		}
	}
	if kept = r.forward(ctx, kept); kept.less(better) {
		return kept, nil
	}
	r.better = true
	return better, nil
}

// forward moves what must be taken forward, and what can wait behind it, one by one, as far as nothing loses its place by
// it.
func (r *rest) forward(ctx context.Context, a arranged) arranged {
	r.inHurry(a)
	r.urgent = r.urgency(r.openFor(a))
	if again, ok := r.arrange(a.problem, a.orders); ok {
		a = again // time is short in more blocks than it knew of, or more is there by then
	}
	for b := range a.orders {
		for _, g := range slices.Clone(a.orders[b]) {
			for _, at := range r.ahead(a, b, g) {
				if ctx.Err() != nil && r.overtime(a.problem) {
					return a
				}
				next, k := slices.Clone(a.orders), slices.Index(a.orders[b], g)
				next[b] = slices.Insert(slices.Delete(slices.Clone(a.orders[b]), k, k+1), at, g)
				if ahead, ok := r.arrange(a.problem, next); ok && ahead.less(a) {
					if a = ahead; !r.lateMust(b, a.result.Plan.Blocks[b][at]) {
						break
					}
				}
			}
		}
	}
	return a
}

// ahead lists where in the order of a block a photograph is tried so that what must be taken comes forward: where time is short, from
// the front on if it must be, from the end on if not. What ends after the planned end all the same is moved no further than it
// has to be.
func (r *rest) ahead(a arranged, b int, g solver.GroupingIndex) (places []int) {
	k, first, last := slices.Index(a.orders[b], g), len(r.Spec.Blocks[b].Prefix), len(a.orders[b])-1
	short := r.hurry[b] && a.early > 0
	switch {
	case k < first:
	case short && r.musts[g] == 0:
		for at := first; at < k; at++ {
			places = append(places, at)
		}
	case r.lateMust(b, a.result.Plan.Blocks[b][k]):
		for at := k - 1; at >= first; at-- {
			places = append(places, at)
		}
	case short:
		for at := last; at > k; at-- {
			places = append(places, at)
		}
	}
	return places
}

// errNoOrder says that what has to open the blocks has no time.
var errNoOrder = errors.New("what opens the blocks has no time")
