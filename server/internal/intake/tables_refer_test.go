package intake

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
