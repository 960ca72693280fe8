package run

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/event"
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
