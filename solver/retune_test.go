package solver

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// On this event the table of walks was laid out anew while walks were still being followed in it, and
// the search read behind its end.
func TestSolveLaysOutTheTableBetweenWalks(t *testing.T) {
	long(t)
	p := mustProblem(t, familySpec(18, 30, Balanced))
	r, err := Solve(context.Background(), p, Options{})
	require.NoError(t, err)
	require.NoError(t, Verify(p, r.Order, r.Cost))
	assert.True(t, r.Proven)
}
