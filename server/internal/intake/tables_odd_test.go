package intake

import (
	"fmt"
	"slices"
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

// Tables as planners send them, and who is in their photographs.
func TestTablesAsTheyCome(t *testing.T) {
	for name, c := range map[string]struct {
		file string
		want []string
	}{
		"columns that stand below one another, with text below": {
			"FORMALS - Lind / Moe\n\nGROUP                   WHO                  NOTES\n" +
				"1  Bride & Groom        Ida + Karl           must\n2  Bride's parents      Ida + Karl           B in too\n" +
				"10 Bridesmaids          Eve, Uma, Zoe\n\nBride = Nell Lind, Groom = Otto Moe\n",
			[]string{"Ida, Karl, Nell Lind, Otto Moe", "Ida, Karl", "Eve, Uma, Zoe"}},
		"a header whose words are not known": {
			"Fotoliste 21.6.;;;;\nNr;Wer soll drauf;wo;wann ca.;Bemerkung\n1;Ida und Karl;Kirche;11:45;\n2;Eve, Uma;Garten;;\n3;Zoe;Garten;;Zoe ist 84\n",
			[]string{"Ida, Karl", "Eve, Uma", "Zoe"}},
		"a title of families, a cut row, numbers of others, who else in the notes": {
			"Formals - Lind/Moe,,,,\n,,,,\n#,Grouping,Who,Pri (M/S/N),Notes\n1,Bride's parents,\"Nell, Otto, Ida Lind, Karl Lind\",M,\n" +
				"2,CUT,Choir,,\n3,Groom's dad,\"Nell, Otto, Jon Moe\",S,\n4,Maids,\"Eve, Uma\",N,w/ Nell\n5,All of us,#1 + Zoe,M,couple in\n6,Lads,\"Nell, Otto, Max\",S,\n",
			[]string{"Ida Lind, Karl Lind, Nell, Otto [1]", "Jon Moe, Nell, Otto [0]", "Eve, Nell, Uma [2]", "Ida Lind, Karl Lind, Nell, Otto, Zoe [1]", "Max, Nell, Otto [0]"}},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := ReadFile(t.Context(), []byte(c.file), Options{})
			require.NoError(t, err)
			var photos []string
			names := make(map[string]string)
			for _, p := range got.Event.People {
				names[p.ID] = p.Name
			}
			photographs, _ := event.Expand(got.Event)
			for k, p := range photographs {
				var in []string
				for _, id := range p.Members {
					in = append(in, names[id])
				}
				slices.Sort(in)
				photos = append(photos, strings.Join(in, ", "))
				if strings.Contains(c.want[min(k, len(c.want)-1)], "[") {
					photos[k] += fmt.Sprintf(" [%d]", p.Priority)
				}
			}
			require.Equal(t, c.want, photos, listing(got.Problems))
		})
	}
}

// A row that is of the couple alone names them.
func TestCoupleInARow(t *testing.T) {
	got, err := ReadFile(t.Context(), []byte("Nº;Foto;Personas;Prioridad;Notas\n1;Novios;Clara y Mateo;alta;\n2;Padres de la novia;novios + Rosa + Julián;alta;\n3;Testigos;novios + Pilar, Bruno;media;\n"), Options{})
	require.NoError(t, err)
	require.Len(t, got.Event.People, 6)
	require.Equal(t, "Clara", got.Event.People[0].Name)
}
