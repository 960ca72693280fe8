package web

import (
	"encoding/json"
	"errors"
	"slices"
	"strconv"
	"strings"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/people"
	"kinorder.example/server/internal/weigh"
)

// handState is what a planner decided by hand about a plan. It travels in the form.
type handState struct {
	madeOf
	// Titles are what the photographs were called when the hand decided about them.
	Titles map[string]string `json:",omitempty"`
	// Best is what the search found by itself.
	Best found
	// Locked and Dropped are ids of photographs: kept in their place, and not to be taken.
	Locked, Dropped []string
	// Freed says that all was undone, also what the list says.
	Freed bool `json:",omitempty"`
	// Compared are the plans for each emphasis, when they were asked for.
	Compared []compared `json:",omitempty"`
	// Outdated says that they are from before the hand changed something.
	Outdated bool `json:",omitempty"`
}

// found is a plan as far as a comparison needs it.
type found struct {
	Orders []planning.Order
	Totals event.Totals
}

// madeOf tells what a plan was made of: Of is the fingerprint of the photographs, Made that of all that counts for it.
type madeOf struct{ Of, Made string }

func fingerprintOf(e event.Event) madeOf {
	taken, emptied := event.Expand(e)
	type one struct {
		ID, Title string
		Members   []string
	}
	var all []one
	for _, p := range slices.Concat(taken, emptied) {
		all = append(all, one{p.ID, p.Title, p.Members})
	}
	return madeOf{fingerprint(all), fingerprint(event.ForPlan(e))}
}

// over carries what the hand decided over to a list that was changed: it holds for the photographs that are still called
// what they were. It is false when some of it is lost.
func (h *handState) over(e event.Event, s *event.CallSheet) bool {
	is := titlesOf(e)
	lost := func(id string) bool { return is[id] == "" || is[id] != h.Titles[id] }
	before := len(h.Locked) + len(h.Dropped)
	h.Locked, h.Dropped = slices.DeleteFunc(h.Locked, lost), slices.DeleteFunc(h.Dropped, lost)
	for i := range s.Blocks {
		s.Blocks[i].Entries = slices.DeleteFunc(s.Blocks[i].Entries, func(x event.SheetEntry) bool { return lost(x.Grouping) })
	}
	return len(h.Locked)+len(h.Dropped) == before
}

// titlesOf are the titles of photographs by their ids.
func titlesOf(e event.Event) map[string]string {
	out := map[string]string{}
	taken, emptied := event.Expand(e)
	for _, p := range slices.Concat(taken, emptied) {
		out[p.ID] = p.Title
	}
	return out
}

const (
	// maxPlan is the most bytes that each field of a plan may come to once it is decoded. The largest has 6 MiB.
	maxPlan = 16 << 20
	// perPlanned is how much memory it takes to answer a form for each of these bytes.
	perPlanned = 6
)

// planIn says what the plan in a form takes once it is decoded. Its error is ErrForm.
func planIn(p fields.Posted) (bytes int, err error) {
	for field, into := range map[string]any{"hand": handState{}, "sheet": event.CallSheet{}, "people": []people.Mended{}, "titles": []people.Titled{}} {
		n, err := weigh.JSON([]byte(p.Get(field)), into, maxPlan)
		if errors.Is(err, weigh.ErrTooMuch) {
			return 0, fields.ErrForm
		}
		bytes += n // what cannot be read is no plan
	}
	return bytes, nil
}

// readHand reads what came back with a form, which may be of another list by now.
func readHand(p fields.Posted) (h handState, s event.CallSheet, ok bool) {
	if json.Unmarshal([]byte(p.Get("hand")), &h) != nil || json.Unmarshal([]byte(p.Get("sheet")), &s) != nil {
		return handState{}, event.CallSheet{}, false
	}
	return h, s, true
}

// decided says whether the hand decided anything.
func (h *handState) decided() bool { return len(h.Locked)+len(h.Dropped) > 0 }

// take begins with what an event says.
func (h *handState) take(e event.Event) {
	photographs, _ := event.Expand(e)
	for _, p := range photographs {
		stands := func(id string) bool { return id == p.ID || id == event.GroupingID(&e, p.Source) }
		if slices.ContainsFunc(e.LeftOut, stands) {
			h.Dropped = append(h.Dropped, p.ID)
		} else if slices.ContainsFunc(e.Order, func(x event.HandPlace) bool { return x.Locked && stands(x.Grouping) }) {
			h.Locked = append(h.Locked, p.ID)
		}
	}
}

// in writes into an event what the hand decided about its sheet.
func (h *handState) in(e event.Event, s event.CallSheet) event.Event {
	switch {
	case h.decided() || h.moved(s):
		e.Order, e.LeftOut = planning.HandPlaces(planning.OrdersOf(s), h.Locked), h.Dropped
	case h.Freed:
		e.Order, e.LeftOut = nil, nil
	}
	return e
}

