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

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/browsertest"
)

// person is one of the only event as it is kept.
func (s *studio) person(id string) event.Person {
	s.Helper()
	all, err := s.store.Work(s.Context(), 9)
	require.NoError(s, err)
	require.Len(s, all, 1)
	e, err := s.store.Event(s.Context(), all[0].ID)
	require.NoError(s, err)
	for _, p := range e.Event.People {
		if p.ID == id {
			return p
		}
	}
	return event.Person{}
}

// What is put right of somebody goes before the list, is a step like others, and stays when the list goes on.
func TestPeopleArePutRight(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	p := begun(t, b)
	root := p.Request.URL.Path
	p = b.press(p, "person:rosa")
	require.Equal(t, "rosa", p.Request.URL.Query().Get("person"), "a reload shows the fields again")
	p = b.press(p, "person-done:rosa", "who.name", "Rosa Duarte", "who.wheelchair", "1", "who.until", "14:30", "who.note", secret)
	rosa := s.person("rosa")
	assert.Equal(t, "Rosa Duarte", rosa.Name)
	assert.Equal(t, []event.Need{event.Wheelchair}, rosa.Needs)
	assert.Equal(t, "14:30", rosa.PresentUntil)
	assert.Contains(t, p.body, "The list says: Name: Rosa; wheelchair: –")
	assert.Contains(t, p.body, `<bdi dir="auto">Rosa Duarte</bdi></a>`, "on the chips too")

	// A rule names her either way.
	p = b.press(p, "add-rule")
	p = b.press(p, "read", "rule.0.who.0", "Rosa", "rule.0.who.1", "Vera")
	assert.NotContains(t, p.body, `class="mend"`)
	p = b.press(p, "read", "rule.0.who.0", "Rosa Duarte")
	assert.NotContains(t, p.body, `class="mend"`)

	// It stays while the list goes on, on the plan, in the file, and goes with one button; undoing brings it back.
	p = b.press(p, "read", "text", "Couple with the witnesses (Uma, Per)\n"+list)
	p = b.press(p, "plan")
	require.Equal(t, root+"/plan", p.Request.URL.Path)
	p = b.press(p, p.buttons("down:")[0])
	assert.Contains(t, b.press(p, "/save", "file-kind", "event").body, "Rosa Duarte")
	p = b.press(b.get(root), "as-listed:rosa")
	assert.Equal(t, "Rosa", s.person("rosa").Name)
	p = b.press(p, "/undo")
	assert.Equal(t, "Rosa Duarte", s.person("rosa").Name)

	// A name that is there no more is said.
	p = b.press(p, "read", "text", strings.ReplaceAll(list, "Rosa", "Anna"))
	assert.Contains(t, p.body, "What you changed about “Rosa” does not fit the list now")
	p = b.press(p, "as-listed:rosa")
	assert.NotContains(t, p.body, "does not fit the list now")

	// Two at once: other fields go together, and of the same both are shown.
	one, two := b.press(b.get(root), "person:anna"), b.press(b.get(root), "person:anna")
	b.press(one, "person-done:anna", "who.relation", "great-aunt")
	p = b.press(two, "person-done:anna", "who.years", "90")
	require.Equal(t, root, p.Request.URL.Path)
	assert.Equal(t, "great-aunt", s.person("anna").Relation)
	assert.Equal(t, event.Elder, s.person("anna").AgeBand)
	two = b.press(b.get(root), "person:anna")
	b.press(b.press(b.get(root), "person:anna"), "person-done:anna", "who.years", "91")
	p = b.press(two, "person-done:anna", "who.years", "92")
	assert.Contains(t, p.body, "Anna, Age in years: 91")
	assert.Contains(t, p.body, "Anna, Age in years: 92")
}

// Whoever may not change a closed list does not change people either.
func TestPeopleOfAClosedList(t *testing.T) {
	s := open(t, t.TempDir())
	p := begun(t, s.signedIn())
	id := strings.TrimPrefix(p.Request.URL.Path, "/events/")
	planner := s.browser()
	planner.post("/enter", url.Values{"secret": {s.link(store.Owner, id)}})
	planner.press(planner.get("/events/"+id), "person:rosa")
	s.signedIn().press(s.signedIn().get("/events/"+id), "close")
	p = planner.press(planner.get("/events/"+id+"?person=rosa"), "person-done:rosa", "who.name", "Somebody")
	assert.Equal(t, http.StatusConflict, p.StatusCode)
	assert.Equal(t, "Rosa", s.person("rosa").Name)
}

