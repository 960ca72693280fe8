package solver

import (
	"cmp"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every part of a slot and of a cost once, worked out by hand.
func TestEvaluateByHand(t *testing.T) {
	const ann, bo, cy, dee, eve = 0, 1, 2, 3, 4 // and Fay, who is here for others and waits all the time
	p := mustProblem(t, Spec{
		People: []Person{
			{ReleaseWeight: 1, IdleWeight: 1}, {ReleaseWeight: 10, IdleWeight: 2}, {ReleaseWeight: 100, IdleWeight: 3, Slow: 7, Extra: 2},
			{ReleaseWeight: 1000, IdleWeight: 5, Started: true}, {ReleaseWeight: 5000, IdleWeight: 20, Stays: true, Led: true},
			{IdleWeight: 7, Started: true, Stays: true},
		},
		Groupings: []Grouping{
			{Members: []PersonIndex{ann, bo}, Shoot: 20},
			{Members: []PersonIndex{bo, cy, eve}, Guests: 3, Shoot: 30},
			{Members: []PersonIndex{cy}, Guests: 2, Fixed: 40, Windows: []Window{{0, 130}, {200, 240}}},
			{Members: []PersonIndex{ann, dee}, Shoot: 5},
		},
		Timing: Timing{Settle: 10, PerStepIn: 2, PerStepOut: 1, Fresh: 15, Arrange: []Seconds{0, 4, 6}, Gather: []Seconds{0, 2, 5, 8, 11}},
		Frame:  []PersonIndex{bo, dee}, FrameGuests: 2, StepWeight: 50, Close: 292, Opening: 8,
	})
	s, err := Evaluate(p, []GroupingIndex{0, 1, 2, 3})
	require.NoError(t, err)
	who := func(q ...PersonIndex) []PersonIndex { return q }
	assert.Equal(t, []Entry{
		// 8 to open, 10, Ann in 2, Dee and two guests out 3, one newcomer 4 and called 2, frames 20; Bo stays.
		{Grouping: 0, Start: 0, Finish: 49, In: who(ann), Out: who(dee), Stay: who(bo)},
		// 10, two and three guests in 10, Ann out 1, slow 7, newcomers 6, all but Eve called 11, frames 30.
		{Grouping: 1, Start: 49, Finish: 124, In: who(cy, eve), Out: who(ann), Stay: who(bo), Released: who(bo)},
		// The first window closes at 130: forty seconds from 124 are too long, so it waits for the second.
		{Grouping: 2, Start: 124, Finish: 240, Wait: 76, Out: who(bo, eve), Stay: who(cy), Released: who(cy)},
		// 10, two in 4, Cy and two guests out 3, newcomers 6, called 5, nobody stays 15, frames 5.
		{Grouping: 3, Start: 240, Finish: 288, In: who(ann, dee), Out: who(cy), Released: who(ann, dee)},
	}, s.Entries)
	want := Cost{
		StepIns: 5 + 2, // Cy counts as three
		Release: 1*288 + 10*124 + 100*240 + 1000*288,
		// Ann between 49 and 240, Dee from the start to 240, Eve from 124 and Fay from the start to the end.
		Idle: 1*191 + 5*240 + 20*(288-124) + 7*288,
	}
	assert.Equal(t, want, s.Cost)
	assert.Equal(t, 50*7+want.Release+want.Idle, p.Total(s.Cost))
}

// tens is a list of groupings of ten seconds each, one person in each.
func tens(n int, wish func(*Spec)) Spec {
	s := Spec{StepWeight: 1}
	for j := range n {
		s.People = append(s.People, Person{ReleaseWeight: 1})
		s.Groupings = append(s.Groupings, Grouping{Members: []PersonIndex{PersonIndex(j)}, Fixed: 10})
	}
	wish(&s)
	return s
}

// Each of these lists has a right order and a wrong one that breaks just what the name says.
func TestVerifyRefusesWhatIsWrong(t *testing.T) {
	list := func(g ...GroupingIndex) []GroupingIndex { return g }
	for _, c := range []struct {
		name         string
		spec         Spec
		right, wrong []GroupingIndex
	}{
		{"too few", tens(2, func(*Spec) {}), list(1, 0), list(1)},
		{"twice", tens(2, func(*Spec) {}), list(1, 0), list(1, 1)},
		{"unknown", tens(2, func(*Spec) {}), list(1, 0), list(1, 2)},
		{"below 0", tens(2, func(*Spec) {}), list(1, 0), list(1, -1)},
		{"after the close", tens(3, func(s *Spec) { s.Close, s.Groupings[2].Fixed, s.Frame = 30, 0, []PersonIndex{2}; s.Timing.Fresh = 11 }), list(2, 1, 0), list(0, 1, 2)},
		{"past its window", tens(2, func(s *Spec) { s.Groupings[0].Windows = []Window{{0, 19}} }), list(0, 1), list(1, 0)},
		{"past the close after its window", tens(2, func(s *Spec) { s.Close, s.Groupings[0].Windows = 20, []Window{{11, 40}} }), nil, list(1, 0)},
		{"before what it comes after", tens(2, func(s *Spec) { s.Groupings[0].After = list(1) }), list(1, 0), list(0, 1)},
		{"pinned first", tens(3, func(s *Spec) { s.Groupings[1].Pin = PinFirst }), list(1, 0, 2), list(0, 1, 2)},
		{"pinned last", tens(3, func(s *Spec) { s.Groupings[1].Pin = PinLast }), list(0, 2, 1), list(0, 1, 2)},
		{"prefix", tens(2, func(s *Spec) { s.Prefix = list(1) }), list(1, 0), list(0, 1)},
		{"prefix turned round", tens(3, func(s *Spec) { s.Prefix = list(1, 0) }), list(1, 0, 2), list(1, 2, 0)},
		{"together", tens(3, func(s *Spec) { s.Together = [][]GroupingIndex{list(0, 2)} }), list(1, 2, 0), list(0, 1, 2)},
		{"separate", tens(3, func(s *Spec) { s.Separate = [][2][]GroupingIndex{{list(0, 2), list(1)}} }), list(1, 0, 2), list(0, 1, 2)},
		{"separate, the other round", tens(3, func(s *Spec) { s.Separate = [][2][]GroupingIndex{{list(1), list(0, 2)}} }), list(0, 2, 1), list(0, 1, 2)},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := mustProblem(t, c.spec)
			if c.right != nil {
				s, err := Evaluate(p, c.right)
				require.NoError(t, err)
				require.NoError(t, Verify(p, c.right, s.Cost))
				for _, cost := range []Cost{{StepIns: 1}, {Release: 1}, {Idle: 1}, {StepIns: -1}} {
					wrong := Cost{s.Cost.StepIns + cost.StepIns, s.Cost.Release + cost.Release, s.Cost.Idle + cost.Idle}
					assert.ErrorIs(t, Verify(p, c.right, wrong), ErrOrder)
				}
			}
			s, _ := Evaluate(p, c.wrong)
			assert.ErrorIs(t, Verify(p, c.wrong, s.Cost), ErrOrder)
		})
	}
}

