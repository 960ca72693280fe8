package run

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// frees: nobody is said to be free, on the sheet of any role or in the times of a person, before their last photograph of the
// plan, or while one that waits may still want them.
func (p *played) frees(s State, o Plan) {
	ends, last := map[string]time.Time{}, map[string]time.Time{}
	wanted := map[string][]string{} // by person, in which entries
	planned := map[string]bool{}
	for _, b := range o.Sheet.Blocks {
		for _, e := range b.Entries {
			planned[e.Grouping] = true
			ends[e.Grouping] = b.Start.Add(e.Offset + e.Length)
			for _, who := range slices.Concat(e.StepIn, e.Stay, e.Near) {
				wanted[who] = append(wanted[who], e.Grouping)
				if ends[e.Grouping].After(last[who]) {
					last[who] = ends[e.Grouping]
				}
			}
		}
	}
	waits := map[string]string{}
	for _, x := range o.Owed {
		if !planned[x.Grouping] && s.Groupings[x.Grouping].Status != LeftOut && p.somewhere(s, x.Grouping) {
			for _, who := range x.Needed {
				waits[who] = x.Grouping
			}
		}
	}
	for _, sheet := range []event.CallSheet{o.Sheet, event.SheetForReader(o.Sheet)} {
		for _, b := range sheet.Blocks {
			for i, e := range b.Entries {
				for _, who := range e.Released {
					for _, other := range wanted[who] {
						if other != e.Grouping && (i == 0 || ends[other].After(ends[e.Grouping])) {
							p.wrong("free", "%s is free after %s and in %s", who, e.Grouping, other)
						}
					}
					if waits[who] != "" {
						p.wrong("free", "%s is free after %s and %s waits", who, e.Grouping, waits[who])
					}
				}
			}
		}
		for _, x := range sheet.People {
			if x.Release.Before(last[x.Person].Truncate(time.Second)) {
				p.wrong("free", "%s is free at %s, and their last is over at %s", x.Person, x.Release, last[x.Person])
			}
		}
	}
}

// Who was to come by now counts as there, in the frame too, until somebody says otherwise.
func TestWhoWasToComeByNowIsThere(t *testing.T) {
	now := time.Date(2027, 5, 15, 15, 0, 0, 0, time.UTC)
	late := func(person string, until time.Time) Mark {
		return Mark{ID: person, Kind: Late, Person: person, At: now.Add(-time.Hour), Until: until}
	}
	s := Fold([]Mark{late("due", now), late("later", now.Add(time.Minute)), late("some time", time.Time{})})
	assert.Equal(t, map[string]time.Time{"later": now.Add(time.Minute), "some time": {}}, Occasion{}.today(s, nil, now).Away)
}

// A place that nobody knew before, as when it rains, is as far from the others as the one that it stands for.
func TestAPlaceOfTheDayIsAsFar(t *testing.T) {
	e := event.Event{
		Blocks: []event.Block{{ID: "yard", Place: "Courtyard"}, {ID: "terrace", Place: "Terrace"}, {ID: "lawn", Place: "Lawn"}},
		Walks:  []event.Walk{{From: "Courtyard", To: "Terrace", Minutes: 3}, {From: "Lawn", To: "Courtyard", Minutes: 5}},
	}
	walks := func(blocks ...event.Block) []event.Walk {
		e := e
		e.Blocks = append(slices.Clone(e.Blocks), blocks...)
		return Occasion{Event: e}.onFoot(planning.Today{Times: map[string]planning.Times{"yard": {Place: "Hall"}}}).Walks
	}
	hall := []event.Walk{{From: "Hall", To: "Terrace", Minutes: 3}, {From: "Lawn", To: "Hall", Minutes: 5}}
	assert.Equal(t, hall, walks())
	assert.Equal(t, []event.Walk{e.Walks[0], hall[0], e.Walks[1], hall[1]}, walks(event.Block{ID: "later", Place: "Courtyard"}))
	for _, place := range []string{"", "Lawn"} {
		assert.Equal(t, e.Walks, Occasion{Event: e}.onFoot(planning.Today{Times: map[string]planning.Times{"yard": {Place: place}}}).Walks)
	}

	day := castle(t)
	day.Blocks[1].Photographer = "another"
	plan, err := planning.Replan(t.Context(), Occasion{Event: day}.onFoot(planning.Today{}), planning.Today{}, planning.Options{Budget: 1})
	require.NoError(t, err)
	state := Fold([]Mark{{ID: "1", Kind: Reset, Block: day.Blocks[0].ID, Place: "Great hall"}})
	today := Occasion{Event: day}.today(state, &plan, time.Now())
	_, err = planning.Replan(t.Context(), Occasion{Event: day}.onFoot(today), today, planning.Options{Budget: 1})
	require.NoError(t, err)
}
