package solver_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The files that check plans use nothing of the search: of their own package no function and no number,
// but types and the names of their values. Otherwise a fault would be in both and nobody would notice.
func TestVerifiersShareNothingWithTheSearch(t *testing.T) {
	for _, c := range []struct {
		folder string
		files  []string
	}{
		{".", []string{"evaluate.go"}},
		{"day", []string{"verify.go", "timing.go"}},
		{"standing", []string{"verify.go", "verifycost.go", "verifynear.go"}},
	} {
		t.Run(c.folder, func(t *testing.T) {
			fset := token.NewFileSet()
			names, err := filepath.Glob(filepath.Join(c.folder, "*.go"))
			require.NoError(t, err)
			var files []*ast.File
			for _, name := range names {
				if strings.HasSuffix(name, "_test.go") {
					continue
				}
				file, err := parser.ParseFile(fset, name, nil, parser.SkipObjectResolution)
				require.NoError(t, err)
				files = append(files, file)
			}
			info := types.Info{Uses: map[*ast.Ident]types.Object{}}
			// What is imported stays unknown: only the package itself matters.
			config := types.Config{Error: func(error) {}}
			pkg, _ := config.Check(c.folder, fset, files, &info)
			in := func(p token.Pos) bool { return slices.Contains(c.files, filepath.Base(fset.Position(p).Filename)) }
			used := 0
			for ident, object := range info.Uses {
				if object.Pkg() != pkg || !in(ident.Pos()) {
					continue
				}
				used++
				if in(object.Pos()) || !shared(object) {
					continue
				}
				assert.Fail(t, "the verifier uses the search", "%s: %s", fset.Position(ident.Pos()), object)
			}
			assert.Greater(t, used, 100)
		})
	}
}

// shared says whether an object is something that two sides should not share.
func shared(object types.Object) bool {
	switch o := object.(type) {
	case *types.Func:
		return true
	case *types.Const:
		_, named := o.Type().(*types.Named) // the values of an enumeration
		return !named
	case *types.Var:
		return !o.IsField() && o.Parent() == o.Pkg().Scope()
	}
	return false
}
