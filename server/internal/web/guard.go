package web

import (
	"context"
	"log/slog"
	"net/http"
	"runtime/debug"
	"strings"
	"time"

	"kinorder.example/server/internal/caught"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/web/fields"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/wording"
)

// pagePolicy is the content security policy of the pages: nothing from outside, nothing inline, and no
// page of anybody's around them.
const pagePolicy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

const (
	// mostAtOnce is how many forms are answered at once, mostOfOne how many of them are from one address.
	mostAtOnce, mostOfOne = 32, 16
	// mostRead is how many forms are read at once, or wait to be answered. A list may come over a slow
	// network: reading takes no place of those that are answered.
	mostRead = 512
	// bodyTime is how long a form may take to arrive.
	bodyTime = 20 * time.Second
)

// answer answers one request: it returns the page to send, or an error for which refusalOf has words.
type answer func(*request) (*response, error)

// request is one request with its form read.
type request struct {
	*http.Request
	out *http.ResponseController
	// header takes the headers of the answer.
	header http.ResponseWriter
	// form is what was sent; on pages of what is kept over all that is kept, and sent is what came.
	form, sent fields.Posted
	log        *entry
	// words are those of the language of the page.
	words *wording.Catalogue
	// visitor is who is signed in, and work what the address names of what is kept; both are empty elsewhere.
	visitor kept.Visitor
	work    kept.Work
	seat    seat
	// canSignIn says that something is kept for whoever signs in.
	canSignIn bool
}

// from is where the request comes from.
func (r *request) from() string {
	return gate.From(r.RemoteAddr, strings.Join(r.Header.Values("X-Forwarded-For"), ","))
}

// response is what goes back.
type response struct {
	status  int // 0 means OK
	kind    string
	policy  string
	file    string // a name to save it under; empty shows it
	to      string // another address, at which the answer is; empty where it is here
	content []byte
}

// entry gathers what the log says of a request.
type entry struct{ counts []any }

func (e *entry) count(name string, n int) { e.counts = append(e.counts, name, n) }

// guard puts what holds for every answer around the handlers.
func (s *Server) guard(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(s.page("cross-origin", func(*request) (*response, error) { return nil, errCrossOrigin }))
	inner := cross.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", pagePolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=(), payment=(), usb=()")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Cache-Control", "no-store")
		inner.ServeHTTP(w, r)
	})
}

// form answers a request with a form in it. What is first is asked before the form is read.
func (s *Server) form(name string, a answer, first ...func(*request) error) http.Handler {
	return s.page(name, func(r *request) (*response, error) {
		for _, ask := range first {
			if err := ask(r); err != nil {
				return nil, err
			}
		}
		leave, ok := s.places.Take(gate.Share{Of: "from " + r.from(), Most: mostOfOne}, gate.Share{Of: "read", Most: mostRead})
		if !ok {
			return nil, fields.ErrCrowded
		}
		defer leave()
		_ = r.out.SetReadDeadline(time.Now().Add(bodyTime)) // what cannot have one, such as a test's recorder, goes without
		room := s.options.Memory.Forms.Hold()
		defer room.Give()
		var err error
		if r.form, err = fields.Read(r.Request, room); err != nil {
			return nil, err
		}
		_ = r.out.SetReadDeadline(time.Time{})
		r.log.count("bytes", r.form.Bytes)
		give, err := s.lend(r.Context(), r.form)
		if err != nil {
			return nil, err
		}
		defer give()
		r.words = wordsFor(r.form.Line("lang"), r.Header.Get("Accept-Language"))
		enough, ok := s.places.Take(gate.Share{Of: "answered", Most: mostAtOnce})
		if !ok {
			return nil, fields.ErrCrowded
		}
		defer enough()
		return a(r)
	})
}

// lend lends the memory that the plan in a form takes.
func (s *Server) lend(ctx context.Context, p fields.Posted) (give func(), err error) {
	plan, err := planIn(p)
	if err != nil {
		return nil, err
	}
	return s.options.Memory.Requests.Take(ctx, int64(plan)*perPlanned)
}

// page answers a request, logs it by counts and codes, and turns errors and panics into pages.
func (s *Server) page(name string, a answer) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		started := time.Now()
		log := &entry{}
		asked := &request{
			Request: r, out: http.NewResponseController(w), header: w, log: log, canSignIn: s.options.Desk != nil,
			words: wordsFor(r.URL.Query().Get("lang"), r.Header.Get("Accept-Language")),
		}
		out, err := s.attempt(a, asked, name)
		if err != nil {
			out = s.refuse(w, asked.words, err)
		}
		if out.status == 0 {
			out.status = http.StatusOK
		}
		h := w.Header()
		h.Set("Content-Type", out.kind)
		if out.policy != "" {
			h.Set("Content-Security-Policy", out.policy)
		}
		if out.to != "" {
			h.Set("Location", out.to)
		}
		if out.file != "" {
			h.Set("Content-Disposition", `attachment; filename="`+out.file+`"`)
		}
		w.WriteHeader(out.status)
		_, _ = w.Write(out.content) // whoever asked has gone
		level := slog.LevelInfo
		if out.status >= http.StatusBadRequest {
			level = slog.LevelWarn
		}
		s.options.Log.Log(r.Context(), level, "page", append([]any{
			"page", name, "status", out.status, "millis", time.Since(started).Milliseconds(),
		}, log.counts...)...)
	})
}

// attempt answers a request; a panic ends that request only.
func (s *Server) attempt(a answer, r *request, name string) (out *response, err error) {
	defer func() {
		if broken := recover(); broken != nil {
			s.options.Log.Error("a page panicked", "page", name, "panic", caught.Text(broken), "stack", string(debug.Stack()))
			out, err = nil, errBroken
		}
	}()
	return a(r)
}
