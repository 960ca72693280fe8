package solver

import (
	"context"
	"errors"
	"fmt"
)

// Options steer one Solve. The zero value is usable.
type Options struct {
	// Workers is how many goroutines may compute at once; 0 means 1. The result does not depend
	// on it.
	Workers int
	// Seed starts the random choices of the local search.
	Seed uint64
	// NodeLimit ends the search after so many states; 0 means no limit.
	NodeLimit int64
	// MemoryLimit is the most bytes that the tables of the search take at once; 0 means 1 GiB. What does
	// not fit is made coarser or done without. The problem itself, and what is as large as it, is not
	// counted. A process grows to about twice what it holds before garbage is collected.
	MemoryLimit int64
	// Incumbent is an order to begin with, for example the one requested. It is ignored when it
	// breaks a constraint.
	Incumbent []GroupingIndex
	// OnImprove is told of every better order and every better bound. It is called from the
	// goroutine that called Solve and must not keep Order.
	OnImprove func(Progress)
}

// Progress is what a solve knows at one moment.
type Progress struct {
	// Order is the best order so far, empty until there is one.
	Order []GroupingIndex
	Cost  Cost
	// Total is Cost folded by the emphasis; Bound is a proven lower bound on any order's Total.
	Total, Bound int64
}

// Status says what a solve found.
type Status uint8

const (
	// Unknown means that the solve was stopped before any order was found.
	Unknown Status = iota
	// Found means that Order holds an order that keeps every constraint.
	Found
	// Infeasible means that it is proven that no order keeps every constraint.
	Infeasible
)

// Stats counts the work of a solve.
type Stats struct {
	// Nodes counts states expanded, States those that were kept.
	Nodes, States int64
	// PeakBytes is the most that was counted for the tables of the search, each before it was made. It
	// never exceeds the limit.
	PeakBytes int64
}

// Result is the outcome of a solve.
type Result struct {
	Status Status
	Order  []GroupingIndex
	Cost   Cost
	// Total is Cost folded by the emphasis. Bound is a lower bound on the Total of any order;
	// it equals Total when Proven.
	Total, Bound int64
	// Proven says that the search was exhausted: no order is better, or none exists.
	Proven bool
	Stats  Stats
}

// MostWorkers bounds Options.Workers.
const MostWorkers = 256

// Solve finds the best order of a problem. It ends at proof, when ctx ends, or at a limit of the
// options; stopped early it returns the best order found, the smallest bound left open and no error.
// The same problem, options and limits give the same result, whatever the number of workers; a ctx
// that ends early is the one thing that can change it. It returns an error only for options that
// make no sense. A fault of the solver itself is a panic in the calling goroutine, also when it
// happened in a worker; see WorkerPanic.
func Solve(ctx context.Context, p *Problem, o Options) (Result, error) {
	if p == nil {
		return Result{}, errors.New("solver: no problem")
	}
	if o.Workers < 0 || o.Workers > MostWorkers {
		return Result{}, fmt.Errorf("solver: workers: %d is outside 0 to %d", o.Workers, MostWorkers)
	}
	if o.NodeLimit < 0 || o.MemoryLimit < 0 {
		return Result{}, errors.New("solver: a limit is negative")
	}
	if o.Workers == 0 {
		o.Workers = 1
	}
	switch n := p.Groupings(); {
	case n <= 64:
		return solve[[1]uint64](ctx, p, o), nil
	case n <= 128:
		return solve[[2]uint64](ctx, p, o), nil
	case n <= 256:
		return solve[[4]uint64](ctx, p, o), nil
	default:
		return solve[[32]uint64](ctx, p, o), nil
	}
}

