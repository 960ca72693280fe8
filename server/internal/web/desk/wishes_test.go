package desk_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/kept"
)

var familyLink = regexp.MustCompile(`/enter#([\w-]{22})"`)

// family makes a family's link on the page and returns its secret.
func (b browser) family(root, whose string) string {
	b.Helper()
	p := b.get(root + "/wishes")
	if len(p.buttons("open")) > 0 {
		p = b.press(p, "open")
	}
	p = b.press(p, "link", "for", whose)
	found := familyLink.FindStringSubmatch(p.body)
	require.NotNil(b, found, p.body)
	require.Nil(b, familyLink.FindStringSubmatch(b.get(p.Request.URL.RequestURI()).body), "once, whoever comes to the address again")
	return found[1]
}

// A family writes which photographs it would like; whoever plans puts them on the list, below the last photograph there, or
// not; and the family sees which.
func TestFamiliesWish(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	p := begun(t, b)
	root := p.Request.URL.Path
	b.press(p, "read", "text", list+"\n\nWho's who:\nRosa: grandmother, 84", "title", "Mara and Ilyas", "date", "2027-05-15")
	granny := s.browser()
	p = granny.post("/enter", url.Values{"secret": {b.family(root, "Grandma Rosa")}})
	require.Equal(t, "/wishes", p.Request.URL.Path)
	assert.Contains(t, p.body, "Mara and Ilyas")
	assert.NotContains(t, p.body, "Vera", "nothing of the list")
	p = granny.post("/wishes", url.Values{"wishes": {"Rosa with\nMara"}, "act": {"language"}, "lang": {"de"}})
	assert.Contains(t, p.body, `<html lang="de"`)
	assert.Contains(t, p.body, ">\nRosa with\nMara</textarea>", "what is typed stays when the language is changed, and is not sent yet")
	assert.Equal(t, "wish", attr(p.find("language"), "form"))
	p = granny.post("/wishes", url.Values{"wishes": {"Mara with Rosa and Vera\r\n\r\n Rosa with Tom \r\nMara with Rosa and Vera"}})
	require.Equal(t, http.MethodGet, p.Request.Method)
	assert.Equal(t, 1, strings.Count(p.body, "Mara with Rosa and Vera"), "once")
	assert.Equal(t, "/wishes", granny.get("/").Request.URL.Path)

	assert.Contains(t, b.get(root).body, "2 new wishes")
	p = b.get(root + "/wishes")
	assert.Contains(t, p.body, "Grandma Rosa")
	takes := p.buttons("take:")
	require.Len(t, takes, 2)
	twice := p
	p = b.press(p, takes[0])
	assert.Contains(t, p.body, "line 9")
	assert.Contains(t, b.press(twice, takes[0]).body, "line 9", "pressed twice, it is there once")
	assert.Contains(t, b.press(twice, strings.Replace(takes[0], "take", "decline", 1)).body, "line 9", "and is taken off where it stands")
	p = b.press(p, p.buttons("decline:")[0])
	assert.Contains(t, p.body, "Nothing new")
	p = b.get(root)
	assert.Contains(t, p.body, "Cleo)\nMara with Rosa and Vera\n\nWho", "below the last photograph, not below the people")
	assert.Contains(t, b.get(root+"/history").body, "Wish of a family")
	p = b.press(p, "/undo")
	assert.NotContains(t, p.body, "Cleo)\nMara with Rosa and Vera", "it is a step like others")
	assert.Equal(t, takes[:1], b.get(root+"/wishes").buttons("take:"), "and can be put there again")
	p = granny.get("/wishes")
	assert.Contains(t, p.body, "on the list")
	assert.Contains(t, p.body, "not on the list")

	id := strings.TrimPrefix(root, "/events/")
	w, err := s.desk.Work(t.Context(), kept.Visitor{Studio: true}, id, 0)
	require.NoError(t, err)
	yesterday := time.Now().AddDate(0, 0, -1).Format(time.DateOnly)
	w.Closing = &yesterday
	_, err = s.desk.Save(t.Context(), kept.Visitor{Studio: true}, w)
	require.NoError(t, err)
	p = granny.post("/wishes", url.Values{"wishes": {"one more with Rosa"}})
	assert.Equal(t, http.StatusUnprocessableEntity, p.StatusCode)
	assert.Contains(t, p.body, "The list has been closed since")
	assert.Contains(t, p.body, "one more with Rosa", "nothing that was written is lost")
	wishes, err := s.store.Wishes(t.Context(), id, "")
	require.NoError(t, err)
	assert.Len(t, wishes, 2)

	require.Contains(t, b.press(b.get(root+"/wishes"), b.get(root + "/wishes").buttons("end:")[0]).body, "switched off")
	assert.Equal(t, http.StatusForbidden, granny.get("/wishes").StatusCode)
}

