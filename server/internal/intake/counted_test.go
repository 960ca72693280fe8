package intake

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// How many a photograph of everybody has is kept: gathering them takes its minutes.
func TestEverybodyIsCounted(t *testing.T) {
	for line, guests := range map[string]int{
		"everyone (about 70)": 66, "everyone (~70)": 66, "Everybody, ca. 70": 66, "everyone (approx 70 people)": 66, "everyone, all 70 guests": 66,
		"Alle (ca. 70 Personen)": 66, "tout le monde (environ 70)": 66, "todos (unas 70 personas)": 66,
		"everyone (3)": 0, "everyone, 2 frames": 0, "N&R with Carmel (70)": 0, "everyone, 20 mins": 0, "everyone - about 70": 66,
		"everyone at 5": 0, "Everyone on the lawn, 12 June 2027": 0, "everyone on the 12 steps": 0, "everyone from balcony, 50 mm": 0, "everyone (take 50)": 0,
	} {
		got, err := ReadFile(t.Context(), []byte("Nadia & Rob\n\n1. N&R with Carmel and Pat\n2. "+line+"\n"), Options{Format: List})
		require.NoError(t, err)
		require.Len(t, got.Event.Groupings, 2, line)
		assert.Equal(t, guests, got.Event.Groupings[1].Guests, line)
		if guests > 0 {
			assert.Empty(t, got.Event.Groupings[1].PrivateNote, line)
		}
	}
}
