package phone

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io"
	"io/fs"
	"net/http"
	"path"
	"regexp"
	"slices"
	"strings"
	"sync"

	"github.com/andybalholm/brotli"
)

//go:embed assets
var assets embed.FS

// built has what .ci/core makes, which plans on phones without signal. It is empty in a program that was built without.
//
//go:embed all:core/built
var built embed.FS

// file is a part of the page that is the same for everybody.
type file struct {
	name, kind, tag string
	content         []byte
	packed          []packing        // the smallest first
	unpack          func() io.Reader // for one that is there packed only, without content
}

// packing is a file in a form that browsers unpack (RFC 9110, 8.4.1).
type packing struct {
	coding string
	of     func() []byte
}

// codings are those that files come packed in.
var codings = []string{"br", "gzip"}

var kinds = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".svg": "image/svg+xml", ".webmanifest": "application/manifest+json", ".json": "application/json", ".wasm": "application/wasm",
}

// files are all parts; that of the empty name is the page itself.
var files = allFiles(sub(built, "core/built"))

// coreFiles are those that only phones of photographers ask for, once the page can be used.
var coreFiles = []string{"core.wasm", "wasm_exec.js"}

// hasCore says that phones can plan without signal.
func hasCore() bool {
	return slices.ContainsFunc(files, func(f file) bool { return f.name == coreFiles[0] })
}

func allFiles(core fs.FS) []file {
	out := []file{newFile("words.json", words())}
	for _, e := range read(fs.ReadDir(assets, "assets")) {
		out = append(out, newFile(e.Name(), read(assets.ReadFile("assets/"+e.Name()))))
	}
	var ofCore []file
	if program := packedFile(core, coreFiles[0]); len(program.packed) > 0 {
		ofCore = []file{program, newFile(coreFiles[1], read(fs.ReadFile(core, coreFiles[1])))}
	}
	// The service worker keeps all of them, and looks for new ones when any has changed.
	slices.SortFunc(out, func(a, b file) int { return strings.Compare(a.name, b.name) })
	for i := range out {
		if out[i].name == "index.html" {
			out[i].name = ""
		}
	}
	fill := strings.NewReplacer("@version@", version(out), `"@files@"`, names(out), "@core@", version(ofCore), `"@later@"`, names(ofCore))
	for i, f := range out {
		if f.name == worker {
			out[i] = newFile(f.name, []byte(fill.Replace(string(f.content))))
		}
	}
	return append(out, ofCore...)
}

// version tells files from others of their names.
func version(of []file) string {
	whole := sha256.New()
	for _, f := range of {
		whole.Write([]byte(f.tag))
	}
	return hex.EncodeToString(whole.Sum(nil)[:8])
}

func names(of []file) string {
	var list []string
	for _, f := range of {
		if f.name != worker {
			list = append(list, `"`+f.name+`"`)
		}
	}
	return strings.Join(list, ", ")
}

// read is for files that are part of the program.
func read[T any](content T, err error) T {
	if err != nil {
		panic(err)
	}
	return content
}

func sub(of fs.FS, folder string) fs.FS { return read(fs.Sub(of, folder)) }

const (
	// worker is the service worker. It is told the names of the files and a version of them all.
	worker = "sw.js"
	// planner is the worker that runs the core.
	planner = "planner.js"
)

// path is where a file is served.
func (f file) path() string {
	if f.name == "" {
		return Prefix + "{$}"
	}
	return Prefix + f.name
}

// tagOf is weak: it is the same for what is packed and what is not (RFC 9110, 8.8.3).
func tagOf(content []byte) string {
	sum := sha256.Sum256(content)
	return `W/"` + hex.EncodeToString(sum[:8]) + `"`
}

func newFile(name string, content []byte) file {
	return file{name: name, kind: kinds[path.Ext(name)], tag: tagOf(content), content: content, packed: []packing{
		gzipped(func() io.Reader { return bytes.NewReader(content) }),
	}}
}

// gzipped packs what it reads when it is first asked for.
func gzipped(from func() io.Reader) packing {
	return packing{"gzip", sync.OnceValue(func() []byte {
		var out bytes.Buffer
		w := gzip.NewWriter(&out)
		_, err := io.Copy(w, from())
		read(w, err) // part of the program, and memory takes it
		_ = w.Close()
		return out.Bytes()
	})}
}

// packedFile is a file that there is packed by brotli only, the smallest there is. Browsers unpack that at addresses that are
// secure; for others it is packed once more.
func packedFile(of fs.FS, name string) file {
	f := file{name: name, kind: kinds[path.Ext(name)]}
	content, err := fs.ReadFile(of, name+".br")
	if err != nil {
		return f
	}
	f.tag, f.unpack = tagOf(content), func() io.Reader { return brotli.NewReader(bytes.NewReader(content)) }
	f.packed = []packing{{"br", func() []byte { return content }}, gzipped(f.unpack)}
	return f
}

// ServeHTTP hands the file out, or says that it has not changed.
func (f file) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Cache-Control", "no-cache")
	h.Set("ETag", f.tag)
	h.Set("Vary", "Accept-Encoding")
	if f.name == planner { // what it runs is handed out here too
		h.Set("Content-Security-Policy", strings.Replace(policy, "script-src 'self'", "script-src 'self' 'wasm-unsafe-eval'", 1))
	}
	if r.Header.Get("If-None-Match") == f.tag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	h.Set("Content-Type", f.kind)
	body := io.Reader(bytes.NewReader(f.content))
	unpacks := strings.Join(r.Header.Values("Accept-Encoding"), ",")
	switch k := slices.IndexFunc(f.packed, func(p packing) bool { return unpacked[p.coding].MatchString(unpacks) }); {
	case k >= 0:
		h.Set("Content-Encoding", f.packed[k].coding)
		body = bytes.NewReader(f.packed[k].of())
	case f.unpack != nil:
		body = f.unpack()
	}
	_, _ = io.Copy(w, body) // whoever asked has gone
}

// unpacked say that a browser unpacks what comes with a coding (RFC 9110, 12.5.3).
var unpacked = func() map[string]*regexp.Regexp {
	out := map[string]*regexp.Regexp{}
	for _, x := range codings {
		out[x] = regexp.MustCompile(`(?i)(^|,)\s*` + x + `\s*(,|$|;\s*q=(1|0\.\d*[1-9]))`)
	}
	return out
}()
