// Package learn fits the minutes model of planning to days that were gone through.
package learn

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/planning/model"
	"kinorder.example/solver"
	"kinorder.example/solver/pace"
)

// MaxDays is how many days Pace looks at, and MaxTimed how many timed slots of them.
const (
	MaxDays  = 500
	MaxTimed = 20_000
)

// Day is a day that was gone through.
type Day struct {
	Event event.Event
	// Added are groupings that were not on the list, With and Without who was in one besides those of the list, or not.
	Added         []event.Grouping
	With, Without map[string][]string
	// Slots are in the order in which they were finished.
	Slots []planning.Timed
}

// usualPace is the minutes model as package pace has it.
func usualPace() pace.Parameters {
	m := model.NewMinutes(event.Pace{})
	return pace.Parameters{
		Settle: float64(m.Settle), PerStepIn: float64(m.PerStepIn), PerStepOut: float64(m.PerStepOut), Fresh: float64(m.Fresh),
		PerFrame: float64(m.PerFrame), Arrange: 1, Slow: 1, Gather: 1,
	}
}

// Pace fits the minutes model to days that were gone through. Slots that took less than a quarter of
// the usual time or more than four times it were ticked late or interrupted and are set aside; the fit
// resists what is left of breaks. With fewer than pace.MinSlots slots the pace stays empty. Its error is
// *event.InvalidError when an event has faults, with places under "runs[i].event.", or "runs[i].marks" for
// what was added, and that of ctx when it ends before the fit.
func Pace(ctx context.Context, days []Day) (event.StudioPace, error) {
	out := event.StudioPace{LeastPhotographs: pace.MinSlots}
	var slots []pace.Observed
	for i, d := range days {
		if ctx.Err() != nil {
			return out, ctx.Err()
		}
		seen, aside, err := observe(d)
		if err != nil {
			return out, underRun(i, len(d.Event.Groupings), err)
		}
		for k := range seen {
			seen[k].Event = i
		}
		if len(seen) > 0 {
			out.Events++
		}
		slots, out.SetAside = append(slots, seen...), out.SetAside+aside
	}
	out.Photographs = len(slots)
	fitted, err := pace.Fit(ctx, slots, usualPace())
	if errors.Is(err, pace.ErrTooFew) {
		out.Text = fmt.Sprintf("Too little to fit to: the time of %s is known, and %d are needed. The usual pace stays.",
			counted(len(slots), "photograph", "photographs"), pace.MinSlots)
		return out, nil
	}
	if err != nil {
		return out, fmt.Errorf("planning: %w", err)
	}
	out.SetAside += fitted.Outliers
	out.Pace = written(fitted.Parameters)
	percent := func(share float64) *int { n := min(200, int(math.Round(share*100))); return &n }
	out.Pace.SlotSpreadPercent = percent(fitted.Spread.Own)
	out.Pace.DaySpreadPercent = percent(pace.Known(fitted.Spread.Day, fitted.Events))
	out.Parameters = parametersOf(fitted)
	held, err := pace.HoldOut(ctx, slots, usualPace(), byPace)
	switch {
	case err == nil:
		out.Before = &event.PaceError{PhotographSeconds: tenth(held.Before.Slot), EventSeconds: tenth(held.Before.Event)}
		out.After = &event.PaceError{PhotographSeconds: tenth(held.After.Slot), EventSeconds: tenth(held.After.Event)}
		out.HeldOut = held.Events
	case !errors.Is(err, pace.ErrTooFew):
		return out, fmt.Errorf("planning: %w", err)
	}
	out.Text = paceText(out)
	return out, nil
}

func tenth(v float64) float64 { return math.Round(v*10) / 10 }

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// underRun says of which run the faults of an event are; groupings beyond those listed were added by marks.
func underRun(i, listed int, err error) error {
	var invalid *event.InvalidError
	if !errors.As(err, &invalid) {
		return err
	}
	faults := slices.Clone(invalid.Faults)
	for k := range faults {
		at, added := fmt.Sprintf("runs[%d].event.%s", i, faults[k].Field), 0
		if n, _ := fmt.Sscanf(faults[k].Field, "groupings[%d]", &added); n == 1 && added >= listed {
			at = fmt.Sprintf("runs[%d].marks", i)
		}
		faults[k].Field = at
	}
	return &event.InvalidError{Faults: faults}
}

