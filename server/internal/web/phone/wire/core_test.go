package wire

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
)

// While nothing is marked a plan is made anew only when the day has gone past it.
func TestCorePlansAnewWhenTimeHasPassed(t *testing.T) {
	opens := time.Date(2027, 5, 15, 15, 0, 0, 0, time.UTC)
	about, err := json.Marshal(run.Occasion{Event: event.Event{
		Date: "2027-05-15", People: []event.Person{{ID: "ann", Name: "Ann"}}, Groupings: []event.Grouping{{ID: "all", Members: []string{"ann"}}},
		Blocks: []event.Block{{ID: "garden", Opens: "15:00", Closes: "16:00"}},
	}})
	require.NoError(t, err)
	var core Core
	require.NoError(t, core.Know(about))
	ask := func(at time.Time, inForce *Plan, heeded bool) *Plan {
		question, err := json.Marshal(Asked{Now: event.Millis(at), Told: event.Millis(opens), Plan: inForce, Heeded: heeded})
		require.NoError(t, err)
		answer, err := core.Plan(question)
		require.NoError(t, err)
		var p *Plan
		if len(answer) > 0 {
			require.NoError(t, json.Unmarshal(answer, &p))
		}
		return p
	}
	first := ask(opens, nil, false)
	require.NotNil(t, first)
	assert.Equal(t, event.Millis(opens), first.Blocks[0].Entries[0].At)
	assert.Nil(t, ask(opens.Add(30*time.Second), first, true))
	later := ask(opens.Add(20*time.Minute), first, true)
	require.NotNil(t, later)
	assert.Equal(t, event.Millis(opens.Add(20*time.Minute)), later.Made)
	assert.NotNil(t, ask(opens.Add(time.Second), first, false))
}

// What the page has no use for is a fault of its own, and nothing is planned by half of it.
func TestCoreRefuses(t *testing.T) {
	var core Core
	assert.Error(t, core.Know([]byte(`{"Event": 1}`)))
	for _, asked := range []string{`{`, `{"marks": [{"kind": "eaten"}]}`} {
		answer, err := core.Plan([]byte(asked))
		assert.Error(t, err, asked)
		assert.Empty(t, answer)
	}
}

// What a call adds comes back as it was, though it says more than the page can.
func TestMarksComeBackWhole(t *testing.T) {
	for _, g := range []event.Grouping{
		{ID: "a", Title: "A", Members: []string{"ann"}, Priority: event.Must},
		{ID: "b", Members: []string{"ann"}, Priority: event.Nice, Without: []string{"bo"}, Blocks: []string{"yard"}},
	} {
		text, err := json.Marshal(MarkOf(run.Mark{ID: "1", Kind: run.Added, Grouped: &g}))
		require.NoError(t, err)
		var j Mark
		require.NoError(t, json.Unmarshal(text, &j))
		m, err := j.Mark()
		require.NoError(t, err)
		assert.Equal(t, &g, m.Grouped)
	}
	assert.Nil(t, MarkOf(run.Mark{Kind: run.Added, Grouped: &event.Grouping{ID: "a", Members: []string{"ann"}}}).Grouped.Whole, "as the page says it")
}

// Of two photographers without signal neither takes what the other has before them: the phones can't tell each other.
func TestPhonesWithoutSignalLeaveEachOtherTheirPhotos(t *testing.T) {
	opens := time.Date(2027, 5, 15, 15, 0, 0, 0, time.UTC)
	e := event.Event{
		Date: "2027-05-15", People: []event.Person{{ID: "ann", Name: "Ann"}},
		Blocks: []event.Block{{ID: "yard", Opens: "15:00", Closes: "15:30", Photographer: "Mara"}, {ID: "terrace", Opens: "15:00", Closes: "15:30", Photographer: "Idris"}},
	}
	for k := range 40 {
		id := fmt.Sprint("p", k)
		e.People = append(e.People, event.Person{ID: id, Name: id})
		e.Groupings = append(e.Groupings, event.Grouping{ID: id, Members: []string{id}})
	}
	about, err := json.Marshal(run.Occasion{Event: e})
	require.NoError(t, err)
	var core Core
	require.NoError(t, core.Know(about))
	ask := func(a Asked) *Plan {
		a.Work, a.Alone = 100, true
		question, err := json.Marshal(a)
		require.NoError(t, err)
		answer, err := core.Plan(question)
		require.NoError(t, err)
		p := new(Plan)
		require.NoError(t, json.Unmarshal(answer, p))
		return p
	}
	ids := func(p *Plan, block string) (out []string) {
		for _, b := range p.Blocks {
			for _, entry := range b.Entries {
				if b.Block == block {
					out = append(out, entry.ID)
				}
			}
		}
		return out
	}
	p := ask(Asked{Now: event.Millis(opens), Told: event.Millis(opens)})
	theirs := ids(p, "terrace")
	require.NotEmpty(t, theirs)
	var marks []Mark
	for k, id := range ids(p, "yard") {
		at := event.Millis(opens.Add(time.Duration(k+1) * time.Minute))
		marks = append(marks, Mark{ID: id, Kind: "taken", At: at, Grouping: id, Block: "yard"})
		p = ask(Asked{Now: at, Told: at, Plan: p, Marks: marks})
		assert.ElementsMatch(t, theirs, ids(p, "terrace"), k)
	}
}
