package day

import (
	"errors"
	"fmt"
	"slices"
	"sync"

	"kinorder.example/solver"
)

// BlockIndex numbers a block of a day from 0.
type BlockIndex int32

// nowhere is the block of a grouping that is left out.
const nowhere BlockIndex = -1

// MaxTier is the highest tier. MaxWorth keeps sums of worth small.
const (
	MaxTier  = 3
	MaxWorth = 1_000_000 * WorthOfOne
)

// Block is a stretch of time at a place with a photographer.
type Block struct {
	// Open is when the first changeover can begin, in seconds from the origin of the day.
	Open solver.Seconds
	// Close is when the last slot must have ended; 0 means open-ended.
	Close solver.Seconds
	// Place indexes Spec.Walk.
	Place int
	// Photographer numbers who takes the photographs. Blocks of one photographer never run at
	// the same time, and the photographer walks from one to the next as guests do.
	Photographer int
	// Opening is the time in seconds that the first slot takes longer.
	Opening solver.Seconds
	// Frame lists who stands in the frame when the block begins.
	Frame []solver.PersonIndex
	// FrameGuests are people without a number who stand there too.
	FrameGuests int
	// Prefix must open the block, in this sequence. A grouping stands in one prefix at most.
	Prefix []solver.GroupingIndex
}

// Grouping is a grouping of a day. Windows are in seconds from the origin of the day and After may
// name groupings of other blocks; one that is left out holds nobody up.
type Grouping struct {
	solver.Grouping
	// Tier says what is given up first: a higher tier before a lower one. 0 to MaxTier.
	Tier int
	// Keep says that it is given up after all others, whatever they are worth.
	Keep bool
	// Like numbers photographs from 1: groupings with the same number are almost the same one, and their guests the
	// same people. 0 is like no other.
	Like int
	// Worth, above 0, is what it is worth in place of what its people bring, in parts of WorthOfOne, up to MaxWorth.
	Worth int64
	// Bonus is what it is worth beside its people, once for all that are like it, in the same parts and bounds.
	Bonus int64
	// Series numbers photographs that people compare, from 1; 0 is none. When all of a number are taken, it is worth
	// the sum of their Gain besides, in the same parts and bounds.
	Series int
	Gain   int64
	// Blocks are those in which it may be taken. None means it cannot be taken.
	Blocks []BlockIndex
	// From, where given, has for each block when it can begin there at the earliest: somebody may still
	// be on the way.
	From []solver.Seconds
	// Near are people who are at hand during the slot without being in the frame. They cannot be
	// in another block at that time.
	Near []solver.PersonIndex
}

// KeptApart says that two sets of groupings must not bring people together. Of slots that start
// before Until, one of A and one of B are never in one block, and in two blocks at one place they
// are at least Spec.Handover apart. A grouping in both sets starts at Until at the earliest, and is
// left out where that is solver.MaxSeconds.
type KeptApart struct {
	A, B  []solver.GroupingIndex
	Until solver.Seconds
}

// Spec describes a day for New.
type Spec struct {
	// People must neither be Started nor Stay unless there is one block only.
	People []solver.Person
	// Worths says by person what it is worth that they are seen for the first time, in parts of WorthOfOne and
	// up to MaxWorth. None means WorthOfOne for everybody.
	Worths    []int64
	Groupings []Grouping
	Blocks    []Block
	// Walk holds the seconds from place to place; nil means 0 everywhere.
	Walk       [][]solver.Seconds
	Timing     solver.Timing
	Emphasis   solver.Emphasis
	StepWeight int64
	// Together lists disjoint sets; those of a set that are in one block form one unbroken run.
	Together [][]solver.GroupingIndex
	// Turns lists pairs of disjoint sets: all of one are over before any of the other begins.
	Turns [][2][]solver.GroupingIndex
	// Ranks lists pairs: in one block, the first comes before the second.
	Ranks [][2]solver.GroupingIndex
	// Apart lists who must not meet.
	Apart []KeptApart
	// Handover is the least time in seconds between slots at one place of people kept apart.
	Handover solver.Seconds
}

// Problem is a validated, immutable Spec. It is safe for use by several goroutines.
type Problem struct {
	spec Spec
	// flat is one block over all groupings, for slots and step-ins between any two.
	flat *solver.Problem
	// first[b] gives the same for the first grouping of block b.
	first []solver.Row
	// sequence lists the blocks in the order in which they open.
	sequence []BlockIndex
	// leastSlot[g] is the least time of a grouping after any other or an empty frame.
	leastSlot []solver.Seconds
	// notBefore[g][b] is when g can begin in block b: From, and when people kept apart who are both in
	// g may meet.
	notBefore [][]solver.Seconds
	// possible[g] are the allowed blocks of g in which it fits if the block takes nothing else.
	possible [][]BlockIndex
	scale    scale
	likeness likeness
	// whole is lost when nothing is taken.
	whole  Lost
	wishes wishes
	// decoders are those of Fix: callers time thousands of orders.
	decoders sync.Pool
}

