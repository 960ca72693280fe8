package desk_test

import (
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// behind is a proxy that encrypts, and has the server below a path.
func (s *studio) behind(host, path string) *httptest.Server {
	to, err := url.Parse(s.server.URL)
	require.NoError(s, err)
	front := httptest.NewTLSServer(http.StripPrefix(path, &httputil.ReverseProxy{Rewrite: func(p *httputil.ProxyRequest) {
		p.SetURL(to)
		p.Out.Host = host
		p.Out.Header.Set("X-Forwarded-Proto", "https")
		p.Out.Header.Set("X-Forwarded-Prefix", path)
	}}))
	s.Cleanup(front.Close)
	return front
}

var ourAddresses = regexp.MustCompile(` (?:href|src|action|formaction|data-keep)="(/[^"]*)"`)

// Behind a proxy that has the server below a path a planner signs in, plans, and gives a link away that leads into the day, which lets
// its phone in.
func TestBelowAPath(t *testing.T) {
	s := open(t, t.TempDir())
	front := s.behind("photos.example", "/studio")
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	client := front.Client()
	client.Jar = jar
	b := browser{t, front.URL, client}
	p := b.get("/studio/enter?ticket=" + s.desk.Ticket())
	require.Equal(t, "/studio/", p.Request.URL.Path)
	p = b.press(b.press(b.get("/studio/new"), "read", "text", list), "plan", "date", "2027-05-15")
	require.Regexp(t, `^/studio/events/[a-z0-9]+/plan$`, p.Request.URL.Path)
	root := strings.TrimSuffix(p.Request.URL.Path, "/plan")
	kept := b.post(root+"/keep", fieldsOf(formOf(p.root, p.find(p.buttons("down:")[0]))))
	assert.Contains(t, kept.body, `"root":"`+root+`"`)
	p = b.press(b.get(root+"/send"), "link:lead")
	for _, page := range []page{p, b.get(root), b.get("/studio/"), b.get(root + "/plan")} {
		found := ourAddresses.FindAllStringSubmatch(page.body, -1)
		assert.NotEmpty(t, found)
		for _, m := range found {
			assert.True(t, strings.HasPrefix(m[1], "/studio/"), m[1])
		}
	}
	link := regexp.MustCompile(`"https://photos\.example/studio/day/#([\w-]{22})"`).FindStringSubmatch(p.body)
	require.NotNil(t, link, p.body)

	phone, err := cookiejar.New(nil)
	require.NoError(t, err)
	client.Jar = phone
	b.at += "/studio"
	require.Contains(t, b.day(link[1]), "Rosa")
	cookies := func(path string) []*http.Cookie {
		at, err := url.Parse(front.URL + path)
		require.NoError(t, err)
		return phone.Cookies(at)
	}
	assert.Len(t, cookies("/studio/day/live"), 1)
	assert.Empty(t, cookies("/"), "what else there is behind the proxy is none of ours")
	b.client = &http.Client{Transport: client.Transport, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	for path, to := range map[string]string{"/plan": "/studio/", "/day": "/studio/day/"} {
		assert.Equal(t, to, b.get(path).Header.Get("Location"))
	}
}

// Whoever sends a path that is none gets the page as it is.
func TestBelowNoPath(t *testing.T) {
	s := open(t, t.TempDir())
	for _, path := range []string{"", "/", "//elsewhere.example", `/"><script>`, "/../..", "studio"} {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.server.URL+"/", nil)
		require.NoError(t, err)
		r.Header.Set("X-Forwarded-Prefix", path)
		b := s.browser()
		assert.Contains(t, b.answer(b.client.Do(r)).body, `href="/page.css"`, path)
	}
}
