package desk_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/browsertest"
)

// couple makes a couple's link on the page and opens it in another browser.
func (s *studio) couple(b browser, root string) (secret string, in browser) {
	s.Helper()
	p := b.get(root + "/wishes")
	if len(p.buttons("open")) > 0 {
		p = b.press(p, "open")
	}
	found := familyLink.FindStringSubmatch(b.press(p, "couple", "for", "Mara and Ilyas").body)
	require.NotNil(s, found)
	in = s.browser()
	p = in.post("/enter", url.Values{"secret": {found[1]}})
	require.Equal(s, "/couple", p.Request.URL.Path)
	return found[1], in
}

// The couple says who is who, who must not be near whom and which photos it would like; whoever plans is told what, and
// the couple sees nothing that is between others.
func TestTheCouple(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	root, _ := planned(t, b)
	b.press(b.get(root+"?person=vera"), "person-done:vera", "who.note", "WHIMBREL")
	_, couple := s.couple(b, root)
	see := func(path string) page {
		p := couple.get(path)
		for _, hidden := range []string{secret, "WHIMBREL", "Planner", "enter#", "who.note", "Not together"} {
			assert.NotContains(t, p.body, hidden, path)
		}
		return p
	}
	p := see("/couple")
	assert.Contains(t, p.body, "6 photos, about ")
	assert.Contains(t, p.body, "you have 60 min")
	assert.Contains(t, p.body, "Couple with Mara&#39;s parents")
	assert.Equal(t, "/couple", see("/").Request.URL.Path)

	p = couple.press(p, "person:rosa")
	require.Equal(t, "rosa", p.Request.URL.Query().Get("person"))
	see(p.Request.URL.RequestURI())
	p = couple.press(p, "person-done:rosa", "who.seat", "1", "who.say", "ROH-za")
	assert.Contains(t, p.body, "say ROH-za")
	now := b.get(root)
	assert.Contains(t, now.body, "Mara and Ilyas, Couple changed something: Rosa")
	assert.Contains(t, now.body, "say ROH-za")
	p = couple.press(p, "apart", "apart.0", "Vera", "apart.1", "Karim", "apart.scope", "neighbours")
	assert.Contains(t, p.body, "Vera, Karim")
	together := p.buttons("together:")
	require.Len(t, together, 1)
	assert.Contains(t, b.get(root).body, "Keep apart: Vera, Karim")
	p = couple.press(p, p.buttons("suggest:")[0])
	assert.Contains(t, p.body, "The photo is on the list.")
	assert.Contains(t, p.body, "7 photos")
	p = couple.press(p, "add-photo", "tick.rosa", "1", "tick.tom", "1", "photo.title", "Old friends")
	assert.Contains(t, p.body, "Old friends")
	assert.Contains(t, b.get(root).body, "Old friends")
	p = couple.press(p, "add-photo", "tick.vera", "1", "photo.new", "Rosalind", "photo.title", "Wedding of Vera and Karim, 2029-01-01")
	assert.Contains(t, p.body, `class="said" role="status">The photo is on the list.`)
	assert.Contains(t, p.body, "Rosalind")
	assert.Contains(t, p.body, "Wedding of Vera and Karim, 2029-01-01", "what they called it, though the list cannot say it")
	p = couple.press(p, "photo:rosa")
	assert.Empty(t, p.buttons("photo-gone"), "taking one off is for whoever plans")
	p = couple.press(p, "photo-done:rosa", "photo.of.add", "bea/Bea")
	assert.Equal(t, "mara ilyas rosa bea", s.photos(root)[4])
	p = couple.press(p, "add-photo", "photo.new", "Vera and Karim")
	assert.Contains(t, p.body, "Please tell whoever plans your day.")
	p = couple.press(p, "apart", "apart.0", "Vera", "apart.1", "nobody")
	assert.Len(t, p.buttons("together:"), 1, "only people of the list")
	p = couple.press(p, together[0])
	assert.NotContains(t, p.body, "Vera, Karim")
	history := b.get(root + "/history").body
	assert.Contains(t, history, "Changed on the couple’s page")
	assert.Contains(t, history, "Rosa, How it is said: ROH-za")
	assert.Contains(t, history, "Old friends")

	// A form that has what the page has not changes nothing by it.
	for name, value := range map[string]string{"text": "nothing", "rule.0.id": "x", "who.note.was": "", "title": "x", "act": "drop-block:0"} {
		was := b.get(root).body
		require.Equal(t, http.StatusOK, couple.post("/couple", url.Values{name: {value}, "day": {"1"}, "who.id": {"vera"}, "who.note": {"x"}}).StatusCode)
		assert.Equal(t, was, b.get(root).body, name)
	}
	b.press(b.get(root), "close", "closes", "2020-01-31")
	assert.Contains(t, see("/couple").body, "disabled><legend")
	assert.Equal(t, http.StatusConflict, couple.post("/couple", url.Values{"act": {together[0]}}).StatusCode)
}

