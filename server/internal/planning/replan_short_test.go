package planning

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
)

// castleAt is the castle whose courtyard ends at a time of day, and what has come of it at another, by the crew's order.
func castleAt(t *testing.T, closes string, hour, minute int, orders map[string][]string) (event.Event, Today) {
	e := wedding(t, "days/castle.yaml")
	e.Blocks[0].Closes = closes
	now := time.Date(2026, 11, 26, hour, minute, 17, 0, time.UTC)
	return e, Today{
		Now: now, Told: true, Orders: orders, Done: map[string]bool{},
		Current: map[string]Calling{}, Frames: map[string]Calling{}, Leaving: map[string]time.Time{},
	}
}

func reasons(o Outlook) (out string) {
	for _, m := range o.Changes {
		out += m.String() + " "
	}
	return out
}

// When time is up, what has no place yet goes to an end. What must be taken comes before it all the same, and so does what it
// comes after.
func TestReplanMustsFirstWhenTimeIsUp(t *testing.T) {
	e, today := castleAt(t, "16:04", 15, 37, map[string][]string{
		"terrace": {"t-iatt", "t-friends", "t-boyd"},
		"yard": {"all-d", "d-close", "d-sib", "both", "grands", "i-gran", "all-i", "four", "d-par", "i-par", "kids", "d-gran", "i-close", "i-sib",
			"god", "atts", "fr", "mohan-g", "cousins", "boyd"},
	})
	for i, g := range e.Groupings {
		switch g.ID {
		case "four":
			e.Groupings[i].Priority = event.Should
		case "d-gran":
			e.Groupings[i].Priority = event.Nice
		case "grands":
			e.Groupings[i].After = []string{"d-sib"}
		case "d-par":
			e.Groupings[i].Blocks = nil
		}
	}
	e.Blocks[1].Opens, e.Blocks[1].Closes = "15:10", "15:46"
	today.Leaving["suresh"] = today.Now.Add(24 * time.Minute)
	today.Done["t-datt"] = true
	today.Current["terrace"] = Calling{Grouping: "t-iatt", At: today.Now}
	today.Frames["terrace"] = today.Current["terrace"]
	for _, work := range []int{1, 3, 10, 100} {
		o, err := Replan(t.Context(), e, today, Options{Work: work})
		assert.NoError(t, err)
		got := order(o)
		for _, must := range []string{"both", "all-i", "grands", "i-par", "d-par", "i-gran"} {
			assert.Less(t, slices.Index(got, must), min(slices.Index(got, "mohan-g"), slices.Index(got, "atts")), must)
		}
	}
}

// Everybody of the courtyard has to come from the terrace first: what must be taken goes first there as ever.
func TestReplanMustsFirstWhenAllAreOnTheirWay(t *testing.T) {
	e, today := castleAt(t, "15:30", 15, 37, map[string][]string{"terrace": {"extra"}, "yard": {"d-par", "d-close", "d-sib", "kids", "i-sib", "all-i", "atts"}})
	today.Told = false
	today.Added = []event.Grouping{{ID: "extra", Members: []string{"isla", "dev"}, Blocks: []string{"terrace"}}}
	for _, g := range e.Groupings {
		today.Done[g.ID] = !slices.Contains(today.Orders["yard"][1:], g.ID)
	}
	today.Current["terrace"], today.Frames["yard"] = Calling{Grouping: "extra", At: today.Now}, Calling{Grouping: "d-par", At: today.Now}
	today.Slots = []Timed{{Grouping: "d-par", Block: "yard", Finished: today.Now}}
	assert.Equal(t, "all-i", entriesIn(replan(t, e, today), "yard")[0])
}

