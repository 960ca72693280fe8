package planning

import (
	"slices"
	"strings"
	"time"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/outdoors"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/server/internal/wording"
	"kinorder.example/solver"
)

// outlook writes what was found.
func (r *rest) outlook() Outlook {
	o := Outlook{Made: r.today.Now, Sheet: r.sheet(), Next: map[string]string{}, Fault: r.fault}
	for b, slots := range r.plan.Blocks {
		next := 0
		if r.current[b] >= 0 {
			next = 1
		}
		if len(slots) > next {
			o.Next[r.Blocks[b].ID] = r.Photographs[slots[next].Grouping].ID
		}
		if f, ok := r.forecast(b); ok {
			o.Forecasts = append(o.Forecasts, f)
		}
	}
	o.Owed, o.Changes = r.owed(), slices.Concat(r.changes(), r.changedPlaces(), r.firmOver(o.Forecasts), r.tooSmall())
	return o
}

// firmOver says which blocks are likely to end after a firm closing, in minutes as clocks and phones show them. They go on
// all the same until somebody closes them.
func (r *rest) firmOver(forecasts []Forecast) []Change {
	var out []Change
	for _, f := range forecasts {
		b := slices.IndexFunc(r.Blocks, func(b event.Block) bool { return b.ID == f.Block })
		over := f.Finish.Truncate(time.Minute).Sub(f.Closes.Truncate(time.Minute))
		if !f.Closes.IsZero() && over > 0 && r.Blocks[b].Closing == event.FirmClosing {
			out = append(out, Change{Message: wording.Say("plan.firmClosingIsOver", r.Blocks[b].Named(),
				wording.Clock(f.Closes.In(r.Clock.Event.Location())), model.MinutesUp(solver.Seconds(over/time.Second)))})
		}
	}
	return out
}

// tooSmall says which photographs are planned where they don't have room: the place that has is closed, or people joined.
func (r *rest) tooSmall() []Change {
	var out []Change
	for b, slots := range r.plan.Blocks {
		most := r.Blocks[b].Capacity
		for _, s := range slots {
			if photo := r.Photographs[s.Grouping]; most > 0 && photo.Size() > most {
				out = append(out, Change{Message: wording.Sentences(wording.Say("%s.", photo.Title), model.HasAndHolds(photo, r.Blocks[b]))})
			}
		}
	}
	return out
}

// sheet writes the plan as a call sheet. Nobody is released who may still be wanted for a grouping that
// waits.
func (r *rest) sheet() event.CallSheet {
	var out event.CallSheet
	last := r.LastSlots(r.plan)
	wanted := r.wanted()
	for _, b := range r.InOrder(r.plan) {
		block := r.Block(r.plan, b, last)
		elsewhere := r.neededElsewhere(b)
		for i := range block.Entries {
			e := &block.Entries[i]
			e.Released = slices.DeleteFunc(e.Released, func(id string) bool { return wanted[id] || i == 0 && elsewhere[id] })
		}
		out.Blocks = append(out.Blocks, block)
	}
	for _, g := range r.plan.LeftOut {
		photo := r.Photographs[g]
		out.LeftOut = append(out.LeftOut, leftOut(photo, r.whyNot(g)))
	}
	for _, photo := range r.all {
		if len(r.waiting[photo.ID]) > 0 && !r.today.Done[photo.ID] && r.index(photo.ID) < 0 {
			out.LeftOut = append(out.LeftOut, leftOut(photo, waits()))
		}
	}
	for _, photo := range r.Emptied {
		if !r.today.Done[photo.ID] {
			out.LeftOut = append(out.LeftOut, leftOut(photo, nobodyComes()))
		}
	}
	out.People = r.PersonTimes(r.plan, out.Blocks)
	t := &out.Totals
	for _, b := range out.Blocks {
		t.Groupings += len(b.Entries)
		t.StepIns += b.StepIns
		t.Length += b.Length
	}
	t.RequestedStepIns, t.FloorStepIns = r.asRequested(), r.fewest()
	t.FloorReached = t.FloorStepIns == t.StepIns
	t.Cost, t.Bound, t.Proven = r.result.Total, r.result.Bound, r.result.Proven
	outdoors.Describe(r.Event, &out)
	return out
}

// neededElsewhere lists who is still needed in other blocks. What is taken first here may be over before what the
// plan has earlier there.
func (r *rest) neededElsewhere(b int) map[string]bool {
	out := map[string]bool{}
	for c, slots := range r.plan.Blocks {
		for _, s := range slots {
			if w := r.Spec.Groupings[s.Grouping]; c != b {
				for _, id := range r.IDs(slices.Concat(w.Members, w.Near)) {
					out[id] = true
				}
			}
		}
	}
	return out
}

// waits is the reason of what waits for people.
func waits() wording.Message { return wording.Say("plan.waitsForPeopleWhoAreNot") }

