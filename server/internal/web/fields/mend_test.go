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

func TestAnswersTakeThePlaceOfWhatWasAsked(t *testing.T) {
	p := Posted{Values: map[string][]string{
		"was.1": {"Rosa & Teo"}, "line.1": {"Rosa & Teo"}, "asked.1.0": {"Rosa"}, "answer.1.0": {"Rosa Duarte"},
		"asked.1.1": {"Teo"}, "answer.1.1": {""},
	}}
	text, notices := Mend("Rosa & Teo", p)
	assert.Equal(t, "Rosa Duarte & Teo", text)
	assert.Empty(t, notices)
}
