package desk_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/browsertest"
	"kinorder.example/server/internal/web/kept"
)

// photo is who is in a photo as it is kept, by its place.
func (s *studio) photos(root string) (out []string) {
	s.Helper()
	w, err := s.desk.Work(s.Context(), kept.Visitor{Studio: true}, strings.TrimPrefix(root, "/events/"), 0)
	require.NoError(s, err)
	taken, _ := event.Expand(w.Event)
	for _, p := range taken {
		out = append(out, strings.Join(p.Members, " "))
	}
	return out
}

// Who is in a photo is changed on its line: somebody is taken out and put in, the photo goes and comes back.
func TestWhoIsInAPhoto(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	p := begun(t, b)
	root := p.Request.URL.Path
	p = b.press(p, "photo:ana-bea-cleo")
	require.Equal(t, "ana-bea-cleo", p.Request.URL.Query().Get("photo"))
	fields := fieldsOf(formOf(p.root, p.find("photo-done:ana-bea-cleo")))
	fields.Del("photo.of.in.bea")
	fields.Set("photo.of.add", "rosa/Rosa")
	fields.Set("act", "photo-done:ana-bea-cleo")
	p = b.post(root+"/list", fields)
	assert.Equal(t, "mara ilyas rosa ana cleo", s.photos(root)[5])
	assert.Contains(t, b.get(root+"/history").body, "Rosa, − Bea")
	p = b.press(p, "read", "text", list+"\nVera with Rosa")
	assert.Equal(t, "mara ilyas rosa ana cleo", s.photos(root)[5], "it stays when the list is read again")
	p = b.press(b.press(p, "photo:rosa"), "photo-gone:rosa")
	assert.Len(t, s.photos(root), 6)
	assert.Contains(t, p.body, "removed")
	assert.Equal(t, "vera rosa", s.photos(root)[5], "lines after it are those of their own photos")
	assert.Contains(t, p.body, `id="person.bea"`, "who is in none any more is still a guest")
	p = b.press(p, "plan")
	assert.Len(t, p.titles(), 6)
	p = b.press(b.get(root), "photo-listed:rosa")
	assert.Len(t, s.photos(root), 7)
	p = b.press(b.press(p, "photo:ana-bea-cleo"), "photo-listed:ana-bea-cleo")
	assert.Equal(t, "mara ilyas ana bea cleo", s.photos(root)[5])

	// Of a file without lines, too.
	p = b.press(p, "read", "text", "people:\n  - {id: a, name: Ada}\n  - {id: b, name: Bo}\n  - {id: c, name: Cy}\ngroupings:\n  - {id: one, members: [a, b]}\n  - {id: two, members: [b, c]}\n")
	p = b.press(p, "priority:must:one")
	assert.Contains(t, p.body, `data-priority="one" aria-label="must have`)
	b.press(b.press(p, "photo:two"), "photo-gone:two")
	assert.Equal(t, []string{"a b"}, s.photos(root))
}

// Somebody who does not come is called nowhere; one who is on the list twice is one; what is no guest goes.
func TestPeopleAreMergedAndRemoved(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	p := begun(t, b)
	root := p.Request.URL.Path
	b.press(p, "read", "text", list+"\nCouple with flower girl Anna\nAna with Rosa\nNot together: Vera and Anna")
	change := func(id string, fields ...string) page {
		return b.press(b.get(root+"?person="+id), "person-done:"+id, fields...)
	}
	p = change("anna", "who.same", "ana/Ana")
	assert.Equal(t, "mara ilyas ana", s.photos(root)[6])
	assert.NotContains(t, p.body, `id="person.anna"`)
	assert.Contains(t, p.body, "Anna, The same person as: Ana")
	change("bea", "who.gone", "1")
	assert.Equal(t, "mara ilyas ana cleo", s.photos(root)[5])
	p = change("cleo", "who.absent", "1")
	assert.Equal(t, "mara ilyas ana", s.photos(root)[5])
	assert.Contains(t, p.body, "not coming")
	p = b.press(p, "as-listed:bea")
	p = b.press(p, "as-listed:anna")
	assert.Equal(t, "mara ilyas ana bea", s.photos(root)[5])
	assert.Equal(t, "mara ilyas anna", s.photos(root)[6])

	// Two that are each the other, and one that is somebody who is gone, break nothing.
	change("ana", "who.same", "anna/Anna")
	b.post(root+"/list", fieldsOf(formOf(p.root, p.find("plan"))))
	p = change("anna", "who.gone", "1")
	assert.NotContains(t, p.body, `id="person.anna"`)
	assert.NotContains(t, p.body, `id="person.ana"`)
}

