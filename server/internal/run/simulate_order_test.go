package run

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/wording"
)

// stays: whose names are up comes next until somebody presses, or a line says why not; what is said is so; nothing is taken
// in another order than on paper without a line.
func (p *played) stays(s State, o Plan) {
	planned := map[string]string{}
	for _, b := range o.Sheet.Blocks {
		for _, e := range b.Entries {
			planned[e.Grouping] = b.Block
		}
	}
	for _, c := range o.Changes {
		for _, id := range c.Of {
			if (planned[id] == "") != (c.Key == "plan.changedOut") {
				p.wrong("line", "%q is said of %s, planned in %q", c.String(), id, planned[id])
			}
			if list := entriesOf(o, planned[id]); c.Key == "plan.changedWaits" && list[0].Grouping == id {
				p.wrong("line", "%q is said of %s, which is next", c.String(), id)
			}
			if c.Key == "plan.changedNew" && slices.ContainsFunc(p.e.Groupings, func(g event.Grouping) bool { return g.ID == id }) {
				p.wrong("line", "%q is said of %s, which was in the list", c.String(), id)
			}
		}
	}
	if p.plan == nil {
		paper, now := ordersOf(p.begun.Sheet), ordersOf(o.Sheet)
		for _, b := range p.e.Blocks {
			if !slices.Equal(paper[b.ID], now[b.ID]) && len(o.Changes) == 0 {
				p.wrong("paper", "%s is not as on paper: %v, not %v, and nothing is said", b.ID, now[b.ID], paper[b.ID])
			}
		}
		return
	}
	touched := func(m Mark) bool { return slices.Contains([]Kind{Undone, PutBack, Reset, Without, Joined}, m.Kind) }
	if slices.ContainsFunc(p.fresh, touched) {
		return
	}
	for _, b := range p.e.Blocks {
		was, is := entriesOf(*p.plan, b.ID), entriesOf(o, b.ID)
		if len(was) > 0 && len(is) > 0 && was[0].Grouping != is[0].Grouping && p.mayStay(s, o, was[0].Grouping, is[0].Grouping) && !reasonSaid(o, was[0], is[0]) {
			p.wrong("moved", "%s: %s was called and %s is next, after %+v; said is %q", b.ID, was[0].Grouping, is[0].Grouping, p.fresh, said(o))
		}
	}
}

// mayStay says that a photograph can be taken, by people who are all there, and no other is being taken.
func (p *played) mayStay(s State, o Plan, id, instead string) bool {
	k := slices.IndexFunc(o.Owed, func(x planning.Owed) bool { return x.Grouping == id })
	if k < 0 || o.Owed[k].Later || len(o.Owed[k].Missing) > 0 || s.Groupings[instead].Status == Current || s.Groupings[id].Status == Current {
		return false
	}
	return !slices.ContainsFunc(o.Owed[k].Needed, func(who string) bool {
		x := p.person(who)
		from, err := p.e.Instant(x.PresentFrom)
		return s.People[who].Presence == Coming || err == nil && from.After(p.now) || x.Absent
	})
}

// reasonSaid says that a line gives a reason for which somebody who is called makes room.
func reasonSaid(o Plan, was, is event.SheetEntry) bool {
	return slices.ContainsFunc(o.Changes, func(c planning.Change) bool {
		why := []wording.Key{"plan.changedShort", "plan.changedLeaves", "plan.changedWaits", "plan.changedOut"}
		return slices.Contains(why, c.Key) && (slices.Contains(c.Of, was.Grouping) || slices.Contains(c.Of, is.Grouping))
	})
}
