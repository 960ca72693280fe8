package desk_test

import (
	"bufio"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/store"
)

// Two windows of one event see each other's changes, on both pages, and what is being typed stays.
func TestBrowserSeesOtherWindows(t *testing.T) {
	s := open(t, t.TempDir())
	root := begun(t, s.signedIn()).Request.URL.Path
	one, two := s.tab(true), s.tab(true)
	for _, b := range []tab{one, two} {
		b.do(chromedp.Navigate(s.server.URL+root), chromedp.Evaluate(`document.querySelector("#text").closest("details").open = true`, nil))
	}
	two.do(chromedp.Focus("#zone", chromedp.ByQuery))
	one.do(chromedp.SetValue("#title", "Lanterns", chromedp.ByQuery), chromedp.SendKeys("#text", "\nCouple with Uma\n", chromedp.ByQuery))
	two.sees("#text", "Couple with Uma")
	two.sees("#title", "Lanterns")
	two.has("document.activeElement.id", "zone")
	assert.Contains(t, two.text("#saved"), "in another window just now")
	two.has(`String(document.querySelector("#text").closest("details").open)`, "true")

	// And back, because each is at the newest version.
	two.do(chromedp.SendKeys("#zone", "Europe/Lisbon", chromedp.ByQuery))
	one.sees("#zone", "Europe/Lisbon")
	two.press("button[value=plan]")
	one.do(chromedp.Navigate(two.address()))
	moved := two.text("#n2 h3")
	two.press("#n1 button[value^=down]")
	one.has(`document.querySelector("#n1 h3").textContent`, moved)
	one.press("#n1 button[value^=lock]")
	two.has(`String(!!document.querySelector("#n1.locked"))`, "true")

	// Who has something open that is not kept yet is not disturbed.
	two.do(chromedp.Click("#n3 summary", chromedp.ByQuery), chromedp.SendKeys("#p3", "2", chromedp.ByQuery))
	one.press("#n1 button[value^=unlock]")
	one.do(chromedp.Sleep(1500 * time.Millisecond))
	two.sees("#p3", "2")
	assert.Empty(t, *one.complaints)
	assert.Empty(t, *two.complaints)
}

// sees waits until a field has a text in it.
func (b tab) sees(selector, text string) {
	b.Helper()
	b.until(`document.querySelector("`+selector+`").value`, func(s string) bool { return strings.Contains(s, text) }, text)
}

// has waits until something is as it is wanted.
func (b tab) has(expression, want string) {
	b.Helper()
	b.until(expression, func(s string) bool { return s == want }, want)
}

func (b tab) until(expression string, is func(string) bool, want string) {
	b.Helper()
	var got string
	assert.Eventually(b, func() bool {
		return chromedp.Run(b.ctx, chromedp.Evaluate(expression, &got)) == nil && is(got)
	}, 15*time.Second, 50*time.Millisecond, "%s: %s, not %s", expression, &got, want)
}

// The stream tells numbers only, to whoever may see the event, and ends with the link and with the program.
func TestLive(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	root := begun(t, b).Request.URL.Path
	assert.Equal(t, http.StatusForbidden, s.browser().get(root+"/live").StatusCode)
	assert.Equal(t, http.StatusNotFound, b.get("/events/nothing/live").StatusCode)
	planner, id := s.browser(), strings.TrimPrefix(root, "/events/")
	planner.post("/enter", map[string][]string{"secret": {s.link(store.Owner, id)}})
	assert.Equal(t, http.StatusForbidden, planner.get(begun(t, b).Request.URL.Path+"/live").StatusCode)

	r, err := planner.client.Get(s.server.URL + root + "/live")
	require.NoError(t, err)
	assert.Equal(t, "text/event-stream", r.Header.Get("Content-Type"))
	lines := bufio.NewScanner(r.Body)
	next := func() string {
		for lines.Scan() {
			if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				return data
			}
		}
		return "over"
	}
	assert.Equal(t, "1", next())
	b.press(b.get(root), "read", "text", list+"\nCouple with Uma")
	assert.Equal(t, "2", next())
	s.close()
	assert.Equal(t, "over", next())
	require.NoError(t, r.Body.Close())
}

// A server that is gone takes nothing along that was typed: the page stays, says so, and keeps it when the server is back.
func TestBrowserPlansWithoutAServer(t *testing.T) {
	for _, language := range []string{"en", "ar"} {
		s := open(t, t.TempDir())
		root := begun(t, s.signedIn()).Request.URL.Path
		b := s.tab(true)
		b.do(chromedp.Navigate(s.server.URL+root+"?lang="+language), chromedp.Evaluate(`document.querySelector("#text").closest("details").open = true`, nil),
			chromedp.SetValue("#text", list+"\nVera with Nadia", chromedp.ByQuery))
		s.close()
		b.do(chromedp.Click("button[value=plan]", chromedp.ByQuery), chromedp.WaitVisible("#saved.failed", chromedp.ByQuery))
		b.has(`document.querySelector("#text").value.split("\n").pop()`, "Vera with Nadia")
		assert.Contains(t, b.address(), root)
		b.shoot("gone-" + language)
	}
}
