package solver

import (
	"errors"
	"fmt"
	"slices"
)

// PersonIndex numbers a person of a problem from 0. Names stay with the caller.
type PersonIndex int32

// GroupingIndex numbers a grouping of a problem from 0.
type GroupingIndex int32

// Seconds is a span of whole seconds.
type Seconds = int64

// Limits of a problem. They are far above any real event; they keep every sum of costs inside an
// int64 and every table inside memory.
const (
	MaxGroupings = 2000
	MaxPeople    = 20000
	MaxSeconds   = 7 * 24 * 3600
	MaxWeight    = 10000
	MaxExtra     = 100
)

// Person is one guest as the solver sees one.
type Person struct {
	// ReleaseWeight is the cost of each second until the person's last grouping is finished.
	ReleaseWeight int64
	// IdleWeight is the cost of each second between the first call and the release that the
	// person spends out of the frame.
	IdleWeight int64
	// Slow is the extra time, in seconds, that a changeover takes when this person walks in.
	// Only the slowest person walking in counts.
	Slow Seconds
	// Extra is how many step-ins more than one each of theirs counts as; -1 for somebody who steps in for nothing.
	Extra int
	// Led says that somebody else sees to it that this person is there: Timing.Gather does not count them.
	Led bool
	// Started says that the person's first call came before this problem begins (an earlier
	// block, or groupings already taken), so idle time runs from time 0.
	Started bool
	// Stays says that the person has a grouping after this problem ends: the person is not
	// released in it (ReleaseWeight does not count) and idle time runs to its end.
	Stays bool
}

// Pin holds a grouping at an end of the order. Several may share an end; they fill it in any order.
type Pin uint8

// The ends a grouping can be pinned to.
const (
	PinNone Pin = iota
	PinFirst
	PinLast
)

// Window is a stretch of time [Open, Close] in seconds from the start of the problem. A slot,
// its changeover included, must lie inside one of its grouping's windows.
type Window struct{ Open, Close Seconds }

// Grouping is one requested group photograph.
type Grouping struct {
	// Members are the people in the frame, each once, in any order.
	Members []PersonIndex
	// Guests are people without a number who walk in for this grouping and out after it. They take time and
	// are no step-ins.
	Guests int
	// ReleaseWeight is the cost of each second until the grouping is finished, beside that of its members: of those
	// without a number who wait for it.
	ReleaseWeight int64
	// Shoot is the time in seconds for the frames of this grouping, once everybody stands.
	Shoot Seconds
	// Fixed, when above 0, is the whole slot in seconds, changeover included, whatever came before.
	Fixed Seconds
	// After lists groupings that must be taken earlier.
	After []GroupingIndex
	// Pin holds the grouping at an end of the order.
	Pin Pin
	// Windows are the times at which it can be taken, sorted and disjoint. None means any time.
	Windows []Window
}

// Timing turns a change of people into seconds. For neighbours i and j in the order, with
// in = |j∖i| + Guests(j), out = |i∖j| + Guests(i), and called those of in who are not Led:
//
//	slot(i, j) = Fixed(j)                                                       if Fixed(j) > 0
//	slot(i, j) = Settle + PerStepIn·in + PerStepOut·out + slowest(j∖i) + Gather(called)
//	           + Arrange(in) + (Fresh if i∩j is empty) + Shoot(j)               otherwise
//
// The first grouping follows the start frame, which is empty unless the problem gives one, and takes
// Spec.Opening longer.
type Timing struct {
	Settle     Seconds
	PerStepIn  Seconds
	PerStepOut Seconds
	// Fresh is added when nobody of the frame before stays: the picture is built from nothing.
	Fresh Seconds
	// Arrange is the time to place newcomers: Arrange[n] for n of them, the last entry for
	// more. Empty means 0.
	Arrange []Seconds
	// Gather is the time until those who were called are there, read as Arrange is.
	Gather []Seconds
}

// read returns what a table of seconds by number of people has for n of them.
func read(table []Seconds, n int) Seconds {
	if len(table) == 0 {
		return 0
	}
	return table[min(n, len(table)-1)]
}

// Emphasis picks how the parts of the cost are traded.
type Emphasis uint8

const (
	// Balanced minimises StepWeight·step-ins + release + idle.
	Balanced Emphasis = iota
	// FewestSteps minimises step-ins; among those orders, release + idle.
	FewestSteps
	// EarlyRelease minimises the weighted release; among those orders, step-ins. Idle is not counted.
	EarlyRelease
)

// Spec describes one block for NewProblem. The zero value of every optional field means "no such
// wish".
type Spec struct {
	People    []Person
	Groupings []Grouping
	Timing    Timing
	Emphasis  Emphasis
	// StepWeight is the cost of one step-in in person-seconds, for Balanced.
	StepWeight int64
	// Opening is the time in seconds that the first slot takes longer, a Fixed one too.
	Opening Seconds
	// Frame lists who stands in the frame when the problem begins.
	Frame []PersonIndex
	// FrameGuests are people without a number who stand there too and walk out.
	FrameGuests int
	// Prefix must open the order, in this sequence (groupings already standing by).
	Prefix []GroupingIndex
	// Together lists sets of groupings; each must be taken in one unbroken run, in any order.
	// The sets are disjoint.
	Together [][]GroupingIndex
	// Separate lists pairs of disjoint sets that must not interleave: all of one before any of
	// the other, whichever comes first.
	Separate [][2][]GroupingIndex
	// Close, when above 0, is the time by which every slot must have ended.
	Close Seconds
}