// A table is changed by whoever plans, and a line that is no photograph is told as such.
func TestWishesOnOtherLists(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	for text, want := range map[string]string{
		"Name\tRelation\tPhotos\nAda\tbride\t1;2\nJo\tgroom\t1;2\nHester\tmother\t1\n": "write the photo into it yourself",
		list: "not understood as a photo",
	} {
		p := begun(t, b)
		root := p.Request.URL.Path
		b.press(p, "read", "text", text)
		family := s.browser()
		family.post("/enter", url.Values{"secret": {b.family(root, "")}})
		family.post("/wishes", url.Values{"wishes": {"42"}})
		p = b.get(root + "/wishes")
		assert.Contains(t, b.press(p, p.buttons("take:")[0]).body, want)
	}
}

// A family's link opens nothing of an event, and its secret is in no log.
func TestFamiliesSeeNothingElse(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	mine, other := begun(t, b).Request.URL.Path, begun(t, b).Request.URL.Path
	secret := b.family(mine, "")
	family := s.browser()
	family.post("/enter", url.Values{"secret": {secret}})
	for _, root := range []string{mine, other} {
		for method, paths := range pathsOf(root) {
			for _, path := range paths {
				got := family.ask(method, path)
				assert.Equal(t, http.StatusForbidden, got.StatusCode, path)
				assert.NotContains(t, got.body, "Vera", path)
			}
		}
	}
	for _, path := range []string{"/new", "/new/example"} {
		assert.Equal(t, http.StatusForbidden, family.get(path).StatusCode, path)
	}
	assert.Equal(t, http.StatusForbidden, family.ask(http.MethodPost, "/new/list").StatusCode)
	assert.NotContains(t, family.day(secret), "Vera", "not on the page of the day either")
	assert.NotContains(t, s.log.String(), secret)
	assert.Equal(t, http.StatusForbidden, b.get("/wishes").StatusCode, "whoever plans has another page")
	assert.Equal(t, http.StatusForbidden, s.browser().get("/wishes").StatusCode)
}

// What cannot be taken stays in the field, with the reason; nothing is kept of it.
func TestWishesThatAreTooMany(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	root := begun(t, b).Request.URL.Path
	family := s.browser()
	family.post("/enter", url.Values{"secret": {b.family(root, "")}})
	for _, text := range []string{strings.Repeat("x", 401), strings.Repeat("one with all\n", 101)} {
		p := family.post("/wishes", url.Values{"wishes": {text}})
		assert.Equal(t, http.StatusUnprocessableEntity, p.StatusCode)
		assert.Contains(t, p.body, strings.TrimRight(text, "\n"))
	}
	id := strings.TrimPrefix(root, "/events/")
	links, _, err := s.store.Links(t.Context(), id, store.Page{Size: 9})
	require.NoError(t, err)
	wishes, err := s.store.Wishes(t.Context(), id, links[0].ID)
	require.NoError(t, err)
	assert.Empty(t, wishes)
}
