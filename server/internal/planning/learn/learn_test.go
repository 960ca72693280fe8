package learn_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/check"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/planning/learn"
)

// busy is a wedding of forty people with photographs of many sizes, some of people who walk slowly.
func busy(r *rand.Rand) event.Event {
	e := event.Event{Date: "2026-06-20", Blocks: []event.Block{{ID: "lawn", Opens: "12:00"}}}
	for i := range 40 {
		p := event.Person{ID: fmt.Sprintf("p%d", i), Name: fmt.Sprintf("Person %d", i)}
		switch {
		case i%9 == 4:
			p.AgeBand = event.Elder
		case i%11 == 7:
			p.AgeBand = event.Child
		case i%19 == 12:
			p.Needs = []event.Need{event.Wheelchair}
		}
		e.People = append(e.People, p)
	}
	for k := range 24 {
		size := 1 + r.IntN(6)
		switch {
		case k%5 == 0:
			size = 7 + r.IntN(12)
		case k%7 == 0:
			size = 20 + r.IntN(20)
		}
		g := event.Grouping{ID: fmt.Sprintf("g%d", k), Title: fmt.Sprintf("Photograph %d", k)}
		for _, i := range r.Perm(40)[:size] {
			g.Members = append(g.Members, e.People[i].ID)
		}
		e.Groupings = append(e.Groupings, g)
	}
	return e
}

// own is the pace of a made-up studio: slow between photographs, quick with frames, careful in placing.
func own() event.Pace {
	seconds := func(n int) *int { return &n }
	p := event.Pace{
		SettleSeconds: seconds(70), PerStepInSeconds: seconds(2), PerStepOutSeconds: seconds(2), FreshSeconds: seconds(18), PerFrameSeconds: seconds(3),
		ElderSeconds: seconds(45), ChildSeconds: seconds(15), InfantSeconds: seconds(23), WheelchairSeconds: seconds(60),
		FetchSeconds: seconds(126),
	}
	for _, point := range [][2]int{{0, 0}, {1, 10}, {6, 15}, {7, 30}, {15, 40}, {16, 55}, {30, 70}, {31, 85}, {60, 115}, {61, 130}, {140, 210}} {
		p.Arrange = append(p.Arrange, event.ArrangePoint{Newcomers: point[0], Seconds: point[1] * 4 / 5})
	}
	return p
}

// lived goes through a wedding at a pace. The seconds are those that the planner itself gives an event with
// this pace, so that the fit is tested against other code than its own.
func lived(t *testing.T, r *rand.Rand, pace event.Pace, spread float64, start bool) learn.Day {
	t.Helper()
	e := busy(r)
	paced := e
	paced.Pace = pace
	s, err := planning.Fixed(paced, planning.Options{}, []planning.Order{{Block: "lawn", Photographs: ids(e)}})
	require.NoError(t, err)
	d := learn.Day{Event: e}
	at := s.Blocks[0].Start
	for _, entry := range s.Blocks[0].Entries {
		x := planning.Timed{Grouping: entry.Grouping, Block: "lawn"}
		if start {
			x.Started = at
		}
		at = at.Add(time.Duration(float64(entry.Length) * math.Exp(spread*r.NormFloat64())))
		x.Finished = at
		d.Slots = append(d.Slots, x)
	}
	return d
}

func ids(e event.Event) []string {
	var out []string
	for _, g := range e.Groupings {
		out = append(out, g.ID)
	}
	return out
}

var truth = map[string]float64{"settle": 70, "perStepIn": 2, "perStepOut": 2, "fresh": 18, "perFrame": 3, "arrange": 0.8, "slow": 1.5, "gather": 0.7}

func TestPaceEndsWithItsCaller(t *testing.T) {
	day := lived(t, rand.New(rand.NewPCG(31, 9)), own(), 0.15, true)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := learn.Pace(ctx, []learn.Day{day, day})
	require.ErrorIs(t, err, context.Canceled)
}

