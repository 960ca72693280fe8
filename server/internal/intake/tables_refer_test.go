package intake

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// Rows refer to others by their numbers, are cut, and say in a note who of the couple is in them too.
func TestRowsThatReferToOthers(t *testing.T) {
	got, err := ReadFile(t.Context(), []byte("Formals - Marsh/Lind\n#,Group,Who,Notes\n1,Couple + her parents,\"Nell, Otto, Ida Marsh, Karl Marsh\",\n7,Couple + friends,\"Nell, Otto, Pia Marsh\",\n2,More,#1 + Vera Lind,\nG3,Others,Max Lind,w/ Nell\n4,All,G3 + 2,\n5,Choir,Choir,CUT\n"), Options{})
	require.NoError(t, err)
	var sizes []int
	for _, g := range got.Event.Groupings {
		sizes = append(sizes, len(g.Members))
	}
	assert.Equal(t, []int{3, 2, 4, 2, 5}, sizes, got.Event.Groupings)
}

// Guests are in all photographs but some.
func TestGuestsInAllButSome(t *testing.T) {
	got, err := ReadFile(t.Context(), []byte("Guest,Who,Photo #\nNell Marsh,bride,all but 2\nOtto Lind,groom,all but 1\nIda Marsh,mother,1\nVera Lind,mother,2\n,,\nPHOTO #,WHAT,\n1,her mum,\n2,his mum,\n"), Options{})
	require.NoError(t, err)
	require.Len(t, got.Event.Groupings, 2)
	assert.Len(t, got.Event.People, 4)
	assert.Len(t, got.Event.Groupings[0].Members, 2)
	assert.Len(t, got.Event.Groupings[1].Members, 2)
}

// A golden wedding is of the two in its title, who are called so in German too.
func TestJubileeInATable(t *testing.T) {
	got, err := ReadFile(t.Context(), []byte("Goldene Hochzeit Nell und Otto 21.6.;;\nNr;Wer soll drauf;wo\n1;Jubelpaar allein;Kirche\n2;Jubelpaar mit Ida;Garten\n"), Options{})
	require.NoError(t, err)
	require.Len(t, got.Event.Groupings, 2)
	assert.Len(t, got.Event.People, 3)
}

// A planner's table: a column of letters with numbers is what rows refer to each other by, grades say what counts, a row between tells of
// the day, the last explains the grades.
func TestTableOfSlots(t *testing.T) {
	got, err := ReadFile(t.Context(), []byte("Nell & Otto - family formals,,,,,\nSlot,Call,Combination,Names to call,Pax,Grade,Fetched by\nF01,2:00 PM,Couple with groom's siblings,\"Nell, Otto, Max Lind, Pia Lind\",4,A,Joan\nF02,2:03 PM,Lind family,\"As F01 + Karl Lind\",5,B,Joan\nF03,2:05 PM,Bridesmaids,\"Nell + Zoe, Ruth\",3,C,Joan\nF04,2:08 PM,Full train,F01 + F03,6,B,Joan\n,3:00 PM,COUPLE CHANGES OUTFIT,,,\n,,\"Grade: A = must have, B = normal, C = only if time permits\",,,\n"), Options{})
	require.NoError(t, err)
	var sizes []int
	for _, g := range got.Event.Groupings {
		sizes = append(sizes, len(g.Members))
	}
	assert.Equal(t, []int{3, 4, 3, 5}, sizes, got.Event.Groupings)
	assert.Equal(t, event.Must, got.Event.Groupings[0].Priority)
	assert.Equal(t, event.Nice, got.Event.Groupings[2].Priority)
	assert.Len(t, got.Event.People, 7)
}
