package intake

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
)

// What a sentence beside the photographs says is told as taken, and the sentence is not called one that is set aside.
func TestTakenFromSentences(t *testing.T) {
	const list = "Wedding of Nell & Otto\n\n1. Couple + Nan Ruby\n2. Couple + Ida, Karl\n3. Couple + Ruby, Ida\n\n%s"
	for said, want := range map[string]string{
		"Nan Ruby can't stand for long, chair please.": "From this line: Nan Ruby: needs a seat.",
		"Ruby struggles with stairs":                   "From this line: Nan Ruby: no steps.",
		"Please don't put Ida next to Karl":            "From this line: Ida and Karl do not stand side by side.",
		"2-3 only if there's time":                     "From this line: 2: if there is time; 3: if there is time.",
		"Bring a steady hand and a big smile please":   "This line asks for no photo, so it is not used.",
	} {
		got, err := ReadFile(t.Context(), fmt.Appendf(nil, list, said), Options{Format: List})
		require.NoError(t, err)
		var texts []string
		for _, p := range got.Problems {
			if p.Line == 7 {
				texts = append(texts, p.Text())
			}
		}
		assert.Equal(t, []string{want}, texts, said)
		last := got.Lines[len(got.Lines)-1]
		assert.Equal(t, said, last.Text)
		assert.Equal(t, !strings.HasPrefix(want, "From this line"), last.Use == Reported, said)
	}
}

// A sentence that may ask for a photograph is not passed over because another of its line gave something.
func TestSentencesBesideTaken(t *testing.T) {
	got, err := ReadFile(t.Context(), []byte("Wedding of Nell & Otto\n\n1. Couple + Ida\n2. Couple + Karl\n\nIda and Karl don't get on. A photo of the dog would be so sweet!"), Options{})
	require.NoError(t, err)
	last := got.Problems[len(got.Problems)-1]
	assert.Equal(t, "“A photo of the dog would be so sweet!” is not used: write a line for each photo.", last.Text())
	assert.Equal(t, event.Warning, last.Severity)
}

// Private notes are nothing to act on: they are told in one go.
func TestNotesTogether(t *testing.T) {
	got, err := ReadFile(t.Context(), []byte("Mariage de Nell & Otto\n\n1. Mariés + Ida (avec le chien)\n2. Mariés + Karl (près du lac)\n"), Options{})
	require.NoError(t, err)
	assert.Equal(t, "fr", got.Language)
	var texts []string
	for _, p := range got.Problems {
		if p.Severity == event.Info && p.Code == "KEPT_AS_NOTE" {
			texts = append(texts, p.Text())
		}
	}
	assert.Equal(t, []string{"Kept as private notes, never printed: “chien” (line 3), “près du lac” (line 4)."}, texts)
}
