package intake

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// What people call each other, and their photographs and circles, reads like something else in a table now and then.
func TestTablesRoundTripOddWords(t *testing.T) {
	two := []event.Person{{ID: "a", Name: "Rosa"}, {ID: "b", Name: "Tim"}}
	photo := []event.Grouping{{ID: "g", Title: "Both", Members: []string{"a", "b"}}}
	crowd := event.Event{Groupings: []event.Grouping{{ID: "g"}}}
	for i := range 300 {
		crowd.Groupings[0].Members = append(crowd.Groupings[0].Members, fmt.Sprint("p", i))
		crowd.People = append(crowd.People, event.Person{ID: fmt.Sprint("p", i), Name: fmt.Sprint("Christopher Longname ", i)})
	}
	for name, e := range map[string]event.Event{
		"a photograph of three hundred by name": crowd,
		"circles without titles and leaders": {People: two, Groupings: photo,
			Circles: []event.Circle{{ID: "c0", Members: []string{"a"}}, {ID: "c1", Members: []string{"b"}}}},
		"a guest who has no name yet": {People: []event.Person{{ID: "a", Name: "TBC"}, {ID: "b", Name: "%"}},
			Groupings: []event.Grouping{{ID: "g", Title: "(must)", Members: []string{"a"}}, {ID: "h", Title: "-x", Members: []string{"a", "b"}}, {ID: "i", Members: []string{"a"}}}},
		"dividers in a nickname": {People: []event.Person{{ID: "a", Name: "Rosa", Nicknames: []string{"a,b;c", `"q"`, `"`, `Ro "x" S`, `","`, "روز، ا", "bc"}}, two[1]}, Groupings: photo},
		"blanks and tabs inside": {People: []event.Person{{ID: "a", Name: "Rosa  Lind", Relation: "old  friend", PrivateNote: "x  y\tz\n\tw"}, two[1]},
			Circles:   []event.Circle{{ID: "c", Title: "Both  of us", Members: []string{"a", "b"}}},
			Groupings: []event.Grouping{{ID: "g", Title: "Both  again", Members: []string{"a", "b"}, PrivateNote: "first\tthen  there"}}},
		"a circle called Total": {People: two, Groupings: []event.Grouping{{ID: "g1", Title: "Total", Members: []string{"b"}}},
			Circles: []event.Circle{{ID: "c", Title: "Total", Members: []string{"b"}}, {ID: "p1", Title: "Sum", Members: []string{"b"}}}},
	} {
		t.Run(name, func(t *testing.T) { wholeRoundTrip(t, e) })
	}
}

// Everybody against every photograph is more than a table may have, and so is no part of the file.
func TestLargeEventReadsBackFromItsWorkbook(t *testing.T) {
	var e event.Event
	for i := range 1000 {
		e.People = append(e.People, event.Person{ID: fmt.Sprint("p", i), Name: fmt.Sprint("Guest no ", i)})
	}
	for k := range 250 {
		g := event.Grouping{ID: fmt.Sprint("g", k)}
		for i := range 40 {
			g.Members = append(g.Members, fmt.Sprint("p", (k*37+i*11)%1000))
		}
		e.Groupings = append(e.Groupings, g)
	}
	book, err := WriteXLSX(e)
	require.NoError(t, err)
	got, err := ReadFile(t.Context(), book, Options{})
	require.NoError(t, err)
	require.Equal(t, e, got.Event, listing(got.Problems))
}

// What would be told of a list that names everybody in each of many photographs is far more than the list: it is refused.
func TestListsThatNameFarTooManyAreRefused(t *testing.T) {
	var b strings.Builder
	b.WriteString("Guests:\n")
	for i := range 1900 {
		fmt.Fprintf(&b, "Ann%d Bo%d\n", i, i)
	}
	b.WriteString("\nPhotographs:\n")
	for k := range 120 {
		fmt.Fprintf(&b, "%d. everyone except Ann%d\n", k+1, k)
	}
	got, err := ReadFile(t.Context(), []byte(b.String()), Options{})
	require.NoError(t, err)
	require.Empty(t, got.Event)
	require.Len(t, got.Problems, 1)
	require.Contains(t, got.Problems[0].Text(), "more than 200000 times")
}