// moved says that an order is another one than was found.
func (h *handState) moved(s event.CallSheet) bool {
	return len(h.Best.Orders) > 0 && !slices.EqualFunc(planning.OrdersOf(s), h.Best.Orders, func(a, b planning.Order) bool {
		return a.Block == b.Block && slices.Equal(a.Photographs, b.Photographs)
	})
}

// hiddenPlan are the fields in which the plan travels.
func hiddenPlan(h handState, s event.CallSheet) ([]fields.Hidden, error) {
	hand, err := json.Marshal(h)
	if err != nil {
		return nil, err
	}
	sheet, err := json.Marshal(s)
	if err != nil {
		return nil, err
	}
	return []fields.Hidden{{Name: "hand", Value: string(hand)}, {Name: "sheet", Value: string(sheet)}}, nil
}

// move is one change by hand.
type move struct {
	act, id string
	place   int    // from 1 in its block, for act "to"
	block   string // for act "to"
}

// readMove reads which button was pressed.
func readMove(p fields.Posted) move {
	act, id, _ := strings.Cut(p.Get("act"), ":")
	m := move{act: act, id: id}
	if act == "go" { // the Enter key in a field for a place
		for name := range p.Values {
			if id, ok := strings.CutPrefix(name, "place."); ok && p.Line(name) != "" {
				m.act, m.id = "to", id
			}
		}
	}
	m.place, _ = strconv.Atoi(p.Line("place." + m.id))
	m.block = p.Get("block-of." + m.id)
	return m
}

// position finds a photograph in orders.
func position(orders []planning.Order, id string) (block, at int, ok bool) {
	for b, o := range orders {
		if at := slices.Index(o.Photographs, id); at >= 0 {
			return b, at, true
		}
	}
	return 0, 0, false
}

// moved returns orders with one photograph in another place; false when there is nothing to move or it
// stands there already. The orders given are not changed.
func (m move) moved(orders []planning.Order) ([]planning.Order, bool) {
	b, at, ok := position(orders, m.id)
	if !ok {
		return nil, false
	}
	to, place := b, at
	switch m.act {
	case "up":
		place--
	case "down":
		place++
	case "to":
		if i := slices.IndexFunc(orders, func(o planning.Order) bool { return o.Block == m.block }); i >= 0 {
			to = i
		}
		if place = m.place - 1; m.place < 1 {
			return nil, false
		}
	}
	out := slices.Clone(orders)
	out[b].Photographs = slices.Delete(slices.Clone(out[b].Photographs), at, at+1)
	if place = min(place, len(out[to].Photographs)); place < 0 || to == b && place == at {
		return nil, false
	}
	out[to].Photographs = slices.Insert(slices.Clone(out[to].Photographs), place, m.id)
	return out, true
}

// without returns orders without a photograph.
func without(orders []planning.Order, id string) []planning.Order {
	out := slices.Clone(orders)
	for i := range out {
		out[i].Photographs = slices.DeleteFunc(slices.Clone(out[i].Photographs), func(x string) bool { return x == id })
	}
	return out
}

// set adds an id to a list or takes it out.
func set(list []string, id string, in bool) []string {
	out := slices.DeleteFunc(slices.Clone(list), func(x string) bool { return x == id })
	if in {
		out = append(out, id)
	}
	return out
}

// judge puts onto a sheet made by hand what the search proved, as far as it holds for it: the floor and
// the bound are those of plans of the same photographs, on which nothing is locked.
func (h *handState) judge(s *event.CallSheet) {
	best := h.Best.Totals
	if !samePhotographs(planning.OrdersOf(*s), h.Best.Orders) {
		if len(h.Locked) > 0 {
			s.Totals.Proven, s.Totals.Bound = false, 0
			s.Totals.FloorReached, s.Totals.FloorStepIns = false, 0
		}
		return
	}
	s.Totals.FloorStepIns, s.Totals.FloorReached = best.FloorStepIns, best.FloorReached
	s.Totals.Bound = min(best.Bound, s.Totals.Cost)
	s.Totals.Proven = best.Proven && s.Totals.Cost == best.Cost
}

func samePhotographs(a, b []planning.Order) bool {
	flat := func(orders []planning.Order) []string {
		var all []string
		for _, o := range orders {
			all = append(all, o.Photographs...)
		}
		slices.Sort(all)
		return all
	}
	return slices.Equal(flat(a), flat(b))
}

// keepReasons gives what was left out before, and not by hand, the reason that it had.
func keepReasons(before, after *event.CallSheet) {
	for i, l := range after.LeftOut {
		for _, b := range before.LeftOut {
			if b.Grouping == l.Grouping {
				after.LeftOut[i].Why = b.Why
			}
		}
	}
}
