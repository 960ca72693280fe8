package planning_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/planning"
)

// A household with a leader takes more than a minute and less than two, and no change is dearer than a larger one of the
// same kind; a crowd has to leave first.
func TestCaseClearing(t *testing.T) {
	e := readCase(t, "clearing")
	s, err := planning.Fixed(e, planning.Options{}, []planning.Order{{Block: "lawn", Photographs: []string{"all", "family", "household", "parents", "witness"}}})
	require.NoError(t, err)
	took := map[string]time.Duration{}
	for _, x := range s.Blocks[0].Entries {
		took[x.Grouping] = x.Length
	}
	assert.Greater(t, took["family"], 2*time.Minute)
	assert.Less(t, took["family"], 3*time.Minute)
	assert.Greater(t, took["household"], time.Minute)
	assert.Less(t, took["household"], 2*time.Minute)
	assert.Less(t, took["witness"], took["household"])
	assert.Less(t, took["witness"], took["parents"])
}
