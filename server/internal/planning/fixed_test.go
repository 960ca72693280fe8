package planning_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/wording"
)

func four() event.Event {
	return event.Event{
		Title: "Four", Date: "2026-06-20", TimeZone: "Europe/Lisbon",
		People: []event.Person{
			{ID: "a", Name: "Ann"}, {ID: "b", Name: "Bo"}, {ID: "c", Name: "Cleo"},
			{ID: "d", Name: "Dag", AgeBand: event.Elder},
		},
		Groupings: []event.Grouping{
			{ID: "ab", Members: []string{"a", "b"}}, {ID: "cd", Members: []string{"c", "d"}},
			{ID: "abc", Members: []string{"a", "b", "c"}}, {ID: "ad", Members: []string{"a", "d"}},
		},
		Blocks: []event.Block{{ID: "x", Place: "Yard", Opens: "15:00", Closes: "15:30"}},
	}
}

// The orders that Plan found, written without a search, make the same sheet.
func TestFixedWritesWhatPlanFound(t *testing.T) {
	needs.Time(t)
	for _, name := range []string{"grandparents", "interpreter", "two-brides", "not-meeting", "ten-of-thirty"} {
		e := readCase(t, name)
		want := planned(t, e, planning.Options{})
		got, err := planning.Fixed(e, planning.Options{}, planning.OrdersOf(want))
		require.NoError(t, err, name)
		assert.Equal(t, want.Blocks, got.Blocks, name)
		assert.Equal(t, want.People, got.People, name)
		assert.Equal(t, want.Totals.StepIns, got.Totals.StepIns, name)
		assert.Equal(t, want.Totals.Cost, got.Totals.Cost, name)
		assert.LessOrEqual(t, got.Totals.Bound, want.Totals.Cost, name)
		assert.LessOrEqual(t, got.Totals.FloorStepIns, want.Totals.StepIns, name)
	}
}

func TestFixedKeepsTheOrderGiven(t *testing.T) {
	s, err := planning.Fixed(four(), planning.Options{}, []planning.Order{{Block: "x", Photographs: []string{"cd", "ab", "ad"}}})
	require.NoError(t, err)
	assert.Equal(t, []string{"cd", "ab", "ad"}, order(s.Blocks[0]))
	assert.Equal(t, []event.LeftOut{{Grouping: "abc", Why: wording.Say("plan.leftOutByHand"), Priority: event.Should}}, s.LeftOut)
	assert.Equal(t, 5, s.Totals.StepIns, "Cleo and Dag, then Ann and Bo, then Dag again")
	assert.False(t, s.Totals.Proven)
}

// What holds against the hand: firm closings, people who are not there, and rules that keep people from each other.
func TestFixedSaysWhatStandsAgainst(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*event.Event)
		order  []string
		says   string
	}{
		"too late": {func(e *event.Event) { e.Blocks[0].Closes, e.Blocks[0].Closing = "15:03", event.FirmClosing },
			[]string{"ab", "cd", "abc"}, "Yard would end "},
		"away": {func(e *event.Event) { e.People[3].PresentUntil = "15:02" }, []string{"ab", "cd"},
			"“Cleo & Dag” would fall when somebody is away, or outside the times you set."},
		"turns": {func(e *event.Event) {
			e.Rules = []event.Rule{{Turns: &event.Turns{People: []string{"b", "d"}}}}
		}, []string{"ab", "cd", "abc"}, "finish one group before the next"},
	} {
		t.Run(name, func(t *testing.T) {
			e := four()
			c.change(&e)
			_, err := planning.Fixed(e, planning.Options{}, []planning.Order{{Block: "x", Photographs: c.order}})
			var infeasible *event.InfeasibleError
			require.ErrorAs(t, err, &infeasible)
			assert.Contains(t, infeasible.Message.String(), c.says)
		})
	}
}

