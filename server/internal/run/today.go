package run

import (
	"cmp"
	"encoding/hex"
	"hash/fnv"
	"maps"
	"slices"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/wording"
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
		Moves: map[string]planning.Move{},
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
		t.Moves[id] = x.Move
	}
	for id, x := range s.People {
		switch x.Presence {
		case Missing, Left:
			t.Away[id] = time.Time{}
		case Coming:
			if x.Until.IsZero() || x.Until.After(now) { // else they are there, until somebody says otherwise
				t.Away[id] = x.Until
			}
		case MustLeave:
			t.Leaving[id] = x.Until
		}
	}
	for block, x := range s.Blocks {
		t.Times[block] = planning.Times{Opens: x.Opens, Closes: x.Closes, Place: x.Place}
		t.Closed[block] = x.Closed
	}
	t.Known = o.known(s, p)
	if t.Told = p != nil; t.Told {
		t.Wanted = o.wanted(s, p)
		o.reopen(&t, p)
	}
	return t
}

// wanted are the people of what a plan had still to be taken, in a place that is not closed: all others were free to go.
func (o Occasion) wanted(s State, p *Plan) map[string]bool {
	out, open := map[string]bool{}, map[string]bool{}
	for _, photo := range o.photographs(s) {
		blocks := photo.Blocks
		if len(blocks) == 0 {
			for _, b := range o.Event.Blocks {
				blocks = append(blocks, b.ID)
			}
		}
		open[photo.ID] = len(blocks) == 0 || slices.ContainsFunc(blocks, func(b string) bool { return !s.Blocks[b].Closed })
	}
	for _, x := range p.Owed {
		for _, id := range x.Needed {
			out[id] = out[id] || open[x.Grouping] && s.Groupings[x.Grouping].Status != LeftOut
		}
	}
	return out
}

// known are the photographs of the list as it was when a plan was made, those of the list when there is none yet.
func (o Occasion) known(s State, p *Plan) map[string]bool {
	out := map[string]bool{}
	for id := range s.Groupings {
		out[id] = true
	}
	if p == nil {
		for _, photo := range o.photographs(State{}) {
			out[photo.ID] = true
		}
		return out
	}
	for _, x := range p.Owed {
		out[x.Grouping] = true
	}
	return out
}

// onFoot is the event with ways to where blocks are today: a place to which the list has none is taken to be as far off as the
// one that it stands for.
func (o Occasion) onFoot(t planning.Today) event.Event {
	e := o.Event
	e.Blocks = slices.Clone(e.Blocks)
	for i, b := range e.Blocks {
		from, to, ways := b.Place, t.Times[b.ID].Place, []event.Walk{}
		if to == "" || slices.ContainsFunc(e.Walks, func(w event.Walk) bool { return w.From == to || w.To == to }) {
			continue
		}
		e.Blocks[i].Place = to
		stays := slices.ContainsFunc(e.Blocks, func(x event.Block) bool { return x.Place == from })
		for _, w := range e.Walks {
			there := w
			if w.From == from {
				there.From = to
			} else if w.To == from {
				there.To = to
			}
			if stays || there == w {
				ways = append(ways, w)
			}
			if there != w {
				ways = append(ways, there)
			}
		}
		e.Walks = ways
	}
	return e
}

