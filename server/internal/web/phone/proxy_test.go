package phone

import (
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/proxy"
)

// Behind a proxy that has it below a path, and lets nothing else through, the page of the day takes marks, lets the phone in when it
// is loaded again, and opens without signal.
func TestBrowserBelowAPath(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	inner := httptest.NewServer(proxy.Handler(s.page.Handler().ServeHTTP))
	t.Cleanup(inner.Close)
	to, err := url.Parse(inner.URL)
	require.NoError(t, err)
	passed := http.NewServeMux()
	passed.Handle("/studio/day/", http.StripPrefix("/studio", &httputil.ReverseProxy{Rewrite: func(p *httputil.ProxyRequest) {
		p.SetURL(to)
		p.Out.Host = p.In.Host
		p.Out.Header.Set("X-Forwarded-Prefix", "/studio")
	}}))
	front := httptest.NewServer(passed)
	t.Cleanup(front.Close)
	b := device(t)
	b.do(chromedp.Navigate(front.URL + "/studio" + Prefix + "#" + s.secrets[store.Lead]))
	b.see("#taken")
	b.press("#taken")
	s.planned(0)
	b.until("document.querySelector('#unsent').hidden && navigator.serviceWorker.controller !== null")
	b.do(chromedp.Reload())
	b.see("#taken")
	b.until("!document.querySelector('#contact').checkVisibility()")
	b.signal(false)
	b.do(chromedp.Reload())
	b.see("#contact")
	b.see("#taken")
	assert.Empty(t, b.complaints.all())
	b.do(chromedp.Navigate("about:blank")) // ends the stream, for which the proxy waits
}
