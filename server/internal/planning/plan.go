// Package planning turns an event into a call sheet: it fills in the minutes model and the weights,
// has the solver find blocks and orders, verifies the result and writes it as a sheet. It reads no
// files and draws nothing.
package planning

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/planning/why"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// DefaultBudget is how long Plan searches when Options name no budget.
const DefaultBudget = 2 * time.Second

// floorShare is the part of the budget that may go into proving the fewest step-ins.
const floorShare = 4

// MemoryLimit is the memory of one search in bytes. A server runs one for each core. smallMemory is that
// of a replan, which is over in a moment.
const (
	MemoryLimit = 256 << 20
	smallMemory = 64 << 20
)

// Options say how to plan. The zero value is fine.
type Options struct {
	// Budget is how long to search at most. 0 means DefaultBudget.
	Budget time.Duration
	// Work, when above 0, bounds the search by steps instead of time, so that the same event gives the
	// same plan on any machine however busy: so many steps of the neighbourhood search, and a hundred
	// states for each of them in every exact search.
	Work int
	// Emphasis, when given, replaces the event's own.
	Emphasis *event.Emphasis
	// Available, when above 0, is all the time there is in the block that opens first.
	Available time.Duration
	// Workers is how many cores a search may use. 0 means one.
	Workers int
	// OnProgress, when given, is called on each better plan or bound, from the goroutine of Plan.
	OnProgress func(Progress)
	// Now is the clock that measures Elapsed. Nil means time.Now.
	Now func() time.Time
}

// Progress is how far a search has come.
type Progress struct {
	Cost, Bound int64
	Gap         float64
	StepIns     int
	Elapsed     time.Duration
	Sheet       event.CallSheet
}

// Func is Plan, or what stands in its place in a test.
type Func func(context.Context, event.Event, Options) (event.CallSheet, error)

// Plan finds the plan of an event. It searches until the plan is proven best, the budget is used up
// or ctx ends, and returns the best sheet found by then. The plan is verified before it is returned.
//
// Its errors are *event.InvalidError when the event has faults, and ctx.Err() when ctx ended before
// any plan was found.
func Plan(ctx context.Context, e event.Event, o Options) (event.CallSheet, error) {
	s, err := newSearch(e, o)
	if err != nil {
		return event.CallSheet{}, err
	}
	return s.run(ctx)
}

func newSearch(e event.Event, o Options) (*search, error) {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Budget <= 0 {
		o.Budget = DefaultBudget
	}
	if o.Work > 0 {
		o.Budget = math.MaxInt64
	}
	if o.Emphasis != nil {
		e.Emphasis = *o.Emphasis
	}
	advice := check.Event(e)
	if faults := event.Faults(advice); len(faults) > 0 {
		return nil, &event.InvalidError{Faults: faults}
	}
	pr, err := newProblem(e, o)
	if err != nil {
		return nil, err
	}
	pr.addHand()
	s := &search{problem: pr, options: o, started: o.Now(), advice: advice, bounds: map[string]int64{}, told: map[string]int64{}}
	if s.day, err = day.New(pr.Spec); err != nil {
		return nil, fmt.Errorf("planning: %w", err)
	}
	return s, nil
}

// limits are those of every search that takes a share of the budget.
func (o Options) limits() day.Options {
	return day.Options{Workers: o.Workers, MemoryLimit: MemoryLimit, Iterations: o.Work, NodeLimit: 100 * int64(o.Work)}
}

// search is one call of Plan.
type search struct {
	problem *problem
	day     *day.Problem
	options Options
	started time.Time
	advice  []event.Advice
	floor   floor
	// onTime is the plan in which no block runs over, when another one is taken.
	onTime *day.Plan
	// bounds are the highest so far, by what plans leave out.
	bounds map[string]int64
	// told are the highest that were reported, with blocks running over or not.
	told map[string]int64
}

// floor is what is known about the fewest step-ins.
type floor struct {
	steps int
	// exact says that some plan is known that needs just that many.
	exact bool
	plan  day.Plan
}

