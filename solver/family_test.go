package solver

import "math/rand/v2"

// familyDay grows an invented family event: people of two sides and the group photographs that are
// usually asked for (common practice, no source). It exists to measure the solver on lists of a
// realistic shape.
type familyDay struct {
	rng  *rand.Rand
	spec Spec
	// musts come first, wishes are drawn at random until the list is long enough.
	musts, wishes [][]PersonIndex
	couple        []PersonIndex
	everyone      []PersonIndex
}

// The kinds of guests: their weights, slowness and chance to have a need are those of kinds.
const (
	inCouple = iota
	adult
	elder
	child
	infant
)

func (d *familyDay) person(kind int) PersonIndex {
	p := Person{}
	switch kind {
	case adult:
		p.ReleaseWeight = 1
	case elder:
		p.ReleaseWeight, p.IdleWeight, p.Slow = 6, 2, 10
		if d.rng.IntN(4) == 0 {
			p.ReleaseWeight, p.Slow = 8, 20
		}
	case child:
		p.ReleaseWeight, p.IdleWeight, p.Slow = 4, 2, 10
	case infant:
		p.ReleaseWeight, p.IdleWeight, p.Slow = 6, 2, 15
	}
	q := PersonIndex(len(d.spec.People))
	d.spec.People = append(d.spec.People, p)
	d.everyone = append(d.everyone, q)
	return q
}

func (d *familyDay) people(kind, n int) (out []PersonIndex) {
	for range n {
		out = append(out, d.person(kind))
	}
	return out
}

// household is a pair or a single adult with children.
func (d *familyDay) household() []PersonIndex {
	h := d.people(adult, 1+d.rng.IntN(2))
	for range d.rng.IntN(4) {
		h = append(h, d.person(child+d.rng.IntN(4)/3))
	}
	return h
}

func join(sets ...[]PersonIndex) (out []PersonIndex) {
	seen := map[PersonIndex]bool{}
	for _, s := range sets {
		for _, q := range s {
			if !seen[q] {
				seen[q] = true
				out = append(out, q)
			}
		}
	}
	return out
}

func (d *familyDay) must(sets ...[]PersonIndex) { d.musts = append(d.musts, join(sets...)) }
func (d *familyDay) wish(sets ...[]PersonIndex) { d.wishes = append(d.wishes, join(sets...)) }

// side makes one partner's family, their attendants and friends, and returns family and attendants.
func (d *familyDay) side(own []PersonIndex, relatives, circles int) (parents, family, attendants []PersonIndex) {
	rng := d.rng
	parents = d.people(adult, 2)
	steps := [][]PersonIndex{nil, nil}
	apart := rng.IntN(4) == 0
	if apart {
		for k := range steps {
			if rng.IntN(2) == 0 {
				steps[k] = append(d.people(adult, 1), d.people(child, rng.IntN(2))...)
			}
		}
	}
	var grand [][]PersonIndex
	for range 2 {
		if k := rng.IntN(3); k > 0 {
			grand = append(grand, d.people(elder, k))
		}
	}
	var siblings, siblingHomes, cousins []PersonIndex
	for range rng.IntN(4) {
		home := d.household()
		siblings = append(siblings, home[0])
		siblingHomes = append(siblingHomes, home...)
		d.wish(d.couple, home)
	}
	inner := join(parents, siblings)
	family = join(parents, steps[0], steps[1], siblingHomes)
	for _, g := range grand {
		family = join(family, g)
		d.must(d.couple, g)
		d.wish(own, g)
	}
	for range relatives {
		home := d.household()
		family = append(family, home...)
		cousins = append(cousins, home[1:]...)
		d.wish(d.couple, home)
	}
	if apart {
		for k, q := range parents {
			d.must(d.couple, []PersonIndex{q}, steps[k])
		}
	} else {
		d.must(d.couple, parents)
		d.wish(own, parents[:1])
		d.wish(own, parents[1:])
		d.wish(own, parents)
	}
	d.must(d.couple, inner)
	d.must(d.couple, family)
	if len(siblings) > 0 {
		d.wish(d.couple, siblings)
		d.wish(own, siblings)
		d.wish(d.couple, parents, siblingHomes)
	}
	if len(grand) == 2 {
		d.wish(d.couple, parents, grand[0], grand[1])
	}
	if len(cousins) > 1 {
		d.wish(d.couple, cousins)
	}
	attendants = join(d.people(adult, 2+rng.IntN(4)), siblings[:min(len(siblings), rng.IntN(2))])
	d.must(d.couple, attendants)
	d.wish(own, attendants)
	for _, q := range attendants {
		d.wish(own, []PersonIndex{q})
	}
	for range circles {
		d.wish(d.couple, d.people(adult, 3+rng.IntN(9)))
	}
	return parents, family, attendants
}

