package api

import (
	"fmt"
	"maps"
	"slices"

	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
)

// mark reads a mark. Package run checks what its ids refer to.
func (r *reader) mark(i int, w *kinorderv1.Mark) run.Mark {
	field := fmt.Sprintf("marks[%d].", i)
	m := run.Mark{ID: w.GetId(), At: r.time(w.GetHappenTime(), field+"happen_time")}
	at := func(kind run.Kind, g *kinorderv1.GroupingMark) {
		m.Kind, m.Grouping, m.Block = kind, g.GetGrouping(), g.GetBlock()
	}
	switch k := w.GetKind().(type) {
	case *kinorderv1.Mark_Started:
		at(run.Started, k.Started)
	case *kinorderv1.Mark_Taken:
		at(run.Taken, k.Taken)
	case *kinorderv1.Mark_PutBack:
		at(run.PutBack, k.PutBack)
	case *kinorderv1.Mark_Skipped:
		at(run.Skipped, k.Skipped)
	case *kinorderv1.Mark_LeftOut:
		at(run.LeaveOut, k.LeftOut)
	case *kinorderv1.Mark_Changed:
		m.Kind, m.Grouping, m.Block = run.Changed, k.Changed.GetGrouping(), k.Changed.GetBlock()
		if p := k.Changed.GetPriority(); p != kinorderv1.Priority_PRIORITY_UNSPECIFIED {
			m.Priority = new(fromEnum[event.Priority](r, p, field+"changed.priority"))
		}
	case *kinorderv1.Mark_Absent:
		m.Kind, m.Person = run.Absent, k.Absent
	case *kinorderv1.Mark_Arrived:
		m.Kind, m.Person = run.Arrived, k.Arrived
	case *kinorderv1.Mark_Gone:
		m.Kind, m.Person = run.Gone, k.Gone
	case *kinorderv1.Mark_Late:
		m.Kind, m.Person, m.Until = run.Late, k.Late.GetPerson(), r.time(k.Late.GetUntilTime(), field+"late.until_time")
	case *kinorderv1.Mark_Leaving:
		m.Kind, m.Person, m.Until = run.Leaving, k.Leaving.GetPerson(), r.time(k.Leaving.GetUntilTime(), field+"leaving.until_time")
	case *kinorderv1.Mark_Joined:
		m.Kind, m.Person, m.Name, m.Groupings = run.Joined, k.Joined.GetPerson(), k.Joined.GetName(), k.Joined.GetGroupings()
	case *kinorderv1.Mark_Block:
		m.Kind, m.Block, m.Closed, m.Place = run.Reset, k.Block.GetBlock(), k.Block.GetClosed(), k.Block.GetPlace()
		m.Opens, m.Closes = r.time(k.Block.GetOpenTime(), field+"block.open_time"), r.time(k.Block.GetCloseTime(), field+"block.close_time")
	case *kinorderv1.Mark_Added:
		at := &path{&path{nil, "marks", i}, "added", -1}
		m.Kind, m.Grouped = run.Added, new(fromWire[event.Grouping](r, k.Added, at))
	case *kinorderv1.Mark_Without:
		m.Kind, m.Grouping, m.People = run.Without, k.Without.GetGrouping(), k.Without.GetPeople()
	case *kinorderv1.Mark_Note:
		m.Kind, m.Note = run.Noted, k.Note
	case *kinorderv1.Mark_Undone:
		m.Kind, m.Undoes = run.Undone, k.Undone
	}
	return m
}

func markToWire(m run.Mark) *kinorderv1.Mark {
	w := &kinorderv1.Mark{
		Id: text(m.ID), HappenTime: instant(m.At), ReceiveTime: instant(m.Received), DeviceTime: instant(m.DeviceAt), Author: text(m.By),
	}
	g := &kinorderv1.GroupingMark{Grouping: text(m.Grouping), Block: text(m.Block)}
	switch m.Kind {
	case run.Started:
		w.Kind = &kinorderv1.Mark_Started{Started: g}
	case run.Taken:
		w.Kind = &kinorderv1.Mark_Taken{Taken: g}
	case run.PutBack:
		w.Kind = &kinorderv1.Mark_PutBack{PutBack: g}
	case run.Skipped:
		w.Kind = &kinorderv1.Mark_Skipped{Skipped: g}
	case run.LeaveOut:
		w.Kind = &kinorderv1.Mark_LeftOut{LeftOut: g}
	case run.Changed:
		w.Kind = &kinorderv1.Mark_Changed{Changed: &kinorderv1.ChangeMark{Grouping: text(m.Grouping), Block: text(m.Block), Priority: changedToWire(m.Priority)}}
	case run.Absent:
		w.Kind = &kinorderv1.Mark_Absent{Absent: text(m.Person)}
	case run.Arrived:
		w.Kind = &kinorderv1.Mark_Arrived{Arrived: text(m.Person)}
	case run.Gone:
		w.Kind = &kinorderv1.Mark_Gone{Gone: text(m.Person)}
	case run.Late:
		w.Kind = &kinorderv1.Mark_Late{Late: &kinorderv1.LateMark{Person: text(m.Person), UntilTime: instant(m.Until)}}
	case run.Leaving:
		w.Kind = &kinorderv1.Mark_Leaving{Leaving: &kinorderv1.LateMark{Person: text(m.Person), UntilTime: instant(m.Until)}}
	case run.Joined:
		w.Kind = &kinorderv1.Mark_Joined{Joined: joinToWire(m.Person, run.Joining{Name: m.Name, Groupings: m.Groupings})}
	case run.Reset:
		w.Kind = &kinorderv1.Mark_Block{Block: blockToMark(m.Block, run.BlockTimes{Opens: m.Opens, Closes: m.Closes, Closed: m.Closed, Place: m.Place})}
	case run.Added:
		if m.Grouped != nil {
			w.Kind = &kinorderv1.Mark_Added{Added: toWire[kinorderv1.Grouping](*m.Grouped)}
		}
	case run.Without:
		w.Kind = &kinorderv1.Mark_Without{Without: &kinorderv1.WithoutMark{Grouping: text(m.Grouping), People: texts(m.People)}}
	case run.Noted:
		w.Kind = &kinorderv1.Mark_Note{Note: text(m.Note)}
	case run.Undone:
		w.Kind = &kinorderv1.Mark_Undone{Undone: text(m.Undoes)}
	}
	return w
}

