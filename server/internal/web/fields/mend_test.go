package fields

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLinesThatMovedMeanwhile(t *testing.T) {
	p := Posted{Values: map[string][]string{"was.2": {"b"}, "line.2": {"B"}, "was.3": {"gone"}, "line.3": {"new"}}}
	text, notices := Mend("x\na\nb", p)
	assert.Equal(t, "x\na\nB", text)
	require.Len(t, notices, 1)
	assert.Contains(t, notices[0].String(), "Line 3 was changed in the list as well")
	assert.Contains(t, notices[0].String(), "new")
}

// An answer on a new line stays one: joined to the line above it would be printed as the title of a photo.
func TestWhatIsTypedBelowALineIsALine(t *testing.T) {
	p := Posted{Values: map[string][]string{
		"was.2": {"Couple with the kids"}, "line.2": {"Couple with the kids\r\nPetra's kids: Ella, Jonas\r\n"}, "was.3": {"c"}, "line.3": {"C"},
	}}
	text, notices := Mend("a\nCouple with the kids\nc", p)
	assert.Equal(t, "a\nCouple with the kids\nPetra's kids: Ella, Jonas\nC", text)
	assert.Empty(t, notices)
}

func TestAnswersTakeThePlaceOfWhatWasAsked(t *testing.T) {
	p := Posted{Values: map[string][]string{
		"was.1": {"Rosa & Teo"}, "line.1": {"Rosa & Teo"}, "asked.1.0": {"Rosa"}, "answer.1.0": {"Rosa Duarte"},
		"asked.1.1": {"Teo"}, "answer.1.1": {""},
	}}
	text, notices := Mend("Rosa & Teo", p)
	assert.Equal(t, "Rosa Duarte & Teo", text)
	assert.Empty(t, notices)
}