func (s *search) run(ctx context.Context) (event.CallSheet, error) {
	deadline, cancel := context.WithTimeout(ctx, s.options.Budget)
	defer cancel()
	if err := s.prepareSafe(); err != nil {
		return event.CallSheet{}, err
	}
	if err := s.first(); err != nil {
		return event.CallSheet{}, err
	}
	if err := s.findFloor(deadline, s.problem.StepsAlone(), nil); err != nil {
		return event.CallSheet{}, err
	}
	result, err := s.find(deadline)
	if err != nil {
		return event.CallSheet{}, err
	}
	if result.Status != day.Found {
		return event.CallSheet{}, stopped(ctx)
	}
	result = s.fillUp(result)
	if spec, orders, ok := s.problem.CrowdFirst(result.Plan.Orders(), s.problem.handMade); ok {
		result, err = s.within(deadline, result, spec, orders, model.CrowdShare)
	}
	keeps := []func(context.Context, day.Result) (day.Result, error){s.keepRuns, s.keepNiceLast, s.makeSafe, s.keepBetween}
	for k := 0; k < len(keeps) && err == nil; k++ {
		result, err = keeps[k](deadline, result)
	}
	if err != nil {
		return event.CallSheet{}, err
	}
	if err := day.Verify(s.day, result.Plan, result.Cost, result.Lost); err != nil {
		return event.CallSheet{}, fmt.Errorf("planning: the search returned a wrong plan: %w", err)
	}
	if err := s.floorOf(ctx, result.Plan); err != nil {
		return event.CallSheet{}, err
	}
	sheet := s.sheet(result)
	s.addReasons(ctx, &sheet, result.Plan)
	s.addAdvice(ctx, &sheet, result.Plan)
	return sheet, nil
}

// addReasons says why groupings are left out. It takes no longer than a share of the budget; what it
// does not get to keeps a short reason.
func (s *search) addReasons(ctx context.Context, sheet *event.CallSheet, plan day.Plan) {
	short, cancel := context.WithTimeout(ctx, s.options.Budget/(2*floorShare))
	defer cancel()
	asked := why.Of(s.problem.Problem, plan)
	for i, g := range plan.LeftOut {
		if s.problem.ByHand[g] {
			sheet.LeftOut[i].Why = leftOutByHand()
		} else if short.Err() == nil {
			sheet.LeftOut[i].Why = asked.LeftOut(short, g)
		} else {
			sheet.LeftOut[i].Why = wording.Say("plan.noPlaceLeftForIt")
		}
	}
}

// first reports a plan at once, before the floor is looked for: whoever ends the search in its first
// seconds has a sheet then.
func (s *search) first() error {
	if s.options.OnProgress == nil {
		return nil
	}
	result, err := day.First(s.day)
	if err != nil {
		return fmt.Errorf("planning: %w", err)
	}
	s.progress(result)
	return nil
}

// find looks for the best plan: from the order by hand, or with all blocks on time and, when that leaves something out,
// with soft ones running over.
func (s *search) find(deadline context.Context) (day.Result, error) {
	if s.problem.handMade != nil {
		return s.aroundHand(deadline)
	}
	result, err := s.search(deadline, s.floor.plan.Orders())
	if err == nil && result.Status == day.Found && s.leavesOut(result.Plan) && s.problem.GiveWay() {
		return s.giveWay(deadline, result.Plan)
	}
	return result, err
}

// search looks for the best plan of the day as it stands.
func (s *search) search(deadline context.Context, begin [][]solver.GroupingIndex) (day.Result, error) {
	ctx, cancel := s.share(deadline)
	defer cancel()
	limits := s.options.limits()
	limits.Incumbent, limits.OnImprove = begin, s.progress
	result, err := day.Solve(ctx, s.day, limits)
	if err != nil {
		return day.Result{}, fmt.Errorf("planning: %w", err)
	}
	return s.keepBound(result), nil
}

// giveWay searches once more with soft blocks running over, and remembers the plan that ends on time.
func (s *search) giveWay(deadline context.Context, onTime day.Plan) (day.Result, error) {
	var err error
	if s.day, err = day.New(s.problem.Spec); err != nil {
		return day.Result{}, fmt.Errorf("planning: %w", err)
	}
	s.onTime, s.bounds = &onTime, map[string]int64{}
	return s.search(deadline, onTime.Orders())
}

// fillWork bounds fillUp, in people and wishes looked at: a fraction of a second, and far more than a day of a hundred
// needs.
const fillWork = 20_000_000

// fillUp takes what a search that was stopped has left out though it fits: one photograph more can even save time, where
// its people are called one after the other.
func (s *search) fillUp(result day.Result) day.Result {
	work, look := 0, s.day.Look()+10*len(s.problem.Spec.Groupings)
	for again := true; again; {
		again = false
		for _, g := range result.Plan.LeftOut {
			taken := len(s.problem.Spec.Groupings) - len(result.Plan.LeftOut)
			if work += look * (taken + len(s.problem.Spec.Groupings[g].Blocks)); work > fillWork {
				return result
			}
			if s.problem.ByHand[g] {
				continue
			}
			if more, fits := s.with(result.Plan, g); fits {
				result, again = s.keepBound(more), true
			}
		}
	}
	return result
}

