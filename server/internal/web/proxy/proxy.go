// Package proxy is what pages have to know of a proxy in front of them: whether it encrypts, and below which path it has them. It
// refuses nothing, and knows nothing of what the pages hold but that addresses of ours begin with a slash.
package proxy

import (
	"net/http"
	"regexp"
	"strings"
)

// Encrypted says that a request came over TLS, at this server or at a proxy in front of it.
func Encrypted(r *http.Request) bool {
	return r.TLS != nil || r.Header.Get("X-Forwarded-Proto") == "https" || strings.HasPrefix(r.Header.Get("Origin"), "https://")
}

// Address is what whoever asks has the server at.
func Address(r *http.Request) string {
	scheme := "http://"
	if Encrypted(r) {
		scheme = "https://"
	}
	return scheme + r.Host + path(r)
}

var paths = regexp.MustCompile(`^(/[A-Za-z0-9_~-][A-Za-z0-9._~-]*)+$`)

// path is what a proxy took off the front of a request's path before it passed that on, empty for nothing.
func path(r *http.Request) string {
	if p := strings.TrimSuffix(r.Header.Get("X-Forwarded-Prefix"), "/"); paths.MatchString(p) {
		return p
	}
	return ""
}

// Handler puts that path in front of the addresses that an answer holds, once where one such answers for another.
func Handler(next http.HandlerFunc) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_, is := w.(*writer)
		if p := path(r); p != "" && !is {
			w = &writer{ResponseWriter: w, path: p}
		}
		next(w, r)
	})
}

// addresses are those of ours, in pages and in what a page's script is told. Text that people write has no quotation marks there.
var addresses = map[string]*regexp.Regexp{
	"text/html":        regexp.MustCompile(`( (?:href|src|action|formaction|data-keep)=")/`),
	"application/json": regexp.MustCompile(`("(?:root|both)":")/`),
}

type writer struct {
	http.ResponseWriter
	path  string
	begun bool
}

// Unwrap lets deadlines be set.
func (w *writer) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// Flush sends what there is of a stream.
func (w *writer) Flush() { _ = http.NewResponseController(w.ResponseWriter).Flush() }

func (w *writer) WriteHeader(status int) {
	h := w.Header()
	if to := h.Get("Location"); !w.begun && strings.HasPrefix(to, "/") {
		h.Set("Location", w.path+to)
	}
	for i, cookie := range h["Set-Cookie"] {
		if !w.begun {
			h["Set-Cookie"][i] = strings.Replace(cookie, "; Path=/", "; Path="+w.path+"/", 1)
		}
	}
	w.begun = true
	w.ResponseWriter.WriteHeader(status)
}

// Write takes a page at once.
func (w *writer) Write(content []byte) (int, error) {
	if !w.begun {
		w.WriteHeader(http.StatusOK)
	}
	kind, _, _ := strings.Cut(w.Header().Get("Content-Type"), ";")
	ours, holds := addresses[kind]
	if !holds {
		return w.ResponseWriter.Write(content)
	}
	if _, err := w.ResponseWriter.Write(ours.ReplaceAll(content, []byte("${1}"+w.path+"/"))); err != nil {
		return 0, err
	}
	return len(content), nil
}