// ErrInvalid is wrapped by every error of New.
var ErrInvalid = errors.New("invalid day")

// New validates a description. It keeps references to its slices, which must not change any more.
func New(spec Spec) (*Problem, error) {
	p := &Problem{spec: spec}
	if err := p.validate(); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	var err error
	if p.flat, err = solver.NewProblem(p.flatSpec()); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	p.first = make([]solver.Row, len(spec.Blocks))
	for b, block := range spec.Blocks {
		if p.first[b], err = p.flat.After(block.Frame, block.FrameGuests); err != nil {
			return nil, fmt.Errorf("%w: blocks[%d]: %w", ErrInvalid, b, err)
		}
		for j := range p.first[b].Slots {
			p.first[b].Slots[j] += block.Opening
		}
		p.sequence = append(p.sequence, BlockIndex(b))
	}
	slices.SortStableFunc(p.sequence, func(a, b BlockIndex) int {
		return int(spec.Blocks[a].Open - spec.Blocks[b].Open)
	})
	p.fillLeastSlots()
	p.fillNotBefore()
	p.possible = make([][]BlockIndex, len(spec.Groupings))
	for g, w := range spec.Groupings {
		for _, b := range w.Blocks {
			if _, fits := p.endAlone(solver.GroupingIndex(g), b); fits {
				p.possible[g] = append(p.possible[g], b)
			}
		}
	}
	p.likeness = newLikeness(&p.spec)
	p.whole = p.wholeWorth()
	p.wishes = newWishes(&p.spec)
	p.scale, err = p.newScale()
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	return p, nil
}

// flatSpec is one block over all groupings without any wish. Windows change nothing of it, but are checked.
func (p *Problem) flatSpec() solver.Spec {
	flat := solver.Spec{
		People:     p.spec.People,
		Timing:     p.spec.Timing,
		Emphasis:   p.spec.Emphasis,
		StepWeight: p.spec.StepWeight,
	}
	for _, g := range p.spec.Groupings {
		flat.Groupings = append(flat.Groupings, solver.Grouping{Members: g.Members, Guests: g.Guests, ReleaseWeight: g.ReleaseWeight, Shoot: g.Shoot, Fixed: g.Fixed, Windows: g.Windows})
	}
	return flat
}

func (p *Problem) validate() error {
	if err := p.validateBlocks(); err != nil {
		return err
	}
	for i, g := range p.spec.Groupings {
		if err := p.validateGrouping(i, g); err != nil {
			return err
		}
	}
	return p.validateReferences()
}

// validateBlocks checks blocks, the ways between them, and what people may not do in several.
func (p *Problem) validateBlocks() error {
	s := &p.spec
	if len(s.Blocks) == 0 {
		return errors.New("blocks: none given")
	}
	places := 0
	for b, block := range s.Blocks {
		if block.Open < 0 || block.Open > solver.MaxSeconds || block.Close < 0 || block.Close > solver.MaxSeconds {
			return fmt.Errorf("blocks[%d]: times are outside 0 to %d", b, int64(solver.MaxSeconds))
		}
		if block.Close > 0 && block.Close < block.Open {
			return fmt.Errorf("blocks[%d]: closes before it opens", b)
		}
		if block.Opening < 0 || block.Opening > solver.MaxSeconds {
			return fmt.Errorf("blocks[%d].opening: outside 0 to %d", b, int64(solver.MaxSeconds))
		}
		if block.Place < 0 {
			return fmt.Errorf("blocks[%d].place: below 0", b)
		}
		places = max(places, block.Place+1)
	}
	if s.Walk != nil && len(s.Walk) < places {
		return errors.New("walk: a place is missing")
	}
	for i, row := range s.Walk {
		if len(row) < places {
			return fmt.Errorf("walk[%d]: a place is missing", i)
		}
	}
	if len(s.Blocks) > 1 {
		for i, q := range s.People {
			if q.Started || q.Stays {
				return fmt.Errorf("people[%d]: started or stays in a day of several blocks", i)
			}
		}
	}
	return nil
}

