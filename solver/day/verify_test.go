package day

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/solver"
)

// randomOrders puts some of the groupings into orders, with what opens a block in front.
func randomOrders(rng *rand.Rand, p *Problem) orders {
	o := make(orders, len(p.spec.Blocks))
	for b, block := range p.spec.Blocks {
		o[b] = slices.Clone(block.Prefix)
	}
	for _, g := range rng.Perm(len(p.spec.Groupings)) {
		blocks := p.spec.Groupings[g].Blocks
		if len(blocks) == 0 || rng.IntN(4) == 0 || slices.Contains(slices.Concat(o...), solver.GroupingIndex(g)) {
			continue
		}
		b := blocks[rng.IntN(len(blocks))]
		o[b] = append(o[b], solver.GroupingIndex(g))
	}
	return o
}

// The search and the verifier agree on every candidate: whether it is a plan, its times, its cost.
func TestDecoderAgainstVerifier(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 16))
	valid, waits, between := 0, 0, 0
	for range 600 {
		spec := randomSpec(rng, 2+rng.IntN(9), 1+rng.IntN(4))
		p, err := New(spec)
		require.NoError(t, err)
		d := newDecoder(p)
		for range 40 {
			o := randomOrders(rng, p)
			sc, ok := d.decode(o)
			want, wantOK := judge(p, o)
			require.Equal(t, wantOK, ok, "%v in\n%+v", o, spec)
			if !ok {
				continue
			}
			valid++
			plan := d.plan(o)
			require.NoError(t, Verify(p, plan, d.cost, sc.lost), "%+v in\n%+v", plan, spec)
			require.Equal(t, want, outcome{sc.lost, d.cost}, "%v in\n%+v", o, spec)
			require.Equal(t, p.Total(want.cost), sc.total)
			waits += count(plan, func(s Slot) bool { return s.Start > s.Begin })
			if len(spec.Blocks) > 1 {
				between++
			}
		}
	}
	assert.Greater(t, valid, 2000)
	assert.Greater(t, waits, 300, "slots that wait")
	assert.Greater(t, between, 1000, "candidates of several blocks")
}

func count(plan Plan, is func(Slot) bool) int {
	n := 0
	for _, slots := range plan.Blocks {
		for _, s := range slots {
			if is(s) {
				n++
			}
		}
	}
	return n
}

// simple is a day of groupings of ten seconds each, one person in each.
func simple(groupings, blocks int, wish func(*Spec)) Spec {
	s := Spec{StepWeight: 1, Handover: 5}
	all := make([]BlockIndex, blocks)
	for b := range blocks {
		all[b] = BlockIndex(b)
		s.Blocks = append(s.Blocks, Block{Photographer: b})
	}
	for g := range groupings {
		s.People = append(s.People, solver.Person{ReleaseWeight: 1, IdleWeight: 1})
		s.Groupings = append(s.Groupings, Grouping{
			Grouping: solver.Grouping{Members: []solver.PersonIndex{solver.PersonIndex(g)}, Fixed: 10}, Blocks: all,
		})
	}
	if wish != nil {
		wish(&s)
	}
	return s
}

// at is a slot of ten seconds that waits from begin to start.
func at(g solver.GroupingIndex, begin, start solver.Seconds) Slot {
	return Slot{Grouping: g, Begin: begin, Start: start, Finish: start + 10}
}

// twoPlaces is a day of two blocks at two places, three seconds' walk there and four back.
func twoPlaces(wish func(*Spec)) Spec {
	return simple(2, 2, func(s *Spec) {
		s.Blocks[1].Place = 1
		s.Walk = [][]solver.Seconds{{0, 3}, {4, 0}}
		wish(s)
	})
}