// Somebody of a must-have is to leave before the photographer is there: the crew is asked what to do without them.
func TestReplanAsksForWhomThereIsNoTime(t *testing.T) {
	e, today := castleAt(t, "15:40", 15, 44, map[string][]string{"yard": {"fr", "d-sib", "kids", "i-gran", "all-i", "i-sib", "atts"}})
	today.Told = false
	e.Blocks[1].Photographer = e.Blocks[0].Photographer
	for _, g := range e.Groupings {
		today.Done[g.ID] = !slices.Contains(today.Orders["yard"], g.ID)
		if g.ID == "i-gran" {
			today.Later = map[string]bool{g.ID: true}
		}
	}
	today.Slots = []Timed{{Grouping: "t-datt", Block: "terrace", Finished: today.Now}}
	today.Frames["terrace"] = Calling{Grouping: "t-datt", At: today.Now}
	today.Leaving["ailsa"] = today.Now.Add(2 * time.Minute)
	o := replan(t, e, today)
	assert.NotContains(t, entriesIn(o, "yard"), "all-i")
	assert.Equal(t, []string{"ailsa"}, owed(t, o, "all-i").Missing)
	assert.True(t, owed(t, o, "all-i").OfferWithout)
}

// Whose photo was next and cannot begin yet is told why another comes before it.
func TestReplanSaysWhoIsWaitedFor(t *testing.T) {
	e, today := castleAt(t, "15:29", 15, 33, map[string][]string{
		"terrace": {"t-datt", "t-boyd", "t-friends"},
		"yard":    {"cousins", "all-d", "mohan-g", "both", "grands", "d-gran", "all-i", "i-gran", "four", "i-par", "i-close", "d-par", "d-close"},
	})
	today.Done["t-datt"] = true
	today.Current["yard"] = Calling{Grouping: "cousins", At: today.Now} // Boyds are in it
	o := replan(t, e, today)
	assert.NotEqual(t, "t-boyd", entriesIn(o, "terrace")[0])
	assert.Contains(t, reasons(o), "Later, once everybody in it is here: “The Boyds alone”")
}

// Whose time is over was told to stand by like everybody else.
func TestReplanKeepsNextWhoseTimeIsOver(t *testing.T) {
	e, today := castleAt(t, "15:28", 16, 16, map[string][]string{"yard": {"god", "fr", "i-close", "i-sib", "d-sib", "kids", "atts", "boyd"}})
	e.Blocks, e.Walks = e.Blocks[:1], nil
	e.Groupings = slices.DeleteFunc(e.Groupings, func(g event.Grouping) bool { return slices.Contains(g.Blocks, "terrace") })
	for _, g := range e.Groupings {
		today.Done[g.ID] = !slices.Contains(today.Orders["yard"][1:], g.ID)
	}
	for i, p := range e.People {
		if p.ID == "liv" {
			e.People[i].PresentUntil = "15:48"
		}
	}
	assert.Equal(t, "fr", order(replan(t, e, today))[0], "a time of the list: they may be there still")

	today.Leaving["liv"] = today.Now.Add(-time.Second)
	o := replan(t, e, today)
	assert.NotContains(t, order(o), "fr", "nobody calls who said when to leave")
	assert.Equal(t, []string{"liv"}, owed(t, o, "fr").Missing)
	assert.True(t, owed(t, o, "fr").OfferWithout)
}

func entriesIn(o Outlook, block string) (out []string) {
	for _, b := range o.Sheet.Blocks {
		for _, x := range b.Entries {
			if b.Block == block {
				out = append(out, x.Grouping)
			}
		}
	}
	return out
}

