package desk_test

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/store/storetest"
	"kinorder.example/server/internal/web/browsertest"
)

var dayLinks = regexp.MustCompile(`value="(https://192\.168\.7\.20:7468/day/#([\w-]{22})((?:&amp;[\w=]+)?))"`)

// planned is an event with a plan, and a private note in its list.
func planned(t *testing.T, b browser) (root string, p page) {
	t.Helper()
	p = begun(t, b)
	root = p.Request.URL.Path
	p = b.press(p, "plan", "text", list+"\n\nNot together: Vera and Nadia ("+secret+")", "date", "2027-05-15")
	require.Equal(t, root+"/plan", p.Request.URL.Path)
	return root, p
}

// Links lead into the day, with the plan as it is; each is shown once, and ended for good.
func TestLinksForTheCrew(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	root, p := planned(t, b)
	id := strings.TrimPrefix(root, "/events/")
	p = b.get(root + "/send")
	assert.Contains(t, p.body, "Nobody has this plan yet")
	assert.Empty(t, p.buttons("link:"), "no phone would get to this address")
	p = b.press(p, "open")
	assert.Contains(t, p.body, "AB CD", "to compare on a new phone")
	p = b.press(p, "link:caller", "for", "Aunt Lou")
	require.Equal(t, http.StatusOK, p.StatusCode)
	require.Equal(t, http.MethodGet, p.Request.Method)
	found := dayLinks.FindStringSubmatch(p.body)
	require.NotNil(t, found, p.body)
	assert.NotContains(t, p.Request.URL.String(), found[2], "no address that is sent has a secret")
	assert.Contains(t, p.body, "<svg")
	assert.NotContains(t, b.get(root+"/send").body, found[2], "it is shown once")
	assert.NotContains(t, b.get(p.Request.URL.RequestURI()).body, found[2], "at its own address too")
	assert.NotContains(t, s.log.String(), found[2])
	link, err := s.store.Open(t.Context(), found[2])
	require.NoError(t, err)
	assert.Equal(t, store.Reader, link.Role)
	assert.Equal(t, "Aunt Lou, Caller", link.Title, "the list tells who does what")
	assert.Equal(t, "2027-05-19", link.Expires.Local().Format(time.DateOnly), "some days after the event")

	assert.Empty(t, found[3], "a caller opens at whatever is next")
	finder := dayLinks.FindStringSubmatch(b.press(b.get(root+"/send"), "link:finder").body)
	require.NotNil(t, finder)
	assert.Equal(t, "&amp;as=finder", finder[3])

	require.Contains(t, s.browser().day(s.link(store.Lead, id)), "Rosa", "the plan was sent with the first link, and begins with a lead")
	got := s.browser().day(found[2])
	assert.Contains(t, got, "Rosa")
	assert.NotContains(t, got, secret)

	// What is changed later is sent when somebody says so.
	sheets := func() int {
		list, _, err := s.store.Sheets(t.Context(), id, store.Page{Size: 99})
		require.NoError(t, err)
		return len(list)
	}
	p = b.press(b.get(root+"/send"), "link:lead")
	assert.Equal(t, 1, sheets(), "the same plan is sent once")
	p = b.get(root + "/plan")
	b.press(p, p.buttons("down:")[0])
	p = b.get(root + "/send")
	assert.Contains(t, p.body, "You have changed it since")
	assert.Equal(t, 1, sheets())
	p = b.press(p, "send")
	assert.Equal(t, 2, sheets())
	assert.NotContains(t, p.body, "You have changed it since")

	ends := p.buttons("end:")
	require.Len(t, ends, 4)
	p = b.press(p, "end:"+link.ID)
	assert.Contains(t, p.body, "opens nothing any more")
	_, err = s.store.Open(t.Context(), found[2])
	require.ErrorIs(t, err, store.ErrEnded)
	assert.Len(t, p.buttons("end:"), 3)
}

