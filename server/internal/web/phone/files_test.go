package phone

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// script is the files of the page's program, by name.
func script() map[string]string {
	out := map[string]string{}
	for _, f := range files {
		if strings.HasSuffix(f.name, ".js") && !slices.Contains(coreFiles, f.name) {
			out[f.name] = string(f.content)
		}
	}
	return out
}

// imported finds what a file imports, with or without names.
var imported = regexp.MustCompile(`(?m)^import (?:[^"]* from )?"\./([a-z]+\.js)";$`)

// Each part of the script can be understood with what it imports, which does not import it.
func TestScriptHasNoCircle(t *testing.T) {
	parts := script()
	imports := map[string][]string{}
	for name, content := range parts {
		lines := imported.FindAllStringSubmatch(content, -1)
		require.Len(t, lines, strings.Count(content, "\nimport "), "%s: each import is a line of its own", name)
		for _, m := range lines {
			require.Contains(t, parts, m[1], name)
			imports[name] = append(imports[name], m[1])
		}
	}
	require.Equal(t, "secret.js", imports["app.js"][0], "the secret leaves the address bar before anything else")
	var visit func(name string, way []string)
	done := map[string]bool{}
	visit = func(name string, way []string) {
		if slices.Contains(way, name) {
			require.Fail(t, "circle", "%s", strings.Join(append(way, name), " -> "))
		}
		if done[name] {
			return
		}
		for _, next := range imports[name] {
			visit(next, append(slices.Clone(way), name))
		}
		done[name] = true
	}
	for name := range parts {
		visit(name, nil)
	}
}

// A long line of a script cannot be read beside what it is compared with.
func TestScriptHasNoLongLine(t *testing.T) {
	const most = 120
	for name, content := range script() {
		if name == "outlook.js" || name == worker { // worker: the names of the files are put in
			continue
		}
		n := 0
		for line := range strings.Lines(content) {
			n++
			assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimRight(line, "\n")), most, "%s:%d", name, n)
		}
	}
}

// What is known has one writer.
func TestScriptHasOneWriter(t *testing.T) {
	writes := regexp.MustCompile(`\bapp(\??\.\w+)+ *([-+|&?]{0,2}=[^=>]|\+\+|--|\.(push|set|delete|clear|splice|sort)\()|assign\(app\b`)
	for name, content := range script() {
		if name == "state.js" {
			assert.Regexp(t, writes, content, "the pattern finds nothing at all")
			continue
		}
		assert.NotRegexp(t, writes, content, name)
	}
}
