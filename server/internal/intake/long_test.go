package intake

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/intake/effort"
	"kinorder.example/server/internal/intake/place"
)

// A list with too many lines or bytes is refused by its limits, and nothing is made of its lines.
func TestLongListsAreRefused(t *testing.T) {
	for name, content := range map[string]string{
		"lines": strings.Repeat("a\n", place.MaxLines),
		"blank": strings.Repeat("\n", place.MaxLines),
		"bytes": strings.Repeat("Ann Lee, Bo Lee and Cy Lee\n", 1+place.MaxContent/27),
		"much":  strings.Repeat("a\n", 3<<19),
	} {
		t.Run(name, func(t *testing.T) {
			m := effort.New(t.Context(), effort.Most)
			got, err := readWithin(m, []byte(content), Options{Format: List})
			require.NoError(t, err)
			assert.Equal(t, place.CodeTooLong, got.Problems[0].Code)
			assert.Contains(t, got.Problems[0].Text(), "4000")
			assert.Empty(t, got.Lines)
			assert.Less(t, m.Spent(), 1000)
		})
	}
}