// A sheet that is printed after the list was changed during the day has the numbers that phones show.
func TestPaperOfAChangedListHasTheNumbersOfTheDay(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	root, _ := planned(t, b)
	id := strings.TrimPrefix(root, "/events/")
	rows := regexp.MustCompile(`<td class="no">(\d+)</td>.*?<bdi dir="auto">(.*?)</bdi>`)
	numbers := func() map[string]string {
		out := map[string]string{}
		for _, m := range rows.FindAllStringSubmatch(b.get(root+"/sheet?sheet-kind=pocket").body, -1) {
			out[m[2]] = m[1]
		}
		return out
	}
	paper := numbers()
	require.Len(t, paper, 6)
	b.press(b.get(root+"/send"), "open")
	b.press(b.get(root+"/send"), "link:lead")
	s.browser().day(s.link(store.Lead, id))
	begun, err := s.store.NewestRun(t.Context(), id)
	require.NoError(t, err)
	plan, err := s.store.NewestSheet(t.Context(), id)
	require.NoError(t, err)
	plan, err = s.store.Sheet(t.Context(), id, plan.ID)
	require.NoError(t, err)
	_, err = s.store.AddMarks(t.Context(), begun.Ref, []run.Mark{{ID: storetest.NewID(), Kind: run.Taken, At: time.Now(), Grouping: plan.Sheet.Blocks[0].Entries[0].Grouping}})
	require.NoError(t, err)
	p := b.press(b.get(root), "plan", "text", strings.Replace(list, "\n\n", "\n\nCouple with the witnesses (Dora, Emil)\n", 1))
	require.Equal(t, root+"/plan", p.Request.URL.Path)
	after := numbers()
	require.Len(t, after, 7)
	for title, n := range paper {
		assert.Equal(t, n, after[title], title)
	}
}

// day is what the page of the day gets with the secret of a link.
func (b browser) day(link string) string {
	b.Helper()
	r, err := http.NewRequestWithContext(b.Context(), http.MethodPost, b.at+"/day/open", strings.NewReader("{}"))
	require.NoError(b, err)
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Authorization", "Bearer "+link)
	p := b.answer(b.client.Do(r))
	return fmt.Sprint(p.StatusCode, " ", p.body)
}

// A planner's link makes links, and does not tick; nobody sends without a plan.
func TestWhoMaySend(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	root, _ := planned(t, b)
	id := strings.TrimPrefix(root, "/events/")
	planner := s.browser()
	require.Equal(t, http.StatusOK, planner.post("/enter", url.Values{"secret": {s.link(store.Owner, id)}}).StatusCode)
	assert.NotContains(t, planner.get(root+"/send").body, "Begin the day")
	assert.Equal(t, http.StatusForbidden, planner.post(root+"/send", url.Values{"act": {"begin"}}).StatusCode)
	assert.Equal(t, http.StatusForbidden, planner.post(root+"/send", url.Values{"act": {"open"}}).StatusCode)
	assert.Equal(t, http.StatusOK, planner.post(root+"/send", url.Values{"act": {"link:lead"}}).StatusCode)
	assert.Equal(t, http.StatusForbidden, s.browser().post(root+"/send", url.Values{"act": {"link:lead"}}).StatusCode)
	assert.Equal(t, http.StatusBadRequest, b.post(root+"/send", url.Values{"act": {"link:everybody"}}).StatusCode)
	for range 2 {
		b.post(root+"/send", url.Values{"act": {"begin"}})
	}
	here, _, err := s.store.Links(t.Context(), id, store.Page{Size: 9})
	require.NoError(t, err)
	assert.Len(t, here, 3, "two that were made, and one for this browser however often a day is begun")
	other := begun(t, b).Request.URL.Path
	assert.Equal(t, http.StatusForbidden, planner.get(other+"/send").StatusCode)
	assert.Equal(t, other, b.get(other+"/send").Request.URL.Path, "there is no plan to send")
	links, _, err := s.store.Links(t.Context(), id, store.Page{Size: 9})
	require.NoError(t, err)
	second, _ := planned(t, b)
	assert.Equal(t, http.StatusNotFound, b.post(second+"/send", url.Values{"act": {"end:" + links[0].ID}}).StatusCode, "a link of another event")
}