// Problem is a validated, immutable Spec. It is safe for use by several goroutines.
type Problem struct {
	spec Spec
	// slots[(i+1)*n+j] is slot(i, j); row 0 follows the start frame.
	// Invariant: every entry is >= 0.
	slots []Seconds
	// stepIns[(i+1)*n+j] is the weight of j∖i, row 0 after the start frame.
	stepIns []int32
	// crowds are the people of every grouping, and led those who need no call.
	crowds []crowd
	led    []uint64
	// scale holds the integer weights that make the emphasis one sum.
	scale scale
}

// Cost is a cost by part.
type Cost struct {
	// StepIns counts people walking into the frame, each with their Extra.
	StepIns int64
	// Release is Σ ReleaseWeight · release time, in weighted person-seconds.
	Release int64
	// Idle is Σ IdleWeight · idle time, in weighted person-seconds.
	Idle int64
}

// scale weighs the parts of a Cost so that one integer orders costs as the emphasis does.
type scale struct{ steps, release, idle int64 }

func (s scale) total(c Cost) int64 {
	return s.steps*c.StepIns + s.release*c.Release + s.idle*c.Idle
}

// ErrInvalid is wrapped by every error of NewProblem.
var ErrInvalid = errors.New("invalid problem")

// Groupings returns the number of groupings.
func (p *Problem) Groupings() int { return len(p.spec.Groupings) }

// Slot returns the seconds that grouping j takes right after i, its changeover included; i = -1
// means the start frame. Waiting for a window comes on top.
func (p *Problem) Slot(i, j GroupingIndex) Seconds {
	return p.slots[(int(i)+1)*len(p.spec.Groupings)+int(j)]
}

// StepIns returns the step-ins of those who walk in for j right after i, each with their Extra; i = -1 means the start
// frame.
func (p *Problem) StepIns(i, j GroupingIndex) int {
	return int(p.stepIns[(int(i)+1)*len(p.spec.Groupings)+int(j)])
}

// Total folds a cost into the single integer that the emphasis minimises. For Balanced it is in
// person-seconds. For the two lexicographic emphases the first part is multiplied by a number
// larger than any value of the second.
func (p *Problem) Total(c Cost) int64 { return p.scale.total(c) }

// StepInsOf returns the step-ins of a total of FewestSteps, rounded down: k step-ins have totals from k times their
// weight to less than k+1 times, so from a lower bound on the total it makes one on step-ins. It returns 0 for other
// emphases.
func (p *Problem) StepInsOf(total int64) int64 {
	if p.spec.Emphasis != FewestSteps || total <= 0 {
		return 0
	}
	return total / p.scale.steps
}

// NewProblem validates a description and computes what every search needs. The description is
// copied. Its errors wrap ErrInvalid and name the field by its path.
func NewProblem(in Spec) (*Problem, error) {
	p := &Problem{spec: cloneSpec(in)}
	if err := p.spec.validate(); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	p.fillSlots()
	s, err := p.spec.newScale(p.longest())
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	p.scale = s
	return p, nil
}

func cloneSpec(in Spec) Spec {
	out := in
	out.People = slices.Clone(in.People)
	out.Groupings = slices.Clone(in.Groupings)
	for i := range out.Groupings {
		g := &out.Groupings[i]
		g.Members = slices.Clone(g.Members)
		slices.Sort(g.Members)
		g.After = slices.Clone(g.After)
		g.Windows = slices.Clone(g.Windows)
	}
	out.Timing.Arrange = slices.Clone(in.Timing.Arrange)
	out.Timing.Gather = slices.Clone(in.Timing.Gather)
	out.Frame = slices.Clone(in.Frame)
	slices.Sort(out.Frame)
	out.Prefix = slices.Clone(in.Prefix)
	out.Together = slices.Clone(in.Together)
	for i := range out.Together {
		out.Together[i] = slices.Clone(out.Together[i])
	}
	out.Separate = slices.Clone(in.Separate)
	for i := range out.Separate {
		out.Separate[i] = [2][]GroupingIndex{slices.Clone(in.Separate[i][0]), slices.Clone(in.Separate[i][1])}
	}
	return out
}

// longest returns a time that no order without needless waiting ends after.
func (p *Problem) longest() Seconds {
	n := len(p.spec.Groupings)
	var sum, last Seconds
	for j := range n {
		var worst Seconds
		for i := 0; i <= n; i++ {
			worst = max(worst, p.slots[i*n+j])
		}
		sum += worst
		for _, w := range p.spec.Groupings[j].Windows {
			last = max(last, w.Open)
		}
	}
	return sum + last
}

// newScale makes one integer of the emphasis and refuses weights whose sums could overflow.
func (s Spec) newScale(longest Seconds) (scale, error) {
	var weights, idle int64
	for _, q := range s.People {
		weights += q.ReleaseWeight
		idle += q.IdleWeight
	}
	var steps int64
	for _, g := range s.Groupings {
		steps += s.stepsOf(g.Members)
		weights += g.ReleaseWeight
	}
	const most = int64(1) << 61
	if longest > 0 && weights+idle > most/4/longest {
		return scale{}, errors.New("weights: release and idle weights times the length of the block are too large")
	}
	time := (weights + idle) * longest
	switch s.Emphasis {
	case FewestSteps:
		if steps > 0 && time+1 > most/2/steps {
			return scale{}, errors.New("weights: too large for a lexicographic emphasis")
		}
		return scale{steps: time + 1, release: 1, idle: 1}, nil
	case EarlyRelease:
		if time > 0 && steps+1 > most/2/time {
			return scale{}, errors.New("weights: too large for a lexicographic emphasis")
		}
		return scale{steps: 1, release: steps + 1}, nil
	default:
		if steps > 0 && s.StepWeight > most/4/steps {
			return scale{}, errors.New("step weight: too large")
		}
		return scale{steps: s.StepWeight, release: 1, idle: 1}, nil
	}
}
