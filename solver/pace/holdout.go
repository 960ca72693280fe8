package pace

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// Errors says how far a model was off, in seconds.
type Errors struct {
	// Slot is the average size of the error of a slot.
	Slot float64
	// Event is the average size of the error of a whole event's slots together.
	Event float64
}

// Validation compares the prior with a fit on events that the fit has not seen.
type Validation struct {
	Before, After Errors
	// Events is how many were held out, one at a time; of more than 20, in 20 groups, of more than 5000 slots in
	// fewer.
	Events int
}

// maxGroups keeps the number of fits within bounds, and maxFitted the slots that all of them go through.
const (
	maxGroups = 20
	maxFitted = 100_000
)

// HoldOut fits without each event in turn and tells the errors on that event by the prior and by the
// fit. says is how fitted parameters are turned into the seconds of a slot, for those who round them; nil
// means Parameters.Seconds. It needs two events, and MinSlots slots beside each of them; otherwise the error wraps
// ErrTooFew. When ctx ends first the error wraps that of ctx.
func HoldOut(ctx context.Context, slots []Observed, prior Parameters, says func(Parameters, Observed) float64) (Validation, error) {
	if says == nil {
		says = Parameters.Seconds
	}
	if err := checkFit(slots, prior); err != nil {
		return Validation{}, err
	}
	var events []int
	for _, o := range slots {
		if !slices.Contains(events, o.Event) {
			events = append(events, o.Event)
		}
	}
	slices.Sort(events)
	if len(events) < 2 {
		return Validation{}, fmt.Errorf("%w: %d events, want at least 2 to hold one out", ErrTooFew, len(events))
	}
	v := Validation{Events: len(events)}
	groups := min(len(events), max(2, min(maxGroups, maxFitted/len(slots))))
	of := map[int]int{} // the group of an event
	for i, event := range events {
		of[event] = i % groups
	}
	fits := make([]Fitted, groups)
	for group := range fits {
		kept := slices.DeleteFunc(slices.Clone(slots), func(o Observed) bool { return of[o.Event] == group })
		var err error
		if fits[group], err = Fit(ctx, kept, prior); err != nil {
			return Validation{}, fmt.Errorf("without event %d: %w", events[group], err)
		}
	}
	for _, event := range events {
		held := slices.DeleteFunc(slices.Clone(slots), func(o Observed) bool { return o.Event != event })
		fitted := fits[of[event]]
		v.Before.add(prior, Parameters.Seconds, held, len(slots), len(events))
		v.After.add(fitted.Parameters, says, held, len(slots), len(events))
	}
	return v, nil
}

// add adds the shares of one held-out event to the averages.
func (e *Errors) add(p Parameters, says func(Parameters, Observed) float64, held []Observed, slots, events int) {
	var whole float64
	for _, o := range held {
		off := o.Seconds - says(p, o)
		e.Slot += math.Abs(off) / float64(slots)
		whole += off
	}
	e.Event += math.Abs(whole) / float64(events)
}
