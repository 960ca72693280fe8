package people

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/wording"
)

// The time of photographers who work beside each other is not added up; that of one who works at two times is.
func TestTimeBesideEachOther(t *testing.T) {
	content, err := os.ReadFile(filepath.Join("..", "..", "..", "..", "testdata", "days", "castle.yaml"))
	require.NoError(t, err)
	e, _, err := intake.Read(content, intake.YAML)
	require.NoError(t, err)
	c, _ := wording.For("en")
	assert.Contains(t, Bar(c, e, true, 0), "min of 50 min + 50 min")
	e.Blocks[1].Opens, e.Blocks[1].Closes = "17:00", "17:50"
	assert.Contains(t, Bar(c, e, true, 0), "min of 100 min")
}
