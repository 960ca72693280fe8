package planning

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
)

// Everybody comes first where that costs little, unless the hand has it elsewhere or only step-ins count.
func TestCaseEverybodyFirst(t *testing.T) {
	raw, err := os.ReadFile("../../../testdata/cases/everybody-first.yaml")
	require.NoError(t, err)
	e, _, err := intake.Read(raw, intake.YAML)
	require.NoError(t, err)
	s := plan(t, e, Options{})
	order := orderOf(s)
	assert.Equal(t, "everybody", order[0])
	require.Empty(t, s.LeftOut)

	fewest := event.FewestSteps
	assert.NotEqual(t, "everybody", orderOf(plan(t, e, Options{Emphasis: &fewest}))[0])
	e.Order = []event.HandPlace{{Grouping: order[1], Block: "club"}, {Grouping: "everybody", Block: "club"}}
	assert.NotEqual(t, "everybody", orderOf(plan(t, e, Options{}))[0], "by hand")
}
