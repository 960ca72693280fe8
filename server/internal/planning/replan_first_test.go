package planning

import (
	"errors"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/solver"
	"kinorder.example/solver/day"
)

// twoAtWork is a day on which a bride is wanted in two places at once: beside somebody who is about to leave, and with all guests.
func twoAtWork(short string) (event.Event, Today) {
	e := event.Event{
		Date: "2027-05-15", TimeZone: "UTC",
		People: []event.Person{{ID: "bride", Name: "Bride"}, {ID: "leaves", Name: "Leaves"}},
		Blocks: []event.Block{{ID: "yard", Opens: "15:00", Closes: "15:30", Photographer: "Mara"}, {ID: "terrace", Opens: "15:00", Closes: "15:30", Photographer: "Idris"}},
	}
	long := event.Grouping{ID: "long", Members: []string{"bride"}, Blocks: []string{"yard"}}
	if short == "yard" {
		long.Blocks = []string{"terrace"}
	}
	for k := range 14 {
		id := fmt.Sprint("g", k)
		e.People, long.Members = append(e.People, event.Person{ID: id, Name: id}), append(long.Members, id)
	}
	e.Groupings = []event.Grouping{{ID: "short", Members: []string{"bride", "leaves"}, Blocks: []string{short}}, long}
	now := time.Date(2027, 5, 15, 15, 5, 0, 0, time.UTC)
	return e, Today{Now: now, Leaving: map[string]time.Time{"leaves": now.Add(6 * time.Minute)}}
}

// Whoever is about to leave is photographed first, whichever of the places that is.
func TestReplanLosesNothingToTheOtherPlace(t *testing.T) {
	for _, place := range []string{"yard", "terrace"} {
		e, today := twoAtWork(place)
		for _, work := range []int{1, 100} {
			o, err := Replan(t.Context(), e, today, Options{Work: work})
			require.NoError(t, err)
			require.Nil(t, o.Fault)
			for _, id := range []string{"short", "long"} {
				assert.True(t, owed(t, o, id).Planned, "%s is not planned with the short one at the %s", id, place)
			}
		}
	}
}

// The order is found with each place timed first. What loses less is taken, at whatever cost, and what there is where the other
// fails; the day stays that of what was taken.
func TestEitherFirst(t *testing.T) {
	failed := errors.New("no order")
	lost := arranged{lost: day.Lost{2: 1}, cost: 1}
	all := arranged{cost: 100}
	for name, c := range map[string]struct {
		found  [2]arranged
		failed [2]error
		want   int // -1 for neither
	}{
		"the second loses nothing": {found: [2]arranged{lost, all}, want: 1},
		"the first loses nothing":  {found: [2]arranged{all, lost}, want: 0},
		"both lose the same":       {found: [2]arranged{lost, lost}, want: 0},
		"the first fails":          {found: [2]arranged{{}, lost}, failed: [2]error{failed, nil}, want: 1},
		"the second fails":         {found: [2]arranged{lost, {}}, failed: [2]error{nil, failed}, want: 0},
		"both fail":                {failed: [2]error{failed, failed}, want: -1},
	} {
		t.Run(name, func(t *testing.T) {
			r, err := newRest(twoAtWork("yard"))
			require.NoError(t, err)
			var first []solver.Seconds
			got, err := r.eitherFirst(func(r *rest) (arranged, error) {
				k := len(first)
				first = append(first, r.Spec.Blocks[0].Open-r.Spec.Blocks[1].Open)
				r.Spec.StepWeight, r.tried = int64(k), k
				return c.found[k], c.failed[k]
			})
			require.Equal(t, []solver.Seconds{0, 1}, first, "by their numbers where both are due, then the other way round")
			if c.want < 0 {
				require.ErrorIs(t, err, failed)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, c.found[c.want], got)
			assert.Equal(t, c.want, r.tried)
			assert.Equal(t, int64(c.want), r.Spec.StepWeight)
		})
	}
}

// What must be taken in one place waits for nothing that only some want in another, also while somebody is being photographed there.
func TestReplanMustsWaitForNoWishElsewhere(t *testing.T) {
	e, today := castleAt(t, "15:50", 15, 18, map[string][]string{
		"terrace": {"t-boyd", "t-friends", "kids", "boyd"},
		"yard":    {"d-gran", "grands", "i-gran", "d-par", "four", "i-par", "all-i", "i-close", "i-sib", "d-close", "d-sib", "atts"},
	})
	for i, g := range e.Groupings {
		if g.ID == "kids" || g.ID == "boyd" {
			e.Groupings[i].Blocks = nil
		}
		today.Done[g.ID] = !slices.Contains(slices.Concat(today.Orders["yard"], today.Orders["terrace"]), g.ID)
	}
	today.Now = today.Now.Add(time.Second / 2) // the courtyard begins a second later by it
	today.Slots = []Timed{{Grouping: "both", Block: "yard", Finished: today.Now}}
	today.Current["terrace"] = Calling{Grouping: "t-boyd", At: today.Now}
	today.Alone = true
	for _, work := range []int{1, 64} {
		o, err := Replan(t.Context(), e, today, Options{Work: work})
		require.NoError(t, err)
		for _, b := range o.Sheet.Blocks {
			for _, x := range b.Entries {
				if owed(t, o, x.Grouping).Priority == event.Must {
					assert.Less(t, x.Wait, 2*time.Minute, "%s at %v", x.Grouping, b.Start.Add(x.Offset))
				}
			}
		}
	}
}
