package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"html/template"
	"net/http"
	"strings"
	"time"

	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/wording"
)

//go:embed pages/*.tmpl
var pageFiles embed.FS

//go:embed assets/*
var assetFiles embed.FS

// pages are parsed once for each language; they are part of the program, so a mistake in them shows in
// every test.
var pages = parsePages("start", "list", "plan", "refusal", "trust", "events", "enter", "history", "clash", "delete", "send", "families", "wishes", "couple", "messages")

func parsePages(names ...string) map[string]*template.Template {
	out := map[string]*template.Template{}
	for _, tag := range append(wording.Languages(), "ar-u-nu-latn") {
		c, _ := wording.For(tag)
		for _, name := range names {
			out[nameOf(c, name)] = template.Must(template.New(name).Funcs(funcsOf(c)).ParseFS(pageFiles,
				"pages/shell.tmpl", "pages/parts.tmpl", "pages/people.tmpl", "pages/"+name+".tmpl"))
		}
	}
	return out
}

// nameOf tells the pages of one language from those of another. Arabic is written with two sets of digits.
func nameOf(c *wording.Catalogue, name string) string { return c.Tag() + c.Number(0) + name }

// funcsOf are what templates put into words with.
func funcsOf(c *wording.Catalogue) template.FuncMap {
	return template.FuncMap{
		"t":     func(k wording.Key, args ...any) string { return c.Render(wording.Say(k, args...)) },
		"curly": wording.Curly,
		"name":  func(s string) wording.Message { return wording.Said(s) },
		"n":     c.Number,
		"comma": func() string { return c.Say("sheet.listSeparator") },
		"facts": func() string { return c.Say("sheet.factSeparator") },
		"colon": func() string { return c.Say("sheet.colon") },
		"lang":  c.Tag,
		"dir":   c.Direction,
	}
}

// shell is what every page has around it.
type shell struct {
	Title string
	Step  int // 1 the list, 2 the plan; 0 neither
	// Here is where the form goes to come back to the same page, empty where there is no form; Enter is
	// what the Enter key in a field does.
	Here, Enter string
	// Switched says that the language was just changed, so that the focus stays there.
	Switched  bool
	Languages []fields.Choice
	// Plain says that the page has no form with what is kept: its language is chosen by its address, or goes with Form, the
	// id of the form in which something is typed.
	Plain bool
	Form  string
	// Seat is where the page is among what is kept.
	Seat seat
	// SignIn says that what is kept is there for whoever signs in.
	SignIn bool
}

// ByAddress says that the language of a page is chosen by its address, With with which form it goes otherwise.
func (s shell) ByAddress() bool { return s.Plain && s.Form == "" }
func (s shell) With() string    { return firstOf(s.Form, "work") }

// draw draws a page of HTML in a language.
func draw(c *wording.Catalogue, name string, s shell, page any) (*response, error) {
	var out bytes.Buffer
	s.Languages = languageChoices(c.Tag())
	view := struct {
		shell
		Page any
	}{s, page}
	if err := pages[nameOf(c, name)].ExecuteTemplate(&out, "shell", view); err != nil {
		return nil, fmt.Errorf("web: draw %s: %w", name, err)
	}
	r := &response{kind: "text/html; charset=utf-8", content: out.Bytes()}
	if s.Seat.Signed {
		r.policy = keptPolicy
	}
	return r, nil
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
	h.Set("Content-Type", a.kind)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(a.content))
}

// firstOf is the first of some texts in which something stands.
func firstOf(list ...string) string {
	for _, s := range list {
		if strings.TrimSpace(s) != "" {
			return s
		}
	}
	return ""
}