// observe measures the slots of a day. It also returns how many were set aside.
func observe(d Day) ([]pace.Observed, int, error) {
	e := d.Event
	e.Groupings = slices.Concat(e.Groupings, d.Added)
	if faults := event.Faults(check.Event(e)); len(faults) > 0 {
		return nil, 0, &event.InvalidError{Faults: faults}
	}
	photographs, _ := event.Expand(e)
	for i, photo := range photographs {
		photographs[i].Members = model.MembersToday(photo, planning.Today{With: d.With, Without: d.Without})
	}
	photographs = slices.DeleteFunc(photographs, func(p event.Photograph) bool { return len(p.Members) == 0 })
	// Wishes about times and order do not matter to what was taken.
	pr, err := model.Of(e, photographs, nil, 0)
	if err != nil {
		return nil, 0, err
	}
	var out []pace.Observed
	aside, before := 0, previous(d.Slots)
	for i, s := range d.Slots {
		o, ok := observed(pr, d.Slots, before, i)
		if !ok {
			continue
		}
		usual := usualPace().Seconds(o)
		if took := s.Finished.Sub(begun(d.Slots, before, i)).Seconds(); took < planning.LeastRatio*usual || took > planning.MostRatio*usual {
			aside++
		} else {
			o.Seconds = took
			out = append(out, o)
		}
	}
	return out, aside, nil
}

// begun is when a slot began: as marked, else when the one before it in its block was finished. Zero
// when nobody knows.
func begun(slots []planning.Timed, before []int, i int) time.Time {
	if !slots[i].Started.IsZero() {
		return slots[i].Started
	}
	if before[i] >= 0 {
		return slots[before[i]].Finished
	}
	return time.Time{}
}

// previous gives for each slot the one before it in the same block, -1 for none.
func previous(slots []planning.Timed) []int {
	last := make(map[string]int)
	before := make([]int, len(slots))
	for i, s := range slots {
		before[i] = -1
		if j, some := last[s.Block]; some {
			before[i] = j
		}
		last[s.Block] = i
	}
	return before
}

// observed says what the minutes model has to know of a slot; false when its time says nothing about
// the pace.
func observed(pr *model.Problem, slots []planning.Timed, before []int, i int) (pace.Observed, bool) {
	g, known := pr.Photograph(slots[i].Grouping)
	from := begun(slots, before, i)
	b := before[i]
	// Nobody can tell whether the greetings are in the first of a block.
	if !known || from.IsZero() || b < 0 || pr.Spec.Groupings[g].Fixed > 0 {
		return pace.Observed{}, false
	}
	var frame []solver.PersonIndex
	leaving := 0
	if from.Sub(slots[b].Finished) < planning.Standing {
		if h, known := pr.Photograph(slots[b].Grouping); known {
			frame, leaving = pr.Spec.Groupings[h].Members, pr.Spec.Groupings[h].Guests
		}
	}
	usual := model.NewMinutes(event.Pace{Calling: pr.Event.Pace.Calling})
	members := pr.Spec.Groupings[g].Members
	in := model.Without(members, frame)
	guests := pr.Spec.Groupings[g].Guests
	called := guests
	o := pace.Observed{
		In: len(in) + guests, Out: len(model.Without(frame, members)) + leaving, Frames: pr.Frames[g], Fresh: len(in) == len(members),
		Arrange: float64(usual.ArrangeSeconds(len(in) + guests)),
	}
	for _, q := range in {
		o.Slow = max(o.Slow, float64(usual.Slow(pr.Event.People[q])))
		if !pr.Spec.People[q].Led {
			called++
		}
	}
	o.Gather = usual.GatherSeconds(called)
	return o, true
}

