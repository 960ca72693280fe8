// Package web serves the pages that planners use in a browser. It calls the same code as the gRPC
// service, in process. For whoever is not signed in it keeps nothing: what a planner typed travels in the forms of
// the pages and comes back with the next request. For whoever is signed in (kept.go) an event has an address, and each
// step is kept by a Desk and answered by the page at that address. Addresses hold no names, and the log holds counts
// and codes.
//
// The pages work without script. What the script adds is comfort only.
package web

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"sync"
	"time"

	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/web/proxy"
)

// Options of a Server.
type Options struct {
	// Plan is what finds orders.
	Plan planning.Func
	// Gate is where searches wait for a place, together with those of calls.
	Gate *gate.Gate
	// Memory is what requests share, together with calls.
	Memory *gate.Memory
	// Workers is how many cores one search may use, at least 1.
	Workers int
	// Log takes what operators need: counts and codes, never a name, a note or an address.
	Log *slog.Logger
	// Authority vouches for the server when it made its own certificate; nil when it did not.
	Authority kept.Authority
	// Known says whether the server is asked for under a name that it has: pages of other sites can give their
	// own name to an address of this network, and their script then reads what is there. Nil means any.
	Known func(host string) bool
	// Now is the clock. Calendars say when they were written. Nil means time.Now.
	Now func() time.Time
	// Ready says whether the server can do its work, for /readyz. Nil means always.
	Ready func(context.Context) error
	// Calls answers calls over HTTP below CallPaths. Nil answers none.
	Calls     http.Handler
	CallPaths []string
	// Network lets phones in, when somebody says so on the pages. Nil where it cannot.
	Network kept.Network
	// Desk is what is kept of planners' work, for whoever signs in. Nil where nothing is kept.
	Desk kept.Desk
	// Day is the page with which a day is run, at /day/. Nil where nothing is kept.
	Day http.Handler
	// Elsewhere finds what answers a request of somebody who has a secret of another studio: nil for nobody's. Leave is
	// called when it is answered; an error is one of package kept. Nil means that there is one studio only.
	Elsewhere func(*http.Request) (other http.Handler, leave func(), err error)
}

// Server serves the pages. It is safe for use by several goroutines.
type Server struct {
	options Options
	http    *http.Server
	places  gate.Places
	told    kept.Once[told]
	// stopping is closed when streams have to end.
	stopping chan struct{}
	stop     sync.Once
}

// How long a client may take. A page may wait at the gate and then for three searches.
const (
	headerTime = 10 * time.Second
	readTime   = 30 * time.Second
	writeTime  = 3 * time.Minute
	idleTime   = 2 * time.Minute
)

// New returns a server that is ready to Serve.
func New(o Options) *Server {
	if o.Now == nil {
		o.Now = time.Now
	}
	s := &Server{options: o, stopping: make(chan struct{})}
	s.http = &http.Server{
		Handler:           s.Handler(),
		ReadHeaderTimeout: headerTime, ReadTimeout: readTime, WriteTimeout: writeTime, IdleTimeout: idleTime,
		MaxHeaderBytes: 32 << 10,
		Protocols:      protocols(),
		HTTP2:          &http.HTTP2Config{MaxConcurrentStreams: 100, MaxReceiveBufferPerConnection: 1 << 20, MaxReceiveBufferPerStream: 64 << 10},
		// What net/http has to say of connections can quote addresses.
		ErrorLog: slog.NewLogLogger(slog.DiscardHandler, slog.LevelError),
	}
	return s
}

// protocols are those that browsers and callers speak; gRPC speaks HTTP/2, also without encryption.
func protocols() *http.Protocols {
	p := new(http.Protocols)
	p.SetHTTP1(true)
	p.SetHTTP2(true)
	p.SetUnencryptedHTTP2(true)
	return p
}

// Handler answers the requests for pages. Serve uses it; tests may call it by themselves.
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	for _, a := range assets {
		mux.Handle("GET "+a.path, a)
	}
	mux.Handle("GET /{$}", s.page("start", s.first))
	mux.Handle("GET /example", s.page("example", s.example))
	mux.Handle("GET "+trustPath, s.page("trust", s.trust))
	mux.Handle("GET "+certificatePath, s.page("certificate", s.certificate))
	for path, answer := range map[string]answer{
		"/start": s.start, "/list": s.list, "/plan": s.plan, "/sheet": s.sheet, "/save": s.save,
	} {
		mux.Handle("POST "+path, s.form(path[1:], answer))
		// Reached by the address bar or a reload: there is no form to answer.
		mux.Handle("GET "+path, http.RedirectHandler("/", http.StatusSeeOther))
	}
	if s.options.Desk != nil {
		s.keptPages(mux)
	}
	mux.Handle("/", s.page("unknown", s.unknown))
	whole := http.NewServeMux()
	if s.options.Day != nil {
		// The page of the day has a guard of its own: its streams last, and its policy lets a script ask.
		whole.Handle("/day", s.options.Day)
		whole.Handle("/day/", s.options.Day)
	}
	for _, path := range s.options.CallPaths {
		whole.Handle(path, s.options.Calls)
	}
	whole.HandleFunc("GET /healthz", func(w http.ResponseWriter, _ *http.Request) { state(w, nil) })
	whole.HandleFunc("GET /readyz", func(w http.ResponseWriter, r *http.Request) {
		var err error
		if s.options.Ready != nil {
			err = s.options.Ready(r.Context())
		}
		state(w, err)
	})
	whole.Handle("/", s.guard(mux))
	misdirected := s.guard(s.page("misdirected", func(*request) (*response, error) { return nil, errMisdirected }))
	return proxy.Handler(func(w http.ResponseWriter, r *http.Request) {
		if s.options.Known != nil && !s.options.Known(r.Host) {
			misdirected.ServeHTTP(w, r)
			return
		}
		if s.options.Elsewhere == nil {
			whole.ServeHTTP(w, r)
			return
		}
		other, leave, err := s.options.Elsewhere(r)
		defer leave()
		switch {
		case err != nil:
			s.guard(s.page("elsewhere", func(*request) (*response, error) { return nil, err })).ServeHTTP(w, r)
		case other != nil:
			other.ServeHTTP(w, r)
		default:
			whole.ServeHTTP(w, r)
		}
	})
}

// state answers whoever watches over the server. What is wrong is in the log.
func state(w http.ResponseWriter, err error) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	if err != nil {
		w.WriteHeader(http.StatusServiceUnavailable)
		_, _ = fmt.Fprintln(w, "not ready") // whoever asked has gone
		return
	}
	_, _ = fmt.Fprintln(w, "ok")
}

// Serve answers requests on lis until Close and then returns nil. It closes lis.
func (s *Server) Serve(lis net.Listener) error {
	if err := s.http.Serve(lis); !errors.Is(err, http.ErrServerClosed) {
		return fmt.Errorf("web: %w", err)
	}
	return nil
}

// Close stops gracefully: requests under way are answered, and when ctx ends first they are cut off
// and its error is returned. Searches end when the gate is stopped.
func (s *Server) Close(ctx context.Context) error {
	s.stop.Do(func() { close(s.stopping) })
	if err := s.http.Shutdown(ctx); err != nil {
		return errors.Join(fmt.Errorf("web: %w", err), s.http.Close())
	}
	return nil
}
