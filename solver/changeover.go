package solver

import (
	"cmp"
	"fmt"
	"math/bits"
	"slices"
)

// crowd is the people of one grouping. Problems hold 2,000 people and compare every two of 500 groupings, so people are
// compared 64 at a time.
type crowd struct {
	bits   []uint64
	slow   []PersonIndex // those with extra time, the slowest first
	uneven []PersonIndex // those whose step-ins do not count as one
}

func (p *Problem) crowdOf(members []PersonIndex) crowd {
	c := crowd{bits: make([]uint64, (len(p.spec.People)+63)/64)}
	for _, q := range members {
		c.bits[q>>6] |= 1 << (uint(q) & 63)
		if p.spec.People[q].Slow > 0 {
			c.slow = append(c.slow, q)
		}
		if p.spec.People[q].Extra != 0 {
			c.uneven = append(c.uneven, q)
		}
	}
	slices.SortFunc(c.slow, func(a, b PersonIndex) int { return cmp.Compare(p.spec.People[b].Slow, p.spec.People[a].Slow) })
	return c
}

// fillSlots computes the step-in and slot matrices from the members.
func (p *Problem) fillSlots() {
	n := len(p.spec.Groupings)
	p.slots = make([]Seconds, (n+1)*n)
	p.stepIns = make([]int32, (n+1)*n)
	p.led = make([]uint64, (len(p.spec.People)+63)/64)
	for q := range p.spec.People {
		if p.spec.People[q].Led {
			p.led[q>>6] |= 1 << (uint(q) & 63)
		}
	}
	for _, g := range p.spec.Groupings {
		p.crowds = append(p.crowds, p.crowdOf(g.Members))
	}
	p.fillRow(p.crowdOf(p.spec.Frame), len(p.spec.Frame)+p.spec.FrameGuests, p.slots[:n], p.stepIns[:n])
	for j := range n {
		p.slots[j] += p.spec.Opening
	}
	for i, g := range p.spec.Groupings {
		p.fillRow(p.crowds[i], len(g.Members)+g.Guests, p.slots[(i+1)*n:][:n], p.stepIns[(i+1)*n:][:n])
	}
}

// fillRow computes the slots and step-ins of all groupings after a frame of so many people, guests included.
func (p *Problem) fillRow(frame crowd, people int, slots []Seconds, stepIns []int32) {
	for j := range p.spec.Groupings {
		g := &p.spec.Groupings[j]
		c := change{called: g.Guests}
		for k, w := range p.crowds[j].bits {
			enter := w &^ frame.bits[k]
			c.in += bits.OnesCount64(enter)
			c.called += bits.OnesCount64(enter &^ p.led[k])
		}
		for _, q := range p.crowds[j].slow {
			if frame.bits[q>>6]>>(uint(q)&63)&1 == 0 {
				c.slowest = p.spec.People[q].Slow
				break
			}
		}
		stepIns[j] = int32(c.in)
		for _, q := range p.crowds[j].uneven {
			if frame.bits[q>>6]>>(uint(q)&63)&1 == 0 {
				stepIns[j] += int32(p.spec.People[q].Extra)
			}
		}
		c.stay = len(g.Members) - c.in
		c.in, c.out = c.in+g.Guests, people-c.stay
		slots[j] = p.spec.Timing.slot(g, c)
	}
}

// stepsOf is what it counts to have some people step in.
func (s *Spec) stepsOf(people []PersonIndex) int64 {
	steps := int64(len(people))
	for _, q := range people {
		steps += int64(s.People[q].Extra)
	}
	return steps
}

// Shared counts the people who are in both of two groupings.
func (p *Problem) Shared(i, j GroupingIndex) int {
	n := 0
	for k, w := range p.crowds[i].bits {
		n += bits.OnesCount64(w & p.crowds[j].bits[k])
	}
	return n
}

// Row is what every grouping takes right after one frame, by grouping.
type Row struct {
	Slots   []Seconds
	StepIns []int32
}

// After returns what every grouping takes when it is the first and other people stand in the frame than
// the Spec says, some of them without a number, and without the Opening. Its errors wrap ErrInvalid.
func (p *Problem) After(frame []PersonIndex, guests int) (Row, error) {
	if err := cmp.Or(p.spec.distinctPeople("frame", frame), inPeople(guests)); err != nil {
		return Row{}, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	n := len(p.spec.Groupings)
	row := Row{make([]Seconds, n), make([]int32, n)}
	p.fillRow(p.crowdOf(frame), len(frame)+guests, row.Slots, row.StepIns)
	return row, nil
}

// change is what happens to the frame between two groupings: how many walk in, stay and walk out, how many of
// those who walk in have to be called, and the extra time of the slowest.
type change struct {
	in, stay, out, called int
	slowest               Seconds
}

// slot returns the seconds of grouping g with a change before it.
func (t Timing) slot(g *Grouping, c change) Seconds {
	if g.Fixed > 0 {
		return g.Fixed
	}
	s := t.Settle + t.PerStepIn*Seconds(c.in) + t.PerStepOut*Seconds(c.out) + c.slowest + read(t.Gather, c.called) + read(t.Arrange, c.in) + g.Shoot
	if c.stay == 0 {
		s += t.Fresh
	}
	return s
}
