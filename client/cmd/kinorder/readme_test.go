package main

import (
	"os"
	"strings"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// block returns the first fenced block of a language after a text in a document.
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

// What the documents show must work as it is printed.
func TestReadme(t *testing.T) {
	all := documents(t)
	readme := all["client/README.md"]

	family := file(t, "family.yaml", block(t, readme, "`family.yaml`:", "yaml"))
	got := run(t, &Program{}, "plan", family)
	assert.Equal(t, exitDone, got.code, got.stderr)
	// The order and the totals; how they are laid out is for the golden files of package sheet.
	for line := range strings.Lines(block(t, readme, "prints:", "")) {
		if strings.HasPrefix(line, "[ ]") {
			assert.Contains(t, got.stdout, line, "the program prints:\n%s", got.stdout)
		}
	}

	example, err := os.ReadFile("../../example_test.go")
	require.NoError(t, err)
	for line := range strings.Lines(block(t, all["proto/README.md"], "From Go:", "go")) {
		line = strings.ReplaceAll(line, `"localhost:7465"`, "address")
		assert.Contains(t, string(example), strings.TrimSpace(line), "the example is not the one that is compiled")
	}

	// Every flag of the commands that they describe in tables.
	program := (&Program{}).root()
	for command, text := range map[string]string{"plan": readme, "serve": all["server/README.md"]} {
		c, _, err := program.Find([]string{command})
		require.NoError(t, err)
		c.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if f.Name != "help" && f.Name != "open-to-network" {
				assert.Regexp(t, "`[^`]*(--"+f.Name+"|-"+f.Shorthand+" FILE)", text, "%s --%s", command, f.Name)
			}
		})
	}
}

// Every picture that the documents show is there and small, and every picture that is there is shown once.
func TestReadmePictures(t *testing.T) {
	var whole strings.Builder
	for _, content := range documents(t) {
		whole.WriteString(content)
	}
	pictures, err := os.ReadDir(root + "testdata/pictures")
	require.NoError(t, err)
	require.NotEmpty(t, pictures)
	for _, p := range pictures {
		info, err := p.Info()
		require.NoError(t, err)
		assert.Less(t, info.Size(), int64(150<<10), p.Name())
		assert.Contains(t, whole.String(), "testdata/pictures/"+p.Name()+")")
	}
	assert.Equal(t, len(pictures), strings.Count(whole.String(), "testdata/pictures/"), "each is shown once")
}
