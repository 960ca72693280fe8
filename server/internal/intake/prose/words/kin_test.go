package words

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/kin"
)

// What lists and the field "relation" read alike stands once, in package kin.
func TestKinStandsOnce(t *testing.T) {
	shared := 0
	for _, lang := range []string{"en", "pt", "es", "fr", "de", "other"} {
		own, err := wordFiles.ReadFile(lang + ".txt")
		require.NoError(t, err)
		for line := range strings.Lines(kin.Lines(lang)) {
			if strings.HasPrefix(line, "kin ") {
				shared++
				assert.False(t, strings.Contains(string(own), "\n"+line), "%s.txt has it too: %s", lang, line)
			}
		}
	}
	assert.Greater(t, shared, 170)
}