// run is one solve under way.
type run[S set] struct {
	ctx context.Context
	o   Options
	// m is what the exact search works on: twins by rising number. base is without that rule, for
	// the local search.
	m, base *model[S]
	twins   [][]int
	best    []int
	// total and bound are in units of the model.
	total, bound int64
	stats        Stats
	// bounds and tables count what bounds and all other tables take.
	bounds, tables *memory
	// over says that ctx has ended or a limit is reached.
	over bool
	// width is the width of the first pass.
	width int64
	// crowd is how many states make a layer worth tuning the ladder for.
	crowd int
	// ladders[k] is tuned for the states with k groupings done; ladders[0] for the start.
	ladders map[int]*ladder[S]
	// rests are bounds on the step-ins of what is left; see exact_alone.go.
	rests map[rest[S]]int64
}

// never is a total above that of any order.
const never = int64(1) << 62

func solve[S set](ctx context.Context, p *Problem, o Options) Result {
	return newRun[S](ctx, p, o, firstWidth).result()
}

func newRun[S set](ctx context.Context, p *Problem, o Options, width int64) *run[S] {
	if o.MemoryLimit == 0 {
		o.MemoryLimit = usualMemory
	}
	o.MemoryLimit = min(o.MemoryLimit, mostMemory)
	r := &run[S]{ctx: ctx, o: o, base: newModel[S](p), total: never, width: width, crowd: retuneStates, ladders: map[int]*ladder[S]{}}
	r.bounds = &memory{limit: o.MemoryLimit / boundsShare}
	r.tables = &memory{limit: o.MemoryLimit - r.bounds.limit}
	r.m, r.twins = r.base.sorted()
	return r
}

// result runs the solve.
func (r *run[S]) result() Result {
	p := r.m.p
	if r.m.blocked {
		return Result{Status: Infeasible, Proven: true}
	}
	r.construct()
	proven := r.exact()
	r.stats.PeakBytes = r.bounds.peak + r.tables.peak
	res := Result{Bound: r.m.total(r.bound), Proven: proven, Stats: r.stats}
	switch {
	case r.total < never:
		res.Status = Found
		res.Order = toIndexes(r.best)
		res.Total = r.m.total(r.total)
		schedule, err := Evaluate(p, res.Order)
		if err != nil || p.Total(schedule.Cost) != res.Total {
			panic(fmt.Sprintf("solver: the search and Evaluate disagree: %d, %+v, %v", res.Total, schedule.Cost, err))
		}
		res.Cost = schedule.Cost
	case proven:
		res.Status = Infeasible
		res.Bound = 0
	}
	return res
}

// stopped polls the context and the node limit.
func (r *run[S]) stopped() bool {
	if r.over {
		return true
	}
	select {
	case <-r.ctx.Done():
		r.over = true
	default:
		r.over = r.o.NodeLimit > 0 && r.stats.Nodes >= r.o.NodeLimit
	}
	return r.over
}

// offer takes an order of the given total if it is better. It copies the order.
func (r *run[S]) offer(order []int, total int64) bool {
	if total >= r.total {
		return false
	}
	r.total = total
	r.best = append(r.best[:0], order...)
	sortTwins(r.best, r.twins)
	r.tell()
	return true
}

// improves says that a state of the given bound can lead to a better order than the incumbent.
func (r *run[S]) improves(bound int64) bool { return bound <= r.total-r.m.unit }

// raise takes a proven lower bound on every order.
func (r *run[S]) raise(bound int64) {
	bound = min(bound, r.total)
	if bound < never && r.m.total(bound) > r.m.total(r.bound) {
		r.bound = bound
		r.tell()
	}
}

func (r *run[S]) tell() {
	if r.o.OnImprove == nil {
		return
	}
	pr := Progress{Bound: r.m.total(r.bound)}
	if r.total < never {
		pr.Order = toIndexes(r.best)
		pr.Total = r.m.total(r.total)
		schedule, err := Evaluate(r.m.p, pr.Order)
		if err != nil {
			panic("solver: the search found an order that Evaluate refuses: " + err.Error())
		}
		pr.Cost = schedule.Cost
	}
	r.o.OnImprove(pr)
}