// The one integer of a cost orders costs as the emphasis does.
func TestTotalOrdersAsTheEmphasis(t *testing.T) {
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 21))
		s := randomSpec(rng, 2+rng.IntN(6))
		for j := range s.Groupings {
			s.Groupings[j].Windows = nil
		}
		s.Close = 0
		p := mustProblem(t, s)
		var costs []Cost
		for range 40 {
			e, err := Evaluate(p, toIndexes(rng.Perm(len(s.Groupings))))
			require.NoError(t, err)
			costs = append(costs, e.Cost)
		}
		for k := 1; k < len(costs); k++ {
			a, b := costs[k-1], costs[k]
			want := cmp.Compare(s.StepWeight*a.StepIns+a.Release+a.Idle, s.StepWeight*b.StepIns+b.Release+b.Idle)
			switch s.Emphasis {
			case FewestSteps:
				want = cmp.Or(cmp.Compare(a.StepIns, b.StepIns), cmp.Compare(a.Release+a.Idle, b.Release+b.Idle))
			case EarlyRelease:
				want = cmp.Or(cmp.Compare(a.Release, b.Release), cmp.Compare(a.StepIns, b.StepIns))
			}
			assert.Equal(t, want, cmp.Compare(p.Total(a), p.Total(b)), "%v: %+v, %+v", s.Emphasis, a, b)
		}
	}
}
