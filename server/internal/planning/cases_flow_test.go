package planning_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/planning"
)

// A household with a leader takes more than a minute and less than two, and no change is dearer than a larger one of the
// same kind; a crowd has to leave first.
func TestCaseClearing(t *testing.T) {
	e := readCase(t, "clearing")
	s, err := planning.Fixed(e, planning.Options{}, []planning.Order{{Block: "lawn", Photographs: []string{"all", "family", "household", "parents", "witness"}}})
	require.NoError(t, err)
	took := map[string]time.Duration{}
	for _, x := range s.Blocks[0].Entries {
		took[x.Grouping] = x.Length
	}
	assert.Greater(t, took["family"], 2*time.Minute)
	assert.Less(t, took["family"], 3*time.Minute)
	assert.Greater(t, took["household"], time.Minute)
	assert.Less(t, took["household"], 2*time.Minute)
	assert.Less(t, took["witness"], took["household"])
	assert.Less(t, took["witness"], took["parents"])
}

// runsOf counts the stretches of an order in which somebody is in the frame.
func runsOf(s event.CallSheet, person string) int {
	runs, in := 0, false
	for _, x := range s.Blocks[0].Entries {
		now := slices.Contains(append(slices.Clone(x.StepIn), x.Stay...), person)
		if now && !in {
			runs++
		}
		in = now
	}
	return runs
}

// Whoever is in most photographs steps in for nothing: the couple is alone at the end, when nobody is left to watch.
func TestCaseCoupleAloneLast(t *testing.T) {
	entries := planned(t, readCase(t, "couple-alone-last"), planning.Options{}).Blocks[0].Entries
	assert.Equal(t, "all", entries[0].Grouping)
	assert.Equal(t, "alone", entries[len(entries)-1].Grouping)
}

// The groom steps aside rather than that the bride's father, who is divorced, is sent for once more.
func TestCaseDivorcedInTurns(t *testing.T) {
	s := planned(t, readCase(t, "divorced-in-turns"), planning.Options{})
	assert.Equal(t, 2, runsOf(s, "ff"), "with everybody, and once for all the others")
	assert.LessOrEqual(t, runsOf(s, "fm"), 2)
	entries := s.Blocks[0].Entries
	assert.Equal(t, "alone", entries[len(entries)-1].Grouping)
	assert.Zero(t, meetings(s, "fm", "ff"), "a photograph without either is between")
}

// meetings counts where a photograph with one of two comes straight after one with the other, and neither is of both.
func meetings(s event.CallSheet, one, other string) int {
	n := 0
	for _, b := range s.Blocks {
		for k := 1; k < len(b.Entries); k++ {
			before, now := members(b.Entries[k-1]), members(b.Entries[k])
			has := func(list []string, a, b string) bool { return slices.Contains(list, a) && !slices.Contains(list, b) }
			if has(before, one, other) && has(now, other, one) || has(before, other, one) && has(now, one, other) {
				n++
			}
		}
	}
	return n
}

// Where another photograph between those of two who have parted costs more than a share, they follow each other; an order by hand
// that has them so is kept.
func TestPartedMeetWhereItIsDear(t *testing.T) {
	e := readCase(t, "divorced-in-turns")
	s := planned(t, e, planning.Options{})
	var ids []string
	for _, entry := range s.Blocks[0].Entries {
		ids = append(ids, entry.Grouping)
	}
	first, second := slices.Index(ids, "fm"), slices.Index(ids, "ff")
	together := slices.DeleteFunc(slices.Clone(ids), func(id string) bool { return id == "ff" })
	together = slices.Insert(together, slices.Index(together, "fm")+1, "ff")
	require.NotEqual(t, 1, second-first)
	e.Order = planning.HandPlaces([]planning.Order{{Block: e.Blocks[0].ID, Photographs: together}}, together)
	assert.Positive(t, meetings(planned(t, e, planning.Options{}), "fm", "ff"), "every photograph is locked")
	few := readCase(t, "divorced-in-turns")
	few.Groupings = slices.DeleteFunc(few.Groupings, func(g event.Grouping) bool { return g.ID != "fm" && g.ID != "ff" && g.ID != "nan" })
	assert.Equal(t, 1, meetings(planned(t, few, planning.Options{}), "fm", "ff"), "nan's would keep her waiting")
}

// Parents and grandparents go through behind everybody, one side after the other, each of divorced parents in one run;
// aunts, uncles and friends wait, and what would be nice comes last, however many are in it.
func TestCaseFamilyFirst(t *testing.T) {
	s := planned(t, readCase(t, "family-first"), planning.Options{})
	at := map[string]int{}
	for k, x := range s.Blocks[0].Entries {
		at[x.Grouping] = k
	}
	assert.Zero(t, at["all"])
	for _, near := range []string{"o-gran", "o-three", "om", "om-kids", "of", "of-kids", "of-all", "w-all", "w-gran", "w-parents", "w-five"} {
		for _, far := range []string{"ou", "choir", "rowers"} {
			assert.Less(t, at[near], at[far])
		}
	}
	for _, nice := range []string{"choir", "rowers"} {
		assert.Less(t, at["ou"], at[nice])
	}
	for _, parent := range []string{"om", "of", "wm", "og"} {
		assert.LessOrEqual(t, runsOf(s, parent), 2, "with everybody, and once for all the others: %s", parent)
	}
}

func TestCaseWheelchairOnce(t *testing.T) {
	assert.Equal(t, 1, runsOf(planned(t, readCase(t, "wheelchair-once"), planning.Options{}), "ho"))
}

// No parent is free before an infant of theirs, whether they are in its photographs or not.
func TestCaseBabiesParents(t *testing.T) {
	s := planned(t, readCase(t, "babies-parents"), planning.Options{})
	free := map[string]int{}
	for k, x := range s.Blocks[0].Entries {
		for _, id := range x.Released {
			free[id] = k
		}
	}
	assert.GreaterOrEqual(t, free["s"], max(free["s1"], free["s2"]))
	assert.GreaterOrEqual(t, free["br"], free["b1"])
	assert.Equal(t, 0, free["sh"], "one of two parents is enough")
	times := map[string]time.Time{}
	for _, p := range s.People {
		times[p.Person] = p.Release
	}
	assert.Equal(t, times["s1"], times["s"])
}
