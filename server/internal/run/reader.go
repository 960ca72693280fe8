package run

import (
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
		m.Note, m.By = "", ""
		if m.Grouped != nil {
			g := event.GroupingForReader(*m.Grouped)
			m.Grouped = &g
		}
		marks = append(marks, m)
	}
	u.Marks = marks
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

func groupingsForReader(list []event.Grouping) []event.Grouping {
	list = slices.Clone(list)
	for i, g := range list {
		list[i] = event.GroupingForReader(g)
	}
	return list
}
