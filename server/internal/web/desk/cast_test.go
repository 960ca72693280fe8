package desk_test

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
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
	p = b.press(p, "read", "text", list+"\nCouple with flower girl Anna\nAna with Rosa\nNot together: Vera and Anna")
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
		browsertest.Accessible(t, b.ctx, "cast-gone-"+language, "light", "dark")
		browsertest.Valid(t, map[string][]byte{"cast": []byte(s.signedIn().get(root + "?photo=ana-bea-cleo&lang=" + language).body)})
		assert.Empty(t, *b.complaints)
	}
}