func (p *Problem) validateGrouping(i int, g Grouping) error {
	s := &p.spec
	if g.Tier < 0 || g.Tier > MaxTier {
		return fmt.Errorf("groupings[%d].tier: outside 0 to %d", i, MaxTier)
	}
	if g.Worth < 0 || g.Worth > MaxWorth || g.Bonus < 0 || g.Bonus > MaxWorth ||
		g.Gain < 0 || g.Gain > MaxWorth || g.Like < 0 || g.Series < 0 {
		return fmt.Errorf("groupings[%d]: worth, bonus, gain, like or series is outside its range", i)
	}
	for _, b := range g.Blocks {
		if b < 0 || int(b) >= len(s.Blocks) {
			return fmt.Errorf("groupings[%d].blocks: no block %d", i, b)
		}
	}
	if len(g.From) > 0 && len(g.From) != len(s.Blocks) {
		return fmt.Errorf("groupings[%d].from: want one for each block", i)
	}
	for b, from := range g.From {
		if from < 0 || from > solver.MaxSeconds {
			return fmt.Errorf("groupings[%d].from[%d]: outside 0 to %d", i, b, int64(solver.MaxSeconds))
		}
	}
	for _, q := range g.Near {
		if q < 0 || int(q) >= len(s.People) {
			return fmt.Errorf("groupings[%d].near: no person %d", i, q)
		}
	}
	return nil
}

// validateReferences checks every grouping index of the wishes.
func (p *Problem) validateReferences() error {
	s := &p.spec
	var errs []error
	check := func(list []solver.GroupingIndex, path string, at int) {
		for _, g := range list {
			if g < 0 || int(g) >= len(s.Groupings) {
				errs = append(errs, fmt.Errorf(path+": no grouping %d", at, g))
			}
		}
	}
	for i, g := range s.Groupings {
		check(g.After, "groupings[%d].after", i)
	}
	opening := map[solver.GroupingIndex]bool{}
	for i, b := range s.Blocks {
		check(b.Prefix, "blocks[%d].prefix", i)
		for _, g := range b.Prefix {
			if opening[g] {
				errs = append(errs, fmt.Errorf("blocks[%d].prefix: grouping %d is named twice", i, g))
			}
			opening[g] = true
		}
	}
	for i, set := range s.Together {
		check(set, "together[%d]", i)
	}
	for i, pair := range s.Turns {
		check(pair[0], "turns[%d]", i)
		check(pair[1], "turns[%d]", i)
	}
	for i, pair := range s.Ranks {
		check(pair[:], "ranks[%d]", i)
	}
	if len(s.Worths) > 0 && len(s.Worths) != len(s.People) {
		errs = append(errs, errors.New("worths: want one for each person"))
	}
	for i, w := range s.Worths {
		if w < 0 || w > MaxWorth {
			errs = append(errs, fmt.Errorf("worths[%d]: outside its range", i))
		}
	}
	for i, a := range s.Apart {
		check(a.A, "apart[%d]", i)
		check(a.B, "apart[%d]", i)
	}
	return errors.Join(errs...)
}

func (p *Problem) fillNotBefore() {
	p.notBefore = make([][]solver.Seconds, len(p.spec.Groupings))
	for g, w := range p.spec.Groupings {
		p.notBefore[g] = make([]solver.Seconds, len(p.spec.Blocks))
		copy(p.notBefore[g], w.From)
	}
	for _, rule := range p.spec.Apart {
		for _, g := range rule.A {
			for b, from := range p.notBefore[g] {
				if slices.Contains(rule.B, g) {
					p.notBefore[g][b] = max(from, rule.Until)
				}
			}
		}
	}
}

func (p *Problem) fillLeastSlots() {
	n := len(p.spec.Groupings)
	p.leastSlot = make([]solver.Seconds, n)
	for j := range n {
		least := p.first[0].Slots[j]
		for _, first := range p.first {
			least = min(least, first.Slots[j])
		}
		for i := range n {
			if i != j {
				least = min(least, p.flat.Slot(solver.GroupingIndex(i), solver.GroupingIndex(j)))
			}
		}
		p.leastSlot[j] = least
	}
}

// endAlone is when a grouping would be over in a block that takes nothing else; false when it does
// not fit even so.
func (p *Problem) endAlone(g solver.GroupingIndex, b BlockIndex) (solver.Seconds, bool) {
	block, windows := p.spec.Blocks[b], p.spec.Groupings[g].Windows
	if len(windows) == 0 {
		windows = []solver.Window{{Open: 0, Close: solver.MaxSeconds}}
	}
	for _, w := range windows {
		end := max(w.Open, block.Open, p.notBefore[g][b]) + p.leastSlot[g]
		if end <= w.Close && (block.Close == 0 || end <= block.Close) {
			return end, true
		}
	}
	return 0, false
}

// earliestEnd is when a grouping could be over at the earliest; false when no block could take it.
func (p *Problem) earliestEnd(g solver.GroupingIndex) (solver.Seconds, bool) {
	var least solver.Seconds
	for k, b := range p.possible[g] {
		if end, _ := p.endAlone(g, b); k == 0 || end < least {
			least = end
		}
	}
	return least, len(p.possible[g]) > 0
}