// familySpec makes an event of exactly n groupings.
func familySpec(seed uint64, n int, emphasis Emphasis) Spec {
	d := &familyDay{rng: rand.New(rand.NewPCG(seed, uint64(n)))}
	d.couple = d.people(inCouple, 2)
	relatives, circles := n/12, n/14
	parentsA, familyA, withA := d.side(d.couple[:1], relatives, circles)
	parentsB, familyB, withB := d.side(d.couple[1:], relatives, circles)
	small := d.people(child, d.rng.IntN(4))
	d.must(d.couple)
	d.must(d.couple, parentsA, parentsB)
	d.must(d.couple, withA, withB, small)
	d.wish(d.couple, familyA, familyB)
	if len(small) > 0 {
		d.wish(d.couple, small)
	}
	for len(d.musts)+len(d.wishes) < n {
		switch d.rng.IntN(3) {
		case 0:
			d.wish(d.couple, d.people(adult, 2+d.rng.IntN(8)))
		case 1:
			d.wish(d.couple, d.household())
		default:
			all := join(withA, withB)
			d.wish(d.couple, all[d.rng.IntN(len(all)):][:1])
		}
	}
	if d.rng.IntN(2) == 0 {
		d.must(d.everyone)
	}
	d.rng.Shuffle(len(d.wishes), func(i, j int) { d.wishes[i], d.wishes[j] = d.wishes[j], d.wishes[i] })
	return d.list(n, emphasis)
}

// list keeps the first n groupings and the people who are in one of them.
func (d *familyDay) list(n int, emphasis Emphasis) Spec {
	chosen := append(d.musts, d.wishes...)[:n]
	// As people write such lists: mixed, not in the order of this generator.
	d.rng.Shuffle(len(chosen), func(i, j int) { chosen[i], chosen[j] = chosen[j], chosen[i] })
	used := map[PersonIndex]PersonIndex{}
	s := Spec{Emphasis: emphasis, StepWeight: 90, Timing: familyTiming()}
	for _, set := range chosen {
		var g Grouping
		for _, q := range set {
			if _, ok := used[q]; !ok {
				used[q] = PersonIndex(len(s.People))
				s.People = append(s.People, d.spec.People[q])
			}
			g.Members = append(g.Members, used[q])
		}
		g.Shoot = 3 * int64(min(15, 2+len(set)/2))
		s.Groupings = append(s.Groupings, g)
	}
	return s
}

// plannedSpec is the same event with the weights that package planning gives: whoever is in three
// fifths of the groupings has none, and under early release only those have one who tire. Every third
// event has hardly anybody of those.
func plannedSpec(seed uint64, n int, emphasis Emphasis) Spec {
	s := familySpec(seed, n, emphasis)
	s.StepWeight = 700
	in, tired := make([]int, len(s.People)), 0
	for _, g := range s.Groupings {
		for _, q := range g.Members {
			in[q]++
		}
	}
	for q := range s.People {
		p := &s.People[q]
		switch tires := p.IdleWeight > 0; {
		case tires && seed%3 == 0 && tired == 3:
			p.ReleaseWeight, p.IdleWeight = 1, 0
		case tires:
			tired++
			if p.ReleaseWeight > 4 {
				p.ReleaseWeight += 2
			}
		}
		if emphasis == Balanced {
			switch {
			case p.Slow >= 20:
				p.Extra = 5
			case p.Slow == 10 && p.ReleaseWeight > 4:
				p.Extra = 1
			case 5*in[q] >= 3*n:
				p.Extra = -1
			}
		}
		if p.IdleWeight == 0 && emphasis == EarlyRelease || 5*in[q] >= 3*n {
			p.ReleaseWeight, p.IdleWeight = 0, 0
		}
	}
	return s
}

func familyTiming() Timing {
	t := Timing{Settle: 15, PerStepIn: 2, PerStepOut: 1, Fresh: 45}
	known := [][2]int64{{0, 0}, {1, 24}, {2, 48}, {6, 80}, {7, 94}, {15, 170}, {16, 191}, {30, 222}, {31, 315}, {60, 400}}
	for k := 1; k < len(known); k++ {
		a, b := known[k-1], known[k]
		for n := a[0]; n < b[0]; n++ {
			t.Arrange = append(t.Arrange, a[1]+(b[1]-a[1])*(n-a[0])/(b[0]-a[0]))
		}
	}
	return t
}