// Where nothing is kept, the form carries it.
func TestPeopleArePutRightWithoutKeeping(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.browser()
	p := b.post("/list", url.Values{"text": {list}})
	p = b.press(p, "person:rosa")
	p = b.press(p, "person-done:rosa", "who.say", "RO-za")
	p = b.press(p, "read")
	assert.Contains(t, p.body, "say RO-za")
	p = b.press(p, "plan")
	assert.Contains(t, b.press(p, "/save", "file-kind", "event").body, "RO-za")
}

// By clicking and by keyboard, on a phone and on a desk, in both directions.
func TestBrowserPutsPeopleRight(t *testing.T) {
	for _, language := range []string{"en", "ar"} {
		s := open(t, t.TempDir())
		root := begun(t, s.signedIn()).Request.URL.Path
		b := s.tab(true)
		look := func(name string) {
			b.shoot(name + "-" + language)
			browsertest.Accessible(t, b.ctx, name+"-"+language, "light", "dark")
		}
		b.do(chromedp.Navigate(s.server.URL+root+"?lang="+language), chromedp.Click(`.chips a[href="#person.rosa"]`, chromedp.ByQuery))
		require.Eventually(t, func() bool { return strings.Contains(b.address(), "person=rosa") }, 20*time.Second, 50*time.Millisecond)
		b.has("document.activeElement.id", "who.name")
		b.do(chromedp.SetValue("[id='who.name']", "Rosa Duarte", chromedp.ByQuery), chromedp.Click("[name='who.wheelchair']", chromedp.ByQuery))
		look("person")
		address := b.address()
		require.Eventually(t, func() bool { return s.person("rosa").Name == "Rosa Duarte" }, 10*time.Second, 50*time.Millisecond) // as it is typed
		b.press("[value='person-done:rosa']")
		look("person-done")
		browsertest.Valid(t, map[string][]byte{"people": []byte(s.signedIn().get(root).body),
			"person": []byte(s.signedIn().get(strings.TrimPrefix(address, s.server.URL)).body)})
		assert.Empty(t, *b.complaints)
	}
}

// A photo that is ticked becomes a line, is a step like others, and a suggestion is one button.
func TestPhotosByTicking(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	p := begun(t, b)
	p = b.press(p, "person:rosa")
	p = b.press(p, "person-done:rosa", "who.name", "Duarte, Rosa (\"Oma\")")
	p = b.press(p, "add-photo", "tick.rosa", "1", "tick.vera", "1", "tick.ana", "1", "photo.title", "By the old oak")
	assert.Contains(t, p.body, "The photo was added in line 9.")
	text := fieldsOf(formOf(p.root, p.find("plan"))).Get("text")
	assert.Equal(t, list+"\nBy the old oak: Vera, Rosa and Ana", text, "in the names of the list")
	assert.Contains(t, p.body, `aria-label="wanted: By the old oak"`, "it is called that alone")
	assert.Contains(t, p.body, "wanted: By the old oak", "and so it is called")
	p = b.press(p, "add-photo", "photo.title", "Nobody", "tick.nobody", "1")
	assert.Contains(t, p.body, "Tick who is in the photo")
	assert.Contains(t, p.body, `value="Nobody"`, "what was typed stays")
	p = b.press(p, "read", "tick.tom", "1")
	assert.Contains(t, p.body, `name="tick.tom" value="1" checked`, "and so does what was ticked, whatever was pressed")

	all := p.buttons("suggest:")
	require.NotEmpty(t, all)
	p = b.press(p, all[0])
	assert.Contains(t, p.body, "The photo was added in line 10.")
	assert.Len(t, p.buttons("suggest:"), len(all)-1)
	p = b.press(p, "/undo")
	assert.Len(t, p.buttons("suggest:"), len(all))
	p = b.press(p, "plan")
	assert.Contains(t, p.titles(), "By the old oak")
	p = b.press(b.get(strings.TrimSuffix(p.Request.URL.Path, "/plan")), all[0])
	assert.Contains(t, p.body, `aria-label="wanted: Mara with parents"`, "a suggestion stays what it is called")

	// Where nothing is kept, and not into a table.
	other := s.browser()
	p = other.post("/list", url.Values{"text": {list}})
	p = other.press(p, "add-photo", "tick.rosa", "1", "tick.vera", "1")
	assert.Contains(t, p.body, "The photo was added in line 9.")
	p = other.post("/list", url.Values{"text": {"Name,Relation\nRosa,bride\nPer,groom\n"}})
	p = other.press(p, "add-photo", "tick.rosa", "1")
	assert.Contains(t, p.body, "This list is a table")
}

