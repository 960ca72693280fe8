package day

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where a day is far too short, a few hundred steps give up no more than ten times as many do: the figures are those of
// six thousand steps on the same days.
func TestShortDaysGiveUpLittle(t *testing.T) {
	for seed, most := range []Lost{
		{4: 50627, 5: 114288}, {4: 48317, 5: 109638}, {4: 27367, 5: 86378}, {4: 55552, 5: 126277}, {4: 47057, 5: 112038}, {4: 35428, 5: 103817},
	} {
		spec := family(uint64(seed))
		spec.Blocks[2].Close = 112 * 60
		p, err := New(spec)
		require.NoError(t, err)
		r, err := Solve(t.Context(), p, Options{Iterations: 600, NodeLimit: 2000})
		require.NoError(t, err)
		assert.False(t, most.Less(r.Lost), "%d: %v", seed, r.Lost)
	}
}