// From the first page to a day that runs in the browser nobody needs a terminal.
func TestBrowserBeginsTheDay(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.tab(true)
	b.press("a.main")
	b.do(chromedp.SetValue("#text", list, chromedp.ByQuery))
	b.press("button.main")
	b.press("button[value=plan]")
	b.press("#n3 button[value^=up]")
	b.press("#n2 button[value^=up]")
	first := b.text("#n1 h3")
	b.press("a.main")
	b.shoot("send-first")
	b.press("button[value=open]")
	b.press("button[value='link:lead']")
	b.shoot("send")
	browsertest.Accessible(t, b.ctx, "send", "light", "dark")
	path := strings.TrimPrefix(b.address(), s.server.URL)
	browsertest.Valid(t, map[string][]byte{"send": []byte(s.signedIn().get(path).body), "send-ar": []byte(s.signedIn().get(path + "?lang=ar").body)})
	b.do(chromedp.WaitVisible("button[data-copy]", chromedp.ByQuery))
	b.do(chromedp.SetValue("#lang", "es", chromedp.ByQuery))
	b.press("form.tongue button")
	b.do(chromedp.Click("button[value=begin]", chromedp.ByQuery), chromedp.WaitVisible("#now, .now, main", chromedp.ByQuery))
	require.Eventually(t, func() bool {
		var text string
		return chromedp.Run(b.ctx, chromedp.Text("body", &text, chromedp.ByQuery)) == nil && strings.Contains(text, "Couple")
	}, 30*time.Second, 100*time.Millisecond)
	b.has(`document.querySelector("main h1, main h2").textContent.replace(/[\u2066-\u2069]/g, "")`, first) // as it was moved and sent
	b.has("document.documentElement.lang", "es")                                                           // as the page that it was begun on
	assert.Contains(t, b.address(), "/day/")
	assert.NotRegexp(t, `#[\w-]{22}$`, b.address(), "the secret is out of the address")
	b.shoot("day")
	assert.Empty(t, *b.complaints)

	// Somebody who plans opens a link, and finds the event.
	b.do(chromedp.Navigate(s.server.URL + path))
	b.press("button[value='link:planner']")
	var link string
	b.do(chromedp.Value("#made-address", &link, chromedp.ByQuery))
	_, fragment, _ := strings.Cut(link, "#")
	planner := s.tab(true)
	planner.press(".foot button")
	planner.do(chromedp.Navigate(s.server.URL + "/enter#" + fragment))
	require.Eventually(t, func() bool { return strings.Contains(planner.address(), "/events/") }, 20*time.Second, 50*time.Millisecond)
	assert.NotContains(t, planner.address(), fragment)
	all, err := s.store.Work(context.Background(), 9)
	require.NoError(t, err)
	assert.True(t, all[0].Begun)
}

// That phones of a running day are shut out stands in red on every page of the studio, and one press lets them in from there.
func TestPhonesAreShutOut(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	root, p := planned(t, b)
	assert.NotContains(t, p.body, `id="shut"`)
	s.network.shut = true
	for _, path := range []string{"/", root, root + "/plan", root + "/send", root + "/history", root + "/messages"} {
		assert.Contains(t, b.get(path).body, "Phones of a running day are shut out", path)
	}
	p = b.get(root + "/plan")
	resp := b.post("/phones", url.Values{"to": {root}, "lang": {"en"}})
	assert.Equal(t, root, resp.Request.URL.Path)
	assert.NotContains(t, resp.body, `id="shut"`)
	assert.NotEmpty(t, s.network.at)
	assert.Equal(t, "/", b.post("/phones", url.Values{"to": {"//elsewhere.example"}, "lang": {"en"}}).Request.URL.Path)
}
