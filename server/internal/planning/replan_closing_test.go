package planning

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// A block that nobody has closed goes on; one that was closed takes nothing more.
func TestReplanGoesOnUntilSomebodyCloses(t *testing.T) {
	e := gardenList()
	o := replan(t, e, Today{Now: at(62)})
	assert.Len(t, order(o), 6)
	assert.Equal(t, at(60), o.Forecasts[0].Closes.UTC())
	assert.Empty(t, o.Forecasts[0].Drop, "nothing that is left out would help")
	assert.Equal(t, o.Forecasts[0].Finish.Sub(at(60)), o.Forecasts[0].Over)
	for _, id := range order(o)[:3] {
		assert.Contains(t, []string{"all", "rosa", "couple"}, id, "what must have goes first")
	}

	o = replan(t, e, Today{Now: at(62), Closed: map[string]bool{"garden": true}})
	assert.Empty(t, order(o))
	assert.Equal(t, "The time slots that it could be taken in are over.", owed(t, o, "all").Why.String())
}

// What is said to be over and when it finishes agree with each other.
func TestReplanSaysHowFarItIsOver(t *testing.T) {
	e := gardenList()
	e.Blocks[0].Closing = event.FirmClosing
	o := replan(t, e, Today{Now: at(48)})
	f := o.Forecasts[0]
	assert.Equal(t, f.Finish.Sub(f.Closes), f.Over)
	assert.Equal(t, order(o)[5:], f.Drop, "they are on the sheet, last")
	for seconds := range 60 {
		o := replan(t, e, Today{Now: at(48 + float64(seconds)/60)})
		f, said := o.Forecasts[0], ""
		for _, c := range o.Changes {
			said += c.String()
		}
		minutes := int(f.Finish.Truncate(time.Minute).Sub(f.Closes).Minutes())
		assert.Equal(t, minutes > 0, strings.Contains(said, fmt.Sprintf("about %d minute", minutes)), f.Finish)
	}
}

// Nobody is told to leave out what must be taken, unless the block has to end.
func TestReplanDropsNoMusts(t *testing.T) {
	e := gardenList()
	for _, now := range []float64{20, 45, 52, 59} {
		o := replan(t, e, Today{Now: at(now)})
		for _, id := range o.Forecasts[0].Drop {
			assert.NotEqual(t, event.Must, owed(t, o, id).Priority, "%s at %v", id, now)
		}
	}
	late := replan(t, e, Today{Now: at(59)})
	assert.NotEmpty(t, late.Forecasts[0].Drop)
	e.Blocks[0].Closing = event.FirmClosing
	assert.Len(t, replan(t, e, Today{Now: at(59)}).Forecasts[0].Drop, 6)
}

// A firm closing is said and holds nothing back. A soft block may run over, and nothing is moved or dropped for that.
func TestReplanFirmAndSoft(t *testing.T) {
	e := gardenList()
	paper := order(replan(t, e, Today{Now: at(49)}))
	today := Today{Now: at(49), Orders: map[string][]string{"garden": paper}, Told: true}
	soft := replan(t, e, today)
	require.Positive(t, soft.Forecasts[0].Over)
	assert.Equal(t, paper, order(soft))
	assert.Empty(t, soft.Forecasts[0].Drop)
	assert.Empty(t, soft.Changes)
	assert.Positive(t, soft.Sheet.Blocks[0].Overrun)

	e.Blocks[0].Closing = event.FirmClosing
	firm := replan(t, e, today)
	assert.ElementsMatch(t, paper, order(firm), "it goes on until somebody closes it")
	assert.NotEmpty(t, firm.Forecasts[0].Drop)
	last := firm.Changes[len(firm.Changes)-1].String()
	assert.Contains(t, last, "garden has to end at 17:00 and is about ")
}

// Somebody who was to leave and has not left is photographed.
func TestReplanWhoIsThereStill(t *testing.T) {
	e := gardenList()
	e.People[2].PresentUntil = "16:05"
	o := replan(t, e, Today{Now: at(10)})
	assert.Len(t, order(o), 6)
	assert.Equal(t, "Its time is over: take it while everybody is still there.", owed(t, o, "rosa").Why.String())

	o = replan(t, e, Today{Now: at(10), Away: map[string]time.Time{"rosa": {}}})
	assert.NotContains(t, order(o), "rosa")
	e.People[3].PresentFrom = "16:30"
	o = replan(t, e, Today{Now: at(10)})
	assert.NotContains(t, order(o), "all", "somebody of it is yet to come")
}

