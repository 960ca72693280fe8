package standing

import "slices"

// tie is one of people who are placed; old says that all of them are elders.
type tie struct {
	Tie
	old bool
}

// link numbers ties and pairs by placed people. Infants count where they are held.
func (p *Problem) link(dense []int) {
	n := len(p.placed)
	p.tiesOf, p.apartOf = make([][]int, n), make([][]int, n)
	p.kin = make([][]bool, n)
	for i := range p.kin {
		p.kin[i] = make([]bool, n)
	}
	where := func(q int) int {
		if h := p.holder[q]; h >= 0 {
			q = h
		}
		return dense[q]
	}
	for _, t := range p.spec.Ties {
		var members []int
		for _, q := range t.Members {
			members = append(members, where(q))
		}
		slices.Sort(members)
		members = slices.Compact(members)
		if t.Bond != Circle {
			for _, i := range members {
				for _, j := range members {
					p.kin[i][j] = true
					if p.bodies[i].young && p.bodies[j].leads {
						p.bodies[i].ofLead = true
					}
				}
			}
		}
		if len(members) < 2 {
			continue
		}
		if t.Bond == Couple {
			p.escort(members)
		}
		for _, i := range members {
			p.tiesOf[i] = append(p.tiesOf[i], len(p.ties))
			p.bodies[i].anybody = false
		}
		young := slices.ContainsFunc(members, func(i int) bool { return !p.bodies[i].elder })
		p.ties = append(p.ties, tie{Tie{Bond: t.Bond, Members: members}, !young})
	}
	for _, pair := range p.spec.Apart {
		a, b := where(pair[0]), where(pair[1])
		if a == b { // in each other's arms, as there is nobody else: the plan warns of it
			p.apartInArms = true
			continue
		}
		p.apartOf[a] = append(p.apartOf[a], len(p.apart))
		p.apartOf[b] = append(p.apartOf[b], len(p.apart))
		p.bodies[a].anybody, p.bodies[b].anybody = false, false
		p.apart = append(p.apart, [2]int{a, b})
	}
}
