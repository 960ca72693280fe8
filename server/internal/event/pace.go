package event

import "reflect"

// The largest values of a pace in seconds: in general, for each person who steps in or out, and for each frame. Even
// with all of them at their limits, a photograph takes less than the week that a day may last.
const (
	MaxPaceSeconds  = 3600
	MaxStepSeconds  = 60
	MaxFrameSeconds = 120
)

// Pace holds the seconds of the minutes model that differ from the defaults; nil means default.
type Pace struct {
	SettleSeconds     *int
	PerStepInSeconds  *int
	PerStepOutSeconds *int
	FreshSeconds      *int
	Arrange           []ArrangePoint // empty means the default table
	PerFrameSeconds   *int
	ElderSeconds      *int
	ChildSeconds      *int
	InfantSeconds     *int
	WheelchairSeconds *int
	OpeningSeconds    *int
	FetchSeconds      *int
	Calling           Calling
	Frames            []FramesPoint // empty means as many as blinks ask for
	FramesConfidence  *int          // percent
	SlotSpreadPercent *int          // of the time of one grouping
	DaySpreadPercent  *int          // of a whole day
}

// Calling says who gathers people.
type Calling int

// The callings. The zero value is the photographer, who has other things to do.
const (
	PhotographerCalls Calling = iota
	CallerCalls
	EverybodyWaits
)

// ArrangePoint says how long it takes to place a number of newcomers.
type ArrangePoint struct{ Newcomers, Seconds int }

// FramesPoint says how many frames are taken from a number of people upwards.
type FramesPoint struct{ People, Frames int }

// StudioPace is how long photographs take with one studio, fitted to days that were gone through. It
// holds no names.
type StudioPace struct {
	// Pace is for events; empty when there was too little to fit to.
	Pace Pace
	// Photographs and Events count what was measured. SetAside are photographs so far off, as after
	// a break, that they had less than half their say or none.
	Photographs, Events, SetAside int
	// LeastPhotographs is the least number that is fitted to.
	LeastPhotographs int
	Parameters       []PaceParameter
	// Before and After say how far off the usual pace and the fitted one were on events that the
	// fit had not seen; nil when there were too few to hold one out.
	Before, After *PaceError
	HeldOut       int // events, one at a time; of more than 20, in 20 groups
	Text          string
}

// PaceParameter is one number of the minutes model, in seconds; arrange, slow and gather are factors.
type PaceParameter struct {
	Name                    string
	Value, Deviation, Usual float64
	Learned                 bool // the photographs speak, and not the usual value
}

// PaceError is the average size of errors, in seconds.
type PaceError struct{ PhotographSeconds, EventSeconds float64 }

// With returns the pace with what it does not say itself taken from another.
func (p Pace) With(other Pace) Pace {
	own, from := reflect.ValueOf(&p).Elem(), reflect.ValueOf(other)
	for i := range own.NumField() {
		f := own.Field(i)
		if f.IsZero() || f.Kind() == reflect.Slice && f.Len() == 0 {
			f.Set(from.Field(i))
		}
	}
	return p
}
