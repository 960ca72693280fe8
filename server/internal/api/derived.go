package api

import (
	kinorderv1 "kinorder.example/proto/kinorder/v1"
	"kinorder.example/server/internal/event"
)

// derive sets what a message says besides the fields of the value that it was made of: what follows from them, for
// people to read, and which kind of rule it is.
func derive(into, from any) {
	switch d := from.(type) {
	case *event.SheetBlock:
		deriveTimes(into.(*kinorderv1.SheetBlock), d)
	case *event.SheetEntry:
		into.(*kinorderv1.SheetEntry).Minutes = minutes(d.Length)
	case *event.PersonTimes:
		into.(*kinorderv1.PersonTimes).IdleMinutes = minutes(d.Idle)
	case *event.Totals:
		w := into.(*kinorderv1.Totals)
		w.Minutes, w.Gap = minutes(d.Length), d.Gap()
	case *event.Rule:
		deriveKind(into.(*kinorderv1.Rule), d)
	}
}

// deriveTimes tells by the clock when a block ends and its entries begin.
func deriveTimes(w *kinorderv1.SheetBlock, b *event.SheetBlock) {
	w.Minutes = minutes(b.Length)
	if b.Start.IsZero() {
		return
	}
	w.FinishTime = instant(b.Start.Add(b.Length))
	for i, e := range b.Entries {
		w.Entries[i].StartTime = instant(b.Start.Add(e.Offset))
	}
	if b.SafeLength <= 0 {
		return
	}
	w.SafeFinishTime = instant(b.Start.Add(b.SafeLength))
	for i, e := range b.Entries {
		w.Entries[i].SafeStartTime = instant(b.Start.Add(e.SafeOffset))
	}
}

// deriveKind takes the first: a rule of several kinds is refused by check.Event.
func deriveKind(w *kinorderv1.Rule, r *event.Rule) {
	switch {
	case r.Apart != nil:
		w.Kind = &kinorderv1.Rule_Apart{Apart: toWire[kinorderv1.Apart](*r.Apart)}
	case r.Turns != nil:
		w.Kind = &kinorderv1.Rule_Turns{Turns: toWire[kinorderv1.Turns](*r.Turns)}
	case r.Seniority != nil:
		w.Kind = &kinorderv1.Rule_Seniority{Seniority: toWire[kinorderv1.Seniority](*r.Seniority)}
	}
}

// besides reads what is no field by itself, and looks at figures of a sheet.
func (r *reader) besides(into, from any, at *path) {
	switch d := into.(type) {
	case *event.Rule:
		w := from.(*kinorderv1.Rule)
		switch {
		case w.GetApart() != nil:
			d.Apart = new(fromWire[event.Apart](r, w.GetApart(), &path{at, "apart", -1}))
		case w.GetTurns() != nil:
			d.Turns = &event.Turns{People: w.GetTurns().GetPeople()}
		case w.GetSeniority() != nil:
			d.Seniority = &event.Seniority{People: w.GetSeniority().GetPeople()}
		}
	case *event.EntryLens:
		d.FocalMM = r.decimal(d.FocalMM, at.field("focalMm"))
		d.Aperture = r.decimal(d.Aperture, at.field("aperture"))
		d.AngleAcross = r.decimal(d.AngleAcross, at.field("angleAcross"))
		d.AngleUp = r.decimal(d.AngleUp, at.field("angleUp"))
	}
}
