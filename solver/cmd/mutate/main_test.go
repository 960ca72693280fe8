package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// module writes a module of one function and one test.
func module(t *testing.T) string {
	root := t.TempDir()
	for name, content := range map[string]string{
		"go.mod":    "module small\n\ngo 1.26\n",
		"a.go":      "package small\n\nfunc add(a, b int) int {\n\treturn a + b\n}\n\nfunc unseen() int {\n\treturn 1\n}\n",
		"a_test.go": "package small\n\nimport \"testing\"\n\nfunc TestAdd(t *testing.T) {\n\tif add(1, 2) != 3 {\n\t\tt.Error(add(1, 2))\n\t}\n}\n",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(root, name), []byte(content), 0o600))
	}
	return root
}

func TestRun(t *testing.T) {
	root := module(t)
	const list = `== takes away
in a.go
by .
-	return a + b
+	return a - b

== unseen
in a.go
by . -run Add
 func unseen() int {
-	return 1
+	return 2

== gone
in a.go
by .
-	return b + a
+	return a

== in two places
in a.go
by .
-}
+}}

== no such file
in b.go
by .
-x
+y

== no Go
in a.go
by .
-	return 1
+	return ""
`
	var out strings.Builder
	assert.Error(t, run(t.Context(), &out, root, list, "", 2))
	for _, line := range []string{
		"caught .* takes away: TestAdd", "MISSED .* unseen: ", "STALE .* gone: ", "STALE .* in two places: ", "STALE .* no such file: ",
		"ERROR .* no Go: does not compile", "1 of 6 caught",
	} {
		assert.Regexp(t, line, out.String())
	}
	content, err := os.ReadFile(filepath.Join(root, "a.go"))
	require.NoError(t, err)
	assert.Contains(t, string(content), "return a + b", "the tree stays as it is")
	assert.Error(t, run(t.Context(), &out, root, list, "nothing like it", 1))

	require.NoError(t, os.WriteFile(filepath.Join(root, "a.go"), []byte("package small\n\nfunc add(a, b int) int {\n\treturn a\n}\n"), 0o600))
	assert.ErrorContains(t, run(t.Context(), &out, root, list, "away", 1), "without any mutation")
}

func TestParse(t *testing.T) {
	got, err := parse("# a comment\n\n== one\nin a.go\nby ./x -run Y\n stays\n-goes\n+comes\n")
	require.NoError(t, err)
	assert.Equal(t, []mutation{{name: "one", file: "a.go", tests: []string{"./x", "-run", "Y"}, old: "stays\ngoes\n", new: "stays\ncomes\n"}}, got)
	for name, list := range map[string]string{
		"no name": "in a.go\n", "no file": "== a\nby .\n-x\n", "no tests": "== a\nin a.go\n-x\n", "nothing goes": "== a\nin a.go\nby .\n+x\n",
		"nothing changes": "== a\nin a.go\nby .\n x\n", "too many tests": "== a\nin a.go\nby . ./b\n-x\n", "other line": "== a\nin a.go\nby .\n*x\n",
	} {
		_, err := parse(list)
		assert.Error(t, err, name)
	}
}

// A break that no longer fits the code breaks nothing.
func TestEveryBreakFits(t *testing.T) {
	all, err := parse(list)
	require.NoError(t, err)
	for _, m := range all {
		_, err := m.overlay(filepath.Join("..", "..", ".."), t.TempDir())
		assert.NoError(t, err, m.name)
	}
}