// Each of these days has a right plan and a wrong one that breaks just what the name says. Times are
// worked out by hand.
func TestVerifyRefusesWhatIsWrong(t *testing.T) {
	type blocks = [][]Slot
	set := func(g ...solver.GroupingIndex) []solver.GroupingIndex { return g }
	for _, c := range []struct {
		name         string
		spec         Spec
		right, wrong blocks
	}{
		{
			"waits without need", simple(2, 1, nil),
			blocks{{at(0, 0, 0), at(1, 10, 10)}}, blocks{{at(0, 0, 0), at(1, 10, 15)}},
		}, {
			"begins late", simple(1, 1, nil),
			blocks{{at(0, 0, 0)}}, blocks{{at(0, 5, 5)}},
		}, {
			"begins before the block opens", simple(1, 1, func(s *Spec) { s.Blocks[0].Open = 7 }),
			blocks{{at(0, 7, 7)}}, blocks{{at(0, 0, 0)}},
		}, {
			"slots overlap", simple(2, 1, nil),
			blocks{{at(0, 0, 0), at(1, 10, 10)}}, blocks{{at(0, 0, 0), at(1, 9, 9)}},
		}, {
			"says that nobody waited", simple(1, 1, func(s *Spec) { s.Groupings[0].Windows = []solver.Window{{Open: 5, Close: 20}} }),
			blocks{{at(0, 0, 5)}}, blocks{{at(0, 5, 5)}},
		}, {
			"too short", simple(1, 1, nil),
			blocks{{at(0, 0, 0)}}, blocks{{{Grouping: 0, Finish: 9}}},
		}, {
			"ends after the close", simple(2, 1, func(s *Spec) { s.Blocks[0].Close = 19 }),
			blocks{{at(1, 0, 0)}}, blocks{{at(0, 0, 0), at(1, 10, 10)}},
		}, {
			"before the window", simple(1, 1, func(s *Spec) { s.Groupings[0].Windows = []solver.Window{{Open: 5, Close: 20}} }),
			blocks{{at(0, 0, 5)}}, blocks{{at(0, 0, 0)}},
		}, {
			"before somebody is there", simple(1, 2, func(s *Spec) { s.Groupings[0].From = []solver.Seconds{0, 5} }),
			blocks{{}, {at(0, 0, 5)}}, blocks{{}, {at(0, 0, 0)}},
		}, {
			"past the end of the window", simple(2, 1, func(s *Spec) { s.Groupings[1].Windows = []solver.Window{{Open: 0, Close: 19}} }),
			blocks{{at(1, 0, 0), at(0, 10, 10)}}, blocks{{at(0, 0, 0), at(1, 10, 10)}},
		}, {
			"between two windows", simple(2, 1, func(s *Spec) { s.Groupings[1].Windows = []solver.Window{{Open: 0, Close: 19}, {Open: 30, Close: 40}} }),
			blocks{{at(0, 0, 0), at(1, 10, 30)}}, blocks{{at(0, 0, 0), at(1, 10, 15)}},
		}, {
			"before what it comes after", simple(2, 1, func(s *Spec) { s.Groupings[0].After = set(1) }),
			blocks{{at(1, 0, 0), at(0, 10, 10)}}, blocks{{at(0, 0, 0), at(1, 10, 10)}},
		}, {
			"while what it comes after goes on", simple(2, 2, func(s *Spec) { s.Groupings[1].After = set(0) }),
			blocks{{at(0, 0, 0)}, {at(1, 0, 10)}}, blocks{{at(0, 0, 0)}, {at(1, 0, 9)}},
		}, {
			"before what it comes after in a block timed later", simple(2, 2, func(s *Spec) { s.Groupings[0].After = set(1) }),
			blocks{{at(1, 0, 0)}, {at(0, 0, 10)}}, blocks{{at(0, 0, 0)}, {at(1, 0, 0)}},
		}, {
			"pinned first, second", simple(2, 1, func(s *Spec) { s.Groupings[1].Pin = solver.PinFirst }),
			blocks{{at(1, 0, 0), at(0, 10, 10)}}, blocks{{at(0, 0, 0), at(1, 10, 10)}},
		}, {
			"pinned last, first", simple(2, 1, func(s *Spec) { s.Groupings[0].Pin = solver.PinLast }),
			blocks{{at(1, 0, 0), at(0, 10, 10)}}, blocks{{at(0, 0, 0), at(1, 10, 10)}},
		}, {
			"without its prefix", simple(2, 1, func(s *Spec) { s.Blocks[0].Prefix = set(1) }),
			blocks{{at(1, 0, 0)}}, blocks{{}},
		}, {
			"prefix turned round", simple(2, 1, func(s *Spec) { s.Blocks[0].Prefix = set(1, 0) }),
			blocks{{at(1, 0, 0), at(0, 10, 10)}}, blocks{{at(0, 0, 0), at(1, 10, 10)}},
		}, {
			"together broken up", simple(3, 1, func(s *Spec) { s.Together = [][]solver.GroupingIndex{set(0, 2)} }),
			blocks{{at(0, 0, 0), at(2, 10, 10), at(1, 20, 20)}}, blocks{{at(0, 0, 0), at(1, 10, 10), at(2, 20, 20)}},
		}, {
			"turns interleave", simple(3, 1, func(s *Spec) { s.Turns = [][2][]solver.GroupingIndex{{set(0, 2), set(1)}} }),
			blocks{{at(0, 0, 0), at(2, 10, 10), at(1, 20, 20)}}, blocks{{at(0, 0, 0), at(1, 10, 10), at(2, 20, 20)}},
		}, {
			"turns at the same time", simple(2, 2, func(s *Spec) { s.Turns, s.Blocks[1].Open = [][2][]solver.GroupingIndex{{set(0), set(1)}}, 9 }),
			blocks{{at(0, 0, 0), at(1, 10, 10)}, {}}, blocks{{at(0, 0, 0)}, {at(1, 9, 9)}},
		}, {
			"rank turned round", simple(2, 1, func(s *Spec) { s.Ranks = [][2]solver.GroupingIndex{{1, 0}} }),
			blocks{{at(1, 0, 0), at(0, 10, 10)}}, blocks{{at(0, 0, 0), at(1, 10, 10)}},
		}, {
			"apart in one block", simple(2, 1, func(s *Spec) { s.Apart = []KeptApart{{A: set(0), B: set(1), Until: 11}} }),
			blocks{{at(0, 0, 0)}}, blocks{{at(0, 0, 0), at(1, 10, 10)}},
		}, {
			"apart at one place without the handover", simple(2, 2, func(s *Spec) { s.Apart, s.Blocks[1].Open = []KeptApart{{A: set(1), B: set(0), Until: 99}}, 14 }),
			blocks{{at(0, 0, 0)}, {}}, blocks{{at(0, 0, 0)}, {at(1, 14, 14)}},
		}, {
			"both kept apart in one, too early", simple(1, 1, func(s *Spec) { s.Apart = []KeptApart{{A: set(0), B: set(0), Until: 20}} }),
			blocks{{at(0, 0, 20)}}, blocks{{at(0, 0, 0)}},
		}, {
			"both kept apart in one for ever", simple(1, 1, func(s *Spec) {
				s.Apart = []KeptApart{{A: set(0), B: set(0), Until: solver.MaxSeconds}}
			}),
			blocks{{}}, blocks{{at(0, 0, solver.MaxSeconds)}},
		}, {
			"photographer in two blocks", simple(2, 2, func(s *Spec) { s.Blocks[1].Photographer = 0 }),
			blocks{{at(0, 0, 0)}, {at(1, 10, 10)}}, blocks{{at(0, 0, 0)}, {at(1, 0, 0)}},
		}, {
			"photographer does not walk", twoPlaces(func(s *Spec) { s.Blocks[1].Photographer = 0 }),
			blocks{{at(0, 0, 0)}, {at(1, 13, 13)}}, blocks{{at(0, 0, 0)}, {at(1, 10, 10)}},
		}, {
			"person in two blocks", twoPlaces(func(s *Spec) { s.Groupings[1].Members = []solver.PersonIndex{0} }),
			blocks{{at(0, 0, 0)}, {at(1, 0, 13)}}, blocks{{at(0, 0, 0)}, {at(1, 0, 0)}},
		}, {
			"person does not walk there", twoPlaces(func(s *Spec) { s.Groupings[1].Members = []solver.PersonIndex{0} }),
			blocks{{at(0, 0, 0)}, {at(1, 0, 13)}}, blocks{{at(0, 0, 0)}, {at(1, 0, 10)}},
		}, {
			"person does not walk back", twoPlaces(func(s *Spec) {
				s.Groupings[1].Members, s.Groupings[0].Windows = []solver.PersonIndex{0}, []solver.Window{{Open: 13, Close: 99}}
			}),
			blocks{{at(0, 0, 13)}, {at(1, 0, 26)}}, blocks{{at(0, 0, 13)}, {at(1, 0, 0)}},
		}, {
			"interpreter in two blocks", twoPlaces(func(s *Spec) { s.Groupings[1].Near = []solver.PersonIndex{0} }),
			blocks{{at(0, 0, 0)}, {at(1, 0, 13)}}, blocks{{at(0, 0, 0)}, {at(1, 0, 0)}},
		}, {
			"passes over a gap", twoPlaces(func(s *Spec) {
				s.Groupings[1].Members, s.Groupings[0].Windows = []solver.PersonIndex{0}, []solver.Window{{Open: 14, Close: 99}}
			}),
			blocks{{at(0, 0, 14)}, {at(1, 0, 0)}}, blocks{{at(0, 0, 14)}, {at(1, 0, 27)}},
		}, {
			"not allowed there", simple(2, 2, func(s *Spec) { s.Groupings[1].Blocks = []BlockIndex{1} }),
			blocks{{at(0, 0, 0)}, {at(1, 0, 0)}}, blocks{{at(1, 0, 0)}, {at(0, 0, 0)}},
		}, {
			"taken twice", simple(2, 2, nil),
			blocks{{at(0, 0, 0)}, {at(1, 0, 0)}}, blocks{{at(0, 0, 0), at(1, 10, 10)}, {at(1, 0, 0)}},
		}, {
			"block too few", simple(1, 2, nil),
			blocks{{at(0, 0, 0)}, {}}, blocks{{at(0, 0, 0)}},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := New(c.spec)
			require.NoError(t, err)
			verify := func(b blocks) error {
				plan := Plan{Blocks: b}
				for g := range c.spec.Groupings {
					if !slices.ContainsFunc(slices.Concat(b...), func(s Slot) bool { return int(s.Grouping) == g }) {
						plan.LeftOut = append(plan.LeftOut, solver.GroupingIndex(g))
					}
				}
				return Verify(p, plan, newVerifier(p).cost(plan), newVerifier(p).losses(plan))
			}
			require.NoError(t, verify(c.right))
			assert.ErrorIs(t, verify(c.wrong), ErrPlan)
		})
	}
}

