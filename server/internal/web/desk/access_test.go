package desk_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/store"
)

// pathsOf are all addresses of an event, by their methods.
func pathsOf(root string) map[string][]string {
	return map[string][]string{
		http.MethodGet: {root, root + "/plan", root + "/history", root + "/delete", root + "/send", root + "/clash", root + "/sheet", root + "/wishes", root + "/messages"},
		http.MethodPost: {root + "/list", root + "/keep", root + "/plan", root + "/undo", root + "/redo", root + "/back", root + "/duplicate",
			root + "/delete", root + "/sheet", root + "/save", root + "/clash", root + "/send", root + "/wishes"},
	}
}

func (b browser) ask(method, path string) page {
	if method == http.MethodGet {
		return b.get(path)
	}
	return b.post(path, url.Values{"text": {"x"}, "version": {"1"}, "to": {"1"}})
}

// link makes a link of a role to an event and returns its secret.
func (s *studio) link(role store.Role, id string) string {
	_, secret, err := s.store.CreateLink(s.Context(), store.Request{}, id, role, "", time.Time{})
	require.NoError(s, err)
	return secret
}

// Nobody reaches what is kept without a secret for it, and only the studio makes, duplicates and deletes.
func TestWhoMayWhat(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	mine, other := begun(t, b).Request.URL.Path, begun(t, b).Request.URL.Path
	id := strings.TrimPrefix(mine, "/events/")
	stranger := s.browser()
	for method, paths := range pathsOf(mine) {
		for _, path := range paths {
			got := stranger.ask(method, path)
			assert.Equal(t, http.StatusForbidden, got.StatusCode, path)
			assert.NotContains(t, got.body, "Vera", path)
		}
	}
	assert.Equal(t, http.StatusForbidden, stranger.ask(http.MethodPost, "/new/list").StatusCode)
	assert.Equal(t, http.StatusForbidden, stranger.ask(http.MethodGet, "/new").StatusCode)
	assert.Contains(t, stranger.get("/").body, "This page saves nothing", "as ever without signing in")
	for _, role := range []store.Role{store.Lead, store.Reader} {
		got := stranger.post("/enter", url.Values{"secret": {s.link(role, id)}})
		assert.Equal(t, http.StatusForbidden, got.StatusCode)
		assert.Contains(t, got.body, "for the day itself")
	}
	assert.Equal(t, http.StatusForbidden, stranger.post("/enter", url.Values{"secret": {"wrong"}}).StatusCode)
	assert.Equal(t, http.StatusForbidden, stranger.get(mine).StatusCode)

	planner, secret := s.browser(), s.link(store.Owner, id)
	got := planner.post("/enter", url.Values{"secret": {s.server.URL + "/day/#" + secret}})
	require.Equal(t, http.StatusOK, got.StatusCode)
	assert.Equal(t, mine, got.Request.URL.Path)
	assert.Equal(t, http.StatusOK, planner.get(mine).StatusCode)
	assert.NotContains(t, planner.get("/").body, other)
	for method, paths := range pathsOf(other) {
		for _, path := range paths {
			assert.Equal(t, http.StatusForbidden, planner.ask(method, path).StatusCode, path)
		}
	}
	for _, path := range []string{mine + "/duplicate", mine + "/delete", "/new/list"} {
		assert.Equal(t, http.StatusForbidden, planner.ask(http.MethodPost, path).StatusCode, path)
	}
	links, _, err := s.store.Links(t.Context(), id, store.Page{Size: 9})
	require.NoError(t, err)
	for _, l := range links {
		_, err := s.store.RevokeLink(t.Context(), id, l.ID)
		require.NoError(t, err)
	}
	assert.Equal(t, http.StatusForbidden, planner.get(mine).StatusCode, "the link has ended")
	assert.Equal(t, http.StatusNotFound, b.get("/events/nothing").StatusCode)
	assert.Equal(t, http.StatusNotFound, b.get("/events/..%2fx").StatusCode)
}

// The cookie is out of reach of scripts and other sites, cannot be made without the key, and other sites send no forms.
func TestSigningIn(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.browser()
	b.client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	ticket := s.desk.Ticket()
	got := b.get("/enter?ticket=" + ticket)
	require.Equal(t, http.StatusSeeOther, got.StatusCode)
	require.Len(t, got.Cookies(), 1)
	cookie := got.Cookies()[0]
	assert.True(t, cookie.HttpOnly)
	assert.Equal(t, http.SameSiteStrictMode, cookie.SameSite)
	assert.NotContains(t, cookie.Value, key)
	assert.Empty(t, s.browser().get("/enter?ticket="+ticket).Cookies(), "a ticket lets one in")
	for _, value := range []string{"s.9999999999.x", cookie.Value[:len(cookie.Value)-1], strings.Replace(cookie.Value, "s.", "s.9", 1), "l." + ticket, "l." + key, ""} {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.server.URL+"/new", nil)
		require.NoError(t, err)
		r.AddCookie(&http.Cookie{Name: "kinorder-desk", Value: value})
		assert.Equal(t, http.StatusForbidden, b.answer(http.DefaultClient.Do(r)).StatusCode, value)
	}
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.server.URL+"/new/list", strings.NewReader(""))
	require.NoError(t, err)
	r.AddCookie(cookie)
	r.Header.Set("Sec-Fetch-Site", "same-site") // another port of this machine
	assert.Equal(t, http.StatusForbidden, b.answer(http.DefaultClient.Do(r)).StatusCode)
	all, err := s.store.Work(t.Context(), 9)
	require.NoError(t, err)
	assert.Empty(t, all)

	in := s.browser()
	assert.Contains(t, in.post("/enter", url.Values{"secret": {key}}).body, "Your events")
	assert.Contains(t, in.post("/leave", nil).body, "Sign in")
	assert.Equal(t, http.StatusForbidden, in.get("/new").StatusCode)
}