func TestBrowserChangesWhoIsInIt(t *testing.T) {
	for _, language := range []string{"en", "ar"} {
		s := open(t, t.TempDir())
		root := begun(t, s.signedIn()).Request.URL.Path
		b := s.tab(true)
		b.do(chromedp.Navigate(s.server.URL + root + "?lang=" + language))
		b.press("[value='photo:ana-bea-cleo']")
		b.has("String(document.activeElement.value)", "photo:ana-bea-cleo")
		b.shoot("cast-" + language)
		browsertest.Accessible(t, b.ctx, "cast-"+language, "light", "dark")
		b.do(chromedp.Click("[name='photo.of.in.bea']", chromedp.ByQuery), chromedp.SetValue("[id='photo.of.add']", "rosa/Rosa", chromedp.ByQuery))
		b.press("[value='photo-done:ana-bea-cleo']")
		assert.Equal(t, "mara ilyas rosa ana cleo", s.photos(root)[5])
		b.press("[value='photo:rosa']")
		b.press("[value='photo-gone:rosa']")
		b.shoot("cast-gone-" + language)
		browsertest.Valid(t, map[string][]byte{"cast": []byte(s.signedIn().get(root + "?photo=ana-bea-cleo&lang=" + language).body)})
		assert.Empty(t, *b.complaints)
	}
}

// A telephone stands on the page of the messages and nowhere else: on no sheet, in no file, on no phone of the day and in no
// log. A child is written to by way of whoever is grown up beside it.
func TestMessages(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	p := begun(t, b)
	root := p.Request.URL.Path
	b.press(p, "read", "text", list+"\nRosa with Pip (3)", "date", "2027-05-15")
	change := func(id string, fields ...string) page {
		return b.press(b.get(root+"?person="+id), "person-done:"+id, fields...)
	}
	change("rosa", "who.contact", "+44 7700 900123", "who.tongue", "de")
	p = change("vera", "who.contact", "vera@example.org")
	p = b.press(p, "plan")
	require.Equal(t, root+"/plan", p.Request.URL.Path)
	messages := b.get(root + "/messages")
	assert.Contains(t, messages.body, `href="sms:&#43;447700900123?body=`)
	assert.Contains(t, messages.body, `href="mailto:vera@example.org?subject=Wedding%20of%20Mara%20and%20Ilyas&amp;body=`)
	assert.Contains(t, messages.body, `lang="de"`, "in the language of whoever gets it")
	assert.Contains(t, messages.body, "Guten Tag,")
	assert.Contains(t, messages.body, `No phone number or email: <bdi dir="auto">Tom</bdi>`)
	assert.NotRegexp(t, `<h2[^>]*><bdi dir="auto">\W*Pip`, messages.body)
	assert.Contains(t, messages.body, "Pip", "who has to be there too")
	assert.Contains(t, b.get(root+"/send").body, root+"/messages")

	var all []string
	for _, kind := range []string{"call", "pocket", "reader", "finder", "cards", "chart", "standing", "planner"} {
		all = append(all, b.get(root+"/sheet?sheet-kind="+kind).body)
	}
	for _, kind := range []string{"page", "text", "messages", "times", "table", "calendar", "event"} {
		all = append(all, b.press(p, "/save", "file-kind", kind).body)
	}
	b.post(root+"/send", url.Values{"act": {"send"}})
	id := strings.TrimPrefix(root, "/events/")
	all = append(all, s.browser().day(s.link(store.Reader, id)), s.browser().day(s.link(store.Lead, id)), b.get(root+"/plan").body, b.get("/").body,
		b.press(b.get(root), "plan", "text", "nothing\n!!").body, s.log.String())
	for _, text := range all {
		for _, private := range []string{"7700", "vera@example"} {
			assert.NotContains(t, text, private)
		}
	}
	for _, who := range []store.Role{store.Couple, store.Family} {
		other := s.browser()
		other.post("/enter", url.Values{"secret": {s.link(who, id)}})
		assert.Equal(t, http.StatusForbidden, other.get(root+"/messages").StatusCode)
	}
}

func TestBrowserMessages(t *testing.T) {
	for _, language := range []string{"en", "ar"} {
		s := open(t, t.TempDir())
		root, _ := planned(t, s.signedIn())
		b := s.tab(true)
		b.do(chromedp.Navigate(s.server.URL + root + "?person=rosa&lang=" + language))
		b.do(chromedp.SetValue("[id='who.contact']", "+44 7700 900123", chromedp.ByQuery))
		b.press("[value='person-done:rosa']")
		b.do(chromedp.Navigate(s.server.URL + root + "/messages?lang=" + language))
		b.has(`String(document.querySelector("a[href^='sms:+447700900123?body=']") !== null)`, "true")
		b.shoot("messages-" + language)
		browsertest.Accessible(t, b.ctx, "messages-"+language, "light", "dark")
		browsertest.Valid(t, map[string][]byte{"messages": []byte(s.signedIn().get(root + "/messages?lang=" + language).body)})
		assert.Empty(t, *b.complaints)
	}
}
