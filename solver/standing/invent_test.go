package standing

import "math/rand/v2"

// wedding invents households of two sides around a couple, with elders, children, infants, needs,
// circles, people to be kept apart and unknown heights.
func wedding(r *rand.Rand, n int) Spec {
	s := Spec{People: []Person{{HeightCM: 168, Importance: 10, Side: Left}, {HeightCM: 181, Importance: 10, Side: Right}}}
	s.Ties = append(s.Ties, Tie{Couple, []int{0, 1}})
	var circles [2][]int
	for len(s.People) < n {
		side := Left + Side(r.IntN(2))
		var home []int
		elders := r.IntN(5) == 0
		for k := range min(1+r.IntN(5), n-len(s.People)) {
			q := Person{Side: side, HeightCM: 155 + r.IntN(34)}
			switch {
			case elders && k < 2:
				q.Age = Elder
				q.Seat, q.Wheelchair = r.IntN(3) == 0, r.IntN(8) == 0
			case k >= 2 && r.IntN(5) == 0:
				q.Age, q.HeightCM = Infant, 0
			case k >= 2:
				q.Age, q.HeightCM = Child, 90+r.IntN(70)
			}
			if r.IntN(4) == 0 {
				q.HeightCM = 0
			}
			if len(s.People) < 8 {
				q.Importance = r.IntN(4)
			}
			home = append(home, len(s.People))
			circles[side-1] = append(circles[side-1], len(s.People))
			s.People = append(s.People, q)
		}
		if len(home) == 1 {
			s.People[home[0]].ByHeight = true // attendants come by themselves
		}
		if len(home) > 1 {
			s.Ties = append(s.Ties, Tie{Household, home}, Tie{Couple, home[:2]})
		}
	}
	for _, c := range circles {
		for len(c) > 1 {
			m := max(2, min(len(c), 4+r.IntN(12)))
			s.Ties = append(s.Ties, Tie{Circle, c[:m]})
			c = c[m:]
		}
	}
	if n > 3 {
		s.Apart = append(s.Apart, [2]int{1, n - 1}, [2]int{2, n - 1})
	}
	s.Space = Space{Kneeling: r.IntN(2) == 0, Chairs: r.IntN(2) * 12, Steps: r.IntN(3), StepCM: 18}
	return s
}

// crowd invents people without any pattern, to reach corners that families do not.
func crowd(r *rand.Rand, n int) Spec {
	var s Spec
	for range n {
		q := Person{HeightCM: 150 + r.IntN(45), Side: Side(r.IntN(3)), Importance: max(0, r.IntN(16)-5), ByHeight: r.IntN(2) == 0}
		switch r.IntN(9) {
		case 0:
			q.Age, q.Seat = Elder, r.IntN(2) == 0
		case 1:
			q.Age, q.HeightCM = Child, 85+r.IntN(75)
		case 2:
			q.Age, q.HeightCM = Infant, 0
			q.Wheelchair, q.Seat = r.IntN(4) == 0, r.IntN(4) == 0
		case 3:
			q.Wheelchair = true
		case 4:
			q.StepFree = true
		}
		s.People = append(s.People, q)
	}
	for range r.IntN(4) {
		if m := r.Perm(n)[:min(n, 2+r.IntN(3))]; len(m) > 1 {
			s.Ties = append(s.Ties, Tie{Bond(r.IntN(3)), m})
		}
	}
	if n > 2 {
		s.Apart = append(s.Apart, [2]int(r.Perm(n)[:2]))
	}
	s.Space = Space{
		Ground: r.IntN(3) == 0, Kneeling: r.IntN(3) == 0, Chairs: r.IntN(3), Steps: r.IntN(3), StepCM: 10 + r.IntN(20),
		WidthCM: r.IntN(2) * (120 + r.IntN(300)), DepthCM: r.IntN(2) * (100 + r.IntN(200)),
	}
	if r.IntN(2) == 0 {
		s.Space.CameraHeightCM, s.Space.CameraDistanceCM = 120+r.IntN(150), 300+r.IntN(600)
		for range n {
			s.Before = append(s.Before, Spot{r.IntN(3) > 0, Posture(r.IntN(4)), r.IntN(300) - 150, r.IntN(4)*70 - 85})
		}
	}
	return s
}
