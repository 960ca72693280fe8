package run

import (
	"maps"
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// ForReader returns what a reader of names must know of an update: no notes, no reasons, nothing of who
// made a mark.
func ForReader(u Update) Update {
	var marks []Mark
	for _, m := range u.Marks {
		if m.Kind == Noted {
			continue
		}
		m.Note, m.By, m.Priority = "", "", nil
		if m.Grouped != nil {
			g := event.GroupingForReader(*m.Grouped)
			m.Grouped = &g
		}
		marks = append(marks, m)
	}
	u.Marks = marks
	u.State.Groupings, u.Change.Groupings = movesForReader(u.State.Groupings), movesForReader(u.Change.Groupings)
	u.State.Notes, u.Change.UndoneNotes, u.Change.RestoredNotes = nil, nil, nil
	u.State.Added, u.Change.Added = groupingsForReader(u.State.Added), groupingsForReader(u.Change.Added)
	if u.Plan != nil {
		p := *u.Plan
		p.Sheet = event.SheetForReader(p.Sheet)
		p.Owed = slices.Clone(p.Owed)
		for i := range p.Owed {
			none := planning.Owed{}
			p.Owed[i].Why, p.Owed[i].Expected, p.Owed[i].Priority = none.Why, none.Expected, none.Priority
		}
		p.Past = nil
		u.Plan = &p
	}
	return u
}

// movesForReader leaves out how much something is wanted.
func movesForReader(of map[string]Progress) map[string]Progress {
	of = maps.Clone(of)
	for id, p := range of {
		p.Move.Priority = nil
		of[id] = p
	}
	return of
}

func groupingsForReader(list []event.Grouping) []event.Grouping {
	list = slices.Clone(list)
	for i, g := range list {
		list[i] = event.GroupingForReader(g)
	}
	return list
}