func TestBrowserAddsPhotos(t *testing.T) {
	for _, language := range []string{"en", "ar"} {
		s := open(t, t.TempDir())
		root := begun(t, s.signedIn()).Request.URL.Path
		b := s.tab(true)
		b.do(chromedp.Navigate(s.server.URL+root+"?lang="+language), chromedp.Evaluate(`document.querySelectorAll("details.people").forEach((d) => { d.open = true })`, nil),
			chromedp.Click("[name='tick.rosa']", chromedp.ByQuery), chromedp.Click("[name='tick.vera']", chromedp.ByQuery))
		b.shoot("adding-" + language)
		browsertest.Accessible(t, b.ctx, "adding-"+language, "light", "dark")
		b.press("[value=add-photo]")
		b.has("document.activeElement.id", "photo.title")
		b.do(chromedp.Evaluate(`document.querySelector("[value^='suggest:']").closest("details").open = true`, nil))
		b.press("[value^='suggest:']")
		b.has(`String(document.activeElement.value.startsWith("suggest:"))`, "true")
		b.shoot("suggested-" + language)
		browsertest.Accessible(t, b.ctx, "suggested-"+language, "dark", "light")
		browsertest.Valid(t, map[string][]byte{"adding": []byte(s.signedIn().get(root).body)})
		assert.Empty(t, *b.complaints)
	}
}

// How many photos there are, and the minutes of those that there are, is in sight while somebody types.
func TestBrowserShowsTheMinutes(t *testing.T) {
	s := open(t, t.TempDir())
	root := begun(t, s.signedIn()).Request.URL.Path
	b := s.tab(true)
	b.do(chromedp.Navigate(s.server.URL+root), chromedp.Evaluate(`document.querySelector("#text").closest("details").open = true`, nil))
	before := b.text("#bar")
	assert.Regexp(t, `^10 people, 6 photos, about \d+ min of 60 min$`, before)
	b.do(chromedp.Evaluate(`(() => { const text = document.getElementById("text"); text.value += "\nVera with Nadia"; text.dispatchEvent(new Event("input", { bubbles: true })); })()`, nil))
	require.Eventually(t, func() bool { return strings.Contains(b.text("#bar"), "7 photos") }, 10*time.Second, 50*time.Millisecond, b.text("#bar"))
	assert.NotEqual(t, before, strings.Replace(b.text("#bar"), "7", "6", 1), "they take longer")
	b.shoot("minutes")
	assert.Empty(t, *b.complaints)
}

// A plan is old once somebody needs something else or leaves earlier: it says so, nothing is sent of it, and what the hand
// decided holds for the next one. How a name is said makes no plan old.
func TestAPlanOfOtherNeedsIsOld(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	p := b.press(begun(t, b), "plan")
	root := strings.TrimSuffix(p.Request.URL.Path, "/plan")
	p = b.press(p, p.buttons("down:")[0])
	moved := p.titles()
	b.press(b.press(b.get(root), "person:rosa"), "person-done:rosa", "who.say", "ROH-za", "who.note", secret)
	require.Equal(t, root+"/plan", b.get(root+"/plan").Request.URL.Path)

	for name, value := range map[string]string{"who.wheelchair": "1", "who.until": "14:40", "who.age": "child"} {
		b.press(b.press(b.get(root), "person:rosa"), "person-done:rosa", name, value)
		p = b.get(root + "/plan")
		require.Equal(t, root, p.Request.URL.Path, name)
		assert.Contains(t, p.body, "have changed since it was planned", name)
		assert.NotContains(t, b.get("/").body, "Planned", name)
		assert.Equal(t, root, b.get(root+"/send").Request.URL.Path, name)
		p = b.press(p, "plan")
		require.Equal(t, root+"/plan", p.Request.URL.Path, name)
		assert.Len(t, p.buttons("unlock:"), 1, name)
		assert.Equal(t, moved[1], p.titles()[1], "what was moved by hand stays there")
	}
}
