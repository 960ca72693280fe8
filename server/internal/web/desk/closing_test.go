package desk_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/browsertest"
	"kinorder.example/server/internal/web/kept"
)

// A list that is closed is changed by the studio alone, everybody sees it, and what others write is kept for the studio.
func TestClosingTheList(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	p := begun(t, b)
	root := p.Request.URL.Path
	planner := s.browser()
	require.Equal(t, http.StatusOK, planner.post("/enter", url.Values{"secret": {s.link(store.Owner, strings.TrimPrefix(root, "/events/"))}}).StatusCode)
	assert.NotContains(t, planner.get(root).body, "Close the list", "the studio does")
	assert.Equal(t, http.StatusForbidden, planner.post(root+"/list", url.Values{"act": {"close"}, "version": {"1"}}).StatusCode)

	later := time.Now().AddDate(0, 0, 9).Format(time.DateOnly)
	p = b.press(b.get(root), "close", "closes", later)
	assert.Contains(t, p.body, "The list closes on")
	for _, page := range []page{b.get("/"), planner.get(root), b.get(root + "/history")} {
		assert.Contains(t, page.body, "The list closes on")
	}
	with := list + "\nCouple with the witnesses (Uma, Per)"
	before := planner.press(planner.get(root), "read", "text", with)
	require.Contains(t, before.body, "Uma", "until then it is open")
	p = planner.press(planner.get(root), "plan")
	require.Equal(t, root+"/plan", p.Request.URL.Path)
	plan := planner.press(p, p.buttons("down:")[0])
	require.Contains(t, plan.body, "was moved")
	send := planner.get(root + "/send")
	assert.Contains(t, b.get(root+"/send").body, "Last changed by Planner: look at it first")
	b.press(b.get(root+"/send"), "begin")
	planner.press(plan, plan.buttons("down:")[1])
	b.press(b.get(root+"/send"), "begin")
	assert.Contains(t, b.get(root+"/send").body, "Planner has changed it since", "what others made of the plan is not sent by the way")
	b.press(b.get(root+"/plan"), b.get(root + "/plan").buttons("down:")[0])
	b.press(b.get(root+"/send"), "begin")
	assert.NotContains(t, b.get(root+"/send").body, "changed it since", "what the studio made is")

	p = b.press(b.get(root), "close", "closes", "2020-01-31")
	assert.Contains(t, p.body, "The list has been closed since Friday 31 January 2020.")
	assert.Contains(t, b.get("/").body, "The list has been closed since")
	p = planner.get(root)
	assert.Contains(t, p.body, "Only the studio changes it and the plan now")
	assert.Contains(t, p.body, "disabled><legend")
	assert.Empty(t, p.buttons("plan"))
	assert.Empty(t, planner.get(root+"/plan").buttons("up:"))
	assert.Empty(t, planner.get(root+"/history").find("to"))
	for _, act := range []string{plan.buttons("down:")[0], "again"} { // from a window that was open before
		p = planner.press(plan, act)
		assert.Equal(t, http.StatusConflict, p.StatusCode, act)
		assert.Contains(t, p.body, "can open it again")
	}
	for _, act := range []string{"send", "link:lead"} {
		assert.Equal(t, http.StatusConflict, planner.post(root+"/send", url.Values{"act": {act}}).StatusCode, act)
	}
	ends := b.get(root + "/send").buttons("end:")
	require.NotEmpty(t, ends)
	assert.Empty(t, send.buttons("end:"), "only the studio switches links off")
	assert.Equal(t, http.StatusForbidden, planner.post(root+"/wishes", url.Values{"act": {ends[0]}}).StatusCode)

	// A window that was open before goes on writing: nothing of it is lost, and the studio takes it up or not.
	with += "\nCouple with the band (Lou, Kim)"
	p = planner.press(before, "read", "text", with)
	assert.Equal(t, root+"/clash", p.Request.URL.Path)
	assert.Contains(t, p.body, "band (Lou, Kim)")
	assert.Empty(t, p.buttons("mine"))
	assert.NotContains(t, b.get(root).body, "band (Lou, Kim)")
	fields := fieldsOf(formOf(p.root, p.find("theirs")))
	fields.Set("act", "mine")
	assert.Equal(t, http.StatusConflict, planner.post(root+"/clash", fields).StatusCode)
	typed := planner.post(root+"/keep", url.Values{"text": {with}, "version": {"1"}})
	assert.Equal(t, http.StatusConflict, typed.StatusCode)
	p = b.press(b.get(root+"/clash?mine="+fields.Get("mine")), "mine")
	assert.Contains(t, p.body, "band (Lou, Kim)", "the studio changes it")

	p = b.press(p, "open")
	assert.NotContains(t, p.body, "The list has been closed")
	assert.Contains(t, planner.press(planner.get(root), "read", "text", list).body, "bridesmaids")
	history := b.get(root + "/history").body
	assert.Contains(t, history, "List closed")
	assert.Contains(t, history, "List opened again")
}