// written rounds parameters to the whole seconds of an event. What is left of the time for each person
// walking in goes into the table for placing newcomers, where it is not lost.
func written(p pace.Parameters) event.Pace {
	atMost := func(v float64, most int) *int { n := min(most, max(0, int(math.Round(v)))); return &n }
	whole := func(v float64) *int { return atMost(v, event.MaxPaceSeconds) }
	usual := model.NewMinutes(event.Pace{})
	times := func(share float64, usual int) *int { return whole(share * float64(usual)) }
	in := min(event.MaxStepSeconds, math.Floor(p.PerStepIn))
	out := event.Pace{
		SettleSeconds: whole(p.Settle), PerStepInSeconds: whole(in), PerStepOutSeconds: atMost(p.PerStepOut, event.MaxStepSeconds),
		FreshSeconds: whole(p.Fresh), PerFrameSeconds: atMost(p.PerFrame, event.MaxFrameSeconds),
		ElderSeconds: times(p.Slow, usual.Elder), ChildSeconds: times(p.Slow, usual.Child),
		InfantSeconds: times(p.Slow, usual.Infant), WheelchairSeconds: times(p.Slow, usual.Wheelchair),
		FetchSeconds: times(p.Gather, usual.Fetch),
	}
	for _, point := range usual.Arrange {
		seconds := p.Arrange*float64(point.Seconds) + (p.PerStepIn-in)*float64(point.Newcomers)
		out.Arrange = append(out.Arrange, event.ArrangePoint{Newcomers: point.Newcomers, Seconds: *whole(seconds)})
	}
	return out
}

// byPace is what an event with fitted parameters, rounded as they are written, says of a slot.
func byPace(p pace.Parameters, o pace.Observed) float64 {
	m := model.NewMinutes(written(p))
	sum := m.Settle + m.PerStepIn*o.In + m.PerStepOut*o.Out + m.PerFrame*o.Frames + m.ArrangeSeconds(o.In)
	if o.Fresh {
		sum += m.Fresh
	}
	return float64(sum) + math.Round(p.Slow*o.Slow) + math.Round(p.Gather*o.Gather)
}

// parametersOf lists what was fitted.
func parametersOf(f pace.Fitted) []event.PaceParameter {
	usual := usualPace()
	list := []event.PaceParameter{
		{Name: "settle", Value: f.Settle, Deviation: f.Deviation.Settle, Usual: usual.Settle},
		{Name: "perStepIn", Value: f.PerStepIn, Deviation: f.Deviation.PerStepIn, Usual: usual.PerStepIn},
		{Name: "perStepOut", Value: f.PerStepOut, Deviation: f.Deviation.PerStepOut, Usual: usual.PerStepOut},
		{Name: "fresh", Value: f.Fresh, Deviation: f.Deviation.Fresh, Usual: usual.Fresh},
		{Name: "perFrame", Value: f.PerFrame, Deviation: f.Deviation.PerFrame, Usual: usual.PerFrame},
		{Name: "arrange", Value: f.Arrange, Deviation: f.Deviation.Arrange, Usual: usual.Arrange},
		{Name: "slow", Value: f.Slow, Deviation: f.Deviation.Slow, Usual: usual.Slow},
		{Name: "gather", Value: f.Gather, Deviation: f.Deviation.Gather, Usual: usual.Gather},
	}
	for i := range list {
		p := &list[i]
		p.Value, p.Deviation, p.Learned = math.Round(p.Value*100)/100, math.Round(p.Deviation*100)/100, f.Informed[i]
	}
	return list
}

// paceText says what was found.
func paceText(s event.StudioPace) string {
	text := fmt.Sprintf("Fitted to %s of %s", counted(s.Photographs, "photograph", "photographs"), counted(s.Events, "event", "events"))
	if s.SetAside > 0 {
		text += fmt.Sprintf("; %d set aside, as after a break", s.SetAside)
	}
	text += ". "
	if s.After == nil {
		return text + fmt.Sprintf("Not tried on an event that it had not seen: that takes two events, with %d photographs beside each.", s.LeastPhotographs)
	}
	text += fmt.Sprintf("On events that it had not seen, a photograph was off by %.0f s on average instead of %.0f s with the usual pace, a whole event by %.1f min instead of %.1f min.",
		s.After.PhotographSeconds, s.Before.PhotographSeconds, s.After.EventSeconds/60, s.Before.EventSeconds/60)
	if s.After.PhotographSeconds >= s.Before.PhotographSeconds && s.After.EventSeconds >= s.Before.EventSeconds {
		text += " That is no better: keep the usual pace until there are more runs."
	}
	return text
}