// reopen puts what was taken or put off when the plan in force was made, and is open again, back to the front of its block:
// its people are still there, and on paper it comes before all that is left. So does a must-have that waited for people
// whom it is now to be taken without: whoever says so means now.
func (o Occasion) reopen(t *planning.Today, p *Plan) {
	known, musts := maps.Clone(t.Done), map[string]bool{}
	for _, photo := range o.photographs(State{}) {
		musts[photo.ID] = t.Moves[photo.ID].Of(photo).Priority == event.Must
	}
	for _, x := range p.Owed {
		comes := musts[x.Grouping] && !x.Planned && len(x.Missing) > 0 && !slices.ContainsFunc(x.Missing, func(id string) bool { return !slices.Contains(t.Without[x.Grouping], id) })
		known[x.Grouping] = (!x.Later || t.Later[x.Grouping]) && !comes
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

// Replan plans what is left, by what is marked and the plan in force. The search is given the event with the ways of today.
func (o Occasion) Replan(marks []Mark, s State, p *Plan, now time.Time, search func(event.Event, planning.Today) (Plan, error)) (Plan, error) {
	t, of := o.today(s, p, now), counted(marks)
	o.said(&t, marks)
	longer := o.asOnPaper(&t, p)
	if restore(&t, p, of) {
		longer = nil
	}
	out, err := search(o.onFoot(t), t)
	if orders := ordersOf(out.Sheet); slices.ContainsFunc(longer, func(b string) bool { return slices.Equal(orders[b], t.Orders[b]) }) {
		out.Changes = append(out.Changes, planning.Change{Message: wording.Say("plan.changedPaper")})
	}
	remember(&out, p, of)
	if out.Numbers = o.numbered(s, p); p != nil {
		out.Swapped = p.Swapped
	}
	return out, err
}

// said puts in when somebody has moved a block, and from where.
func (o Occasion) said(t *planning.Today, marks []Mark) {
	places := map[string]string{}
	for _, b := range o.Event.Blocks {
		places[b.ID] = b.Place
	}
	listed := maps.Clone(places)
	for _, m := range counting(unique(marks)) {
		if m.Kind != Reset {
			continue
		}
		x, is := t.Times[m.Block]
		if is {
			x.Said = m.At
		}
		if to := cmp.Or(m.Place, listed[m.Block]); to != places[m.Block] {
			x.Moved, x.From, x.Place = m.At, places[m.Block], to
			places[m.Block] = to
		}
		t.Times[m.Block] = x
	}
}

// asOnPaper has blocks that end later than the plan in force knew be taken in the order on paper again, but for who is called
// and who stands by where something has been taken. It returns those blocks whose order is another by it.
func (o Occasion) asOnPaper(t *planning.Today, p *Plan) (longer []string) {
	if p == nil {
		return nil
	}
	paper := ordersOf(o.Sheet)
	for _, f := range p.Forecasts {
		was := t.Orders[f.Block]
		if t.Times[f.Block].Closes.Sub(f.Closes) < time.Minute || len(was) == 0 {
			continue
		}
		var order []string
		if _, begun := t.Frames[f.Block]; begun {
			order = slices.Clone(was[:min(2, len(was))])
		}
		for _, id := range slices.Concat(paper[f.Block], was) {
			if slices.Contains(was, id) && !slices.Contains(order, id) {
				order = append(order, id)
			}
		}
		if !slices.Equal(order, was) {
			t.Orders[f.Block], longer = order, append(longer, f.Block)
		}
	}
	return longer
}

// remembered is how many orders are kept for whoever takes marks back.
const remembered = 12

// counted tells one set of marks that count from another. Notes change no order.
func counted(marks []Mark) string {
	sum := fnv.New128a()
	for _, m := range counting(unique(marks)) {
		if m.Kind != Noted {
			sum.Write([]byte(m.ID + "\n"))
		}
	}
	return hex.EncodeToString(sum.Sum(nil))
}

// restore has the order in force be the one that it was with the same marks: whoever takes something back wants the day as
// it was before. It reports whether there is such an order.
func restore(t *planning.Today, p *Plan, of string) (found bool) {
	if p == nil {
		return false
	}
	for _, was := range p.Past {
		if was.Of == of {
			t.Orders, found = was.Orders, true
		}
	}
	return found
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

// Heed completes marks of a device that no server has had yet, as the desk does with those that come in, and plans what
// is left by them and by the others. made are those of the server.
func (o Occasion) Heed(made, fresh []Mark, p *Plan, now time.Time, search func(event.Event, planning.Today) (Plan, error)) (Plan, error) {
	s := Fold(made)
	fresh = slices.Clone(fresh)
	for i := range fresh {
		o.complete(&fresh[i], s, p)
	}
	all := slices.Concat(made, fresh)
	return o.Replan(all, Fold(all), p, now, search)
}

// complete adds to a mark what the event, the marks before it and the plan in force say of it.
func (o Occasion) complete(m *Mark, s State, p *Plan) {
	m.bring(o.Event)
	if m.Kind == Absent {
		m.Until = o.seenSince(*m, s)
	}
	if (m.Kind == Started || m.Kind == Taken) && m.Block == "" {
		m.Block = o.blockOf(m.Grouping, p)
	}
}

// seenSince is when somebody was photographed after a mark says that they are missing, zero when they were not: it came late,
// from a phone without signal, and holds up nothing any more.
func (o Occasion) seenSince(m Mark, s State) time.Time {
	o.Event.Groupings = slices.Concat(o.Event.Groupings, s.AddedTo(o.Event))
	photographs, _ := event.Expand(o.Event)
	for _, slot := range s.Slots {
		for _, photo := range photographs {
			without := s.Groupings[photo.ID].Without
			if photo.ID == slot.Grouping && slices.Contains(photo.Members, m.Person) && !slices.Contains(without, m.Person) && slot.Finished.After(m.At) {
				return slot.Finished
			}
		}
	}
	return time.Time{}
}
