package people

import (
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

var english, _ = wording.For("en")

// party is what a list says.
func party() event.Event {
	return event.Event{
		Sides: []event.Side{{ID: "mara", Label: "Mara's family"}, {ID: "ilyas", Label: "Ilyas's family"}},
		People: []event.Person{
			{ID: "rosa", Name: "Rosa", Relation: "grandmother", Side: "mara", AgeBand: event.Elder, Needs: []event.Need{event.Seat}},
			{ID: "uma", Name: "Uma"}, {ID: "per", Name: "Per"},
		},
	}
}

// typed is the form of the page with somebody open, changed by hand.
func typed(e event.Event, o Over, who string, changes ...string) fields.Posted {
	now := e
	fit, _ := o.Apply(&now, nil)
	values := url.Values{}
	put := func(list []fields.Hidden) {
		for _, h := range list {
			values.Set(h.Name, h.Value)
		}
	}
	put(fit.Hidden())
	for _, side := range Of(english, e, now, fit, who, "person").Sides {
		for _, row := range side.Rows {
			if row.Form == nil {
				continue
			}
			put(row.Form.Hidden)
			for _, f := range row.Form.Fields {
				values.Set(f.ID, f.Value)
			}
			for _, f := range row.Form.Ticks {
				if f.Checked {
					values.Set(f.ID, "1")
				}
			}
		}
	}
	for i := 0; i < len(changes); i += 2 {
		if values.Del(changes[i]); changes[i+1] != "" {
			values.Set(changes[i], changes[i+1])
		}
	}
	return fields.Posted{Values: values}
}

func TestWhatIsPutRightGoesBeforeTheList(t *testing.T) {
	e := party()
	o := Read(typed(e, Over{}, "rosa", "who.name", "Rosa Duarte", "who.seat", "", "who.wheelchair", "1", "who.side", "ilyas", "who.from", "15:00", "who.note", "quiet"))
	o = Read(typed(e, o, "uma", "who.years", "8"))
	now := e
	o, faults := o.Apply(&now, nil)
	require.Empty(t, faults)
	assert.Equal(t, event.Person{ID: "rosa", Name: "Rosa Duarte", Relation: "grandmother", Side: "ilyas", AgeBand: event.Elder,
		Needs: []event.Need{event.Wheelchair}, PresentFrom: "15:00", PrivateNote: "quiet"}, now.People[0])
	assert.Equal(t, event.Child, now.People[1].AgeBand)
	assert.Equal(t, party().People, e.People, "the list stays as it is")
	v := Of(english, e, now, o, "", "")
	assert.Equal(t, 2, v.Mended)
	assert.Equal(t, "Name: Rosa; Whose side: Mara's family; needs a seat: ✓; wheelchair: –; Here from: –; Private note: –", v.Sides[0].Rows[0].Listed)
	assert.Equal(t, "Age: adult", v.Sides[1].Rows[0].Listed)

	// It follows whoever is called so, and what the list says by now is no difference.
	list := party()
	list.People[0].ID, list.People[0].Needs = "rosa-2", []event.Need{event.Wheelchair}
	now = list
	o, _ = o.Apply(&now, nil)
	assert.Equal(t, "Rosa Duarte", now.People[0].Name)
	assert.NotContains(t, o.People[0].Fields, "wheelchair")

	// What was not touched does not count, though the list was changed while the fields were open.
	p := typed(e, Over{}, "rosa", "who.say", "RO-za")
	list.People[0].Relation = "great-aunt"
	now = list
	_, _ = Read(p).Apply(&now, nil)
	assert.Equal(t, "great-aunt", now.People[0].Relation)
	assert.Equal(t, "RO-za", now.People[0].SayAs)

	// One button takes it back.
	p = typed(list, o, "")
	p.Values.Set("act", "as-listed:rosa-2")
	assert.Len(t, Read(p).People, 1)
	p.Values.Set("act", "as-listed:uma")
	assert.Len(t, Read(p).People, 1)
}

// An age that is chosen goes before years that were given earlier, and years that are no number are told.
func TestYearsAndBands(t *testing.T) {
	e := party()
	o := Read(typed(e, Over{}, "per", "who.years", "5"))
	now := e
	o, _ = Read(typed(e, o, "per", "who.age", "elder")).Apply(&now, nil)
	assert.Equal(t, event.Elder, now.People[2].AgeBand)
	now = e
	_, faults := Read(typed(e, o, "per", "who.years", "old")).Apply(&now, nil)
	require.Len(t, faults, 1)
	assert.Equal(t, "person.per", faults[0].Field)
}

// What fits nobody any more is told, and stays until somebody takes it back or the name is there again.
func TestWhatFitsNobodyIsTold(t *testing.T) {
	e := party()
	o := Read(typed(e, Over{}, "uma", "who.relation", "cousin", "who.side", "mara"))
	list := party()
	list.People[1] = event.Person{ID: "uma-berg", Name: "Uma Berg"}
	now := list
	o, _ = o.Apply(&now, nil)
	assert.Equal(t, list.People, now.People)
	v := Of(english, list, now, o, "", "")
	require.Len(t, v.Astray, 1)
	assert.Equal(t, "What you changed about “Uma” does not fit the list now and is not used: Whose side: Mara's family; Relation: cousin", v.Astray[0].Text)
	now = e
	o, _ = o.Apply(&now, nil)
	assert.Equal(t, "cousin", now.People[1].Relation)

	e.Sides = nil
	now = e
	o, _ = o.Apply(&now, nil)
	assert.Empty(t, now.People[1].Side)
	assert.Len(t, Of(english, e, now, o, "", "").Astray, 1)
}

// Somebody who is the same as another who is the same as them stays: a ring of merges leaves one, with what the others said.
func TestARingOfMergesLeavesOne(t *testing.T) {
	for range 20 { // whatever the order of a map
		e := party()
		e.Groupings = []event.Grouping{{ID: "all", Members: []string{"rosa", "uma", "per"}}}
		o := Over{People: []Mended{
			{ID: "rosa", Fields: map[string]string{"same": "uma/Uma"}}, {ID: "uma", Fields: map[string]string{"same": "per/Per"}},
			{ID: "per", Fields: map[string]string{"same": "rosa/Rosa"}},
		}}
		o.Settle(&e, nil)
		require.Len(t, e.People, 1)
		assert.Equal(t, "per", e.People[0].ID)
		assert.Equal(t, "grandmother", e.People[0].Relation)
		assert.Equal(t, []string{"per"}, e.Groupings[0].Members)
	}
}
