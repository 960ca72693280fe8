package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
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

// inProse are the commands that sentences name.
var inProse = regexp.MustCompile("`kinorder ([a-z]+)")

func TestCommandsInSentences(t *testing.T) {
	named := 0
	for name, content := range documents(t) {
		for _, m := range inProse.FindAllStringSubmatch(strings.ReplaceAll(content, "\n", " "), -1) {
			named++
			if m[1] != "help" && m[1] != "completion" { // made by cobra when the program starts
				command, _, err := (&Program{}).root().Find(m[1:])
				assert.NoError(t, err, "%s: %s", name, m[0])
				assert.NotEqual(t, "kinorder", command.Name(), "%s: %s", name, m[0])
			}
		}
	}
	assert.Greater(t, named, 15)
}

var (
	quoted     = regexp.MustCompile("`([^`\n]+)`")
	pathOrFile = regexp.MustCompile(`^[\w.*/-]*(/[\w.*-]+|\w\.(go|js|css|html|tmpl|toml|txt|sql|proto|yaml|json|md))$`)
	variable   = regexp.MustCompile(`NNNN|XX`)
	testName   = regexp.MustCompile(`^Test[A-Z]\w+$`)
	elsewhere  = []string{".ci/node_modules", "golang.org/x/net/html", "testing/synctest", "words.json"} // or made by a program
	drawn      = regexp.MustCompile(`^ +((?:[\w.-]+/)+)`)
)

// What DEVELOPERS.md names is there: files, folders of the layout, tests. A path may begin anywhere in the tree.
func TestDevelopersFindWhatIsNamed(t *testing.T) {
	var files []string
	var tests strings.Builder
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && (d.Name() == ".git" || d.Name() == "node_modules") {
			return filepath.SkipDir
		}
		files = append(files, filepath.ToSlash(strings.TrimPrefix(path, root)))
		if strings.HasSuffix(path, "_test.go") {
			content, err := os.ReadFile(path)
			require.NoError(t, err)
			tests.Write(content)
		}
		return nil
	}))
	there := func(name string) bool {
		name = strings.TrimSuffix(variable.ReplaceAllString(name, "*"), "/")
		return slices.ContainsFunc(files, func(file string) bool {
			parts := strings.Split(file, "/")
			end := parts[max(0, len(parts)-1-strings.Count(name, "/")):]
			ok, _ := filepath.Match(name, strings.Join(end, "/"))
			return ok
		})
	}
	document := documents(t)["DEVELOPERS.md"]
	for _, m := range quoted.FindAllStringSubmatch(document, -1) {
		switch {
		case testName.MatchString(m[1]):
			assert.Contains(t, tests.String(), "func "+m[1]+"(", m[1])
		case pathOrFile.MatchString(m[1]) && !strings.HasPrefix(m[1], "/") && !slices.Contains(elsewhere, m[1]):
			assert.True(t, there(m[1]), "%s is not there", m[1])
		}
	}
	_, layout, _ := strings.Cut(document, "## Layout and arrows\n")
	layout, _, _ = strings.Cut(layout, "Arrows run")
	for line := range strings.Lines(layout) {
		if m := drawn.FindStringSubmatch(line); m != nil {
			for name := range strings.FieldsSeq(m[1]) {
				assert.True(t, there(name), "%s is not there", name)
			}
		}
	}
}
