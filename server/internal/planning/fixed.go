package planning

import (
	"context"
	"fmt"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning/why"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// leftOutByHand is the reason of what the planner left out.
func leftOutByHand() wording.Message { return wording.Say("plan.leftOutByHand") }

// Order is the order of one block, by the ids of its photographs.
type Order struct {
	Block       string // id; empty when the event has no blocks
	Photographs []string
}

// OrdersOf returns the orders of a sheet.
func OrdersOf(s event.CallSheet) []Order {
	var out []Order
	for _, b := range s.Blocks {
		o := Order{Block: b.Block}
		for _, entry := range b.Entries {
			o.Photographs = append(o.Photographs, entry.Grouping)
		}
		out = append(out, o)
	}
	return out
}

// Fixed writes the sheet of given orders without any search. Photographs in no order are left out. What the
// orders break of the wishes is said as advice, and soft blocks run over as far as they have to. The
// floor and the bound on the sheet are what is known without searching. OnProgress and the budget of
// the options are not looked at, nor the order by hand of the event.
//
// Its errors are *event.InvalidError when the event or the orders have faults, and *event.InfeasibleError, which
// says what stands against them, when the orders break a rule, take somebody who is not there, or a firm block would run
// over.
func Fixed(e event.Event, o Options, given []Order) (event.CallSheet, error) {
	s, orders, err := newFixed(e, o, given)
	if err != nil {
		return event.CallSheet{}, err
	}
	result, ok := day.Fix(s.day, orders)
	if !ok {
		return event.CallSheet{}, s.problem.against(orders)
	}
	if err := day.Verify(s.day, result.Plan, result.Cost, result.Lost); err != nil {
		return event.CallSheet{}, fmt.Errorf("planning: fixed orders gave a wrong plan: %w", err)
	}
	s.floor = floor{steps: s.problem.everybodyOnce(result.Plan)}
	sheet := s.sheet(day.Bounded(s.day, result))
	for i := range result.Plan.LeftOut {
		sheet.LeftOut[i].Why = leftOutByHand()
	}
	a := adviser{problem: s.problem, plan: result.Plan}
	a.runsOver()
	a.handBreaks()
	sheet.Advice = slices.Concat(sheet.Advice, a.list)
	return sheet, nil
}

// newFixed is a day in which the given orders win over wishes and soft closings.
func newFixed(e event.Event, o Options, given []Order) (*search, [][]solver.GroupingIndex, error) {
	e.Order, e.LeftOut = nil, nil
	s, err := newSearch(e, o)
	if err != nil {
		return nil, nil, err
	}
	orders, err := s.problem.readOrders(given)
	if err != nil {
		return nil, nil, err
	}
	s.problem.yield(orders)
	s.problem.Spec = s.problem.withoutSoftEnds()
	if s.day, err = day.New(s.problem.Spec); err != nil {
		return nil, nil, fmt.Errorf("planning: %w", err)
	}
	return s, orders, nil
}

// PutBack writes the sheet of given orders with one more photograph, in the block and the place where
// the day costs least with it. Its errors are those of Fixed; that of a photograph for which there is
// no place says why.
func PutBack(ctx context.Context, e event.Event, o Options, given []Order, id string) (event.CallSheet, error) {
	s, orders, err := newFixed(e, o, given)
	if err != nil {
		return event.CallSheet{}, err
	}
	g, known := s.problem.Photograph(id)
	base, ok := day.Fix(s.day, orders)
	if !known || !ok {
		return Fixed(e, o, append(given, Order{Block: s.problem.Blocks[0].ID, Photographs: []string{id}}))
	}
	var best []Order
	var cost int64
	for _, b := range s.problem.Spec.Groupings[g].Blocks {
		plan, fits := day.Insert(s.day, base.Plan, g, b)
		if !fits {
			continue
		}
		r, fits := day.Fix(s.day, plan.Orders())
		if fits && (best == nil || r.Total < cost) {
			best, cost = s.problem.orders(r.Plan), r.Total
		}
	}
	if best == nil {
		short, cancel := context.WithTimeout(ctx, s.options.Budget/(2*floorShare))
		defer cancel()
		return event.CallSheet{}, event.Infeasible([]string{id}, why.Of(s.problem.Problem, base.Plan).LeftOut(short, g))
	}
	return Fixed(e, o, best)
}

// orders writes the orders of a plan by ids.
func (pr *problem) orders(plan day.Plan) []Order {
	var out []Order
	for b, slots := range plan.Blocks {
		o := Order{Block: pr.Blocks[b].ID}
		for _, s := range slots {
			o.Photographs = append(o.Photographs, pr.Photographs[s.Grouping].ID)
		}
		out = append(out, o)
	}
	return out
}

// everybodyOnce is the number of people in a plan: each of them walks in at least once.
func (pr *problem) everybodyOnce(plan day.Plan) int {
	seen := map[solver.PersonIndex]bool{}
	for _, slots := range plan.Blocks {
		for _, s := range slots {
			for _, q := range pr.Spec.Groupings[s.Grouping].Members {
				seen[q] = true
			}
		}
	}
	return len(seen)
}

// readOrders turns ids into indices, block by block.
func (pr *problem) readOrders(given []Order) ([][]solver.GroupingIndex, error) {
	out := make([][]solver.GroupingIndex, len(pr.Blocks))
	seen := map[string]bool{}
	var faults []event.Advice
	fault := func(field, code, text string) {
		faults = append(faults, event.Advice{Code: code, Severity: event.Error, Field: field, Message: wording.Said(text)})
	}
	for i, o := range given {
		b := slices.IndexFunc(pr.Blocks, func(b event.Block) bool { return b.ID == o.Block })
		if b < 0 {
			fault(fmt.Sprintf("orders[%d].block", i), event.CodeUnknownID, "The order is for a block that the event does not have.")
			continue
		}
		for k, id := range o.Photographs {
			field := fmt.Sprintf("orders[%d].photographs[%d]", i, k)
			g, known := pr.Photograph(id)
			switch {
			case !known:
				fault(field, event.CodeUnknownID, "The order holds a photograph that the event does not have.")
			case seen[id]:
				fault(field, event.CodeDuplicateID, "The order holds a photograph twice.")
			default:
				out[b] = append(out[b], g)
			}
			seen[id] = true
		}
	}
	if len(faults) > 0 {
		return nil, &event.InvalidError{Faults: faults}
	}
	return out, nil
}
