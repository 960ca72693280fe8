package web

import (
	"bytes"
	"context"
	"log/slog"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/planning"
)

// secret stands in the private notes of testdata/harbour-wedding.yaml and nowhere else.
const secret = "LAPWING"

func harbour(t *testing.T) string {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "harbour-wedding.yaml"))
	require.NoError(t, err)
	_, list, _ := strings.Cut(string(raw), "\ntitle:") // the comment above has the word too
	return "title:" + list
}

// logBuffer collects a log that several goroutines write.
type logBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *logBuffer) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *logBuffer) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

// pagesOf returns a server that plans for real, with its log.
func pagesOf(plan planning.Func) (*Server, *logBuffer) {
	log := &logBuffer{}
	return New(Options{
		Plan: plan, Gate: gate.New(1, 4), Memory: gate.NewMemory(), Workers: 1,
		Log: slog.New(slog.NewTextHandler(log, &slog.HandlerOptions{Level: slog.LevelDebug})),
		Now: func() time.Time { return time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC) },
	}), log
}

// serveTest serves the pages on a free port and returns the address.
func serveTest(t *testing.T) string {
	t.Helper()
	s, _ := pagesOf(planning.Plan)
	lis, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	served := make(chan error, 1)
	go func() { served <- s.Serve(lis) }()
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		assert.NoError(t, s.Close(ctx))
		assert.NoError(t, <-served)
	})
	return "http://" + lis.Addr().String() + "/"
}

// page is one page that came back.
type page struct {
	*httptest.ResponseRecorder
	root *html.Node
}

// visitor is a browser without script: it fills in forms and presses buttons.
type visitor struct {
	*testing.T
	handler http.Handler
	log     *logBuffer
}

func visit(t *testing.T, plan planning.Func) visitor {
	s, log := pagesOf(plan)
	return visitor{t, s.Handler(), log}
}

func (v visitor) answer(r *http.Request) page {
	v.Helper()
	w := httptest.NewRecorder()
	v.handler.ServeHTTP(w, r)
	root, err := html.Parse(bytes.NewReader(w.Body.Bytes()))
	require.NoError(v, err)
	return page{w, root}
}

func (v visitor) get(path string) page {
	v.Helper()
	return v.answer(httptest.NewRequest(http.MethodGet, path, nil))
}

// post sends fields as a form, a map of names to values; a value under "file" is a file.
func (v visitor) post(path string, fields map[string]string) page {
	v.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for name, value := range fields {
		if name == "file" {
			w, err := form.CreateFormFile("file", "list.yaml")
			require.NoError(v, err)
			_, err = w.Write([]byte(value))
			require.NoError(v, err)
			continue
		}
		// Browsers send line ends this way.
		require.NoError(v, form.WriteField(name, strings.ReplaceAll(value, "\n", "\r\n")))
	}
	require.NoError(v, form.Close())
	r := httptest.NewRequest(http.MethodPost, path, &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return v.answer(r)
}

// press sends the form of a page as a browser would when a button with some value is pressed, with
// fields changed by hand.
func (v visitor) press(p page, value string, changes map[string]string) page {
	v.Helper()
	fields := fieldsOf(p.root)
	action := ""
	each(p.root, func(n *html.Node) {
		if n.Data == "form" && action == "" {
			action = attribute(n, "action")
		}
	})
	pressed := false
	each(p.root, func(n *html.Node) {
		if n.Data != "button" || pressed {
			return
		}
		if attribute(n, "value") == value || value != "" && attribute(n, "formaction") == value {
			pressed = true
			_, disabled := find(n, "disabled")
			require.False(v, disabled, "the button %s cannot be pressed", value)
			if name := attribute(n, "name"); name != "" {
				fields[name] = attribute(n, "value")
			}
			if to := attribute(n, "formaction"); to != "" {
				action = to
			}
		}
	})
	require.True(v, pressed, "there is no button %s", value)
	for name, value := range changes {
		fields[name] = value
	}
	return v.post(action, fields)
}

// fieldsOf reads the form of a page as a browser sends it.
func fieldsOf(root *html.Node) map[string]string {
	out := map[string]string{}
	each(root, func(n *html.Node) {
		name := attribute(n, "name")
		if name == "" || n.Data == "button" || n.Data == "meta" {
			return
		}
		_, checked := find(n, "checked")
		switch kind := attribute(n, "type"); {
		case n.Data == "textarea":
			out[name] = strings.TrimPrefix(textOfNode(n), "\n")
		case n.Data == "select":
			each(n, func(o *html.Node) {
				_, selected := find(o, "selected")
				if _, known := out[name]; o.Data == "option" && (selected || !known) {
					out[name] = attribute(o, "value")
				}
			})
		case kind == "file", (kind == "radio" || kind == "checkbox") && !checked:
		default:
			out[name] = attribute(n, "value")
		}
	})
	return out
}

func each(n *html.Node, do func(*html.Node)) {
	if n.Type == html.ElementNode {
		do(n)
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		each(c, do)
	}
}

func find(n *html.Node, name string) (string, bool) {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val, true
		}
	}
	return "", false
}

func attribute(n *html.Node, name string) string {
	value, _ := find(n, name)
	return value
}

func textOfNode(n *html.Node) string {
	if n.Type == html.TextNode {
		return n.Data
	}
	var b strings.Builder
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		b.WriteString(textOfNode(c))
	}
	return b.String()
}

// text returns what stands on a page.
func (p page) text() string { return strings.Join(strings.Fields(textOfNode(p.root)), " ") }

// titles lists the headings of a level.
func (p page) titles(level string) []string {
	var out []string
	each(p.root, func(n *html.Node) {
		if n.Data == level {
			out = append(out, strings.Join(strings.Fields(textOfNode(n)), " "))
		}
	})
	return out
}