// The second photographer's people are needed in the courtyard first, as somebody there has to leave: they are photographed after
// that, and not never. What of somebody who leaves has no time left for what must be taken is not planned for later.
func TestReplanTakesAfterOthers(t *testing.T) {
	e, today := castleAt(t, "15:57", 15, 50, map[string][]string{
		"terrace": {"t-boyd"},
		"yard":    {"all-i", "i-close", "i-sib", "kids", "i-par", "four", "d-par", "grands", "d-gran", "d-close", "d-sib", "god", "boyd", "fr"},
	})
	for _, g := range e.Groupings {
		today.Done[g.ID] = !slices.Contains(slices.Concat(today.Orders["yard"], today.Orders["terrace"]), g.ID)
	}
	today.Frames["yard"] = Calling{Grouping: "both", At: today.Now}
	today.Frames["terrace"] = Calling{Grouping: "t-datt", At: today.Now}
	today.Slots = []Timed{{Grouping: "both", Block: "yard", Finished: today.Now.Add(time.Millisecond)}} // the terrace is free a moment earlier
	today.Leaving["rory"] = today.Now.Add(8 * time.Minute)
	o := replan(t, e, today)
	assert.Equal(t, []string{"t-boyd"}, entriesIn(o, "terrace"))
	assert.Empty(t, o.Sheet.LeftOut, "all of who leaves in time")

	today.Leaving["rory"] = today.Now.Add(6 * time.Minute)
	o = replan(t, e, today)
	assert.Equal(t, []string{"t-boyd"}, entriesIn(o, "terrace"))
	require.Len(t, o.Sheet.LeftOut, 1)
	assert.Equal(t, "kids", o.Sheet.LeftOut[0].Grouping)
	assert.Equal(t, []string{"rory"}, owed(t, o, "kids").Missing)
}

// earlyOn counts, of orders of the courtyard and the terrace, what comes before a must-have when time is short in the courtyard.
func earlyOn(t *testing.T, e event.Event, today Today) func(yard, terrace []string) int {
	r, err := newRest(e, today)
	assert.NoError(t, err)
	a, err := r.kept(t.Context())
	assert.NoError(t, err)
	r.hurry = []bool{true, false}
	return func(yard, terrace []string) int {
		var orders [][]solver.GroupingIndex
		for _, list := range [][]string{yard, terrace} {
			orders = append(orders, nil)
			for _, id := range list {
				orders[len(orders)-1] = append(orders[len(orders)-1], r.index(id))
			}
		}
		m, ok := r.arrange(a.problem, orders)
		assert.True(t, ok)
		return m.early
	}
}

// A must-have does not come first by coming last in another block, where time is not short.
func TestReplanMustsFirstInEitherBlock(t *testing.T) {
	e, today := castleAt(t, "15:25", 15, 10, map[string][]string{"yard": {"d-close", "d-sib", "d-par", "kids"}, "terrace": {"t-friends"}})
	for i, g := range e.Groupings {
		today.Done[g.ID] = !slices.Contains(slices.Concat(today.Orders["yard"], today.Orders["terrace"]), g.ID)
		if g.ID == "d-par" {
			e.Groupings[i].Blocks = nil
		}
	}
	early := earlyOn(t, e, today)
	assert.Equal(t, 2, early([]string{"d-close", "d-sib", "kids", "d-par"}, []string{"t-friends"}))
	assert.Equal(t, 2, early([]string{"d-close", "d-sib", "kids"}, []string{"t-friends", "d-par"}))
}

// While people of a must-have are not there yet others fill the time. What begins after that comes before it.
func TestReplanMustsFirstOnceTheyAreThere(t *testing.T) {
	e, today := castleAt(t, "15:25", 15, 10, map[string][]string{"yard": {"d-close", "d-sib", "i-gran", "kids"}})
	for _, g := range e.Groupings {
		today.Done[g.ID] = !slices.Contains(today.Orders["yard"], g.ID)
	}
	today.Away = map[string]time.Time{"morag": today.Now.Add(4 * time.Minute)}
	early := earlyOn(t, e, today)
	assert.Equal(t, 0, early([]string{"d-close", "i-gran", "d-sib", "kids"}, nil))
	assert.Equal(t, 2, early([]string{"d-close", "d-sib", "kids", "i-gran"}, nil))
}

