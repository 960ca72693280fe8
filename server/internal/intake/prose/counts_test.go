package prose

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Whom nobody names counts as many as the line says, in minutes too, and in the photo of everybody.
func TestEntriesCountAsManyAsTheLineSays(t *testing.T) {
	for said, want := range map[string]int{
		"uni friends": 0, "uni friends (about 12)": 11, "uni friends (12)": 11, "12 uni friends": 11, "the choir - 20 people": 19, "the rowing club (8 people)": 7,
		"neighbours, 5 of them": 4, "school friends (approx. 8)": 7,
	} {
		_, got := photographsOf(t, "Couple: Nell & Otto", "", "- Nell & Otto with "+said, "- Everyone")
		require.Len(t, got.Event.Groupings, 2, said)
		assert.Equal(t, want, got.Event.Groupings[0].Guests, said)
		assert.Equal(t, want, got.Event.Groupings[1].Guests, said)
	}
	_, got := photographsOf(t, "Couple: Nell & Otto", "", "- Nell & Otto with uni friends (12)", "- Everyone (about 80)")
	assert.Equal(t, 77, got.Event.Groupings[1].Guests, "the list names three")
}

// A bracket behind one of two that names nobody is of these, and not of whoever follows.
func TestKeptApartInABracket(t *testing.T) {
	_, got := photographsOf(t, "Couple: Nell & Otto", "", "Nell's mum Vera, dad Karl (divorced, please keep apart), step-mum Ida", "", "- Nell and Otto with Vera", "- Nell and Otto with Karl and Ida")
	require.Len(t, got.Event.Rules, 1)
	assert.ElementsMatch(t, []string{"vera", "karl"}, got.Event.Rules[0].Apart.People)
}
