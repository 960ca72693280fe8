package planning_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
)

// Published durations in minutes; where each comes from stands in its file. Of a range we hold the middle. No default
// is fitted to one of them.
func TestPublishedDurations(t *testing.T) {
	needs.Time(t)
	for name, want := range map[string]struct{ least, most float64 }{
		"ten-groups":             {0.8 * 25, 1.2 * 25},
		"seventeen-combinations": {0.8 * 17, 1.3 * 17}, // a minute each, the shortest published: we are over by a quarter
		"two-sides":              {0.8 * 31.5, 1.2 * 31.5},
		"led-circles":            {0.8 * 20, 1.2 * 20},
		"two-families":           {0.8 * 20, 1.2 * 20},
		"thirty-small-groups":    {0.8 * 30, 1.2 * 30},
		"everybody-at-once":      {0.8 * 12.5, 1.2 * 12.5},
		"three-groups":           {9, 15}, // "at most"
	} {
		t.Run(name, func(t *testing.T) {
			raw, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "minutes", name+".yaml"))
			require.NoError(t, err)
			e, _, err := intake.Read(raw, intake.YAML)
			require.NoError(t, err)
			got := planned(t, e, planning.Options{}).Blocks[0]
			assert.GreaterOrEqual(t, got.Length.Minutes(), want.least)
			assert.LessOrEqual(t, got.Length.Minutes(), want.most)
			// Photographers differ: four of five are done by about e^(0.84·0.35) times the likely time.
			assert.InDelta(t, math.Exp(0.8416*0.35), got.SafeLength.Minutes()/got.Length.Minutes(), 0.06)
		})
	}
}
