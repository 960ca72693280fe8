package main

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// linked are the modules that the program is built from, on every system that it is built for, with the
// folders in which they are.
func linked(t *testing.T) map[string]string {
	t.Helper()
	folders := map[string]string{}
	for _, system := range []string{"linux", "darwin", "windows"} {
		c := exec.CommandContext(t.Context(), "go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}\t{{.Dir}}{{end}}{{end}}", ".")
		c.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		out, err := c.Output()
		require.NoError(t, err)
		for line := range strings.Lines(string(out)) {
			if module, folder, ok := strings.Cut(strings.TrimSpace(line), "\t"); ok {
				folders[module] = folder
			}
		}
	}
	root, err := exec.CommandContext(t.Context(), "go", "env", "GOROOT").Output()
	require.NoError(t, err)
	folders["the standard library of Go"] = strings.TrimSpace(string(root))
	return folders
}

var update = flag.Bool("update", false, "write notices.txt anew")

var legal = regexp.MustCompile(`(?i)^(licen[cs]e|notice|copying|patents)`)

// The licences that the program prints are those of the modules that it is built from. After a change of
// go.mod run this test with -update, and look whether the licences still suit.
func TestNotices(t *testing.T) {
	of := map[string][]string{} // by text
	var texts []string
	folders := linked(t)
	for _, module := range slices.Sorted(maps.Keys(folders)) {
		files, err := os.ReadDir(folders[module])
		require.NoError(t, err)
		found := false
		for _, f := range files {
			if !legal.MatchString(f.Name()) || f.IsDir() {
				continue
			}
			content, err := os.ReadFile(filepath.Join(folders[module], f.Name()))
			require.NoError(t, err)
			text := strings.TrimSpace(strings.ReplaceAll(string(content), "\r\n", "\n"))
			if of[text] == nil {
				texts = append(texts, text)
			}
			of[text] = append(of[text], module+", "+f.Name())
			found = true
		}
		assert.True(t, found, "%s has no licence", module)
	}
	var b strings.Builder
	b.WriteString("kinorder is built from the following, each under the terms that stand below its name.\n")
	for _, text := range texts {
		fmt.Fprintf(&b, "\n%s\n%s\n%s\n\n%s\n", strings.Repeat("=", 78), strings.Join(of[text], "\n"), strings.Repeat("=", 78), text)
	}
	if *update {
		require.NoError(t, os.WriteFile("notices.txt", []byte(b.String()), 0o644))
		return
	}
	assert.True(t, b.String() == notices, "notices.txt is not that of go.mod: run go test ./client/cmd/kinorder -run Notices -update")
	got := run(t, &Program{}, "licences")
	assert.Equal(t, exitDone, got.code)
	assert.Equal(t, notices, got.stdout)
}