func TestVerifyRefusesWrongLists(t *testing.T) {
	p, err := New(simple(3, 1, nil))
	require.NoError(t, err)
	right := Plan{Blocks: [][]Slot{{at(0, 0, 0)}}, LeftOut: []solver.GroupingIndex{1, 2}}
	cost := solver.Cost{StepIns: 1, Release: 10}
	lost := Lost{0, 2 * 2520, 2 * (2520 + 25), 2 * 2520}
	require.NoError(t, Verify(p, right, cost, lost))
	for name, leftOut := range map[string][]solver.GroupingIndex{
		"one missing": {1}, "one twice": {1, 1}, "taken as well": {0, 1}, "unknown": {1, 3}, "turned round": {2, 1}, "too many": {0, 1, 2},
	} {
		assert.ErrorIs(t, Verify(p, Plan{Blocks: right.Blocks, LeftOut: leftOut}, cost, lost), ErrPlan, name)
	}
	for _, g := range []solver.GroupingIndex{-1, 3} {
		assert.ErrorIs(t, Verify(p, Plan{Blocks: [][]Slot{{at(g, 0, 0)}}, LeftOut: right.LeftOut}, cost, lost), ErrPlan, "grouping %d", g)
	}
	for _, wrong := range []solver.Cost{{}, {StepIns: 2, Release: 10}, {StepIns: 1, Release: 9}, {StepIns: 1, Release: 10, Idle: 1}} {
		assert.ErrorIs(t, Verify(p, right, wrong, lost), ErrPlan)
	}
	for i := range lost {
		wrong := lost
		wrong[i]--
		assert.ErrorIs(t, Verify(p, right, cost, wrong), ErrPlan)
	}
}

