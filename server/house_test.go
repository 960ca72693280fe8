package server

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/needs"
)

// The most lines of a file, of a function, and of a package outside the solver: past that somebody looks for a seam.
const mostOfFile, mostOfFunction, mostOfPackage = 400, 60, 4500

// Generated code and tests are not measured.
func TestNothingIsTooLong(t *testing.T) {
	needs.Alone(t)
	packages := map[string]int{}
	err := filepath.WalkDir("..", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		files := token.NewFileSet()
		file, err := parser.ParseFile(files, path, nil, parser.ParseComments)
		if err != nil || ast.IsGenerated(file) {
			return err
		}
		lines := files.File(file.FileStart).LineCount()
		packages[filepath.Dir(path)] += lines
		assert.LessOrEqual(t, lines, mostOfFile, path)
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok {
				from, to := files.Position(f.Pos()).Line, files.Position(f.End()).Line
				assert.LessOrEqual(t, to-from+1, mostOfFunction, "%s: %s", path, f.Name.Name)
			}
		}
		return nil
	})
	require.NoError(t, err)
	for name, lines := range packages {
		if name != filepath.Join("..", "solver") {
			assert.LessOrEqual(t, lines, mostOfPackage, name)
		}
	}
}
