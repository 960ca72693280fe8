package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"html/template"
	"net/http"
)

//go:embed pages/*.tmpl
var pageFiles embed.FS

//go:embed assets/*
var assetFiles embed.FS

// pages are parsed once; they are part of the program, so a mistake in them shows in every test.
var pages = parsePages("start", "list", "plan", "refusal", "trust")

func parsePages(names ...string) map[string]*template.Template {
	out := map[string]*template.Template{}
	for _, name := range names {
		out[name] = template.Must(template.ParseFS(pageFiles, "pages/shell.tmpl", "pages/parts.tmpl", "pages/"+name+".tmpl"))
	}
	return out
}

// shell is what every page has around it.
type shell struct {
	Title string
	Step  int // 1 the list, 2 the plan; 0 neither
}

// draw draws a page of HTML.
func draw(name string, s shell, page any) (*response, error) {
	var out bytes.Buffer
	view := struct {
		shell
		Page any
	}{s, page}
	if err := pages[name].ExecuteTemplate(&out, "shell", view); err != nil {
		return nil, fmt.Errorf("web: draw %s: %w", name, err)
	}
	return &response{kind: "text/html; charset=utf-8", content: out.Bytes()}, nil
}

// asset is a file of the pages that is the same for everybody.
type asset struct {
	path, kind, tag string
	content         []byte
}

var assets = []asset{
	newAsset("page.css", "text/css; charset=utf-8"),
	newAsset("page.js", "text/javascript; charset=utf-8"),
	newAsset("icon.svg", "image/svg+xml"),
}

func newAsset(name, kind string) asset {
	content, err := assetFiles.ReadFile("assets/" + name)
	if err != nil {
		panic(err) // a file that is part of the program
	}
	sum := sha256.Sum256(content)
	return asset{"/" + name, kind, `"` + hex.EncodeToString(sum[:8]) + `"`, content}
}

// ServeHTTP hands the file out, or says that it has not changed.
func (a asset) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Cache-Control", "no-cache")
	h.Set("ETag", a.tag)
	if r.Header.Get("If-None-Match") == a.tag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	h.Set("Content-Type", a.kind)
	_, _ = w.Write(a.content) // whoever asked has gone
}