// Of any plan, no slot can be moved: later or earlier, alone or with all that follow it.
func TestVerifyRefusesEveryOtherTime(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 18))
	tried := 0
	for range 150 {
		p, err := New(randomSpec(rng, 2+rng.IntN(6), 1+rng.IntN(3)))
		require.NoError(t, err)
		d := newDecoder(p)
		o := randomOrders(rng, p)
		if _, ok := d.decode(o); !ok {
			continue
		}
		right := d.plan(o)
		for b, slots := range right.Blocks {
			for k := range slots {
				for _, by := range []solver.Seconds{-1, 1, 5, 60} {
					for _, change := range []func(*Slot){
						func(s *Slot) { s.Start, s.Finish = s.Start+by, s.Finish+by },
						func(s *Slot) { s.Begin, s.Start, s.Finish = s.Begin+by, s.Start+by, s.Finish+by },
						func(s *Slot) { s.Finish += by },
					} {
						wrong := Plan{Blocks: slices.Clone(right.Blocks), LeftOut: right.LeftOut}
						wrong.Blocks[b] = slices.Clone(slots)
						change(&wrong.Blocks[b][k])
						for j := k + 1; j < len(slots); j++ {
							s := &wrong.Blocks[b][j]
							s.Begin, s.Start, s.Finish = s.Begin+by, s.Start+by, s.Finish+by
						}
						assert.ErrorIs(t, Verify(p, wrong, newVerifier(p).cost(wrong), newVerifier(p).losses(wrong)), ErrPlan)
						tried++
					}
				}
			}
		}
	}
	assert.Greater(t, tried, 1000)
}