func TestPaceFindsThePace(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 1))
	var days []learn.Day
	for range 12 {
		days = append(days, lived(t, r, own(), 0.15, true))
	}
	got, err := learn.Pace(t.Context(), days)
	require.NoError(t, err)
	assert.Equal(t, 12, got.Events)
	assert.Equal(t, 12*23, got.Photographs, "all but the first, in which the greetings may be")
	require.Len(t, got.Parameters, len(truth))
	for _, p := range got.Parameters {
		// The usual value draws by up to one deviation, on purpose.
		assert.InDelta(t, truth[p.Name], p.Value, 3*p.Deviation+0.05*truth[p.Name], "%+v", p)
	}
	require.NotNil(t, got.After)
	assert.Equal(t, 12, got.HeldOut)
	assert.Less(t, got.After.PhotographSeconds, 0.8*got.Before.PhotographSeconds)
	assert.Less(t, got.After.EventSeconds, 0.4*got.Before.EventSeconds)
	assert.InDelta(t, 15, float64(*got.Pace.SlotSpreadPercent), 4)
	require.NotNil(t, got.Pace.DaySpreadPercent)
	assert.Empty(t, check.Pace(got.Pace), "the pace is one that an event may have")

	// A plan with it takes about as long as one with the truth, rounding included.
	e := busy(r)
	lengths := map[string]time.Duration{}
	for name, pace := range map[string]event.Pace{"truth": own(), "fitted": got.Pace, "usual": {}} {
		e.Pace = pace
		s, err := planning.Fixed(e, planning.Options{}, []planning.Order{{Block: "lawn", Photographs: ids(e)}})
		require.NoError(t, err)
		lengths[name] = s.Blocks[0].Length
	}
	off := func(name string) float64 { return math.Abs(lengths[name].Seconds()/lengths["truth"].Seconds() - 1) }
	assert.Less(t, off("fitted"), 0.04, "%v", lengths)
	assert.Greater(t, off("usual"), off("fitted"), "%v", lengths)
}

// Lunch, a shower of rain, a photograph ticked an hour late or together with the next one: a tenth of all.
func TestPaceResistsBreaks(t *testing.T) {
	r := rand.New(rand.NewPCG(32, 1))
	var clean, broken []learn.Day
	for range 8 {
		d := lived(t, r, own(), 0.1, false)
		clean = append(clean, d)
		b := learn.Day{Event: d.Event}
		var late time.Duration
		for k, x := range d.Slots {
			switch k {
			case 6:
				late += 45 * time.Minute
			case 13:
				late += 6 * time.Minute
			case 18:
				late -= 20 * time.Second
			}
			x.Finished = x.Finished.Add(late)
			b.Slots = append(b.Slots, x)
		}
		broken = append(broken, b)
	}
	a, err := learn.Pace(t.Context(), clean)
	require.NoError(t, err)
	b, err := learn.Pace(t.Context(), broken)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, b.SetAside, 8, "at least the lunches")
	assert.Contains(t, b.Text, "set aside, as after a break")
	for i, p := range b.Parameters {
		assert.InDelta(t, a.Parameters[i].Value, p.Value, 2*p.Deviation+0.06*truth[p.Name], "%+v without breaks, %+v with", a.Parameters[i], p)
	}
	assert.Equal(t, 8*23, a.Photographs, "nobody knows when the first of each day began")
}

func TestPaceSaysWhenItKnowsTooLittle(t *testing.T) {
	r := rand.New(rand.NewPCG(33, 1))
	day := lived(t, r, own(), 0.1, true)
	day.Slots = day.Slots[:20]
	got, err := learn.Pace(t.Context(), []learn.Day{day})
	require.NoError(t, err)
	assert.Equal(t, event.Pace{}, got.Pace)
	assert.Empty(t, got.Parameters)
	assert.Equal(t, 20, got.LeastPhotographs)
	assert.Equal(t, "Too little to fit to: the time of 19 photographs is known, and 20 are needed. The usual pace stays.", got.Text)

	one := lived(t, r, own(), 0.1, true)
	got, err = learn.Pace(t.Context(), []learn.Day{one})
	require.NoError(t, err)
	assert.NotNil(t, got.Pace.SettleSeconds)
	assert.Equal(t, 14, *got.Pace.DaySpreadPercent, "√(0.1² + 1/(1/0.35² + 1/0.1²)): less than of an unknown studio, more than of one long known")
	assert.Nil(t, got.After)
	assert.Contains(t, got.Text, "Not tried on an event that it had not seen")

	got, err = learn.Pace(t.Context(), nil)
	require.NoError(t, err)
	assert.Zero(t, got.Photographs)
}

func TestPaceLeavesOutWhatSaysNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(34, 1))
	day := lived(t, r, own(), 0, true)
	minutes := 3.0
	day.Event.Groupings[4].Minutes = &minutes // the planner knew better: its time is not the model's
	day.Slots[5].Grouping = "no such photograph"
	day.Without = map[string][]string{"g7": day.Event.Groupings[7].Members}
	day.Added = []event.Grouping{{ID: "extra", Members: []string{"p1", "p2"}}}
	day.With = map[string][]string{"extra": {"p3"}}
	last := day.Slots[len(day.Slots)-1].Finished
	day.Slots = append(day.Slots, planning.Timed{Grouping: "extra", Block: "lawn", Started: last, Finished: last.Add(150 * time.Second)})
	got, err := learn.Pace(t.Context(), []learn.Day{day})
	require.NoError(t, err)
	assert.Equal(t, 24+1-4, got.Photographs, "nor the first, in which the greetings may be")

	day.Event.People[0].ID = ""
	_, err = learn.Pace(t.Context(), []learn.Day{{}, day})
	var invalid *event.InvalidError
	require.ErrorAs(t, err, &invalid)
	assert.Contains(t, invalid.Faults[0].Field, "runs[", "the faults say of which run they are")
}
