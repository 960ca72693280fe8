package desk_test

import (
	"bytes"
	"context"
	"log/slog"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web"
	"kinorder.example/server/internal/web/browsertest"
	"kinorder.example/server/internal/web/desk"
	"kinorder.example/server/internal/web/kept"
	"kinorder.example/server/internal/web/phone"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

const (
	key = "a-studio-key-of-32-characters-00"
	// secret stands in private notes and in nothing that a reader may see.
	secret = "LAPWING"
	// list is what a planner pastes.
	list = `Wedding of Mara and Ilyas, 2027-05-15, garden 14:00-15:00

Couple
Couple with Mara's parents (Vera and Tom)
Couple with Ilyas's parents (Nadia and Karim)
Couple with both sets of parents
Couple with Mara's grandmother (Rosa)
Couple with the bridesmaids (Ana, Bea, Cleo)`
)

// studio is a server that keeps things, as the program makes it.
type studio struct {
	*testing.T
	folder string
	store  *store.Store
	desk   *desk.Desk
	server *httptest.Server
	log    *bytes.Buffer
	close  func()
	// network lets phones in at another address of the same server.
	network *network
}

// network is one at whose address nobody listens.
type network struct {
	at   []string
	shut bool
}

func (n *network) Shut() bool { return n.shut && n.at == nil }

func (n *network) Open() error { n.at = []string{"https://192.168.7.20:7468"}; return nil }

func (n *network) At() []string { return n.at }

func (n *network) Authority() kept.Authority { return n }

func (n *network) DER() []byte { return []byte("certificate") }

func (n *network) Fingerprint() []string { return []string{"AB CD", "EF 01"} }

func (n *network) Ends() time.Time { return time.Date(2036, 1, 1, 0, 0, 0, 0, time.UTC) }

// open starts a server on a data folder; close ends it, so that it can be opened again.
func open(t *testing.T, folder string) *studio {
	t.Helper()
	stored, err := store.OpenSQLite(t.Context(), folder, store.Options{})
	require.NoError(t, err)
	s := &studio{T: t, folder: folder, store: stored, log: &bytes.Buffer{}, network: &network{}}
	log := slog.New(slog.NewTextHandler(s.log, &slog.HandlerOptions{Level: slog.LevelDebug}))
	door := gate.New(2, 8)
	runs := run.NewDesk(run.DeskOptions{Store: stored, Replan: planning.Replan, Gate: door, Log: log})
	guard := access.New(stored, key)
	s.desk = desk.New(desk.Options{Store: stored, Guard: guard, Runs: runs, StudioKey: key})
	pages := web.New(web.Options{
		Plan: planning.Plan, Gate: door, Memory: gate.NewMemory(), Workers: 1, Log: log, Desk: s.desk, Network: s.network,
		Day: phone.New(phone.Options{Store: stored, Desk: runs, Guard: guard, Log: log}).Handler(),
	})
	s.server = httptest.NewServer(pages.Handler())
	ended := false
	s.close = func() {
		if !ended {
			ended = true
			assert.NoError(t, pages.Close(context.Background())) // ends the streams, for which the server waits
			s.server.Close()
			runs.Stop()
			assert.NoError(t, stored.Close())
		}
	}
	t.Cleanup(s.close)
	return s
}

// browser is one without script, which keeps cookies.
type browser struct {
	*testing.T
	at     string
	client *http.Client
}

// page is one page that came back.
type page struct {
	*http.Response
	body string
	root *html.Node
}

func (s *studio) browser() browser {
	jar, err := cookiejar.New(nil)
	require.NoError(s, err)
	client := &http.Client{Jar: jar, Timeout: time.Minute}
	s.Cleanup(client.CloseIdleConnections)
	return browser{s.T, s.server.URL, client}
}

// signedIn is a browser that the program opened.
func (s *studio) signedIn() browser {
	s.Helper()
	b := s.browser()
	p := b.get("/enter?ticket=" + s.desk.Ticket())
	require.Equal(s, "/", p.Request.URL.Path)
	return b
}

func (b browser) answer(r *http.Response, err error) page {
	b.Helper()
	require.NoError(b, err)
	var body bytes.Buffer
	_, err = body.ReadFrom(r.Body)
	require.NoError(b, err)
	require.NoError(b, r.Body.Close())
	root, err := html.Parse(bytes.NewReader(body.Bytes()))
	require.NoError(b, err)
	return page{r, body.String(), root}
}

func (b browser) get(path string) page {
	b.Helper()
	return b.answer(b.client.Get(b.at + path))
}

// post sends a form as a page would.
func (b browser) post(path string, fields url.Values) page {
	b.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for name, values := range fields {
		for _, value := range values {
			require.NoError(b, form.WriteField(name, value))
		}
	}
	require.NoError(b, form.Close())
	return b.answer(b.client.Post(b.at+path, form.FormDataContentType(), &body))
}

// press presses the button of a page with some value or address, with fields changed by hand.
func (b browser) press(p page, value string, changes ...string) page {
	b.Helper()
	for n := range p.root.Descendants() {
		if n.Data != "button" || attr(n, "value") != value && !strings.HasSuffix(attr(n, "formaction"), value) {
			continue
		}
		form := formOf(p.root, n)
		require.NotNil(b, form, "a button without a form")
		fields := fieldsOf(form)
		for i := 0; i < len(changes); i += 2 {
			fields.Set(changes[i], changes[i+1])
		}
		if name := attr(n, "name"); name != "" {
			fields.Set(name, attr(n, "value"))
		}
		action := attr(form, "action")
		if to := attr(n, "formaction"); to != "" {
			action = to
		}
		return b.post(action, fields)
	}
	require.Fail(b, "no such button", "%s at %s", value, p.Request.URL.Path)
	return page{}
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func formOf(root, button *html.Node) *html.Node {
	id := attr(button, "form")
	if id == "" {
		for n := button; n != nil; n = n.Parent {
			if n.Data == "form" {
				return n
			}
		}
	}
	for n := range root.Descendants() {
		if n.Data == "form" && attr(n, "id") == id {
			return n
		}
	}
	return nil
}

func fieldsOf(form *html.Node) url.Values {
	out := url.Values{}
	for n := range form.Descendants() {
		name := attr(n, "name")
		switch {
		case name == "":
		case n.Data == "input":
			kind, _ := attr(n, "type"), 0
			checked := false
			for _, a := range n.Attr {
				checked = checked || a.Key == "checked"
			}
			if kind != "file" && (kind != "radio" && kind != "checkbox" || checked) {
				out.Set(name, attr(n, "value"))
			}
		case n.Data == "textarea":
			text := ""
			if n.FirstChild != nil {
				text = strings.TrimPrefix(n.FirstChild.Data, "\n")
			}
			out.Set(name, text)
		case n.Data == "select":
			for o := range n.Descendants() {
				for _, a := range o.Attr {
					if a.Key == "selected" {
						out.Set(name, attr(o, "value"))
					}
				}
			}
		}
	}
	return out
}

// titles are those of the photographs of a plan, in their order.
func (p page) titles() []string {
	var out []string
	for n := range p.root.Descendants() {
		if n.Data == "li" && strings.HasPrefix(attr(n, "id"), "n") {
			for h := range n.Descendants() {
				if h.Data == "bdi" {
					out = append(out, h.FirstChild.Data)
					break
				}
			}
		}
	}
	return out
}

// buttons are the values of the buttons of a page that begin with some word.
func (p page) buttons(word string) []string {
	var out []string
	for n := range p.root.Descendants() {
		if n.Data == "button" && strings.HasPrefix(attr(n, "value"), word) {
			out = append(out, attr(n, "value"))
		}
	}
	return out
}

// find finds the button with a value.
func (p page) find(value string) *html.Node {
	for n := range p.root.Descendants() {
		if n.Data == "button" && attr(n, "value") == value {
			return n
		}
	}
	return nil
}
