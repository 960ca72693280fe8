package sheet_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/sheet"
	"kinorder.example/server/internal/wording"
)

// Events and sheets that would take hours or gigabytes are refused at once, by the name of the field
// and without quoting it.
func TestOversize(t *testing.T) {
	long := strings.Repeat("secret ", 2000)
	ids := func(n int) []string {
		out := make([]string, n)
		for i := range out {
			out[i] = fmt.Sprint("p", i)
		}
		return out
	}
	many := func(n int) []event.Person {
		out := make([]event.Person, n)
		for i, id := range ids(n) {
			out[i] = event.Person{ID: id, Name: strings.Repeat("長", 60)}
		}
		return out
	}
	cases := []struct {
		name, field string
		e           event.Event
		s           event.CallSheet
	}{
		{"people", "event.people", event.Event{People: make([]event.Person, 2001)}, event.CallSheet{}},
		{"groupings", "event.groupings", event.Event{Groupings: make([]event.Grouping, 501)}, event.CallSheet{}},
		{"circles", "event.circles", event.Event{Circles: make([]event.Circle, 201)}, event.CallSheet{}},
		{"eachOf comes to too many", "event.groupings", event.Event{
			People: many(600), Circles: []event.Circle{{ID: "c", Members: ids(600)}}, Groupings: []event.Grouping{{EachOf: "c"}},
		}, event.CallSheet{}},
		{"members", "event", event.Event{Circles: []event.Circle{{ID: "c", Members: ids(200_001)}}}, event.CallSheet{}},
		{"a name", "event.people[0]", event.Event{People: []event.Person{{Name: long}}}, event.CallSheet{}},
		{"a reason", "sheet.leftOut[0].reason", event.Event{}, event.CallSheet{LeftOut: []event.LeftOut{{Why: wording.Said(long)}}}},
		{"entries", "sheet.blocks", event.Event{}, event.CallSheet{Blocks: []event.SheetBlock{{Entries: make([]event.SheetEntry, 501)}}}},
		{"blocks", "sheet.blocks", event.Event{}, event.CallSheet{Blocks: make([]event.SheetBlock, 51)}},
		{"places", "sheet.blocks", event.Event{}, event.CallSheet{Blocks: []event.SheetBlock{{Entries: []event.SheetEntry{
			{Standing: &event.Standing{Rows: []event.StandingRow{{Places: make([]event.StandingPlace, 50_001)}}}},
		}}}}},
		{"names", "sheet.blocks", event.Event{}, event.CallSheet{Blocks: []event.SheetBlock{{Entries: []event.SheetEntry{{Stay: ids(250_001)}}}}}},
		{"bytes of names", "sheet.blocks", event.Event{People: many(2000)}, event.CallSheet{Blocks: []event.SheetBlock{{Entries: func() []event.SheetEntry {
			out := make([]event.SheetEntry, 60)
			for i := range out {
				out[i].Stay, out[i].Standby = ids(2000), nil
			}
			return out
		}()}}}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := sheet.Draw(c.e, c.s, sheet.Options{})
			var invalid *sheet.InvalidError
			require.ErrorAs(t, err, &invalid)
			assert.Equal(t, c.field, invalid.Faults[0].Field)
			assert.NotContains(t, invalid.Faults[0].Text()+err.Error(), "secret")
		})
	}
}

// The largest event that can be planned is drawn in every kind and form.
func TestLargestIsDrawn(t *testing.T) {
	needs.Time(t)
	e, s := crowd(1900, 100, 200)
	for i := range 199 {
		e.Circles = append(e.Circles, event.Circle{
			ID: fmt.Sprint("c", i), Title: fmt.Sprint("Circle ", i), Members: []string{fmt.Sprint("c", i+1), fmt.Sprint("p", i), fmt.Sprint("p", i+7)},
		})
	}
	for kind := sheet.Call; kind <= sheet.Chart; kind++ {
		for _, form := range kind.Forms() {
			if form != sheet.Calendar { // it has no clock
				assert.NotEmpty(t, drawn(t, e, s, sheet.Options{Kind: kind, Form: form}))
			}
		}
	}
}

func TestOptionsMustFit(t *testing.T) {
	for _, o := range []sheet.Options{
		{Kind: sheet.Reader}, {Kind: sheet.Cards, Form: sheet.CSV}, {Kind: sheet.Times, Form: sheet.HTML}, {Kind: sheet.Chart, Form: sheet.Calendar, Stamp: stamp},
		{Kind: -1}, {Kind: 99}, {Form: 99}, {Paper: 99}, {Per: -1}, {Language: "?"},
	} {
		_, err := sheet.Draw(event.Event{}, event.CallSheet{}, o)
		var invalid *sheet.InvalidError
		require.ErrorAs(t, err, &invalid, "%+v", o)
		assert.Len(t, invalid.Faults, 1, "%+v", o)
	}
	d, err := sheet.Draw(event.Event{}, event.CallSheet{}, sheet.Options{Language: "pt-BR", Form: sheet.HTML})
	require.NoError(t, err)
	assert.Equal(t, "pt", d.Language)
	assert.Equal(t, "text/html; charset=utf-8", d.ContentType)
}
