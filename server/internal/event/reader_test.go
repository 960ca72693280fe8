package event

import (
	"encoding/json"
	"fmt"
	"reflect"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Who is near to interpret shows neither in a photograph nor by being free after one.
func TestReadersDoNotSeeWhoInterprets(t *testing.T) {
	c := CallSheet{
		Blocks: []SheetBlock{{Entries: []SheetEntry{
			{Grouping: "a", StepIn: []string{"bo", "cy"}, Near: []string{"di"}},
			{Grouping: "b", StepIn: []string{"ed"}, Released: []string{"bo", "cy", "di", "ed"}},
		}}},
		People: []PersonTimes{{Person: "bo", TimesIn: 1}, {Person: "cy"}, {Person: "di", Idle: time.Minute}, {Person: "ed"}},
	}
	got := SheetForReader(c)
	assert.Equal(t, []string{"bo", "cy", "ed"}, got.Blocks[0].Entries[1].Released)
	assert.Empty(t, got.Blocks[0].Entries[0].Near)
	assert.Len(t, got.People, 3)
	assert.Len(t, c.People, 4, "the sheet itself is left as it was")
	assert.Len(t, c.Blocks[0].Entries[1].Released, 4)
}

// How much somebody wants a photograph is no reader's business, on no sheet either.
func TestReadersDoNotSeePriorities(t *testing.T) {
	got := SheetForReader(CallSheet{LeftOut: []LeftOut{{Grouping: "a", Priority: Nice}, {Grouping: "b", Priority: Must}}})
	assert.Equal(t, []LeftOut{{Grouping: "a"}, {Grouping: "b"}}, got.LeftOut)
	assert.Equal(t, GroupingForReader(Grouping{Priority: Must}).Priority, got.LeftOut[0].Priority, "as of the photograph itself")
}

// leaves goes through every field of a value, also those that somebody adds one day, puts something into each, and calls at
// with where it is and what changes it.
func leaves(v reflect.Value, path string, at func(path string, change func())) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			leaves(v.Field(i), path+"."+v.Type().Field(i).Name, at)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		leaves(v.Index(0), path+"[]", at)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		leaves(v.Elem(), path, at)
	case reflect.String:
		at(path, func() { v.SetString(v.String() + "x") })
	case reflect.Int:
		at(path, func() { v.SetInt(v.Int() + 1) })
	case reflect.Float64:
		at(path, func() { v.SetFloat(v.Float() + 1) })
	case reflect.Bool:
		at(path, func() { v.SetBool(!v.Bool()) })
	default:
		panic("no way to change " + path)
	}
}

// A plan is old after a change of anything that it is made of, and of nothing that is only said or noted.
func TestForPlanHasAllThatCounts(t *testing.T) {
	said := map[string]bool{
		".Title": true, ".Sides[].Label": true, ".People[].Nicknames[]": true, ".People[].SayAs": true, ".People[].PrivateNote": true,
		".Groupings[].PrivateNote": true, ".Rules[].PrivateNote": true,
	}
	var e Event
	state := func(e Event) string {
		raw, err := json.Marshal(e)
		require.NoError(t, err)
		return string(raw)
	}
	changes, order := map[string]func(){}, []string{}
	leaves(reflect.ValueOf(&e).Elem(), "", func(path string, change func()) {
		changes[path], order = change, append(order, path)
	})
	require.Greater(t, len(order), 80)
	for _, path := range order {
		before, whole := state(ForPlan(e)), state(e)
		changes[path]()
		require.NotEqual(t, whole, state(e), path)
		assert.Equal(t, said[path], before == state(ForPlan(e)), fmt.Sprint(path, " counts for a plan, or is only said"))
	}
	for path := range said {
		assert.Contains(t, changes, path)
	}
}
