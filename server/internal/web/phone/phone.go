// Package phone serves the page with which a day is run: for the lead, who ticks off, for the reader,
// who calls names, and for the owner, who watches. The page is a program in the browser that works
// without signal; this package hands it out, lets it in by the secret of a link, streams a run to it and
// takes its marks. It decides nothing about the day: package run does.
//
// A secret comes once, in the fragment of the link, which browsers send to nobody. The page exchanges it
// for a cookie that scripts cannot read and other sites cannot use. No address of the page holds a
// secret or a name, and the log holds counts and codes.
package phone

import (
	"bytes"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"runtime/debug"
	"strconv"
	"strings"
	"time"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/proxy"
)

// Prefix is the path below which everything of the page is.
const Prefix = "/day/"

// Options of a Page. Store, Desk and Guard are required.
type Options struct {
	Store *store.Store
	Desk  *run.Desk
	Guard *access.Guard
	// Log takes what operators need: counts and codes, never a name, a note or a secret. Nil means none.
	Log *slog.Logger
	// Now is the clock. Nil means time.Now.
	Now func() time.Time
}

// Page serves the page of the day. It is safe for use by several goroutines.
type Page struct {
	o                Options
	places, watching gate.Places
	leads            leads
}

const (
	// mostAtOnce is how many requests other than streams are answered at once; with maxBody it bounds the memory.
	mostAtOnce, mostOfOne = 64, 32
	// maxBody is the most bytes that a request may bring, bodyTime how long it may take to.
	maxBody  = 1 << 20
	bodyTime = 15 * time.Second
)

// New returns a page.
func New(o Options) *Page {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	return &Page{o: o}
}

// policy is the content security policy: nothing from outside, nothing inline, no page around it.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"worker-src 'self'; manifest-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'"

// Handler answers everything below Prefix.
func (p *Page) Handler() http.Handler {
	mux := http.NewServeMux()
	for _, a := range files {
		mux.Handle("GET "+a.path(), a)
	}
	mux.Handle("POST "+Prefix+"open", p.call("open", p.open))
	mux.Handle("POST "+Prefix+"marks", p.call("marks", p.marks))
	mux.Handle("POST "+Prefix+"begin", p.call("begin", p.begin))
	mux.Handle("POST "+Prefix+"core", p.call("core", p.core))
	mux.Handle("POST "+Prefix+"newer", p.call("newer", p.newer))
	mux.Handle("POST "+Prefix+"leave", p.call("leave", p.leave))
	mux.Handle("POST "+Prefix+"here", p.call("here", p.here))
	mux.HandleFunc("GET "+Prefix+"live", p.stream)
	mux.Handle("GET /day", http.RedirectHandler(Prefix, http.StatusMovedPermanently))
	mux.HandleFunc("/", func(w http.ResponseWriter, _ *http.Request) { p.refuse(w, "unknown", errUnknown) })
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { p.refuse(w, "cross-origin", errCrossOrigin) }))
	inner := cross.Handler(mux)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		if r.TLS != nil || r.Header.Get("Sec-Fetch-Mode") != "" { // browsers send that to secure addresses only
			h.Set("Cross-Origin-Opener-Policy", "same-origin") // at others they complain of it
		}
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=(), payment=(), usb=()")
		h.Set("X-Frame-Options", "DENY")
		h.Set("X-Robots-Tag", "noindex")
		h.Set("Cache-Control", "no-store")
		inner.ServeHTTP(w, r)
	})
}

// request is a request of somebody who has been let in.
type request struct {
	*http.Request
	grant  access.Grant
	secret string
	from   string // as gate.From has it
}

// share is a part of the places of one kind that those with one link or from one address have.
func (r *request) share(kind string, most int) []gate.Share {
	return []gate.Share{{Of: kind + " of link " + r.grant.Link, Most: most}, {Of: kind + " from " + r.from, Most: most}}
}

// call answers a request with a JSON body by JSON. Whoever has no right secret takes no place, and whoever
// sends slowly none of those in which requests are answered.
func (p *Page) call(name string, answer func(http.ResponseWriter, *request) (any, error)) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		started := p.o.Now()
		defer p.recovered(w, name)
		// Only a script of this page can send this kind without being asked first.
		if kind, _, _ := strings.Cut(r.Header.Get("Content-Type"), ";"); strings.TrimSpace(kind) != "application/json" {
			p.refuse(w, name, errKind)
			return
		}
		in, err := p.letIn(r)
		if err != nil {
			p.refuse(w, name, err)
			return
		}
		if in.grant.Role == store.Lead || name == "here" && !r.URL.Query().Has("gone") && in.grant.Role == store.Reader {
			p.leads.hear(in.grant.Event, in.grant.Link, silence{started, in.grant.Title, in.grant.Role == store.Reader})
		}
		out, err := p.answer(w, in, answer)
		if err != nil {
			p.refuse(w, name, err)
			return
		}
		p.reply(w, http.StatusOK, out)
		level := slog.LevelInfo
		if name == "here" { // three a minute
			level = slog.LevelDebug
		}
		p.o.Log.Log(r.Context(), level, "phone", "call", name, "status", http.StatusOK, "link", in.grant.Link, "millis", p.o.Now().Sub(started).Milliseconds())
	})
}

