package event

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/wording"
)

func TestExpand(t *testing.T) {
	e := party()
	e.Groupings = append(e.Groupings,
		Grouping{Members: []string{"friends", "rosa"}, Without: []string{"karim"}, After: []string{"each"}, Blocks: []string{"garden"}, Frames: 4},
		Grouping{ID: "solo", Title: "With the friends", EachOf: "friends", Without: []string{"karim"}})
	taken, emptied := Expand(e)
	assert.Empty(t, emptied)
	assert.Equal(t, []Photograph{
		{ID: "all", Title: "Everybody", Members: []string{"amara", "theo", "rosa", "ines", "karim"}, Pin: PinFirst},
		{ID: "granny", Title: "Amara & Theo with Rosa Lindqvist", Members: []string{"amara", "theo", "rosa"}, Source: 1, Priority: Must, After: []string{"all"}},
		{ID: "each.ines", Title: "Amara & Theo, Inês Costa", Members: []string{"amara", "theo", "ines"}, Source: 2, Portrait: true, After: []string{"granny"}, Minutes: e.Groupings[2].Minutes},
		{ID: "each.karim", Title: "Amara & Theo with " + wording.FirstIsolate + "كريم حداد" + wording.PopIsolate, Members: []string{"amara", "theo", "karim"}, Source: 2, Portrait: true, After: []string{"granny"}, Minutes: e.Groupings[2].Minutes},
		{ID: "g4", Title: "Inês Costa with Rosa Lindqvist", Members: []string{"rosa", "ines"}, Source: 3, After: []string{"each.ines", "each.karim"}, Blocks: []string{"garden"}, Frames: 4},
		{ID: "solo.ines", Title: "With the friends: Inês Costa", Members: []string{"ines"}, Source: 4, Portrait: true},
	}, taken)
}

func TestExpandWithAbsences(t *testing.T) {
	e := party()
	e.People[4].Absent, e.People[2].Absent = true, true
	e.Groupings[1].Members = []string{"rosa"}
	taken, emptied := Expand(e)
	var got []string
	for _, p := range taken {
		got = append(got, fmt.Sprintf("%s%v%v", p.ID, p.Members, p.After))
	}
	assert.Equal(t, []string{"all[amara theo ines][]", "each.ines[amara theo ines][]"}, got, "the wish to come after granny lapses")
	require.Len(t, emptied, 2)
	assert.Equal(t, "granny", emptied[0].ID)
	assert.Equal(t, "each.karim", emptied[1].ID)
	assert.NotEmpty(t, emptied[0].Title)
}

func TestTitles(t *testing.T) {
	e := Event{People: []Person{
		{ID: "a", Name: "Amara"}, {ID: "b", Name: "Bo"}, {ID: "c", Name: "Cees van den Berg"}, {ID: "d", Name: "أمل"}, {ID: "e", Name: "كريم"},
		{ID: "f", Name: "李丽"}, {ID: "g", Name: "Nguyễn Thị Hạnh"}, {ID: "h", Name: "Hugo", Absent: true},
	}, Circles: []Circle{
		{ID: "x", Title: "The band", Members: []string{"b", "c", "d"}}, {ID: "y", Members: []string{"e", "f"}},
	}}
	for _, c := range []struct {
		name string
		g    Grouping
		want string
	}{
		{"two", Grouping{Members: []string{"a", "b"}}, "Amara & Bo"},
		{"as listed", Grouping{Members: []string{"c", "a", "b"}}, "Cees van den Berg, Amara & Bo"},
		{"right to left only", Grouping{Members: []string{"d", "e"}}, "أمل & كريم"},
		{"mixed", Grouping{Members: []string{"a", "d", "f"}}, "Amara, " + wording.FirstIsolate + "أمل" + wording.PopIsolate + " & 李丽"},
		{"circle", Grouping{Members: []string{"a", "x"}}, "Amara & The band"},
		{"circle without a title", Grouping{Members: []string{"a", "y"}}, "Amara, " + wording.FirstIsolate + "كريم" + wording.PopIsolate + " & 李丽"},
		{"circle without one", Grouping{Members: []string{"x"}, Without: []string{"c"}}, "The band without Cees van den Berg"},
		{"absent", Grouping{Members: []string{"a", "h"}}, "Amara"},
		{"all absent", Grouping{Members: []string{"h"}}, "Hugo"},
		{"many", Grouping{Members: []string{"a", "b", "c", "g", "f", "e"}}, "Amara, Bo, Cees van den Berg, Nguyễn Thị Hạnh and 2 more"},
		{"blank", Grouping{Title: " ", Members: []string{"a", "g"}}, "Amara & Nguyễn Thị Hạnh"},
		{"each", Grouping{Title: "Friends", EachOf: "y"}, "Friends: " + wording.FirstIsolate + "كريم" + wording.PopIsolate},
	} {
		t.Run(c.name, func(t *testing.T) {
			one := e
			one.Groupings = []Grouping{c.g}
			taken, emptied := Expand(one)
			assert.Equal(t, c.want, append(taken, emptied...)[0].Title)
		})
	}
}

// party returns an event without faults.
func party() Event {
	return Event{
		Title: "Amara & Theo", Date: "2026-06-20", TimeZone: "Europe/Lisbon",
		Sides: []Side{{ID: "a", Label: "Amara's side"}, {ID: "t", Label: "Theo's side"}},
		People: []Person{
			{ID: "amara", Name: "Amara Diallo", Side: "a"},
			{ID: "theo", Name: "Théo Lindqvist", Side: "t"},
			{ID: "rosa", Name: "Rosa Lindqvist", Side: "t", AgeBand: Elder, Needs: []Need{Seat}, HeightCM: 158},
			{ID: "ines", Name: "Inês Costa", Relation: "friend"},
			{ID: "karim", Name: "كريم حداد", SayAs: "kah-REEM", Relation: "friend", PresentFrom: "16:00"},
		},
		Circles: []Circle{
			{ID: "couple", Title: "Amara & Theo", Members: []string{"amara", "theo"}},
			{ID: "friends", Title: "The friends", Members: []string{"ines", "karim"}, Leader: "ines"},
		},
		Groupings: []Grouping{
			{ID: "all", Title: "Everybody", Members: []string{"couple", "rosa", "friends"}, Pin: PinFirst},
			{ID: "granny", Members: []string{"couple", "rosa"}, Priority: Must, After: []string{"all"}},
			{ID: "each", EachOf: "friends", Members: []string{"couple"}, After: []string{"granny"}, Minutes: some(1.5)},
		},
		Blocks: []Block{{ID: "garden", Place: "Garden", Opens: "15:30", Closes: "17:00", Capacity: 60}},
		Rules:  []Rule{{Apart: &Apart{People: []string{"rosa", "karim"}, Scope: Neighbours}}},
		Pace:   Pace{SettleSeconds: some(20), Arrange: []ArrangePoint{{Newcomers: 0, Seconds: 0}, {Newcomers: 10, Seconds: 60}}, Frames: []FramesPoint{{People: 1, Frames: 3}, {People: 10, Frames: 6}}},
	}
}

func some[T any](v T) *T { return &v }