// When planning goes wrong the order in force stays, and says so in numbers.
func TestReplanFallsBack(t *testing.T) {
	e := gardenList()
	e.Groupings[0].After = []string{"couple"}
	today := Today{Now: at(1), Told: true, Orders: map[string][]string{"garden": {"uncles", "rosa", "others", "parents", "couple"}}, Done: map[string]bool{"others": true}}
	r, err := newRest(e, today)
	require.NoError(t, err)
	r.verify = func(*day.Problem, day.Plan, solver.Cost, day.Lost) error { return errors.New("entry 3 is wrong") }
	require.NoError(t, r.solve(t.Context(), Options{}))
	o := r.outlook()
	assert.Equal(t, []string{"uncles", "rosa", "parents", "couple", "all"}, order(o))
	require.NotNil(t, o.Fault)
	assert.Equal(t, "entry 3 is wrong", o.Fault.Cause)
	p, err := day.New(o.Fault.Spec)
	require.NoError(t, err)
	_, found := day.Fix(p, o.Fault.Orders)
	assert.True(t, found, "it can be searched again")
	text, err := json.Marshal(o.Fault)
	require.NoError(t, err)
	for _, p := range e.People {
		assert.NotContains(t, string(text), p.Name)
	}
}

// When time is up, what has no place yet is tried for a moment only, however many photographs and people there are.
func TestReplanEndsWhenTimeIsUp(t *testing.T) {
	e := event.Event{Date: "2027-05-15", TimeZone: "UTC", Blocks: []event.Block{{ID: "lawn", Opens: "15:00", Closes: "16:00", Closing: event.FirmClosing}}}
	for i := range 150 {
		id := fmt.Sprint("p", i)
		e.People = append(e.People, event.Person{ID: id, Name: "Guest " + id})
	}
	for i := range 400 {
		g := event.Grouping{ID: fmt.Sprint("g", i), NotAfter: "15:50"} // most of them have no place at all
		for k := range 75 {
			g.Members = append(g.Members, e.People[(7*i+k)%150].ID)
		}
		e.Groupings = append(e.Groupings, g)
	}
	r, err := newRest(e, Today{Now: at(20)})
	require.NoError(t, err)
	over, cancel := context.WithCancel(t.Context())
	cancel()
	require.NoError(t, r.solve(over, Options{}))
	assert.NotEmpty(t, r.plan.Blocks[0])
	assert.Greater(t, r.tried, overtimeWork)
	assert.Less(t, r.tried, overtimeWork+overtimeWork/10)
}

// Ten minutes after a firm closing what can be taken in another block that is open is taken there, and a photographer of both goes
// on there first. What can be taken nowhere else stays.
func TestReplanMovesOnFromFirm(t *testing.T) {
	for _, who := range []string{"x", "y"} {
		e := gardenList()
		e.Blocks[0].Photographer, e.Blocks[0].Closing = "x", event.FirmClosing
		e.Blocks = append(e.Blocks, event.Block{ID: "hall", Opens: "17:05", Closes: "17:50", Photographer: who})
		for g, block := range []string{"garden", "garden", "hall", "hall"} {
			e.Groupings[g].Blocks = []string{block}
		}
		after := func(minute float64) Outlook {
			return replan(t, e, Today{
				Now: at(minute), Told: true, Done: map[string]bool{"all": true}, Frames: map[string]Calling{"garden": {Grouping: "all", At: at(minute)}},
				Orders: map[string][]string{"garden": {"all", "couple", "uncles", "parents"}, "hall": {"rosa", "others"}},
				Slots:  []Timed{{Grouping: "all", Block: "garden", Finished: at(minute)}},
			})
		}
		assert.Equal(t, []string{"couple", "uncles", "parents"}, entriesIn(after(62), "garden"), "nothing jumps")
		o := after(90)
		assert.Equal(t, []string{"parents"}, entriesIn(o, "garden"))
		assert.ElementsMatch(t, []string{"rosa", "couple", "others", "uncles"}, entriesIn(o, "hall"))
		if who == "x" {
			assert.Equal(t, "hall", o.Sheet.Blocks[0].Block)
		}
		assert.Contains(t, reasons(o), "garden has to end at 17:00 and is about ")
	}
}