// A couple's link opens its own page and no other, of its own event and of another one.
func TestCouplesSeeNothingElse(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	mine, other := begun(t, b).Request.URL.Path, begun(t, b).Request.URL.Path
	secret, couple := s.couple(b, mine)
	for _, root := range []string{mine, other} {
		for method, paths := range pathsOf(root) {
			for _, path := range append(paths, root+"/live") {
				if path == root+"/live" && method != http.MethodGet {
					continue
				}
				assert.Equal(t, http.StatusForbidden, couple.ask(method, path).StatusCode, path)
			}
		}
	}
	assert.Equal(t, http.StatusForbidden, couple.get("/wishes").StatusCode)
	assert.Equal(t, http.StatusForbidden, couple.get("/new").StatusCode)
	assert.Equal(t, http.StatusForbidden, b.get("/couple").StatusCode)
	assert.Equal(t, http.StatusForbidden, s.browser().get("/couple").StatusCode)
	assert.NotContains(t, s.browser().day(secret), "200 ")
	assert.NotContains(t, s.log.String(), secret)
	links, _, err := s.store.Links(t.Context(), strings.TrimPrefix(mine, "/events/"), store.Page{Size: 9})
	require.NoError(t, err)
	assert.Equal(t, store.Couple, links[0].Role)
	assert.Contains(t, b.get(mine+"/wishes").body, "The couple: say who is who")
}

// On a phone, in both directions of writing.
func TestBrowserTheCouple(t *testing.T) {
	for _, language := range []string{"en", "ar"} {
		s := open(t, t.TempDir())
		b := s.signedIn()
		root, _ := planned(t, b)
		secret := s.link(store.Couple, strings.TrimPrefix(root, "/events/"))
		phone := s.tab(true)
		look := func(name string) {
			phone.shoot(name + "-" + language)
			browsertest.Accessible(t, phone.ctx, name+"-"+language, "light", "dark")
		}
		phone.do(chromedp.Navigate(s.server.URL+"/enter?lang="+language+"#"+secret), chromedp.WaitVisible("#couple"))
		phone.do(chromedp.Navigate(s.server.URL + "/couple?lang=" + language))
		phone.shoot("couple-" + language)
		phone.press("[id='person.rosa']")
		look("couple-person")
		phone.do(chromedp.Click("[name='who.seat']", chromedp.ByQuery))
		phone.press("button[value='person-done:rosa']")
		phone.do(chromedp.SetValue("[id='apart.0']", "Vera", chromedp.ByQuery), chromedp.SetValue("[id='apart.1']", "Karim", chromedp.ByQuery))
		phone.press("button[value=apart]")
		look("couple-apart")
		phone.has("document.documentElement.lang", language)
		in := s.browser()
		in.post("/enter", url.Values{"secret": {secret}})
		browsertest.Valid(t, map[string][]byte{"couple": []byte(in.get("/couple?person=rosa&lang=" + language).body)})
		assert.Empty(t, *phone.complaints)
	}
}

// What is undone is said, on the page and in the history; what is said of a family's wishes is said once.
func TestUndoSaysWhat(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	root, _ := planned(t, b)
	p := b.press(b.get(root+"?person=vera"), "person-done:vera", "who.absent", "1")
	assert.Regexp(t, `<s><bdi dir="auto">Vera</bdi></s> <small>not coming`, p.body, "wherever a line has them")
	assert.NotContains(t, p.body, `aria-label="wanted: "`, "a button without a name")
	assert.NotContains(t, b.press(p, "plan").body, "Vera and Tom", "in the title, neither")
	b.press(b.get(root), "/undo")
	p = b.press(b.get(root), "/undo")
	assert.Contains(t, p.body, "A step undone: ")
	assert.Regexp(t, `A step undone: .*Vera`, p.body)
	assert.Regexp(t, `A step undone(.|\n)*− Vera, not coming`, b.get(root+"/history").body)
}

// An event that begins with a table is not called after the head of the table.
func TestATableIsNoTitle(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	b.press(begun(t, b), "read", "text", "Photo,People,Priority\nBoth,Ann; Bo,must\n", "title", "")
	assert.NotContains(t, b.get("/").body, "Photo,People")
}