func TestBrowserClosesTheList(t *testing.T) {
	s := open(t, t.TempDir())
	root := begun(t, s.signedIn()).Request.URL.Path
	b := s.tab(true)
	b.do(chromedp.Navigate(s.server.URL + root))
	b.press("button[value=close]")
	b.shoot("closed")
	browsertest.Accessible(t, b.ctx, "closed", "light", "dark")
	planner := s.browser()
	planner.post("/enter", url.Values{"secret": {s.link(store.Owner, strings.TrimPrefix(root, "/events/"))}})
	secret := s.link(store.Owner, strings.TrimPrefix(root, "/events/"))
	b.press(".foot button")
	b.do(chromedp.Navigate(s.server.URL + "/enter#" + secret))
	require.Eventually(t, func() bool { return strings.Contains(b.address(), root) }, 20*time.Second, 50*time.Millisecond)
	b.shoot("shut")
	browsertest.Accessible(t, b.ctx, "shut", "light", "dark")
	b.do(chromedp.Navigate(s.server.URL + root + "?lang=ar"))
	browsertest.Accessible(t, b.ctx, "shut-ar", "light", "dark")
	browsertest.Valid(t, map[string][]byte{"closed": []byte(s.signedIn().get(root).body), "shut": []byte(planner.get(root).body), "shut-ar": []byte(planner.get(root + "?lang=ar").body)})
	assert.Empty(t, *b.complaints)
}

// A list closes by the day of the event, not by that of the server. Somewhere it is always another day.
func TestClosingGoesByTheEvent(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	closing := func(zone, day string) (root string, families kept.About) {
		root = begun(t, b).Request.URL.Path
		id := strings.TrimPrefix(root, "/events/")
		w, err := s.desk.Work(t.Context(), kept.Visitor{Studio: true}, id, 0)
		require.NoError(t, err)
		w.Event.TimeZone, w.Closing = zone, &day
		_, err = s.desk.Save(t.Context(), kept.Visitor{Studio: true}, w)
		require.NoError(t, err)
		families, err = s.desk.About(t.Context(), kept.Visitor{Wishes: id})
		require.NoError(t, err)
		return root, families
	}
	first, err := time.LoadLocation("Pacific/Kiritimati")
	require.NoError(t, err)
	day := time.Now().In(first).Format(time.DateOnly) // not begun in Pago Pago, whatever day it is here
	closed, about := closing(first.String(), day)
	assert.Equal(t, first.String(), about.Zone)
	assert.Contains(t, b.get(closed).body, "The list has been closed since")
	open, about := closing("Pacific/Pago_Pago", day)
	assert.Equal(t, "Pacific/Pago_Pago", about.Zone)
	assert.Contains(t, b.get(open).body, "The list closes on")
	events := b.get("/").body
	assert.Contains(t, events, "The list has been closed since")
	assert.Contains(t, events, "The list closes on")
}