// answer reads the body of a request and answers it.
func (p *Page) answer(w http.ResponseWriter, r *request, answer func(http.ResponseWriter, *request) (any, error)) (any, error) {
	leave, ok := p.places.Take(r.share("requests", mostOfOne)...)
	if !ok {
		return nil, errCrowded
	}
	defer leave()
	c := http.NewResponseController(w)
	_ = c.SetReadDeadline(time.Now().Add(bodyTime)) // what cannot have one, such as a test's recorder, goes without
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxBody))
	_ = c.SetReadDeadline(time.Time{})
	if err != nil {
		return nil, formError(err)
	}
	r.Body = io.NopCloser(bytes.NewReader(body))
	enough, ok := p.places.Take(gate.Share{Of: "requests", Most: mostAtOnce})
	if !ok {
		return nil, errBusy
	}
	defer enough()
	return answer(w, r)
}

// recovered answers a request that panicked. What a panic says may quote names and is not logged.
func (p *Page) recovered(w http.ResponseWriter, name string) {
	if broken := recover(); broken != nil {
		p.o.Log.Error("the phone page panicked", "call", name, "stack", string(debug.Stack()))
		p.refuse(w, name, errBroken)
	}
}

func (p *Page) reply(w http.ResponseWriter, status int, out any) {
	body := written(out)
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_, _ = w.Write(body) // whoever asked has gone
}

// Refuse answers a request that cannot be brought before a page.
func Refuse(w http.ResponseWriter, err error) {
	status, out := refusalOf(err)
	(&Page{}).reply(w, status, out)
}

// refuse says by a code what stands in the way; the page has the words.
func (p *Page) refuse(w http.ResponseWriter, name string, err error) {
	status, out := refusalOf(err)
	if out.Retry > 0 {
		w.Header().Set("Retry-After", strconv.Itoa(out.Retry))
	}
	p.logged(name, status, out.Code, err)
	p.reply(w, status, out)
}

// logged logs a refusal. Errors of the store quote nothing that is stored; they and what has no words of its
// own are told in full, for whoever has to mend it.
func (p *Page) logged(name string, status int, code string, err error) {
	if status == http.StatusInternalServerError || errors.Is(err, store.ErrUnreachable) || errors.Is(err, store.ErrFull) {
		p.o.Log.Error("phone", "call", name, "status", status, "code", code, "cause", err.Error())
		return
	}
	p.o.Log.Warn("phone", "call", name, "status", status, "code", code)
}

// cookieName is the cookie of a link: a phone may hold several.
func cookieName(link string) string { return "kinorder-" + link }

// keepFor is how long a phone that is not used stays let in.
const keepFor = 30 * 24 * time.Hour

// SecretIn is the secret of a request: one that has just come in the fragment of a link, or the one in the cookie of
// the link that the request names. It is empty when there is none.
func SecretIn(r *http.Request) string {
	if kind, rest, _ := strings.Cut(r.Header.Get("Authorization"), " "); strings.EqualFold(kind, "bearer") {
		return strings.TrimSpace(rest)
	}
	if c, err := r.Cookie(cookieName(r.URL.Query().Get("link"))); err == nil {
		return c.Value
	}
	return ""
}

// letIn opens what the secret of a request opens.
func (p *Page) letIn(r *http.Request) (*request, error) {
	secret := SecretIn(r)
	if secret == "" {
		return nil, errNoSecret
	}
	from := gate.From(r.RemoteAddr, strings.Join(r.Header.Values("X-Forwarded-For"), ","))
	grant, err := p.o.Guard.Open(r.Context(), from, secret)
	if err != nil {
		return nil, err
	}
	if grant.Studio {
		return nil, errStudio
	}
	if !grant.May(grant.Event, store.Reader) {
		return nil, access.ErrSecret // a family's link opens no day
	}
	return &request{r, grant, secret, from}, nil
}

// run is the run that a request is about.
func (r *request) run() (run.Ref, error) {
	id := r.URL.Query().Get("run")
	if !store.ValidID(id) {
		return run.Ref{}, store.ErrNotFound
	}
	return run.Ref{Event: r.grant.Event, Run: id}, nil
}

// allowMarks demands that the holder says what happens on the day.
func (r *request) allowMarks() error {
	if !r.grant.Marks(r.grant.Event) {
		return errForbidden
	}
	return nil
}

// setCookie lets the browser in from now on.
func setCookie(w http.ResponseWriter, r *request, age time.Duration) {
	http.SetCookie(w, &http.Cookie{
		Name: cookieName(r.grant.Link), Value: r.secret, Path: Prefix, MaxAge: int(age / time.Second),
		HttpOnly: true, SameSite: http.SameSiteStrictMode,
		Secure: proxy.Encrypted(r.Request),
	})
}

// here lets others know that the marks of a lead come, or, of one who has closed the page, that there are none to come.
func (p *Page) here(_ http.ResponseWriter, r *request) (any, error) {
	if r.URL.Query().Has("gone") {
		p.leads.forget(r.grant.Event, r.grant.Link)
	}
	return struct{}{}, nil
}

// leave forgets the browser.
func (p *Page) leave(w http.ResponseWriter, r *request) (any, error) {
	setCookie(w, r, -time.Second)
	return struct{}{}, nil
}

// Errors of the page; what refusalOf makes of them is part of what the script knows.
var (
	errUnknown     = errors.New("no such page")
	errCrossOrigin = errors.New("sent from another site")
	errBusy        = errors.New("too many requests at once")
	errCrowded     = errors.New("too many requests of one link or address at once")
	errSlow        = errors.New("the body came too slowly")
	errKind        = errors.New("not sent as JSON")
	errForm        = errors.New("not the JSON of the page")
	errTooLarge    = errors.New("too large")
	errNoSecret    = errors.New("the request has no secret")
	errStudio      = errors.New("the studio key is for the studio's own machine")
	errForbidden   = errors.New("the link does not allow it")
	errNoSheet     = errors.New("the event has no call sheet")
	errBroken      = errors.New("something broke inside")
)
