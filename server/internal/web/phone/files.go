package phone

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"net/http"
	"path"
	"slices"
	"strings"
)

//go:embed assets
var assets embed.FS

// file is a part of the page that is the same for everybody.
type file struct {
	name, kind, tag string
	content         []byte
}

var kinds = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".svg": "image/svg+xml", ".webmanifest": "application/manifest+json", ".json": "application/json",
}

// files are all parts; that of the empty name is the page itself.
var files = allFiles()

func allFiles() []file {
	entries, err := assets.ReadDir("assets")
	if err != nil {
		panic(err) // a folder that is part of the program
	}
	out := []file{newFile("words.json", words())}
	for _, e := range entries {
		content, err := assets.ReadFile("assets/" + e.Name())
		if err != nil {
			panic(err)
		}
		out = append(out, newFile(e.Name(), content))
	}
	// The service worker keeps all of them, and looks for new ones when any has changed.
	sort := func(a, b file) int { return strings.Compare(a.name, b.name) }
	slices.SortFunc(out, sort)
	whole := sha256.New()
	var names []string
	for i := range out {
		if out[i].name == "index.html" {
			out[i].name = ""
		}
		whole.Write(out[i].content)
		if out[i].name != worker {
			names = append(names, `"`+out[i].name+`"`)
		}
	}
	fill := strings.NewReplacer("@version@", hex.EncodeToString(whole.Sum(nil)[:8]), `"@files@"`, strings.Join(names, ", "))
	for i, f := range out {
		if f.name == worker {
			out[i] = newFile(f.name, []byte(fill.Replace(string(f.content))))
		}
	}
	return out
}

// worker is the service worker. It is told the names of the files and a version of them all.
const worker = "sw.js"

// path is where a file is served.
func (f file) path() string {
	if f.name == "" {
		return Prefix + "{$}"
	}
	return Prefix + f.name
}

func newFile(name string, content []byte) file {
	sum := sha256.Sum256(content)
	return file{name, kinds[path.Ext(name)], `"` + hex.EncodeToString(sum[:8]) + `"`, content}
}

// ServeHTTP hands the file out, or says that it has not changed.
func (f file) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Cache-Control", "no-cache")
	h.Set("ETag", f.tag)
	if r.Header.Get("If-None-Match") == f.tag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	h.Set("Content-Type", f.kind)
	_, _ = w.Write(f.content) // whoever asked has gone
}
