package web

import (
	"context"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/gate"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/needs"
	"kinorder.example/server/internal/planning"
	"kinorder.example/server/internal/web/fields"
)

// Nothing private is on anything that leaves the planner's hands, and nothing personal in the log.
func TestPrivateNotesStayWithThePlanner(t *testing.T) {
	needs.Time(t)
	v := visit(t, planning.Plan)
	p := v.press(v.get("/"), "read", map[string]string{"text": harbour(t)})
	assert.Contains(t, p.Body.String(), secret, "the planner's own form keeps them")
	p = v.press(p, "plan", nil)
	shown := regexp.MustCompile(`<input type="hidden"[^>]*>`).ReplaceAllString(p.Body.String(), "")
	assert.NotContains(t, shown, secret)
	for i, c := range pageSheets {
		for _, language := range []string{"en", []string{"ar", "zh"}[i%2]} {
			sheet := v.press(p, "/sheet", map[string]string{"sheet-kind": c.Value, "language": language})
			assert.Equal(t, http.StatusOK, sheet.Code, c.Value)
			assert.NotContains(t, sheet.Body.String(), secret, c.Value)
		}
	}
	for _, c := range files {
		file := v.press(p, "/save", map[string]string{"file-kind": c.Value})
		require.Equal(t, http.StatusOK, file.Code, c.Value)
		assert.Contains(t, file.Header().Get("Content-Disposition"), `attachment; filename="`+c.file+`"`)
		if c.Value == "event" {
			assert.Contains(t, file.Body.String(), secret)
		} else {
			assert.NotContains(t, file.Body.String(), secret, c.Value)
		}
	}
	for _, word := range []string{secret, "Amara", "Lindqvist", "grandmother", "couple"} {
		assert.NotContains(t, v.log.String(), word)
	}
	assert.Contains(t, v.log.String(), "page=plan status=200")
}

func TestHeaders(t *testing.T) {
	v := visit(t, planning.Plan)
	p := v.planSmall()
	for name, p := range map[string]page{"start": v.get("/"), "plan": p, "style": v.get("/page.css"), "unknown": v.get("/nowhere")} {
		policy := p.Header().Get("Content-Security-Policy")
		for _, part := range []string{"default-src 'none'", "script-src 'self'", "style-src 'self'", "form-action 'self'", "base-uri 'none'", "frame-ancestors 'none'"} {
			assert.Contains(t, policy, part, name)
		}
		assert.NotContains(t, policy, "unsafe", name)
		assert.Equal(t, "nosniff", p.Header().Get("X-Content-Type-Options"), name)
		assert.Equal(t, "no-referrer", p.Header().Get("Referrer-Policy"), name)
		assert.Empty(t, p.Header().Get("Set-Cookie"), name)
	}
	assert.Equal(t, "no-store", p.Header().Get("Cache-Control"))
	outside := regexp.MustCompile(`(?:src|href|action)="(?:https?:)?//`)
	each(p.root, func(n *html.Node) {
		for _, a := range n.Attr {
			assert.NotEqual(t, "style", a.Key, "the policy refuses inline style")
			assert.False(t, strings.HasPrefix(a.Key, "on"), "the policy refuses inline script: %s", a.Key)
		}
		assert.False(t, n.Data == "script" && attribute(n, "src") == "", "the policy refuses inline script")
	})
	assert.NotRegexp(t, outside, p.Body.String())

	sheet := v.press(p, "/sheet", nil)
	policy := sheet.Header().Get("Content-Security-Policy")
	assert.Regexp(t, `style-src 'sha256-[A-Za-z0-9+/=]{44}'$`, policy)
	assert.NotContains(t, policy, "script-src")

	tag := v.get("/page.css").Header().Get("ETag")
	r := httptest.NewRequest(http.MethodGet, "/page.css", nil)
	r.Header.Set("If-None-Match", tag)
	assert.Equal(t, http.StatusNotModified, v.answer(r).Code)
}

func TestRefusals(t *testing.T) {
	v := visit(t, planning.Plan)
	r := httptest.NewRequest(http.MethodPost, "/list", strings.NewReader("text=a"))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	assert.Equal(t, http.StatusBadRequest, v.answer(r).Code, "no form of these pages")

	for _, header := range [][2]string{{"Origin", "https://elsewhere.example"}, {"Sec-Fetch-Site", "cross-site"}} {
		r = httptest.NewRequest(http.MethodPost, "/list", strings.NewReader(""))
		r.Header.Set(header[0], header[1])
		p := v.answer(r)
		assert.Equal(t, http.StatusForbidden, p.Code)
		assert.True(t, p.has("Sent from another site"))
	}
	assert.Equal(t, http.StatusNotFound, v.get("/nowhere").Code)
	assert.Equal(t, http.StatusSeeOther, v.get("/plan").Code, "a reload by address starts anew")
	large := v.post("/list", map[string]string{"text": strings.Repeat("a", fields.MaxBytes)})
	assert.Equal(t, http.StatusRequestEntityTooLarge, large.Code)
	assert.True(t, large.has("4 MiB"))
	assert.Equal(t, http.StatusRequestEntityTooLarge, v.post("/list", map[string]string{"text": strings.Repeat("a", intake.MaxContent+1)}).Code)
	assert.Equal(t, http.StatusBadRequest, v.post("/sheet", map[string]string{"text": small}).Code, "there is no plan to print")
	assert.Equal(t, http.StatusBadRequest, v.post("/list", map[string]string{"text": "\xff"}).Code)
	assert.Equal(t, http.StatusOK, v.post("/plan", map[string]string{"text": small, "hand": "{", "sheet": "[]", "act": "up:x"}).Code,
		"a plan that cannot be read is made anew")
}

func TestRefusalsOfThePlanner(t *testing.T) {
	for name, c := range map[string]struct {
		plan   planning.Func
		status int
		says   string
	}{
		"busy": {func(context.Context, event.Event, planning.Options) (event.CallSheet, error) {
			return event.CallSheet{}, &gate.BusyError{Solves: 2, Queued: 8, Retry: 10e9}
		}, http.StatusServiceUnavailable, "plans being made: 2; waiting: 8). Go back and try again in about 10 s"},
		"panic": {func(_ context.Context, e event.Event, _ planning.Options) (event.CallSheet, error) {
			panic(e.People[0].Name)
		}, http.StatusInternalServerError, "Something went wrong in the program"},
		"stopping": {func(context.Context, event.Event, planning.Options) (event.CallSheet, error) {
			return event.CallSheet{}, gate.ErrStopping
		}, http.StatusServiceUnavailable, "The program is stopping"},
	} {
		t.Run(name, func(t *testing.T) {
			v := visit(t, c.plan)
			p := v.planSmall()
			assert.Equal(t, c.status, p.Code)
			assert.True(t, p.has(c.says), p.text())
			assert.NotContains(t, v.log.String(), "Ann")
			assert.Equal(t, http.StatusOK, v.get("/").Code, "the others go on")
		})
	}
}
