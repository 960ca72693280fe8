package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const root = "../../../"

// documents are those that people read, by their paths in the tree.
func documents(t *testing.T) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, pattern := range []string{"*.md", "*/README.md"} {
		found, err := filepath.Glob(root + pattern)
		require.NoError(t, err)
		for _, file := range found {
			content, err := os.ReadFile(file)
			require.NoError(t, err)
			out[strings.TrimPrefix(file, root)] = string(content)
		}
	}
	require.Greater(t, len(out), 5)
	return out
}

var (
	link    = regexp.MustCompile(`\]\(([^)\s]+)\)`)
	heading = regexp.MustCompile(`(?m)^#+ (.+)$`)
	spaced  = regexp.MustCompile(`[^a-z0-9 -]`)
)

// anchors are the places in a document that a link can lead to.
func anchors(document string) []string {
	var out []string
	for _, m := range heading.FindAllStringSubmatch(document, -1) {
		out = append(out, strings.ReplaceAll(spaced.ReplaceAllString(strings.ToLower(m[1]), ""), " ", "-"))
	}
	return out
}

// A link leads to a file of the tree, and to a heading that is there.
func TestLinksLeadSomewhere(t *testing.T) {
	all := documents(t)
	for name, content := range all {
		for _, m := range link.FindAllStringSubmatch(content, -1) {
			path, anchor, _ := strings.Cut(m[1], "#")
			if strings.Contains(path, "://") {
				continue
			}
			to := filepath.Clean(filepath.Join(filepath.Dir(name), path))
			if path == "" {
				to = name
			}
			_, err := os.Stat(root + to)
			assert.NoError(t, err, "%s: %s", name, m[1])
			if anchor != "" {
				assert.Contains(t, anchors(all[to]), anchor, "%s: %s", name, m[1])
			}
		}
	}
	assert.LessOrEqual(t, strings.Count(all["README.md"], "\n"), 180)
}

var word = regexp.MustCompile(`"[^"]*"|\$\([^)]*\)|\S+`)

// Commands that documents and the help show have subcommands and flags that there are.
func TestCommandsInDocuments(t *testing.T) {
	shown := 0
	for name, content := range documents(t) {
		for line := range strings.Lines(content) {
			text := strings.TrimSpace(line)
			if strings.HasPrefix(text, "export ") || !strings.HasPrefix(line, "    ") && !strings.HasPrefix(line, "kinorder ") && !strings.HasPrefix(line, "bin/kinorder ") {
				continue
			}
			text, _, _ = strings.Cut(strings.TrimPrefix(text, "bin/"), " #")
			text, _, _ = strings.Cut(text, " | ")
			text, _, _ = strings.Cut(strings.TrimSuffix(text, " &"), " > ")
			args := word.FindAllString(text, -1)
			if len(args) < 2 || args[0] != "kinorder" || strings.HasSuffix(args[1], "s") && args[1] != "events" {
				continue
			}
			shown++
			command, rest, err := (&Program{}).root().Find(args[1:])
			if assert.NoError(t, err, "%s: %s", name, text) {
				assert.NoError(t, command.ParseFlags(rest), "%s: %s", name, text)
				assert.NotEqual(t, "kinorder", command.Name(), "%s: %s", name, text)
			}
		}
	}
	assert.Greater(t, shown, 25)
}
