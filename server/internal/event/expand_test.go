package event

import (
	"fmt"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/needs"
)

func TestExpand(t *testing.T) {
	e := small()
	e.Groupings = append(e.Groupings,
		Grouping{Members: []string{"friends", "rosa"}, Without: []string{"karim"}, After: []string{"each"}, Blocks: []string{"garden"}, Frames: 4},
		Grouping{ID: "solo", Title: "With the friends", EachOf: "friends", Without: []string{"karim"}})
	require.False(t, HasError(Check(e)), "%v", Check(e))
	taken, emptied := Expand(e)
	assert.Empty(t, emptied)
	assert.Equal(t, []Photograph{
		{ID: "all", Title: "Everybody", Members: []string{"amara", "theo", "rosa", "ines", "karim"}, Pin: PinFirst},
		{ID: "granny", Title: "Amara & Theo with Rosa Lindqvist", Members: []string{"amara", "theo", "rosa"}, Source: 1, Priority: Must, After: []string{"all"}},
		{ID: "each.ines", Title: "Amara & Theo, Inês Costa", Members: []string{"amara", "theo", "ines"}, Source: 2, Portrait: true, After: []string{"granny"}, Minutes: e.Groupings[2].Minutes},
		{ID: "each.karim", Title: "Amara & Theo with " + isolate + "كريم حداد" + popIsolate, Members: []string{"amara", "theo", "karim"}, Source: 2, Portrait: true, After: []string{"granny"}, Minutes: e.Groupings[2].Minutes},
		{ID: "g4", Title: "Inês Costa with Rosa Lindqvist", Members: []string{"rosa", "ines"}, Source: 3, After: []string{"each.ines", "each.karim"}, Blocks: []string{"garden"}, Frames: 4},
		{ID: "solo.ines", Title: "With the friends: Inês Costa", Members: []string{"ines"}, Source: 4, Portrait: true},
	}, taken)
}

func TestExpandWithAbsences(t *testing.T) {
	e := small()
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
		{"mixed", Grouping{Members: []string{"a", "d", "f"}}, "Amara, " + isolate + "أمل" + popIsolate + " & 李丽"},
		{"circle", Grouping{Members: []string{"a", "x"}}, "Amara & The band"},
		{"circle without a title", Grouping{Members: []string{"a", "y"}}, "Amara, " + isolate + "كريم" + popIsolate + " & 李丽"},
		{"circle without one", Grouping{Members: []string{"x"}, Without: []string{"c"}}, "The band without Cees van den Berg"},
		{"absent", Grouping{Members: []string{"a", "h"}}, "Amara"},
		{"all absent", Grouping{Members: []string{"h"}}, "Hugo"},
		{"many", Grouping{Members: []string{"a", "b", "c", "g", "f", "e"}}, "Amara, Bo, Cees van den Berg, Nguyễn Thị Hạnh and 2 more"},
		{"blank", Grouping{Title: " ", Members: []string{"a", "g"}}, "Amara & Nguyễn Thị Hạnh"},
		{"each", Grouping{Title: "Friends", EachOf: "y"}, "Friends: " + isolate + "كريم" + popIsolate},
	} {
		t.Run(c.name, func(t *testing.T) {
			one := e
			one.Groupings = []Grouping{c.g}
			taken, emptied := Expand(one)
			assert.Equal(t, c.want, append(taken, emptied...)[0].Title)
		})
	}
}

// random makes an event out of a few letters. Now and then an id is double, unknown or circular.
func random(r *rand.Rand) Event {
	people, circles := "abcdef"[:2+r.Intn(5)], "uvw"[:r.Intn(4)]
	pick := func(from string) string {
		if from == "" || r.Intn(50) == 0 {
			from = "abuvz"
		}
		return string(from[r.Intn(len(from))])
	}
	some := func(from string, least, most int) []string {
		out := make([]string, least+r.Intn(most-least+1))
		for i := range out {
			out[i] = pick(from)
		}
		return out
	}
	var e Event
	for i := range people {
		e.People = append(e.People, Person{ID: people[i : i+1], Name: pick("ABCDأ"), Absent: r.Intn(5) == 0})
	}
	for i := range circles {
		e.Circles = append(e.Circles, Circle{ID: circles[i : i+1], Members: some(people+circles[i+1:], 1, 4)})
	}
	for range 1 + r.Intn(4) {
		g := Grouping{Members: some(people+circles, 1, 4), Without: some(people, 0, 1), Pin: Pin(r.Intn(8) - 5)}
		g.Pin = max(g.Pin, PinNone)
		if r.Intn(3) == 0 && circles != "" {
			g.EachOf = pick(circles)
		}
		if n := len(e.Groupings); n > 0 && r.Intn(3) == 0 {
			g.After = []string{fmt.Sprint("g", 1+r.Intn(n))}
		}
		e.Groupings = append(e.Groupings, g)
	}
	for range r.Intn(2) {
		e.Rules = append(e.Rules, Rule{Apart: &Apart{People: some(people+circles, 1, 3), Scope: ApartScope(r.Intn(3))}})
	}
	return e
}

// TestExpandOfRandomEvents holds for every event, and more for those that Check lets pass.
func TestExpandOfRandomEvents(t *testing.T) {
	needs.Time(t)
	r := rand.New(rand.NewSource(7))
	passed := 0
	for range 5000 {
		e := random(r)
		advice := Check(e)
		taken, emptied := Expand(e)
		for _, a := range advice {
			require.NotEmpty(t, a.Text)
			require.NotEmpty(t, a.Code)
		}
		if HasError(advice) {
			continue
		}
		passed++
		absent, ids := map[string]bool{}, map[string]bool{}
		for _, p := range e.People {
			absent[p.ID] = p.Absent
		}
		sources := map[int]bool{}
		for _, p := range append(append([]Photograph{}, taken...), emptied...) {
			require.False(t, ids[p.ID], "%+v", e)
			ids[p.ID] = true
			sources[p.Source] = true
			require.NotEmpty(t, p.Title, "%+v", e)
		}
		require.Len(t, sources, len(e.Groupings), "every grouping is accounted for: %+v", e)
		for _, p := range taken {
			require.NotEmpty(t, p.Members)
			for _, m := range p.Members {
				require.False(t, absent[m])
			}
			for _, a := range p.After {
				require.True(t, ids[a])
			}
		}
		for _, rule := range e.Rules {
			for _, pair := range rule.Apart.Pairs(e) {
				for _, p := range taken {
					if rule.Apart.Scope == Frame {
						require.NotSubset(t, p.Members, pair[:], "%+v", e)
					}
				}
			}
		}
	}
	require.Greater(t, passed, 500, "the events are too wild to test anything")
}
