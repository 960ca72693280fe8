// Package event holds the domain of kinorder: the people of a day, the group photographs they are
// wanted for, the call sheet that comes out, and the rules an event must obey. It knows no
// transport, file format or storage, and it does not plan.
package event

// Event is one day as the planner describes it. Until check.Event has found no Error, nothing about
// it is certain: ids may be missing or duplicated, or refer to nothing.
type Event struct {
	Title     string
	Date      string // local date, YYYY-MM-DD
	TimeZone  string // IANA name; empty means UTC
	Sides     []Side
	People    []Person
	Circles   []Circle
	Groupings []Grouping // in the order in which they were asked for
	Blocks    []Block
	Rules     []Rule
	Walks     []Walk
	Pace      Pace
	Weights   Weights
	Emphasis  Emphasis
	// Confidence is the share of days in percent on which safe times are kept; 0 means 80.
	Confidence int
	Fit        Fit
	// Latitude and Longitude are where the day is, in degrees north and east; nil means not known.
	Latitude, Longitude *float64
	Kit                 Kit
	Honour              []string    // ids of the people the day is about; if empty, relations tell
	Order               []HandPlace // made by hand
	LeftOut             []string    // ids of groupings left out by hand
}

// HandPlace is where somebody has put a grouping.
type HandPlace struct {
	Grouping string
	Block    string // empty means that of the place before; of the first place, the first block
	Locked   bool   // planning moves only the others
}

// Sureness returns the confidence, 80 percent where the event gives none.
func (e Event) Sureness() int {
	if e.Confidence == 0 {
		return usualConfidence
	}
	return e.Confidence
}

// usualConfidence is common practice, no source.
const usualConfidence = 80

// Side is one of the families or groups of an event.
type Side struct {
	ID    string
	Label string
}

// Emphasis picks what the order favours.
type Emphasis int

// The emphases. The zero value is Balanced.
const (
	Balanced Emphasis = iota
	FewestSteps
	EarlyRelease
)

// Fit says what has to be inside a block for its groupings to fit.
type Fit int

// The fits. The zero value is Likely.
const (
	Likely Fit = iota
	Safe
)

// Weights holds the weights of the cost that differ from the defaults; nil means default.
type Weights struct {
	Step          *int
	ReleaseAdult  *int
	ReleaseChild  *int
	ReleaseInfant *int
	ReleaseElder  *int
	ReleaseNeed   *int
	Idle          *int
}