func updateToWire(u run.Update) *kinorderv1.RunUpdate {
	w := &kinorderv1.RunUpdate{Sequence: u.Sequence, Marks: each(u.Marks, markToWire), Change: changeToWire(u.Change), CoveredSequence: u.Covers}
	if u.Plan != nil {
		w.Outlook = outlookToWire(*u.Plan)
	}
	return w
}

var groupingStates = map[run.Status]kinorderv1.GroupingState_State{
	run.Open:    kinorderv1.GroupingState_STATE_OPEN,
	run.Current: kinorderv1.GroupingState_STATE_CURRENT,
	run.Done:    kinorderv1.GroupingState_STATE_TAKEN,
	run.Later:   kinorderv1.GroupingState_STATE_LATER,
	run.LeftOut: kinorderv1.GroupingState_STATE_LEFT_OUT,
}

var personStates = map[run.Presence]kinorderv1.PersonState_State{
	run.Here:    kinorderv1.PersonState_STATE_HERE,
	run.Missing: kinorderv1.PersonState_STATE_ABSENT,
	run.Left:    kinorderv1.PersonState_STATE_GONE,
	run.Coming:  kinorderv1.PersonState_STATE_LATE,

	run.MustLeave: kinorderv1.PersonState_STATE_LEAVING,
}

func blockToMark(id string, x run.BlockTimes) *kinorderv1.BlockMark {
	return &kinorderv1.BlockMark{Block: text(id), OpenTime: instant(x.Opens), CloseTime: instant(x.Closes), Closed: x.Closed, Place: text(x.Place)}
}

// changedToWire leaves what nobody has said unspecified.
func changedToWire(p *event.Priority) kinorderv1.Priority {
	if p == nil {
		return kinorderv1.Priority_PRIORITY_UNSPECIFIED
	}
	return toEnum[kinorderv1.Priority](*p)
}

func joinToWire(person string, x run.Joining) *kinorderv1.JoinMark {
	return &kinorderv1.JoinMark{Person: text(person), Name: text(x.Name), Groupings: texts(x.Groupings)}
}

// changeToWire returns nil when nothing is different.
func changeToWire(c run.Change) *kinorderv1.RunChange {
	if !c.Different {
		return nil
	}
	w := &kinorderv1.RunChange{
		Added: written[kinorderv1.Grouping](c.Added), Removed: texts(c.Removed), UndoneNotes: texts(c.UndoneNotes), RestoredNotes: texts(c.RestoredNotes), Undoable: text(c.Undoable),
	}
	for _, id := range slices.Sorted(maps.Keys(c.Groupings)) {
		g := c.Groupings[id]
		w.Groupings = append(w.Groupings, &kinorderv1.GroupingState{
			Grouping: text(id), State: groupingStates[g.Status], Block: text(g.Block),
			StartTime: instant(g.Started), FinishTime: instant(g.Finished), Without: texts(g.Without),
			ChangedBlock: text(g.Move.Block), ChangedPriority: changedToWire(g.Move.Priority),
		})
	}
	for _, id := range slices.Sorted(maps.Keys(c.People)) {
		p := c.People[id]
		w.People = append(w.People, &kinorderv1.PersonState{
			Person: text(id), State: personStates[p.Presence], SinceTime: instant(p.Since), UntilTime: instant(p.Until),
		})
	}
	for _, id := range slices.Sorted(maps.Keys(c.Blocks)) {
		w.Blocks = append(w.Blocks, blockToMark(id, c.Blocks[id]))
	}
	for _, id := range slices.Sorted(maps.Keys(c.Joined)) {
		w.Joined = append(w.Joined, joinToWire(id, c.Joined[id]))
	}
	return w
}

func outlookToWire(o planning.Outlook) *kinorderv1.Outlook {
	w := &kinorderv1.Outlook{
		MakeTime: instant(o.Made), Sheet: sheetToWire(o.Sheet),
		Owed: written[kinorderv1.Owed](o.Owed), Forecasts: written[kinorderv1.Forecast](o.Forecasts),
	}
	for _, block := range slices.Sorted(maps.Keys(o.Next)) {
		w.Next = append(w.Next, &kinorderv1.GroupingMark{Grouping: text(o.Next[block]), Block: text(block)})
	}
	w.Changes = each(o.Changes, func(c planning.Change) *kinorderv1.OrderChange {
		return &kinorderv1.OrderChange{Text: text(c.String()), Wording: wordingToWire(c.Message)}
	})
	return w
}
