package day

import (
	"math/rand/v2"
	"slices"

	"kinorder.example/solver"
)

// randomSpec makes a small day with the features that the switches allow.
func randomSpec(rng *rand.Rand, groupings, blocks int) Spec {
	people := 3 + rng.IntN(5)
	s := Spec{
		Timing: solver.Timing{
			Settle: int64(rng.IntN(5)), PerStepIn: int64(rng.IntN(4)), PerStepOut: int64(rng.IntN(3)),
			Fresh: int64(rng.IntN(6)), Arrange: []int64{0, 3, 5, 6}, Gather: []int64{0, 0, 2, 7}[:rng.IntN(5)],
		},
		StepWeight: int64(rng.IntN(30)),
		Emphasis:   solver.Emphasis(rng.IntN(3)),
		Handover:   int64(rng.IntN(10)),
	}
	for range people {
		s.People = append(s.People, solver.Person{
			ReleaseWeight: int64(rng.IntN(4)), IdleWeight: int64(rng.IntN(3)), Slow: int64(rng.IntN(4)),
			Started: blocks == 1 && rng.IntN(6) == 0, Stays: blocks == 1 && rng.IntN(6) == 0, Led: rng.IntN(4) == 0, Extra: max(-1, rng.IntN(7)-4),
		})
	}
	// Now and then every block has people and a photographer of its own, and only wishes tie blocks.
	own := blocks > 1 && people >= blocks && rng.IntN(3) == 0
	opens := int64(0)
	for b := range blocks {
		length := int64(20 + rng.IntN(60))
		block := Block{Open: opens, Close: opens + length, Place: rng.IntN(2), Photographer: rng.IntN(2)}
		if rng.IntN(5) == 0 {
			block.Close = 0
		}
		switch {
		case own:
			block.Photographer, opens = b, int64(rng.IntN(10))
		case rng.IntN(3) > 0: // otherwise the next one opens at the same time
			opens += length + int64(rng.IntN(15))
		case blocks > 1 && rng.IntN(4) > 0:
			block.Photographer = b
		}
		block.Opening = int64(max(0, rng.IntN(12)-6))
		if rng.IntN(4) == 0 {
			block.FrameGuests = rng.IntN(3)
			for _, q := range rng.Perm(people)[:rng.IntN(3)] {
				block.Frame = append(block.Frame, solver.PersonIndex(q))
			}
		}
		s.Blocks = append(s.Blocks, block)
	}
	rng.Shuffle(blocks, func(i, j int) { s.Blocks[i], s.Blocks[j] = s.Blocks[j], s.Blocks[i] })
	s.Walk = [][]int64{{0, int64(rng.IntN(8))}, {int64(rng.IntN(8)), 0}}
	for range groupings {
		g := Grouping{Tier: rng.IntN(3)}
		home := rng.IntN(blocks)
		for q := range people {
			if rng.IntN(3) == 0 && (!own || q%blocks == home) {
				g.Members = append(g.Members, solver.PersonIndex(q))
			}
		}
		if len(g.Members) == 0 {
			g.Members = append(g.Members, solver.PersonIndex(home%people))
		}
		g.Shoot = int64(1 + rng.IntN(15))
		g.Guests = max(0, rng.IntN(8)-5)
		switch rng.IntN(6) {
		case 0:
			g.Like = 1 + rng.IntN(2)
		case 1:
			g.Like, g.Guests = rng.IntN(2), rng.IntN(4)
		case 2:
			g.Worth = int64(1 + rng.IntN(2*WorthOfOne))
		case 3:
			g.Keep = rng.IntN(3) == 0
		}
		if rng.IntN(6) == 0 {
			g.Fixed = int64(1 + rng.IntN(30))
		}
		for b := range blocks {
			if own && b == home || !own && rng.IntN(3) > 0 {
				g.Blocks = append(g.Blocks, BlockIndex(b))
			}
		}
		if !own && rng.IntN(4) == 0 {
			open := int64(rng.IntN(40))
			g.Windows = []solver.Window{{Open: open, Close: open + 20 + int64(rng.IntN(60))}}
			if rng.IntN(3) == 0 {
				open = g.Windows[0].Close + 1 + int64(rng.IntN(20))
				g.Windows = append(g.Windows, solver.Window{Open: open, Close: open + 20 + int64(rng.IntN(60))})
			}
		}
		s.Groupings = append(s.Groupings, g)
	}
	addWishes(rng, &s)
	addWorth(rng, &s)
	if rng.IntN(4) == 0 {
		for range blocks {
			s.Groupings[0].From = append(s.Groupings[0].From, int64(rng.IntN(60)))
		}
	}
	return s
}

// addWorth has people and groupings worth more than others, what people compare, and guests who wait.
func addWorth(rng *rand.Rand, s *Spec) {
	for range rng.IntN(2) * len(s.People) {
		s.Worths = append(s.Worths, WorthOfOne*int64(rng.IntN(5))/2)
	}
	for i := range s.Groupings {
		s.Groupings[i].ReleaseWeight = max(0, int64(rng.IntN(9)-5))
		s.Groupings[i].Bonus = max(0, int64(rng.IntN(4)-2)) * WorthOfOne
		s.Groupings[i].Series, s.Groupings[i].Gain = max(0, rng.IntN(4)-1), int64(rng.IntN(WorthOfOne))
	}
}

func addWishes(rng *rand.Rand, s *Spec) {
	n := len(s.Groupings)
	some := func() []solver.GroupingIndex {
		var set []solver.GroupingIndex
		for g := range n {
			if rng.IntN(3) == 0 {
				set = append(set, solver.GroupingIndex(g))
			}
		}
		return set
	}
	if rng.IntN(3) == 0 { // circles are possible, with ranks too: then not all can be taken
		for range 1 + rng.IntN(2) {
			pair := rng.Perm(n)
			s.Groupings[pair[0]].After = []solver.GroupingIndex{solver.GroupingIndex(pair[1])}
		}
	}
	if rng.IntN(4) == 0 {
		s.Groupings[rng.IntN(n)].Pin = solver.Pin(rng.IntN(3))
	}
	if rng.IntN(4) == 0 {
		s.Together = [][]solver.GroupingIndex{some()}
	}
	if rng.IntN(4) == 0 {
		a := some()
		b := slices.DeleteFunc(some(), func(g solver.GroupingIndex) bool { return slices.Contains(a, g) })
		s.Turns = [][2][]solver.GroupingIndex{{a, b}}
	}
	if rng.IntN(4) == 0 {
		pair := rng.Perm(n)
		s.Ranks = [][2]solver.GroupingIndex{{solver.GroupingIndex(pair[0]), solver.GroupingIndex(pair[1])}}
	}
	if rng.IntN(4) == 0 {
		s.Apart = []KeptApart{{A: some(), B: some(), Until: int64(rng.IntN(80))}}
	}
	if b := rng.IntN(len(s.Blocks)); rng.IntN(6) == 0 {
		for _, g := range rng.Perm(n)[:1+rng.IntN(2)] {
			if slices.Contains(s.Groupings[g].Blocks, BlockIndex(b)) {
				s.Blocks[b].Prefix = append(s.Blocks[b].Prefix, solver.GroupingIndex(g))
			}
		}
	}
	if rng.IntN(4) == 0 {
		s.Groupings[rng.IntN(n)].Near = []solver.PersonIndex{solver.PersonIndex(rng.IntN(len(s.People)))}
	}
}