// The hand wins over wishes and soft closings: the order is kept, and what it breaks is said. So it is when all of it is
// locked and the rest is planned.
func TestTheHandWins(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*event.Event)
		order  []string
		says   string
	}{
		"after":    {func(e *event.Event) { e.Groupings[0].After = []string{"cd"} }, []string{"ab", "cd"}, "“Ann with Bo” has to come after “Cleo & Dag”."},
		"first":    {func(e *event.Event) { e.Groupings[0].Pin = event.PinFirst }, []string{"cd", "ab"}, "“Ann with Bo” has to be first."},
		"last":     {func(e *event.Event) { e.Groupings[0].Pin = event.PinLast }, []string{"ab", "cd"}, "“Ann with Bo” has to be last."},
		"too late": {func(e *event.Event) { e.Blocks[0].Closes = "15:01" }, []string{"ab", "cd", "abc"}, "Yard runs about "},
		"another block": {func(e *event.Event) {
			e.Blocks = append(e.Blocks, event.Block{ID: "y", Place: "Porch", Opens: "17:00"})
			e.Groupings[1].Blocks = []string{"y"}
		}, []string{"cd"}, "“Cleo & Dag” cannot be taken in Yard."},
		"senior first": {func(e *event.Event) {
			e.Rules = []event.Rule{{Seniority: &event.Seniority{People: []string{"d", "b"}}}}
		}, []string{"ab", "cd"}, "The order of precedence puts “Cleo & Dag” before “Ann with Bo”."},
	} {
		t.Run(name, func(t *testing.T) {
			e := four()
			c.change(&e)
			given := []planning.Order{{Block: "x", Photographs: c.order}}
			s, err := planning.Fixed(e, planning.Options{}, given)
			require.NoError(t, err)
			assert.Equal(t, c.order, order(s.Blocks[0]))
			said := func(s event.CallSheet) string {
				var all []string
				for _, a := range s.Advice {
					all = append(all, a.Text())
				}
				return strings.Join(all, "\n")
			}
			assert.Contains(t, said(s), c.says)

			e.Order = planning.HandPlaces(given, c.order)
			for _, g := range e.Groupings {
				if !slices.Contains(c.order, g.ID) {
					e.LeftOut = append(e.LeftOut, g.ID)
				}
			}
			p := planned(t, e, planning.Options{})
			assert.Equal(t, c.order, order(p.Blocks[0]))
			assert.Contains(t, said(p), c.says)
			assert.Len(t, p.LeftOut, len(e.LeftOut))
		})
	}
}

func TestFixedRefusesFaultyOrders(t *testing.T) {
	_, err := planning.Fixed(four(), planning.Options{}, []planning.Order{
		{Block: "nowhere"}, {Block: "x", Photographs: []string{"ab", "zz", "ab"}},
	})
	var invalid *event.InvalidError
	require.ErrorAs(t, err, &invalid)
	var fields []string
	for _, f := range invalid.Faults {
		fields = append(fields, f.Field)
	}
	assert.Equal(t, []string{"orders[0].block", "orders[1].photographs[1]", "orders[1].photographs[2]"}, fields)
}

// What is locked has the same photographs before and after it as in the order of the hand, what is
// dropped is not taken, and the rest is planned no worse than the hand had it.
func TestPlanAroundTheHand(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for range 20 {
		e := scattered(rng)
		var list []string
		for _, i := range rng.Perm(len(e.Groupings)) {
			list = append(list, e.Groupings[i].ID)
		}
		dropped, kept := list[0], list[1:]
		byHand, err := planning.Fixed(e, planning.Options{}, []planning.Order{{Photographs: kept}})
		require.NoError(t, err)
		locked := []string{kept[2], kept[4]}
		e.Order, e.LeftOut = planning.HandPlaces([]planning.Order{{Photographs: list}}, locked), []string{dropped}
		s, err := planning.Plan(context.Background(), e, planning.Options{Work: 1000})
		require.NoError(t, err)
		got := order(s.Blocks[0])
		require.ElementsMatch(t, kept, got)
		assert.ElementsMatch(t, kept[:2], got[:2])
		assert.Equal(t, kept[2:5], got[2:5], "one stands between the two locked ones")
		assert.LessOrEqual(t, s.Totals.Cost, byHand.Totals.Cost)
		assert.Equal(t, []event.LeftOut{{Grouping: dropped, Why: wording.Say("plan.leftOutByHand")}}, s.LeftOut)
	}
}

// scattered is an event of seven photographs with people at random.
func scattered(rng *rand.Rand) event.Event {
	e := four()
	e.Groupings, e.Blocks = nil, nil
	for _, id := range []string{"p", "q", "r", "s", "t", "u", "v"} {
		g := event.Grouping{ID: id}
		for _, p := range e.People {
			if rng.IntN(2) == 0 || p.ID == "a" {
				g.Members = append(g.Members, p.ID)
			}
		}
		e.Groupings = append(e.Groupings, g)
	}
	return e
}