// Where a must-have cannot come forward, what can wait goes behind it.
func TestReplanMustsFirstByWaiting(t *testing.T) {
	e, today := castleAt(t, "15:33", 15, 23, nil)
	yard := []string{"boyd", "d-gran", "d-close", "d-sib", "four", "fr"}
	for _, g := range e.Groupings {
		today.Done[g.ID] = !slices.Contains(yard, g.ID)
	}
	today.Frames["yard"] = Calling{Grouping: "all-i", At: today.Now}
	today.Leaving["anya"] = today.Now.Add(9 * time.Minute)
	r, err := newRest(e, today)
	assert.NoError(t, err)
	a, err := r.kept(t.Context())
	assert.NoError(t, err)
	r.hurry = []bool{true, false}
	order := [][]solver.GroupingIndex{nil, nil}
	for _, id := range yard {
		order[0] = append(order[0], r.index(id))
	}
	a, ok := r.arrange(a.problem, order)
	assert.True(t, ok)
	got := r.forward(t.Context(), a).orders[0]
	assert.Less(t, slices.Index(got, r.index("d-gran")), slices.Index(got, r.index("boyd")))
}

// Whoever is a little late for a must-have is there when the photograph ends that was called: nothing else comes between.
func TestReplanMustsFirstWithWhoIsThereByThen(t *testing.T) {
	e := gardenList()
	today := Today{Now: at(54), Told: true, Done: map[string]bool{"all": true, "couple": true, "uncles": true},
		Orders: map[string][]string{"garden": {"others", "parents", "rosa"}}, Away: map[string]time.Time{"rosa": at(55.5)}}
	assert.Equal(t, []string{"others", "rosa", "parents"}, entriesIn(replan(t, e, today), "garden"))
}

// Somebody leaves at a time: what they are in comes before, or is not planned with them.
func TestReplanCallsNobodyWhoHasLeft(t *testing.T) {
	e, today := castleAt(t, "16:40", 15, 44, nil)
	for _, minutes := range []int{-3, 0, 4, 12, 30} {
		until := today.Now.Add(time.Duration(minutes) * time.Minute)
		today.Leaving = map[string]time.Time{"thatha": until}
		o := replan(t, e, today)
		for _, b := range o.Sheet.Blocks {
			for _, x := range b.Entries {
				if slices.Contains(slices.Concat(x.StepIn, x.Stay), "thatha") {
					assert.False(t, b.Start.Add(x.Offset+x.Length).After(until), "%s, leaving in %d minutes", x.Grouping, minutes)
				}
			}
		}
		for _, x := range o.Owed {
			if slices.Contains(x.Needed, "thatha") && !x.Planned {
				assert.Equal(t, []string{"thatha"}, x.Missing, x.Grouping)
			}
		}
	}
}

// What is being called stays although time has become short; who only stands by makes room for what must be taken.
func TestReplanKeepsWhoIsCalled(t *testing.T) {
	e, today := castleAt(t, "15:40", 15, 37, map[string][]string{"yard": {"kids", "boyd", "d-par", "four", "i-par", "both"}})
	for _, g := range e.Groupings {
		today.Done[g.ID] = !slices.Contains(today.Orders["yard"], g.ID)
	}
	today.Frames["yard"] = Calling{Grouping: "god", At: today.Now.Add(-time.Minute)}
	got := entriesIn(replan(t, e, today), "yard")
	assert.Equal(t, "kids", got[0])
	assert.NotEqual(t, "boyd", got[1])

	today.Orders["yard"] = append([]string{"god"}, today.Orders["yard"]...) // it has just been taken
	assert.NotEqual(t, "kids", entriesIn(replan(t, e, today), "yard")[0])
}

// What is moved for somebody who leaves is said to be.
func TestReplanSaysWhoseTimeEnds(t *testing.T) {
	e, today := castleAt(t, "16:40", 15, 37, nil)
	today.Told = false
	o := replan(t, e, today)
	today.Told, today.Orders = true, map[string][]string{"yard": entriesIn(o, "yard"), "terrace": entriesIn(o, "terrace")}
	today.Leaving["rory"] = today.Now.Add(15 * time.Minute)
	assert.Contains(t, reasons(replan(t, e, today)), "Somebody has to leave soon: their photos come first. Moved: ")
}

