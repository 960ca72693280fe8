package model

import (
	"slices"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/kin"
)

// The defaults of the cost, in person-seconds per step-in and in weights per second. Common
// practice, no source; they hold as long as balanced orders of published lists cost at most about
// 15 % more step-ins than the fewest (15 % on average and no list above 30 %), no more than the published
// order did, and let elders go no later than it, which the tests check.
const (
	defaultStepWeight    = 700
	defaultReleaseAdult  = 1
	defaultReleaseChild  = 4
	defaultReleaseInfant = 8
	defaultReleaseElder  = 8
	defaultReleaseNeed   = 2
	defaultIdle          = 2
)

// How many step-ins more than one those of somebody in a wheelchair, and of others who get up slowly, count as.
// Common practice, no source.
const (
	extraWheelchair = 5
	extraSlow       = 1
)

// Somebody who is in most photographs stays to the end anyway: from this share of at least
// nearlyAllFrom photographs a person has no weight unless the event gives one.
const (
	nearlyAllNumerator, nearlyAllDenominator = 3, 5
	nearlyAllFrom                            = 4
)

// costWeights is the cost of an event with the defaults filled in.
type costWeights struct {
	step                                                    int
	releaseAdult, releaseChild, releaseInfant, releaseElder int
	releaseNeed, idle                                       int
}

func newCostWeights(w event.Weights) costWeights {
	return costWeights{
		step:          valueOr(w.Step, defaultStepWeight),
		releaseAdult:  valueOr(w.ReleaseAdult, defaultReleaseAdult),
		releaseChild:  valueOr(w.ReleaseChild, defaultReleaseChild),
		releaseInfant: valueOr(w.ReleaseInfant, defaultReleaseInfant),
		releaseElder:  valueOr(w.ReleaseElder, defaultReleaseElder),
		releaseNeed:   valueOr(w.ReleaseNeed, defaultReleaseNeed),
		idle:          valueOr(w.Idle, defaultIdle),
	}
}

// frailFrom is the age in years above which nobody is kept standing about, and frailTimes how often whoever is
// that old, in a wheelchair, or an elder with a need counts as an elder does: they are early within their side.
// Common practice, no source.
const (
	frailFrom  = 80
	frailTimes = 2
)

// frail reads the age in the words of the relation or the note, "grandmother, 82".
func frail(p event.Person) bool {
	return slices.Contains(p.Needs, event.Wheelchair) || p.AgeBand == event.Elder && hasBodilyNeed(p) ||
		max(kin.ReadRemarks(p.Relation).Age, kin.ReadRemarks(p.PrivateNote).Age) > frailFrom
}

// Tires says that a person should not wait or stand for long.
func Tires(p event.Person) bool {
	return p.AgeBand != event.Adult || hasBodilyNeed(p) || frail(p)
}

// hasBodilyNeed leaves out the interpreter: a person who needs one does not tire sooner.
func hasBodilyNeed(p event.Person) bool {
	for _, need := range p.Needs {
		if need != event.Interpreter {
			return true
		}
	}
	return false
}

// of returns the release and idle weights of a person who is in some of all photographs. Under
// early release only those who tire count.
func (w costWeights) of(p event.Person, in, all int, emphasis event.Emphasis) (release, idle int64) {
	if p.ReleaseWeight != nil {
		release = int64(*p.ReleaseWeight)
	} else {
		release = int64(w.byAge(p))
	}
	if Tires(p) {
		idle = int64(w.idle)
	}
	if everywhere(in, all) {
		idle = 0
		if p.ReleaseWeight == nil {
			release = 0
		}
	}
	if emphasis == event.EarlyRelease && !Tires(p) && p.ReleaseWeight == nil {
		release = 0
	}
	return release, idle
}

// everywhere says that somebody is in most photographs.
func everywhere(in, all int) bool {
	return all >= nearlyAllFrom && in*nearlyAllDenominator >= all*nearlyAllNumerator
}

// extraSteps is how many step-ins more than one a step-in of somebody counts as where step-ins are weighed. Whoever is in
// most photographs stands beside the camera anyway and steps in for nothing; a wheelchair or an elder is not sent out
// and fetched back for the sake of others who walk.
func extraSteps(p event.Person, in, all int, emphasis event.Emphasis) int {
	switch {
	case emphasis == event.FewestSteps || emphasis == event.EarlyRelease:
		return 0
	case slices.Contains(p.Needs, event.Wheelchair):
		return extraWheelchair
	case p.AgeBand == event.Elder || hasBodilyNeed(p):
		return extraSlow
	case everywhere(in, all):
		return -1
	}
	return 0
}

func (w costWeights) byAge(p event.Person) int {
	weight := w.releaseAdult
	switch p.AgeBand {
	case event.Elder:
		weight = w.releaseElder
	case event.Child:
		weight = w.releaseChild
	case event.Infant:
		weight = w.releaseInfant
	}
	if hasBodilyNeed(p) {
		weight += w.releaseNeed
	}
	if frail(p) {
		weight = max(weight, frailTimes*w.releaseElder)
	}
	return weight
}