// with is a plan with one more photograph in the first block that has a place for it.
func (s *search) with(plan day.Plan, g solver.GroupingIndex) (day.Result, bool) {
	for _, b := range s.problem.Spec.Groupings[g].Blocks {
		if next, ok := day.Insert(s.day, plan, g, b); ok {
			if result, fits := day.Fix(s.day, next.Orders()); fits {
				return day.Bounded(s.day, result), true
			}
		}
	}
	return day.Result{}, false
}

// leavesOut says that a plan does without something that nobody has left out by hand.
func (s *search) leavesOut(plan day.Plan) bool {
	return slices.ContainsFunc(plan.LeftOut, func(g solver.GroupingIndex) bool { return !s.problem.ByHand[g] })
}

// share is the part of the budget that a search may take: when something is left out, others come after it, for the
// floor, the reasons, and with soft blocks running over; and where there are wishes that are kept if they cost little, one
// with them, so that a search that is not done in time keeps them too.
func (s *search) share(deadline context.Context) (context.Context, context.CancelFunc) {
	rest := s.options.Budget - s.options.Now().Sub(s.started)
	nice := func(w day.Grouping) bool { return w.Tier == tierOfNice }
	if len(s.floor.plan.LeftOut) == 0 {
		if len(s.problem.OneByOnes()) == 0 && !slices.ContainsFunc(s.problem.Spec.Groupings, nice) {
			return context.WithCancel(deadline)
		}
		return context.WithTimeout(deadline, rest/floorShare*(floorShare-1))
	}
	if s.onTime == nil && slices.ContainsFunc(s.problem.Give, func(g solver.Seconds) bool { return g > 0 }) {
		return context.WithTimeout(deadline, rest/2)
	}
	return context.WithTimeout(deadline, rest/floorShare*(floorShare-1))
}

// stopped is the error of a search that found nothing in its time.
func stopped(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	return context.DeadlineExceeded
}

// findFloor looks for the fewest step-ins of any plan of a day, within its share of the budget.
func (s *search) findFloor(ctx context.Context, steps day.Spec, begin [][]solver.GroupingIndex) error {
	p, err := day.New(steps)
	if err != nil {
		return fmt.Errorf("planning: %w", err)
	}
	short, cancel := context.WithTimeout(ctx, s.options.Budget/floorShare)
	defer cancel()
	limits := s.options.limits()
	limits.Incumbent = begin
	result, err := day.Solve(short, p, limits)
	if err != nil {
		return fmt.Errorf("planning: %w", err)
	}
	s.floor = floor{}
	if result.Status == day.Found {
		bound := p.StepInsOf(result.Bound)
		s.floor = floor{steps: int(bound), exact: bound == result.Cost.StepIns, plan: result.Plan}
	}
	return nil
}

// floorOf makes the floor one of the groupings that a plan takes and of the ends that it keeps: fewest step-ins of others
// say nothing.
func (s *search) floorOf(ctx context.Context, plan day.Plan) error {
	over := false
	for b := range plan.Blocks {
		over = over || s.problem.Overrun(plan, b) > 0
	}
	if len(plan.LeftOut) == 0 && len(s.floor.plan.LeftOut) == 0 && !over {
		return nil
	}
	spec := s.problem.StepsAlone()
	spec.Groupings = append([]day.Grouping(nil), spec.Groupings...)
	for _, g := range plan.LeftOut {
		spec.Groupings[g].Blocks = nil
	}
	return s.findFloor(ctx, spec, plan.Orders())
}

// keepBound gives a result the highest bound known of plans that take the same: every search begins anew.
func (s *search) keepBound(r day.Result) day.Result {
	key := fmt.Sprint(r.Plan.LeftOut)
	s.bounds[key] = max(s.bounds[key], r.Bound)
	r.Bound = min(s.bounds[key], r.Total)
	r.Proven = r.Proven || r.Bound == r.Total && len(r.Plan.LeftOut) == 0
	return r
}

func (s *search) progress(r day.Result) {
	if s.options.OnProgress == nil || r.Status != day.Found {
		return
	}
	r = s.keepBound(r)
	key := fmt.Sprint(r.Plan.LeftOut)
	if r.Bound < s.told[key] {
		return // where blocks run over less is known at first: nobody is told that what was known is not
	}
	s.told[key] = r.Bound
	sheet := s.sheet(r)
	s.options.OnProgress(Progress{
		Cost:    sheet.Totals.Cost,
		Bound:   sheet.Totals.Bound,
		Gap:     sheet.Totals.Gap(),
		StepIns: sheet.Totals.StepIns,
		Elapsed: sheet.Totals.SolveTime,
		Sheet:   sheet,
	})
}