// A day with every part of a slot and of a cost, worked out by hand.
func TestTimesAndCostByHand(t *testing.T) {
	const ann, bo, cy, dee = 0, 1, 2, 3
	p, err := New(Spec{
		People: []solver.Person{{ReleaseWeight: 1, IdleWeight: 1}, {ReleaseWeight: 10}, {ReleaseWeight: 100, IdleWeight: 3, Slow: 7, Extra: 2}, {IdleWeight: 5, Led: true}},
		Groupings: []Grouping{
			{Grouping: solver.Grouping{Members: []solver.PersonIndex{ann, bo}, Shoot: 20}, Blocks: []BlockIndex{0}},
			{Grouping: solver.Grouping{Members: []solver.PersonIndex{ann, bo, cy, dee}, Guests: 2, Shoot: 30}, Blocks: []BlockIndex{0}},
			{Grouping: solver.Grouping{Members: []solver.PersonIndex{cy}, Fixed: 40, Windows: []solver.Window{{Open: 1200, Close: 2000}}}, Blocks: []BlockIndex{0}},
			{Grouping: solver.Grouping{Members: []solver.PersonIndex{dee, ann}, Shoot: 20}, Blocks: []BlockIndex{1}},
			{Grouping: solver.Grouping{Members: []solver.PersonIndex{bo}, Shoot: 5}, Blocks: []BlockIndex{0}},
		},
		Blocks: []Block{
			{Open: 1000, Close: 2000, Opening: 18, Frame: []solver.PersonIndex{bo, dee}, FrameGuests: 2},
			{Open: 1100, Place: 1, Photographer: 1},
		},
		Walk:       [][]solver.Seconds{{0, 60}, {60, 0}},
		Timing:     solver.Timing{Settle: 10, PerStepIn: 2, PerStepOut: 1, Fresh: 15, Arrange: []solver.Seconds{0, 4, 6}, Gather: []solver.Seconds{0, 2, 5, 8}},
		StepWeight: 50,
	})
	require.NoError(t, err)
	plan := Plan{
		Blocks: [][]Slot{{
			{0, 1000, 1000, 1059}, // 18 to open, 10, Ann in 2, Dee and two guests out 3, one newcomer 4 and called 2, frames 20; Bo stays
			{1, 1059, 1059, 1128}, // 10, two and two guests in 8, slow 7, newcomers 6, Cy and guests called 8, frames 30
			{2, 1128, 1200, 1240}, // fixed, and waits for its window
			{4, 1240, 1240, 1279}, // 10, in 2, out 1, newcomer 4 and called 2, nobody stays 15, frames 5
		}, {
			{3, 1100, 1188, 1245}, // Ann and Dee walk a minute from 1128; 10, two in 4, newcomers 6, Ann called 2, 15, 20
		}},
	}
	cost := solver.Cost{
		StepIns: 1 + 2 + 2 + 0 + 1 + 2, // Cy counts as three
		Release: 1*245 + 10*279 + 100*240,
		Idle:    3 * (1200 - 1128), // Bo's wait counts nothing; nobody else waits inside a block
	}
	require.NoError(t, Verify(p, plan, cost, Lost{}))
	r, ok := Fix(p, [][]solver.GroupingIndex{{0, 1, 2, 4}, {3}})
	require.True(t, ok)
	assert.Equal(t, plan, r.Plan)
	assert.Equal(t, cost, r.Cost)
	assert.Equal(t, 50*cost.StepIns+cost.Release+cost.Idle, r.Total)
}
