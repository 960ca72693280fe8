package event

import (
	"slices"

	"kinorder.example/server/internal/wording"
)

// ForReader returns what a reader of names must know of an event: who is called what, who is in which
// photograph, when and where, and who needs a seat or a way for a wheelchair. It leaves out private
// notes, rules, presence, ages, heights, weights and all other needs.
func ForReader(e Event) Event {
	out := Event{Title: e.Title, Date: e.Date, TimeZone: e.TimeZone, Sides: e.Sides, Circles: e.Circles, Blocks: e.Blocks}
	for _, p := range e.People {
		q := Person{ID: p.ID, Name: p.Name, SayAs: p.SayAs, Relation: p.Relation, Side: p.Side, Absent: p.Absent}
		for _, need := range p.Needs {
			if need == Seat || need == Wheelchair {
				q.Needs = append(q.Needs, need)
			}
		}
		out.People = append(out.People, q)
	}
	for _, g := range e.Groupings {
		out.Groupings = append(out.Groupings, GroupingForReader(g))
	}
	return out
}

// GroupingForReader returns what a reader must know of a grouping.
func GroupingForReader(g Grouping) Grouping {
	return Grouping{
		ID: g.ID, Title: g.Title, Members: g.Members, Without: g.Without, EachOf: g.EachOf,
		Blocks: g.Blocks, Frames: g.Frames,
	}
}

// SheetForReader returns what a reader must know of a call sheet: the order and the times. Advice and
// the reasons why something is left out may tell of rules, standing plans tell heights; none of them is
// for readers.
func SheetForReader(c CallSheet) CallSheet {
	c.Advice = nil
	c.Blocks = slices.Clone(c.Blocks)
	for i := range c.Blocks {
		c.Blocks[i].Entries = slices.Clone(c.Blocks[i].Entries)
		for k := range c.Blocks[i].Entries {
			c.Blocks[i].Entries[k].Standing = nil
		}
	}
	c.LeftOut = slices.Clone(c.LeftOut)
	for i := range c.LeftOut {
		c.LeftOut[i].Reason, c.LeftOut[i].Why = "", wording.Message{}
	}
	return c
}