// A must-have is new to the order in force, in front of which it would cost somebody who leaves their place: it goes first with
// them before it, though the search finds nothing better.
func TestReplanMustsFirstWhatIsNew(t *testing.T) {
	yard := []string{"i-sib", "four", "d-sib", "mohan-g", "kids", "god", "i-close", "fr"}
	e, today := castleAt(t, "15:33", 15, 35, map[string][]string{"yard": yard})
	for i, g := range e.Groupings {
		today.Done[g.ID] = g.ID != "all-i" && !slices.Contains(yard, g.ID)
		if g.ID == "fr" {
			e.Groupings[i].After = []string{"i-close"}
		}
	}
	for i, p := range e.People {
		if p.ID == "noa" {
			e.People[i].PresentUntil = "16:03"
		}
	}
	today.Current["yard"] = Calling{Grouping: "i-sib", At: today.Now.Add(-98 * time.Second)}
	for _, work := range []int{1, 3, 100} {
		o, err := Replan(t.Context(), e, today, Options{Work: work})
		assert.NoError(t, err)
		got := entriesIn(o, "yard")
		assert.Less(t, slices.Index(got, "all-i"), slices.Index(got, "god"), "%d: %v", work, got)
	}
}

// Time is short only with what is taken after its people have been elsewhere: what must be taken goes first then too.
func TestReplanMustsFirstWithWhatComesAfter(t *testing.T) {
	e, today := castleAt(t, "15:43", 15, 28, map[string][]string{"yard": {"i-close", "kids", "cousins"}})
	for i, g := range e.Groupings {
		today.Done[g.ID] = !slices.Contains([]string{"both", "d-par", "i-close", "cousins", "kids", "atts", "god"}, g.ID)
		if g.ID == "atts" {
			e.Groupings[i].Blocks = nil
		}
	}
	for i, p := range e.People {
		if p.ID == "pete" {
			e.People[i].PresentUntil = "15:56"
		}
	}
	ago := func(seconds int) time.Time { return today.Now.Add(-time.Duration(seconds) * time.Second) }
	today.Told, today.Without = false, map[string][]string{"cousins": {"isla"}}
	today.Frames["yard"], today.Frames["terrace"] = Calling{Grouping: "i-par", At: ago(81)}, Calling{Grouping: "t-datt", At: ago(941)}
	today.Slots = []Timed{ // at a slow pace
		{Grouping: "t-boyd", Block: "terrace", Finished: ago(1165)}, {Grouping: "all-d", Block: "yard", Finished: ago(896)},
		{Grouping: "mohan-g", Block: "yard", Finished: ago(665)}, {Grouping: "d-gran", Block: "yard", Started: ago(625), Finished: ago(367)},
	}
	for _, work := range []int{10, 30, 100, 300} {
		o, err := Replan(t.Context(), e, today, Options{Work: work})
		assert.NoError(t, err)
		got := entriesIn(o, "yard")
		assert.Less(t, max(slices.Index(got, "both"), slices.Index(got, "d-par")), slices.Index(got, "god"), "%d: %v", work, got)
	}
}

// A must-have that waits for somebody is taken before the planned end if it can be then, though all that comes before it could be
// taken sooner.
func TestReplanTakesWhatWaitsBeforeTheEnd(t *testing.T) {
	for _, closes := range []string{"15:51", "15:52", "15:53", "15:54"} {
		e, today := castleAt(t, closes, 15, 37, map[string][]string{"yard": {"d-close", "d-sib", "kids", "i-close", "i-sib", "atts", "all-i", "mohan-g", "cousins"}})
		for _, g := range e.Groupings {
			today.Done[g.ID] = !slices.Contains(today.Orders["yard"], g.ID)
		}
		today.Away = map[string]time.Time{"ailsa": today.Now.Add(5 * time.Minute)}
		for _, work := range []int{1, 3, 10, 100} {
			o, err := Replan(t.Context(), e, today, Options{Work: work})
			require.NoError(t, err)
			b := o.Sheet.Blocks[0]
			k := slices.Index(order(o), "all-i")
			require.Positive(t, k)
			assert.False(t, b.Start.Add(b.Entries[k].Offset+b.Entries[k].Length).After(o.Forecasts[0].Closes), "%s %d: %v", closes, work, order(o))
		}
	}
}