func TestPutBack(t *testing.T) {
	given := []planning.Order{{Block: "x", Photographs: []string{"ab", "abc", "cd"}}}
	s, err := planning.PutBack(t.Context(), four(), planning.Options{}, given, "ad")
	require.NoError(t, err)
	assert.Empty(t, s.LeftOut)
	var rest []string
	for _, id := range order(s.Blocks[0]) {
		if id != "ad" {
			rest = append(rest, id)
		}
	}
	assert.Equal(t, given[0].Photographs, rest, "the others keep their order")

	_, err = planning.PutBack(t.Context(), four(), planning.Options{}, given, "zz")
	var invalid *event.InvalidError
	require.ErrorAs(t, err, &invalid)

	short := four()
	short.Blocks[0].Closing, short.Blocks[0].Closes = event.FirmClosing, "15:09" // three minutes to greet
	two := 2.0
	for i := range short.Groupings {
		short.Groupings[i].Minutes = &two
	}
	_, err = planning.PutBack(t.Context(), short, planning.Options{}, given, "ad")
	var infeasible *event.InfeasibleError
	require.ErrorAs(t, err, &infeasible)
	assert.Contains(t, infeasible.Message.String(), "It would fit if the time slot ended")
}

func TestPlanRefusesAFaultyHand(t *testing.T) {
	e := four()
	e.LeftOut = []string{"zz"}
	_, err := planning.Plan(context.Background(), e, planning.Options{})
	var invalid *event.InvalidError
	require.ErrorAs(t, err, &invalid)
}

// A grouping of several photographs is placed, locked and left out by its own id.
func TestTheHandOnSeveralPhotographs(t *testing.T) {
	e := four()
	e.Groupings = append(e.Groupings, event.Grouping{ID: "each", Members: []string{"a"}, EachOf: "all"})
	e.Circles = []event.Circle{{ID: "all", Members: []string{"b", "c", "d"}}}
	e.Order = []event.HandPlace{{Grouping: "each", Block: "x", Locked: true}}
	var each []string
	for _, id := range order(planned(t, e, planning.Options{}).Blocks[0]) {
		if strings.HasPrefix(id, "each.") {
			each = append(each, id)
		}
	}
	assert.Equal(t, []string{"each.b", "each.c", "each.d"}, each)
	e.Order, e.LeftOut = nil, []string{"each"}
	assert.Len(t, planned(t, e, planning.Options{}).LeftOut, 3)
}

// The hand against the proof: planning the rest lies between the proven best and what the hand left, and keeps what the
// hand decided.
func TestCaseHandOrder(t *testing.T) {
	e := readCase(t, "hand-order")
	plain := e
	plain.Order, plain.LeftOut = nil, nil
	for i := range plain.Groupings {
		if plain.Groupings[i].ID == "fathers" {
			plain.Groupings = slices.Delete(slices.Clone(plain.Groupings), i, i+1)
			break
		}
	}
	best := planned(t, plain, planning.Options{})
	require.True(t, best.Totals.Proven)
	var hand []string
	for _, p := range e.Order {
		hand = append(hand, p.Grouping)
	}
	hand = append(hand, "aku-mother") // which the hand has placed nowhere
	by, err := planning.Fixed(e, planning.Options{}, []planning.Order{{Block: "formals", Photographs: hand}})
	require.NoError(t, err)

	s := planned(t, e, planning.Options{})
	assert.Equal(t, "friends", order(s.Blocks[0])[0])
	assert.ElementsMatch(t, hand, order(s.Blocks[0]))
	assert.Equal(t, []event.LeftOut{{Grouping: "fathers", Why: wording.Say("plan.leftOutByHand")}}, s.LeftOut)
	assert.LessOrEqual(t, best.Totals.Cost, s.Totals.Cost)
	assert.LessOrEqual(t, s.Totals.Cost, by.Totals.Cost)
	assert.NotEmpty(t, adviceOf(t, s, event.CodeHandBreaks))

	e.Order[0].Locked = false
	free := planned(t, e, planning.Options{})
	assert.LessOrEqual(t, free.Totals.Cost, best.Totals.Cost, "a start binds nothing")
}

// At a pace of which every second is zero a photograph takes one: nobody is free before their last one.
func TestPhotographsTakeSomeTime(t *testing.T) {
	none := 0
	e := event.Event{
		People:    []event.Person{{ID: "ann", Name: "Ann"}},
		Groupings: []event.Grouping{{ID: "a", Members: []string{"ann"}}, {ID: "b", Members: []string{"ann"}}},
		Pace: event.Pace{
			SettleSeconds: &none, PerFrameSeconds: &none, OpeningSeconds: &none, FreshSeconds: &none, PerStepInSeconds: &none,
			FetchSeconds: &none, Arrange: []event.ArrangePoint{{}},
		},
	}
	s, err := planning.Plan(t.Context(), e, planning.Options{Work: 1})
	require.NoError(t, err)
	require.Len(t, s.Blocks[0].Entries, 2)
	assert.Empty(t, s.Blocks[0].Entries[0].Released)
	assert.EqualValues(t, 1e9, s.Blocks[0].Entries[1].Length)
}
