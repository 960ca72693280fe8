package run

import (
	"crypto/sha256"
	"encoding/hex"
	"maps"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/planning/model"
)

// Occasion is what a run is about: it does not change while the run goes on.
type Occasion struct {
	Event event.Event
	// Sheet is the one the run began with; empty when it was deleted.
	Sheet event.CallSheet
}

// inForce is the sheet of the newest plan, or the one the run began with.
func (o Occasion) inForce(p *Plan) event.CallSheet {
	if p != nil {
		return p.Sheet
	}
	return o.Sheet
}

// blockOf finds the block in which sheets have a grouping, the newest sheet first.
func (o Occasion) blockOf(grouping string, p *Plan) string {
	for _, sheet := range []event.CallSheet{o.inForce(p), o.Sheet} {
		for _, b := range sheet.Blocks {
			if slices.ContainsFunc(b.Entries, func(e event.SheetEntry) bool { return e.Grouping == grouping }) {
				return b.Block
			}
		}
	}
	if len(o.Event.Blocks) > 0 {
		return o.Event.Blocks[0].ID
	}
	return ""
}

// today turns a state into what planning has to know.
func (o Occasion) today(s State, p *Plan, now time.Time) planning.Today {
	t := planning.Today{
		Now: now, Newcomers: s.Newcomers(o.Event), Added: s.AddedTo(o.Event), With: s.With(),
		Done: map[string]bool{}, Later: map[string]bool{}, Without: map[string][]string{}, Away: map[string]time.Time{},
		Current: map[string]planning.Calling{}, Frames: maps.Clone(s.Frames), Slots: slices.Clone(s.Slots), Orders: ordersOf(o.inForce(p)),
		Leaving: map[string]time.Time{}, Closed: map[string]bool{}, Times: map[string]planning.Times{},
	}
	for id, x := range s.Groupings {
		switch x.Status {
		case Done:
			t.Done[id] = true
		case Later:
			t.Later[id] = true
		case Current:
			t.Current[x.Block] = planning.Calling{Grouping: id, At: x.Started}
		case LeftOut:
			t.LeftOut = append(t.LeftOut, id)
		}
		if len(x.Without) > 0 {
			t.Without[id] = x.Without
		}
	}
	for id, x := range s.People {
		switch x.Presence {
		case Missing, Left:
			t.Away[id] = time.Time{}
		case Coming:
			t.Away[id] = x.Until
		case MustLeave:
			t.Leaving[id] = x.Until
		}
	}
	for block, x := range s.Blocks {
		t.Times[block] = planning.Times{Opens: x.Opens, Closes: x.Closes, Place: x.Place}
		t.Closed[block] = x.Closed
	}
	if t.Told = p != nil; t.Told {
		o.reopen(&t, p)
	}
	return t
}

// reopen puts what was taken or put off when the plan in force was made, and is open again, back to the front of its block:
// its people are still there, and on paper it comes before all that is left.
func (o Occasion) reopen(t *planning.Today, p *Plan) {
	known := maps.Clone(t.Done)
	for _, x := range p.Owed {
		known[x.Grouping] = !x.Later || t.Later[x.Grouping]
	}
	for _, b := range o.Sheet.Blocks {
		var again []string
		for _, e := range b.Entries {
			if !known[e.Grouping] {
				again = append(again, e.Grouping)
			}
		}
		for block, order := range t.Orders {
			t.Orders[block] = slices.DeleteFunc(order, func(id string) bool { return slices.Contains(again, id) })
		}
		t.Orders[b.Block] = append(again, t.Orders[b.Block]...)
	}
}

// remembered is how many orders are kept for whoever takes marks back.
const remembered = 12

// counted tells one set of marks that count from another. Notes change no order.
func counted(marks []Mark) string {
	sum := sha256.New()
	for _, m := range counting(unique(marks)) {
		if m.Kind != Noted {
			sum.Write([]byte(m.ID + "\n"))
		}
	}
	return hex.EncodeToString(sum.Sum(nil)[:8])
}

// restore has the order in force be the one that it was with the same marks: whoever takes something back wants the day as
// it was before.
func restore(t *planning.Today, p *Plan, of string) {
	if p == nil {
		return
	}
	for _, was := range p.Past {
		if was.Of == of {
			t.Orders = was.Orders
		}
	}
}

// remember keeps the order of a plan, with those before it.
func remember(p, before *Plan, of string) {
	if before != nil {
		p.Past = slices.DeleteFunc(slices.Clone(before.Past), func(was model.Past) bool { return was.Of == of })
		p.Past = p.Past[max(0, len(p.Past)+1-remembered):]
	}
	p.Past = append(p.Past, model.Past{Of: of, Orders: ordersOf(p.Sheet)})
}

// ordersOf are the photographs of a sheet by block.
func ordersOf(s event.CallSheet) map[string][]string {
	out := map[string][]string{}
	for _, b := range s.Blocks {
		for _, e := range b.Entries {
			out[b.Block] = append(out[b.Block], e.Grouping)
		}
	}
	return out
}

// Newcomers returns the people who are not on the list, by id: ids made on devices rise with time.
func (s State) Newcomers(e event.Event) []event.Person {
	var out []event.Person
	for _, id := range slices.Sorted(maps.Keys(s.Joined)) {
		if !slices.ContainsFunc(e.People, func(p event.Person) bool { return p.ID == id }) {
			out = append(out, event.Person{ID: id, Name: s.Joined[id].Name})
		}
	}
	return out
}

// With is who is in a photograph besides those of the list.
func (s State) With() map[string][]string {
	out := map[string][]string{}
	for _, id := range slices.Sorted(maps.Keys(s.Joined)) {
		for _, g := range s.Joined[id].Groupings {
			out[g] = append(out[g], id)
		}
	}
	return out
}

// AddedTo returns the groupings that were added, without people who are no longer known: a newcomer may be undone after
// a photograph with them was added.
func (s State) AddedTo(e event.Event) []event.Grouping {
	known := map[string]bool{}
	for _, p := range slices.Concat(e.People, s.Newcomers(e)) {
		known[p.ID] = true
	}
	for _, c := range e.Circles {
		known[c.ID] = true
	}
	unknown := func(id string) bool { return !known[id] }
	out := slices.Clone(s.Added)
	for i, g := range out {
		out[i].Members = slices.DeleteFunc(slices.Clone(g.Members), unknown)
		out[i].Without = slices.DeleteFunc(slices.Clone(g.Without), unknown)
	}
	return out
}