// nobodyComes is the reason of what nobody is there for, as the event has it.
func nobodyComes() wording.Message { return wording.Say("plan.nobodyItIsTakenForIs") }

// leftOut is a grouping that is not on the sheet.
func leftOut(photo event.Photograph, why wording.Message) event.LeftOut {
	l := event.LeftOut{Grouping: photo.ID, Priority: photo.Priority}
	l.Why = why
	return l
}

// wanted lists who is needed in a grouping that waits or has no place yet, or near it.
func (r *rest) wanted() map[string]bool {
	out := map[string]bool{}
	left := map[string]bool{}
	for _, g := range r.plan.LeftOut {
		left[r.Photographs[g].ID] = len(r.Spec.Groupings[g].Blocks) > 0
	}
	for _, photo := range r.all {
		if !left[photo.ID] && (len(r.waiting[photo.ID]) == 0 || r.today.Done[photo.ID]) {
			continue
		}
		for _, id := range slices.Concat(photo.Members, r.IDs(r.Near(photo))) {
			out[id] = true
		}
	}
	return out
}

// fewest is a floor on step-ins: everybody who is not in the frame of a block walks in once.
func (r *rest) fewest() int {
	n := 0
	for b, slots := range r.plan.Blocks {
		seen := map[solver.PersonIndex]bool{}
		for _, q := range r.Spec.Blocks[b].Frame {
			seen[q] = true
		}
		for _, s := range slots {
			for _, q := range r.Spec.Groupings[s.Grouping].Members {
				if !seen[q] {
					seen[q] = true
					n++
				}
			}
		}
	}
	return n
}

// asRequested counts the step-ins in the order of the list, behind what is being taken.
func (r *rest) asRequested() int {
	n := 0
	for b, order := range r.Requested(r.plan) {
		frame := r.Spec.Blocks[b].Frame
		slices.SortStableFunc(order, func(x, y solver.GroupingIndex) int {
			switch {
			case x == r.current[b]:
				return -1
			case y == r.current[b]:
				return 1
			}
			return int(x - y)
		})
		for _, g := range order {
			members := r.Spec.Groupings[g].Members
			n += len(model.Without(members, frame))
			frame = members
		}
	}
	return n
}

// whyNot says in words why a grouping is not planned.
func (r *rest) whyNot(g solver.GroupingIndex) wording.Message {
	photo, w := r.Photographs[g], r.Spec.Groupings[g]
	if r.handOut[photo.ID] {
		return leftOutByHand()
	}
	if len(w.Blocks) == 0 {
		for id, closed := range r.today.Closed {
			if closed && (len(photo.Blocks) == 0 || slices.Contains(photo.Blocks, id)) {
				return wording.Say("plan.blocksThatItMayBeTaken")
			}
		}
		return wording.Say("plan.noBlockThatIsLeftMay")
	}
	if !r.EverTogether(g) {
		return wording.Say("plan.itsPeopleAreNotThereWhile")
	}
	return wording.Say("plan.otherWishesLeaveNoPlaceFor")
}

// owed lists what is not taken, in the order of the list.
func (r *rest) owed() []Owed {
	planned := map[string]bool{}
	for _, slots := range r.plan.Blocks {
		for _, s := range slots {
			planned[r.Photographs[s.Grouping].ID] = true
		}
	}
	why := map[string]wording.Message{}
	for id := range r.late {
		why[id] = wording.Say("plan.itsTimeIsOver")
	}
	for _, g := range r.plan.LeftOut {
		why[r.Photographs[g].ID] = r.whyNot(g)
	}
	var out []Owed
	for _, photo := range r.all {
		if r.today.Done[photo.ID] {
			continue
		}
		o := Owed{
			Grouping: photo.ID, Title: photo.Title, Priority: photo.Priority, Planned: planned[photo.ID],
			Needed: photo.Members, Later: r.today.Later[photo.ID], Why: why[photo.ID],
		}
		r.addMissing(&o, photo)
		if !o.Planned && o.Why.Empty() {
			o.Why = waits()
		}
		out = append(out, o)
	}
	return out
}

func (r *rest) addMissing(o *Owed, photo event.Photograph) {
	known := true
	for _, id := range photo.Members {
		until, away := r.today.Away[id]
		if _, leaves := r.today.Leaving[id]; !away && (!leaves || o.Planned) {
			continue
		}
		o.Missing = append(o.Missing, id)
		known = known && !until.IsZero()
		if until.After(o.Expected) {
			o.Expected = until
		}
	}
	if !known {
		o.Expected = time.Time{}
	}
	itself := photo.Portrait && slices.ContainsFunc(o.Missing, func(id string) bool { return strings.HasSuffix(photo.ID, "."+id) })
	o.OfferWithout = len(o.Missing) > 0 && len(o.Missing) < len(photo.Members) && !itself
}
