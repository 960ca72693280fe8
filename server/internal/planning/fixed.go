package planning

import (
	"context"
	"fmt"
	"slices"

	"kinorder.example/server/internal/event"
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

// Hand is what a planner decided by hand. Ids that the event does not have, and an id that stands a
// second time, are faults.
type Hand struct {
	// Orders are those in which Locked have their place.
	Orders []Order
	// Locked are ids of photographs that keep their place in Orders: what comes before them in their
	// block stays before them, what comes after stays after. They are given up last.
	Locked []string
	// Dropped are ids of photographs that are not to be taken.
	Dropped []string
}

// Fixed writes the sheet of given orders without any search. Photographs in no order are left out. The
// floor and the bound on the sheet are what is known without searching. OnProgress and the budget of
// the options are not looked at.
//
// Its errors are *event.InvalidError when the event or the orders have faults, and
// *event.InfeasibleError, which says what stands against them, when the orders cannot be kept.
func Fixed(e event.Event, o Options, given []Order) (event.CallSheet, error) {
	o.Hand = nil
	s, err := newSearch(e, o)
	if err != nil {
		return event.CallSheet{}, err
	}
	orders, err := s.problem.readOrders(given)
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
	sheet := s.sheet(result)
	for i := range result.Plan.LeftOut {
		sheet.LeftOut[i].Why = leftOutByHand()
	}
	return sheet, nil
}

// PutBack writes the sheet of given orders with one more photograph, in the block and the place where
// the day costs least with it. Its errors are those of Fixed; that of a photograph for which there is
// no place says why.
func PutBack(ctx context.Context, e event.Event, o Options, given []Order, id string) (event.CallSheet, error) {
	o.Hand = nil
	s, err := newSearch(e, o)
	if err != nil {
		return event.CallSheet{}, err
	}
	orders, err := s.problem.readOrders(given)
	if err != nil {
		return event.CallSheet{}, err
	}
	g, known := s.problem.photograph(id)
	base, ok := day.Fix(s.day, orders)
	if !known || !ok {
		return Fixed(e, o, append(given, Order{Block: s.problem.blocks[0].ID, Photographs: []string{id}}))
	}
	var best []Order
	var cost int64
	for _, b := range s.problem.spec.Groupings[g].Blocks {
		plan, fits := day.Insert(s.day, base.Plan, g, b)
		if !fits {
			continue
		}
		r, fits := day.Fix(s.day, ordersOf(plan))
		if fits && (best == nil || r.Total < cost) {
			best, cost = s.problem.orders(r.Plan), r.Total
		}
	}
	if best == nil {
		short, cancel := context.WithTimeout(ctx, s.options.Budget/(2*floorShare))
		defer cancel()
		return event.CallSheet{}, event.Infeasible([]string{id}, s.problem.reason(short, base.Plan, g, openEnded(s.problem.spec)))
	}
	return Fixed(e, o, best)
}

// orders writes the orders of a plan by ids.
func (pr *problem) orders(plan day.Plan) []Order {
	var out []Order
	for b, slots := range plan.Blocks {
		o := Order{Block: pr.blocks[b].ID}
		for _, s := range slots {
			o.Photographs = append(o.Photographs, pr.photographs[s.Grouping].ID)
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
			for _, q := range pr.spec.Groupings[s.Grouping].Members {
				seen[q] = true
			}
		}
	}
	return len(seen)
}

// readOrders turns ids into indices, block by block.
func (pr *problem) readOrders(given []Order) ([][]solver.GroupingIndex, error) {
	out := make([][]solver.GroupingIndex, len(pr.blocks))
	seen := map[string]bool{}
	var faults []event.Advice
	fault := func(field, code, text string) {
		faults = append(faults, event.Advice{Code: code, Severity: event.Error, Field: field, Message: wording.Said(text)})
	}
	for i, o := range given {
		b := slices.IndexFunc(pr.blocks, func(b event.Block) bool { return b.ID == o.Block })
		if b < 0 {
			fault(fmt.Sprintf("orders[%d].block", i), event.CodeUnknownID, "The order is for a block that the event does not have.")
			continue
		}
		for k, id := range o.Photographs {
			field := fmt.Sprintf("orders[%d].photographs[%d]", i, k)
			g, known := pr.photograph(id)
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

func (pr *problem) photograph(id string) (solver.GroupingIndex, bool) {
	g := slices.IndexFunc(pr.photographs, func(p event.Photograph) bool { return p.ID == id })
	return solver.GroupingIndex(g), g >= 0
}

// addHand puts what was decided by hand into the day: what is dropped has no block, and what is locked
// has its own block only, a rank behind all that comes before it and a rank before all that follows.
func (pr *problem) addHand(h *Hand) error {
	if h == nil {
		return nil
	}
	orders, err := pr.readOrders(h.Orders)
	if err != nil {
		return err
	}
	dropped, err := pr.readOrders([]Order{{Block: pr.blocks[0].ID, Photographs: h.Dropped}})
	if err != nil {
		return err
	}
	pr.byHand = map[solver.GroupingIndex]bool{}
	for _, g := range dropped[0] {
		pr.byHand[g] = true
		pr.spec.Groupings[g].Blocks = nil
	}
	locked := map[solver.GroupingIndex]bool{}
	for _, id := range h.Locked {
		if g, known := pr.photograph(id); known && !pr.byHand[g] {
			locked[g] = true
		}
	}
	for b, order := range orders {
		order = slices.DeleteFunc(order, func(g solver.GroupingIndex) bool { return pr.byHand[g] })
		pr.lock(day.BlockIndex(b), order, locked)
		orders[b] = order
	}
	if len(locked) > 0 {
		pr.handMade = orders
	}
	return nil
}

// lock ties what stands between two locked photographs to both; the rest follows from that.
func (pr *problem) lock(b day.BlockIndex, order []solver.GroupingIndex, locked map[solver.GroupingIndex]bool) {
	last := -1 // place of the locked photograph before
	for k, g := range order {
		if locked[g] {
			for _, before := range order[last+1 : k] {
				pr.spec.Ranks = append(pr.spec.Ranks, [2]solver.GroupingIndex{before, g})
			}
			pr.spec.Groupings[g].Blocks = []day.BlockIndex{b}
			pr.spec.Groupings[g].Keep = true
		}
		if last >= 0 {
			pr.spec.Ranks = append(pr.spec.Ranks, [2]solver.GroupingIndex{order[last], g})
		}
		if locked[g] {
			last = k
		}
	}
}

// incumbent is the plan that a search begins with: that of the hand, which keeps all its own wishes, or
// that with the fewest walk-ins.
func (s *search) incumbent() [][]solver.GroupingIndex {
	if s.problem.handMade != nil {
		return s.problem.handMade
	}
	return ordersOf(s.floor.plan)
}
