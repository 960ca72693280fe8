package planning

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// DefaultReplanBudget is how long Replan searches when it is given no budget: people stand and wait.
const DefaultReplanBudget = 60 * time.Millisecond

// Today is what a day has come to. Groupings are named by the ids of their photographs, blocks by
// theirs, which is empty when the event has none.
type Today struct {
	Now time.Time
	// Added are groupings that were not on the list.
	Added []event.Grouping
	// Done and Later are groupings that are taken, and those put off: they come after the others.
	Done, Later map[string]bool
	// Without are people that a grouping is taken without.
	Without map[string][]string
	// Away are people who are not there: until the time they said, or, when that is zero, until
	// they turn up.
	Away map[string]time.Time
	// Current are the groupings being taken, by block.
	Current map[string]Calling
	// Frames are the groupings last taken or called, by block: their people stand in the frame.
	Frames map[string]Calling
	// Next are the groupings whose people have been told to stand by, by block.
	Next map[string]string
	// Orders are those of the plan in force, by block.
	Orders map[string][]string
	// Slots are those that are over, in their order.
	Slots []Timed
}

// Calling is a grouping that was called at a time.
type Calling struct {
	Grouping string
	At       time.Time
}

// Timed is a grouping that was taken. Started is zero when nobody said when it began.
type Timed struct {
	Grouping, Block   string
	Started, Finished time.Time
}

// Outlook is what is left of a day.
type Outlook struct {
	// Made is the time of the day from which it looks ahead.
	Made time.Time
	// Sheet orders what is left. A grouping that is being taken opens its block.
	Sheet event.CallSheet
	// Next are the groupings whose people have to stand by, by block.
	Next map[string]string `json:",omitempty"`
	// Owed lists all that is not taken, in the order of the list: planned or not.
	Owed []Owed
	// Forecasts has one for each block in which something is left to do.
	Forecasts []Forecast
}

// Owed is a grouping that is still to be taken, and who is needed for it.
type Owed struct {
	Grouping string
	Title    string
	Priority event.Priority
	// Planned says that it is on the sheet. Otherwise Why says why not.
	Planned bool
	Why     wording.Message `json:",omitzero"`
	// Needed are the people in it; Missing those of them who are not there.
	Needed, Missing []string
	// Expected is when the last of the missing said to come; zero when somebody did not say.
	Expected time.Time `json:",omitzero"`
	// OfferWithout says that it can be taken without the missing, if the lead agrees.
	OfferWithout bool
	// Later says that it was put off.
	Later bool
}

// Replan plans what is left of a day. What is done stays done; what is being taken is finished; those
// who were told to stand by are next unless somebody of them is missing or they would cost a grouping
// that matters more; groupings of people who are away wait. When time is short, what must be taken goes
// first. It searches for the budget, 0 means DefaultReplanBudget, and returns the best order found.
//
// Durations follow the pace of the day so far. Its errors are *event.InvalidError and those of ctx.
func Replan(ctx context.Context, e event.Event, t Today, budget time.Duration) (Outlook, error) {
	if budget <= 0 {
		budget = DefaultReplanBudget
	}
	if faults := event.Faults(check.Event(e)); len(faults) > 0 {
		return Outlook{}, &event.InvalidError{Faults: faults}
	}
	r, err := newRest(e, t)
	if err != nil {
		return Outlook{}, err
	}
	deadline, cancel := context.WithTimeout(ctx, budget)
	defer cancel()
	if err := r.solve(deadline, ctx); err != nil {
		return Outlook{}, err
	}
	return r.outlook(), nil
}

// solve finds the order. Each further search begins with what the one before found.
func (r *rest) solve(deadline, caller context.Context) error {
	whole := r.spec
	err := r.search(deadline, r.prefixes(true), r.incumbent())
	if err != nil && !errors.Is(err, errNoOrder) {
		return err
	}
	// Those who stand by wait for nothing that matters more than they do.
	if err != nil || r.standbyCosts() {
		r.spec = whole
		if err = r.search(deadline, r.prefixes(false), ordersOf(r.plan)); err != nil {
			return err
		}
	}
	// When nothing fits into what is left of the last block, what is owed is taken late.
	if last := r.idleUntilClose(); last >= 0 {
		r.spec.Blocks = slices.Clone(r.spec.Blocks)
		r.spec.Blocks[last].Close = 0
		if err = r.search(deadline, r.spec.Blocks, ordersOf(r.plan)); err != nil {
			return err
		}
	}
	if r.short() {
		r.takeMustFirst(deadline)
	}
	return caller.Err()
}

// takeMustFirst moves what must be taken to the front, unless that is impossible together with other
// wishes or costs a grouping.
func (r *rest) takeMustFirst(ctx context.Context) {
	before := *r
	if !r.mustFirst() {
		return
	}
	if err := r.search(ctx, r.spec.Blocks, ordersOf(r.plan)); err != nil || slices.Compare(before.losses(), r.losses()) < 0 {
		*r = before
	}
}

// losses counts what the plan leaves out, by tier.
func (r *rest) losses() []int {
	out := make([]int, len(tiers))
	for _, g := range r.plan.LeftOut {
		out[r.spec.Groupings[g].Tier]++
	}
	return out
}

// idleUntilClose returns the block that closes last, when something is left that it may take and
// nothing fits any more; else -1.
func (r *rest) idleUntilClose() int {
	last := 0
	for b, slots := range r.plan.Blocks {
		if len(slots) > 0 && (len(slots) > 1 || slots[0].Grouping != r.current[b]) || r.spec.Blocks[b].Close == 0 {
			return -1
		}
		if r.spec.Blocks[b].Close > r.spec.Blocks[last].Close {
			last = b
		}
	}
	for _, g := range r.plan.LeftOut {
		if slices.Contains(r.spec.Groupings[g].Blocks, day.BlockIndex(last)) && r.everTogether(g) {
			return last
		}
	}
	return -1
}

// errNoOrder says that no order keeps what opens a block.
var errNoOrder = errors.New("no order keeps what opens a block")

// search solves the rest with given openings of its blocks and verifies what it finds.
func (r *rest) search(ctx context.Context, blocks []day.Block, incumbent [][]solver.GroupingIndex) error {
	spec := r.spec
	spec.Blocks = blocks
	p, err := day.New(spec)
	if err != nil {
		return fmt.Errorf("planning: %w", err)
	}
	result, err := day.Solve(ctx, p, day.Options{Incumbent: incumbent, MemoryLimit: smallMemory})
	if err != nil {
		return fmt.Errorf("planning: %w", err)
	}
	if result.Status != day.Found {
		return errNoOrder
	}
	if err := day.Verify(p, result.Plan, result.Cost); err != nil {
		return fmt.Errorf("planning: the search returned a wrong plan: %w", err)
	}
	r.spec, r.plan, r.result = spec, result.Plan, result
	return nil
}
