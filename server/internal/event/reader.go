package event

import "slices"

// ForReader returns what a reader of names must know of an event: who is called what, who is in which
// photograph, when and where, and who needs a seat or a way for a wheelchair. It takes over what is named
// here and nothing else, so that a new field is hidden until somebody decides otherwise.
func ForReader(e Event) Event {
	out := Event{Title: e.Title, Date: e.Date, TimeZone: e.TimeZone, Sides: e.Sides}
	for _, p := range e.People {
		q := Person{ID: p.ID, Name: p.Name, SayAs: p.SayAs, Side: p.Side, Absent: p.Absent}
		for _, need := range p.Needs {
			if need == Seat || need == Wheelchair {
				q.Needs = append(q.Needs, need)
			}
		}
		out.People = append(out.People, q)
	}
	for _, c := range e.Circles {
		out.Circles = append(out.Circles, Circle{ID: c.ID, Title: c.Title, Members: c.Members, Leader: c.Leader})
	}
	for _, b := range e.Blocks {
		out.Blocks = append(out.Blocks, Block{ID: b.ID, Title: b.Title, Place: b.Place, Opens: b.Opens, Closes: b.Closes})
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
		Blocks: g.Blocks, Frames: g.Frames, Guests: g.Guests,
	}
}

// SheetForReader returns what a reader must know of a call sheet: the order and the times. Advice and the
// reasons why something is left out may tell of rules, standing plans and lenses tell heights, and the cost
// tells weights; how much somebody wants a photograph is between them and the planner. Who is near tells who interprets for whom, and so would the times of those people: they are
// told by whoever holds the whole sheet.
func SheetForReader(c CallSheet) CallSheet {
	near := map[string]bool{}
	for _, b := range c.Blocks {
		for _, e := range b.Entries {
			for _, id := range e.Near {
				near[id] = true
			}
		}
	}
	isNear := func(id string) bool { return near[id] }
	out := CallSheet{Totals: Totals{Groupings: c.Totals.Groupings, StepIns: c.Totals.StepIns, Length: c.Totals.Length}}
	out.People = slices.DeleteFunc(slices.Clone(c.People), func(p PersonTimes) bool { return near[p.Person] })
	for _, b := range c.Blocks {
		block := SheetBlock{Block: b.Block, Start: b.Start, Length: b.Length, StepIns: b.StepIns, SafeLength: b.SafeLength}
		for _, e := range b.Entries {
			block.Entries = append(block.Entries, SheetEntry{
				Grouping: e.Grouping, Title: e.Title, Offset: e.Offset, Length: e.Length, Wait: e.Wait, SafeOffset: e.SafeOffset,
				StepIn: e.StepIn, StepOut: e.StepOut, Stay: e.Stay, Released: slices.DeleteFunc(slices.Clone(e.Released), isNear), Standby: e.Standby, Frames: e.Frames,
			})
		}
		out.Blocks = append(out.Blocks, block)
	}
	for _, l := range c.LeftOut {
		out.LeftOut = append(out.LeftOut, LeftOut{Grouping: l.Grouping})
	}
	return out
}

// ForPlan returns an event without what is only said to people or noted. Everything else counts for a plan, also a field
// that is new: when it changes, the plan is old.
func ForPlan(e Event) Event {
	e.Title = ""
	e.Sides, e.People, e.Groupings, e.Rules = slices.Clone(e.Sides), slices.Clone(e.People), slices.Clone(e.Groupings), slices.Clone(e.Rules)
	for i := range e.Sides {
		e.Sides[i].Label = ""
	}
	for i := range e.People {
		e.People[i].Nicknames, e.People[i].SayAs, e.People[i].PrivateNote = nil, "", ""
	}
	for i := range e.Groupings {
		e.Groupings[i].PrivateNote = ""
	}
	for i := range e.Rules {
		e.Rules[i].PrivateNote = ""
	}
	return e
}
