package planning

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
)

func TestReplanWithoutTimes(t *testing.T) {
	e := gardenList()
	e.Blocks, e.Date = nil, ""
	o := replan(t, e, Today{Now: at(3), Done: map[string]bool{"all": true}, Frames: map[string]Calling{"": {Grouping: "all", At: at(3)}}})
	assert.Len(t, order(o), 5)
	assert.Equal(t, at(3), o.Sheet.Blocks[0].Start.UTC())
	assert.Empty(t, o.Sheet.Blocks[0].Entries[0].StepIn, "all of them stand there")
	assert.Zero(t, o.Forecasts[0].Over)
	assert.True(t, o.Forecasts[0].Closes.IsZero())
}

// Months later no time of the day can be kept; the order is still there to go through.
func TestReplanLongAfterTheDay(t *testing.T) {
	e := wedding(t, "harbour-wedding.yaml")
	now := time.Date(2027, 11, 25, 4, 0, 0, 0, time.UTC)
	o := replan(t, e, Today{Now: now})
	assert.Len(t, order(o), 26)
	assert.Equal(t, now, o.Sheet.Blocks[0].Start.UTC())
	for _, p := range e.People {
		assert.NotContains(t, p.PresentFrom, "2027-11", "the event of the caller stays as it is")
	}
}

// Somebody who tries the day out weeks ahead, or has written another date, has the next names too.
func TestReplanLongBeforeTheDay(t *testing.T) {
	e := gardenList()
	e.Blocks = append(e.Blocks, event.Block{ID: "hall", Opens: "2027-05-16T16:00:00Z", Closes: "2027-05-16T17:00:00Z"})
	for _, days := range []float64{1, 5, 7, 20, 400} {
		now := at(-days * 24 * 60)
		for name, today := range map[string]Today{
			"called": {Current: map[string]Calling{"garden": {Grouping: "rosa", At: now.Add(-time.Minute)}}},
			"taken":  {Done: map[string]bool{"rosa": true}, Frames: map[string]Calling{"garden": {Grouping: "rosa", At: now.Add(-time.Minute)}}},
			"closed": {Done: map[string]bool{"rosa": true}, Frames: map[string]Calling{"garden": {Grouping: "rosa", At: now.Add(-time.Minute)}}, Closed: map[string]bool{"garden": true}},
			"before": {},
		} {
			today.Now = now
			o := replan(t, e, today)
			assert.NotEmpty(t, order(o), "%s, %g days ahead", name, days)
			assert.Equal(t, name == "before" || days <= 3, o.Sheet.Blocks[0].Start.After(at(-4*24*60)), "%s, %g days ahead", name, days)
		}
	}
}

// Whoever tries a day out weeks ahead and says that somebody comes later sees what that does.
func TestReplanLateOnAnotherDay(t *testing.T) {
	e := gardenList()
	now := at(-20 * 24 * 60)
	o := replan(t, e, Today{
		Now: now, Done: map[string]bool{"rosa": true}, Frames: map[string]Calling{"garden": {Grouping: "rosa", At: now.Add(-time.Minute)}},
		Away: map[string]time.Time{"rui": now.Add(2 * time.Hour), "lan": at(30)},
	})
	assert.Equal(t, []string{"all", "parents", "uncles"}, slices.Sorted(slices.Values(order(o)[2:])), "those with rui are last")
}

// A block that was moved to today while the others are weeks ahead is planned all the same.
func TestReplanBlocksWeeksApart(t *testing.T) {
	e := gardenList()
	e.Blocks = append(e.Blocks, event.Block{ID: "hall", Opens: "2027-05-16T16:00:00Z", Closes: "2027-05-16T17:00:00Z"})
	now := at(-20 * 24 * 60)
	o := replan(t, e, Today{
		Now: now, Done: map[string]bool{"rosa": true}, Frames: map[string]Calling{"garden": {Grouping: "rosa", At: now.Add(-time.Minute)}},
		Times: map[string]Times{"garden": {Opens: now.Add(-time.Minute)}},
	})
	assert.NotEmpty(t, order(o))
	now = at(21 * 24 * 60)
	o = replan(t, e, Today{Now: now, Times: map[string]Times{"hall": {Opens: now.Add(2 * time.Hour)}}})
	assert.NotEmpty(t, order(o))
}

// Who has no name has to leave too, whether the next photograph is called already or not.
func TestReplanClearsGuests(t *testing.T) {
	for name, current := range map[string]map[string]Calling{"called": {"garden": {Grouping: "parents", At: at(8)}}, "not called": nil} {
		first := func(guests int) time.Duration {
			e := gardenList()
			e.Groupings[0].Guests = guests
			o := replan(t, e, Today{Now: at(8), Done: map[string]bool{"all": true}, Current: current,
				Slots:  []Timed{{Grouping: "all", Block: "garden", Finished: at(8)}},
				Frames: map[string]Calling{"garden": {Grouping: "all", At: at(8)}}})
			return o.Sheet.Blocks[0].Entries[0].Length
		}
		assert.InDelta(t, 100, (first(100) - first(0)).Seconds(), 10, name)
	}
}
