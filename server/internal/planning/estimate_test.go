package planning

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/planning/model"
)

// The estimate of minutes is near to what a plan takes.
func TestEstimateIsNearAPlan(t *testing.T) {
	files, err := filepath.Glob("../../../testdata/*.yaml")
	require.NoError(t, err)
	n := 0
	for _, file := range files {
		content, err := os.ReadFile(file)
		require.NoError(t, err)
		read, err := intake.ReadFile(t.Context(), content, intake.Options{})
		require.NoError(t, err)
		e := read.Event
		for b := range e.Blocks { // all of it has room
			e.Blocks[b].Closes, e.Blocks[b].Closing = "", event.SoftClosing
		}
		sheet, err := Plan(t.Context(), e, Options{Work: 5})
		if err != nil {
			continue
		}
		takes, there, err := model.Estimate(e)
		require.NoError(t, err)
		busy := time.Duration(0)
		for _, b := range sheet.Blocks {
			for _, entry := range b.Entries {
				busy += entry.Length
			}
		}
		t.Log(filepath.Base(file), takes, busy, sheet.Totals.Length, len(sheet.LeftOut))
		assert.InEpsilon(t, busy.Minutes(), takes.Minutes(), 0.15, file)
		assert.Zero(t, there)
		n++
	}
	assert.Positive(t, n)
}

// The estimate stands on a page while somebody types: it is to be there in milliseconds.
func BenchmarkEstimate(b *testing.B) {
	content, err := os.ReadFile("../../../testdata/valley-wedding.yaml")
	require.NoError(b, err)
	read, err := intake.ReadFile(b.Context(), content, intake.Options{})
	require.NoError(b, err)
	for b.Loop() {
		_, _, err := model.Estimate(read.Event)
		require.NoError(b, err)
	}
}
