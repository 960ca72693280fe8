package web

import (
	"io/fs"
	"regexp"
	"strings"
	"testing"
	"text/template/parse"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"kinorder.example/server/internal/wording"
)

// template is one file of the templates: its markup with a mark where something is put in, and the texts
// that it takes from the catalogue.
type pageTemplate struct {
	name   string
	markup string
	keys   []wording.Key
}

// hole stands for what a template puts in.
const hole = "\x1a"

func templates(t *testing.T) []pageTemplate {
	t.Helper()
	files, err := fs.Glob(pageFiles, "pages/*.tmpl")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	known := map[string]any{"eq": 0, "gt": 0, "len": 0, "or": 0, "not": 0}
	for name := range funcsOf(wording.Accepted("")) {
		known[name] = 0
	}
	var out []pageTemplate
	for _, file := range files {
		raw, err := pageFiles.ReadFile(file)
		require.NoError(t, err)
		trees, err := parse.Parse(file, string(raw), "{{", "}}", known)
		require.NoError(t, err)
		p := pageTemplate{name: file}
		for _, tree := range trees {
			p.read(tree.Root)
		}
		out = append(out, p)
	}
	return out
}

func (p *pageTemplate) read(n parse.Node) {
	switch n := n.(type) {
	case *parse.ListNode:
		if n != nil {
			for _, inner := range n.Nodes {
				p.read(inner)
			}
		}
	case *parse.TextNode:
		p.markup += string(n.Text)
	case *parse.ActionNode:
		p.markup += hole
		p.pipe(n.Pipe)
	case *parse.TemplateNode:
		p.markup += hole
		p.pipe(n.Pipe)
	case *parse.IfNode:
		p.branch(&n.BranchNode)
	case *parse.RangeNode:
		p.branch(&n.BranchNode)
	case *parse.WithNode:
		p.branch(&n.BranchNode)
	}
}

func (p *pageTemplate) branch(n *parse.BranchNode) {
	p.pipe(n.Pipe)
	p.read(n.List)
	p.read(n.ElseList)
}

func (p *pageTemplate) pipe(n *parse.PipeNode) {
	if n == nil {
		return
	}
	for _, c := range n.Cmds {
		for i, a := range c.Args {
			if inner, ok := a.(*parse.PipeNode); ok {
				p.pipe(inner)
			}
			if name, ok := a.(*parse.IdentifierNode); ok && i == 0 && name.Ident == "t" && len(c.Args) > 1 {
				if key, ok := c.Args[1].(*parse.StringNode); ok {
					p.keys = append(p.keys, wording.Key(key.Text))
				}
			}
		}
	}
}

// read aloud or shown: attributes that are words.
var wordAttributes = map[string]bool{"aria-label": true, "title": true, "alt": true, "placeholder": true, "data-busy": true, "data-of": true}

// The templates have no words of their own: all come from the catalogue, which has them in every language.
func TestTemplatesHaveNoWords(t *testing.T) {
	for _, p := range templates(t) {
		root := html.NewTokenizer(strings.NewReader(p.markup))
		code := false
		for kind := root.Next(); kind != html.ErrorToken; kind = root.Next() {
			token := root.Token()
			if token.Data == "code" {
				code = kind == html.StartTagToken
			}
			if kind == html.TextToken && !code {
				text := strings.NewReplacer(hole, "", "kinorder", "").Replace(token.Data)
				assert.False(t, strings.ContainsFunc(text, unicode.IsLetter), "%s: bare text %q", p.name, token.Data)
			}
			for _, a := range token.Attr {
				if wordAttributes[a.Key] {
					assert.False(t, strings.ContainsFunc(a.Val, unicode.IsLetter), "%s: bare text in %s: %q", p.name, a.Key, a.Val)
				}
			}
		}
		for _, key := range p.keys {
			for _, tag := range wording.Languages() {
				c, _ := wording.For(tag)
				assert.True(t, c.Known(wording.Message{Key: key}), "%s: %s has no wording for %q", p.name, tag, key)
			}
		}
	}
}

var scriptTexts = regexp.MustCompile("\"[^\"\n]*\"|'[^'\n]*'|`[^`]*`")

// What the script says comes from the page, which has it from the catalogue.
func TestTheScriptHasNoWords(t *testing.T) {
	raw, err := assetFiles.ReadFile("assets/page.js")
	require.NoError(t, err)
	code := regexp.MustCompile(`(?m)//.*$`).ReplaceAllString(string(raw), "")
	for _, s := range scriptTexts.FindAllString(code, -1) {
		if s == `"use strict"` {
			continue
		}
		assert.NotRegexp(t, `[A-Za-z]{2,} [A-Za-z]{2,}|^.[A-Z]`, s, "a text in the script")
	}
}
