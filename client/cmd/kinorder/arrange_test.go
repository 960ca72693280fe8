package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const demo = "../../../testdata/harbour-wedding.yaml"

func TestArrangePrints(t *testing.T) {
	got := run(t, &Program{}, "arrange", demo, "t-grand")
	require.Equal(t, exitDone, got.code, got.stderr)
	assert.Contains(t, got.stdout, "Row 1, in front\n")
	assert.Contains(t, got.stdout, "  Rosa Lindqvist, on a chair\n")
	assert.Contains(t, got.stdout, "chairs are needed")
	assert.NotContains(t, got.stdout, "LAPWING")
}

func TestArrangeDraws(t *testing.T) {
	to := filepath.Join(t.TempDir(), "plan.svg")
	got := run(t, &Program{}, "arrange", demo, "a-each.meiling", "-o", to)
	require.Equal(t, exitDone, got.code, got.stderr)
	assert.Empty(t, got.stdout)
	svg, err := os.ReadFile(to)
	require.NoError(t, err)
	assert.Contains(t, string(svg), "陈美玲")
}

func TestArrangeRefuses(t *testing.T) {
	assert.Equal(t, exitInvalid, run(t, &Program{}, "arrange", demo).code)
	got := run(t, &Program{}, "arrange", demo, "nobody")
	assert.Equal(t, exitInvalid, got.code)
	assert.Regexp(t, `There is no photograph with this id: .* There are \S+, .*t-grand`, got.stderr)
	assert.Contains(t, run(t, &Program{}, "arrange", demo, "t-grnad").stderr, "Did you mean t-grand?")
	got = run(t, &Program{}, "arrange", demo, "t-grand", "--steps", "9")
	assert.Equal(t, exitInvalid, got.code)
	assert.Contains(t, got.stderr, "--steps must be from 0 to 2")
}
