package main

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// block returns the first fenced block of a language after a text in README.
func block(t *testing.T, readme, after, language string) string {
	t.Helper()
	_, rest, found := strings.Cut(readme, after)
	require.True(t, found, after)
	_, rest, found = strings.Cut(rest, "```"+language+"\n")
	require.True(t, found, language)
	content, _, found := strings.Cut(rest, "```")
	require.True(t, found)
	return content
}

// What README shows must work as it is printed.
func TestReadme(t *testing.T) {
	content, err := os.ReadFile("../../../README.md")
	require.NoError(t, err)
	readme := string(content)

	family := file(t, "family.yaml", block(t, readme, "`family.yaml`:", "yaml"))
	got := run(t, &Program{}, "plan", family)
	assert.Equal(t, exitDone, got.code, got.stderr)
	// The order and the totals; how they are laid out is for the golden files of package sheet.
	for line := range strings.Lines(block(t, readme, "prints:", "")) {
		if strings.HasPrefix(line, "[ ]") || strings.Contains(line, "People stepping in: ") {
			assert.Contains(t, got.stdout, line, "the program prints:\n%s", got.stdout)
		}
	}

	example, err := os.ReadFile("../../example_test.go")
	require.NoError(t, err)
	for line := range strings.Lines(block(t, readme, "From Go:", "go")) {
		assert.Contains(t, string(example), strings.TrimSpace(line), "README's example is not the one that is compiled")
	}

	var flags strings.Builder
	for _, args := range [][]string{{"plan", "--help"}, {"check", "--help"}, {"serve", "--help"}} {
		flags.WriteString(run(t, &Program{}, args...).stdout)
	}
	for _, flag := range []string{"--format", "-o", "--budget", "--emphasis", "--available", "--width", "--server"} {
		assert.Contains(t, readme, flag)
		assert.Contains(t, flags.String(), flag)
	}
}

// Every picture that README shows is there and small, and every picture that is there is shown.
func TestReadmePictures(t *testing.T) {
	content, err := os.ReadFile("../../../README.md")
	require.NoError(t, err)
	pictures, err := os.ReadDir("../../../testdata/pictures")
	require.NoError(t, err)
	require.NotEmpty(t, pictures)
	for _, p := range pictures {
		info, err := p.Info()
		require.NoError(t, err)
		assert.Less(t, info.Size(), int64(150<<10), p.Name())
		assert.Contains(t, string(content), "](testdata/pictures/"+p.Name()+")")
	}
	assert.Equal(t, len(pictures), strings.Count(string(content), "](testdata/pictures/"), "each is shown once")
}
