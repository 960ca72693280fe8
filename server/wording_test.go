package server

import (
	"encoding/json"
	"errors"
	"go/ast"
	"go/constant"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/wording"
)

// keyUse is a text that a package says.
type keyUse struct {
	key  wording.Key
	at   token.Position
	args int // how many arguments stand behind it; -1 when that cannot be seen
}

// said lists every constant of type wording.Key in the packages of the server, as the compiler sees
// them: whatever such a constant is handed on to, it is a text that somebody reads.
func said(t *testing.T) []keyUse {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), "go", "list", "-export", "-deps",
		"-json=ImportPath,Dir,GoFiles,Export,Imports", module+"server/...").Output()
	require.NoError(t, err)
	type listed struct {
		ImportPath, Dir, Export string
		GoFiles, Imports        []string
	}
	exports := map[string]string{}
	var ours []listed
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p listed
		err := d.Decode(&p)
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		exports[p.ImportPath] = p.Export
		for _, i := range p.Imports {
			if strings.HasPrefix(p.ImportPath, module) && i == module+"server/internal/wording" {
				ours = append(ours, p)
			}
		}
	}
	files := token.NewFileSet()
	load := importer.ForCompiler(files, "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
	var uses []keyUse
	for _, p := range ours {
		var parsed []*ast.File
		for _, name := range p.GoFiles {
			f, err := parser.ParseFile(files, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
			require.NoError(t, err)
			parsed = append(parsed, f)
		}
		info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
		_, err := (&types.Config{Importer: load}).Check(p.ImportPath, files, parsed, info)
		require.NoError(t, err)
		behind := argumentsBehind(parsed, info)
		for e, v := range info.Types {
			if v.Value == nil || v.Value.Kind() != constant.String || v.Type.String() != module+"server/internal/wording.Key" {
				continue
			}
			n, seen := behind[e]
			if !seen {
				n = -1
			}
			uses = append(uses, keyUse{wording.Key(constant.StringVal(v.Value)), files.Position(e.Pos()), n})
		}
	}
	return uses
}

// argumentsBehind counts the arguments of calls whose parameters end in a key and any number of any.
func argumentsBehind(parsed []*ast.File, info *types.Info) map[ast.Expr]int {
	out := map[ast.Expr]int{}
	for _, f := range parsed {
		ast.Inspect(f, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || call.Ellipsis.IsValid() {
				return true
			}
			signature, ok := info.Types[call.Fun].Type.(*types.Signature)
			if !ok || !signature.Variadic() {
				return true
			}
			last := signature.Params().Len() - 1
			if last < 1 || last > len(call.Args) || signature.Params().At(last).Type().String() != "[]any" {
				return true
			}
			out[call.Args[last-1]] = len(call.Args) - last
			return true
		})
	}
	return out
}

var places = regexp.MustCompile(`%(?:\[[0-9]\])?[sd]`)

// Every text that the server says is in the catalogue, in every language, and is given the arguments
// that it takes.
func TestEveryTextIsInTheCatalogue(t *testing.T) {
	needs.Alone(t)
	english := texts(t)
	uses := said(t)
	require.NotEmpty(t, uses)
	for _, use := range uses {
		if use.key == "" { // nothing is said
			continue
		}
		for _, tag := range wording.Languages() {
			c, _ := wording.For(tag)
			assert.True(t, c.Known(wording.Message{Key: use.key}), "%s: %s has no wording for %q", use.at, tag, use.key)
		}
		pattern, there := english[string(use.key)]
		if !there {
			pattern = string(use.key)
		}
		if use.args >= 0 && !strings.Contains(pattern, "%[") {
			assert.Len(t, places.FindAllString(pattern, -1), use.args, "%s: arguments of %q", use.at, use.key)
		}
	}
}

// texts returns the English texts by id.
func texts(t *testing.T) map[string]string {
	t.Helper()
	var areas map[string]map[string]any
	_, err := toml.DecodeFile(filepath.Join("internal", "wording", "text", "en.toml"), &areas)
	require.NoError(t, err)
	out := map[string]string{}
	for area, list := range areas {
		for id, text := range list {
			if forms, ok := text.(map[string]any); ok {
				text = forms["other"]
			}
			out[area+"."+id] = text.(string)
		}
	}
	return out
}

// Every text is said somewhere. Those of the phone are held by a test beside its script, and what a language
// is called and how it counts is no text.
func TestNoTextIsStale(t *testing.T) {
	needs.Alone(t)
	used := map[string]bool{} // whatever stands in quotes
	words := regexp.MustCompile(`"[a-zA-Z]+\.[a-zA-Z0-9]+"`)
	require.NoError(t, filepath.WalkDir(".", func(path string, d os.DirEntry, err error) error {
		if err != nil || strings.HasSuffix(path, "_test.go") || !strings.HasSuffix(path, ".go") && !strings.HasSuffix(path, ".tmpl") {
			return err
		}
		content, err := os.ReadFile(path)
		for _, word := range words.FindAllString(string(content), -1) {
			used[word] = true
		}
		return err
	}))
	for id := range texts(t) {
		if strings.HasPrefix(id, "phone.") || strings.HasPrefix(id, "language.") {
			continue
		}
		assert.True(t, used[strconv.Quote(id)], "%s is said nowhere: take it out of the files of all languages", id)
	}
}
