package desk_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/store"
)

// begun is a new event with the list in it.
func begun(t *testing.T, b browser) page {
	t.Helper()
	p := b.press(b.get("/new"), "read", "text", list)
	require.Equal(t, http.StatusOK, p.StatusCode)
	require.Regexp(t, `^/events/[a-z0-9]+$`, p.Request.URL.Path)
	require.Equal(t, http.MethodGet, p.Request.Method, "a reload sends no form")
	return p
}

func TestEveryStepIsKept(t *testing.T) {
	folder := t.TempDir()
	s := open(t, folder)
	b := s.signedIn()
	p := begun(t, b)
	root := p.Request.URL.Path
	p = b.press(p, "plan", "title", "Mara & Ilyas", "date", "2027-05-15")
	require.Equal(t, root+"/plan", p.Request.URL.Path)
	require.Equal(t, http.MethodGet, p.Request.Method)
	planned := p.titles()
	require.Len(t, planned, 6)
	p = b.press(p, p.buttons("down:")[0])
	assert.Contains(t, p.body, "was moved")
	moved := p.titles()
	assert.NotEqual(t, planned, moved)
	p = b.press(p, p.buttons("lock:")[0])

	sheet := b.press(p, "/sheet", "sheet-kind", "pocket", "paper", "a4")
	require.Equal(t, http.MethodGet, sheet.Request.Method, "a sheet can be reloaded")
	assert.Contains(t, sheet.body, "Rosa")
	assert.NotContains(t, sheet.Request.URL.RawQuery, "Rosa")

	// The window is closed, the program ends, and a week goes by.
	s.close()
	s = open(t, folder)
	b = s.signedIn()
	assert.Contains(t, b.get("/").body, "Mara &amp; Ilyas")
	p = b.get(root + "/plan")
	assert.Equal(t, moved, p.titles())
	assert.Len(t, p.buttons("unlock:"), 2)

	for _, want := range [][]string{moved, planned} {
		p = b.press(p, "/undo")
		assert.Equal(t, want, p.titles())
	}
	for range 2 { // undoing is undone too
		p = b.press(p, "/redo")
	}
	assert.Equal(t, moved, p.titles())
	assert.Len(t, p.buttons("unlock:"), 2)
	history := b.get(root + "/history")
	assert.Contains(t, history.body, "Plan changed by hand")
	p = b.press(history, "1")
	assert.Contains(t, p.body, "Vera and Tom")
	assert.Equal(t, root, p.Request.URL.Path)

	kept, err := s.store.Event(t.Context(), strings.TrimPrefix(root, "/events/"))
	require.NoError(t, err)
	assert.NotEmpty(t, kept.Event.People, "other programs see the event too")
	for _, name := range []string{"Mara", "Vera", "Rosa", key} {
		assert.NotContains(t, s.log.String(), name)
	}
}

// What is typed is kept while it is typed, as one step.
func TestTypingIsOneStep(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	said := b.post("/new/keep", url.Values{"text": {"Couple alo"}})
	require.Equal(t, http.StatusOK, said.StatusCode, said.body)
	all, err := s.store.Work(t.Context(), 9)
	require.NoError(t, err)
	require.Len(t, all, 1)
	root := "/events/" + all[0].ID
	for i, text := range []string{"Couple alone", "Couple alone\nCouple with Rosa"} {
		said = b.post(root+"/keep", url.Values{"text": {text}, "version": {fmt.Sprint(i + 1)}})
		require.Equal(t, http.StatusOK, said.StatusCode, said.body)
	}
	p := b.get(root)
	assert.Contains(t, p.body, "Couple with Rosa")
	versions, err := s.store.Versions(t.Context(), all[0].ID, 9)
	require.NoError(t, err)
	assert.Len(t, versions, 1)
	assert.Equal(t, http.StatusConflict, b.post(root+"/keep", url.Values{"text": {"other"}, "version": {"1"}}).StatusCode)
}

// Two windows: neither is written over silently, and whoever comes second chooses.
func TestTwoWindows(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	first := begun(t, b)
	second := b.get(first.Request.URL.Path)
	require.Equal(t, http.StatusOK, b.press(first, "read", "text", list+"\nCouple with the witnesses (Uma, Per)").StatusCode)
	clash := b.press(second, "read", "text", list+"\nCouple with the band (Lou, Kim)")
	require.Equal(t, http.MethodGet, clash.Request.Method, "a reload and the way back send no form")
	require.Equal(t, first.Request.URL.Path+"/clash", clash.Request.URL.Path)
	assert.Contains(t, clash.body, "witnesses (Uma, Per)")
	assert.Contains(t, clash.body, "band (Lou, Kim)")
	assert.NotContains(t, b.get(first.Request.URL.Path).body, "band (Lou, Kim)", "nothing is kept before the choice")
	assert.Contains(t, b.get(first.Request.URL.Path).body, "See both and choose")
	mine := b.press(clash, "mine")
	require.Equal(t, http.StatusOK, mine.StatusCode)
	assert.Contains(t, mine.body, "band (Lou, Kim)")
	assert.Contains(t, b.press(mine, "/undo").body, "witnesses (Uma, Per)", "the other one is a step back")

	// The plan: a move in a window that is behind is done on what that window showed.
	assert.NotContains(t, b.get(first.Request.URL.Path).body, "See both and choose</a></p>")

	p := b.press(b.get(first.Request.URL.Path), "plan")
	behind := b.get(p.Request.URL.Path)
	downs := p.buttons("down:")
	b.press(p, downs[0])
	clash = b.press(behind, downs[3])
	require.Equal(t, http.MethodGet, clash.Request.Method)
	p = b.press(clash, "mine")
	require.Equal(t, behind.Request.URL.Path, p.Request.URL.Path)
	require.Equal(t, http.StatusOK, p.StatusCode)
	assert.Equal(t, behind.titles()[:3], p.titles()[:3])
	assert.Equal(t, behind.titles()[3], p.titles()[4])
	// A finger that bounces sends the same twice.
	again := b.get(p.Request.URL.Path)
	once := b.press(again, downs[0])
	twice := b.press(again, downs[0])
	require.Equal(t, http.StatusOK, twice.StatusCode)
	assert.Equal(t, once.titles(), twice.titles())
}

// What a window that is behind types is kept beside, in one place, also when the program ends; what is not chosen is in
// the history.
func TestTypingBehindAnotherWindow(t *testing.T) {
	folder := t.TempDir()
	s := open(t, folder)
	b := s.signedIn()
	root := begun(t, b).Request.URL.Path
	require.Equal(t, http.StatusOK, b.press(b.get(root), "read", "text", list+"\nCouple with the witnesses (Uma, Per)").StatusCode)
	var said struct{ Aside, Both string }
	for _, more := range []string{"Couple with the ba", "Couple with the band (Lou, Kim)"} {
		behind := b.post(root+"/keep", url.Values{"text": {list + "\n" + more}, "version": {"1"}, "aside": {said.Aside}})
		require.Equal(t, http.StatusConflict, behind.StatusCode)
		require.NoError(t, json.Unmarshal([]byte(behind.body), &said))
	}
	s.close()
	s = open(t, folder)
	b = s.signedIn()
	clash := b.get(said.Both)
	assert.Contains(t, clash.body, "band (Lou, Kim)")
	assert.Contains(t, clash.body, "witnesses (Uma, Per)")
	// Meanwhile it goes on elsewhere: what is chosen is what was seen.
	b.press(b.get(root), "read", "text", list+"\nCouple with the choir (Zoe, Ida)")
	clash = b.press(clash, "mine")
	assert.Contains(t, clash.body, "choir (Zoe, Ida)")
	chosen := b.press(clash, "theirs")
	assert.Equal(t, root, chosen.Request.URL.Path)
	assert.NotContains(t, chosen.body, "band (Lou, Kim)")
	assert.Equal(t, root, b.get(said.Both).Request.URL.Path, "it has been chosen")
	history := b.get(root + "/history")
	assert.Equal(t, 1, strings.Count(history.body, "kept separately"))
	assert.Contains(t, b.press(history, said.Aside).body, "band (Lou, Kim)")
	other := begun(t, b).Request.URL.Path
	assert.Equal(t, http.StatusNotFound, b.post(other+"/back", url.Values{"aside": {said.Aside}}).StatusCode, "of another event")
}

// The list of events: states, search, duplicates, deletion.
func TestEvents(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	assert.Contains(t, b.get("/").body, "Nothing here yet")
	p := begun(t, b)
	root := p.Request.URL.Path
	assert.Contains(t, b.get("/").body, "Collecting")
	b.press(p, "plan", "title", "Mara & Ilyas", "block.0.opens", "14:10", "block.0.closes", "15:20", "block.0.place", "Rose garden")
	assert.Contains(t, b.get("/").body, "Planned")
	assert.NotContains(t, b.get("/").body, `type="search"`)

	copied := b.post(root+"/duplicate", nil)
	require.Equal(t, http.StatusOK, copied.StatusCode)
	require.NotEqual(t, root, copied.Request.URL.Path)
	assert.NotContains(t, copied.body, "Vera")
	p = b.press(copied, "read", "text", "Couple (Uma and Per)\nCouple with Uma's parents (Zoe, Max)")
	assert.Contains(t, p.body, "Rose garden", "the place comes along")
	assert.Contains(t, p.body, "14:10")
	assert.NotContains(t, p.body, "Vera")

	for i := range 10 {
		_, err := s.store.CreateEvent(t.Context(), store.Request{}, fmt.Sprint("other-", i), event.Event{Title: fmt.Sprint("Party ", i), Date: "2020-01-01"})
		require.NoError(t, err)
	}
	all := b.get("/")
	assert.Contains(t, all.body, `type="search"`)
	assert.Contains(t, all.body, "Done")
	assert.Less(t, strings.Index(all.body, "Party 9"), strings.Index(all.body, "Mara &amp; Ilyas"), "the newest first")
	found := b.get("/?q=party+3")
	assert.Contains(t, found.body, "Party 3")
	assert.NotContains(t, found.body, "Party 4")

	asked := b.get(root + "/delete")
	assert.Contains(t, asked.body, "Mara &amp; Ilyas")
	assert.Equal(t, http.StatusOK, b.get(root).StatusCode, "asked only")
	gone := b.press(asked, "en")
	assert.Equal(t, "/", gone.Request.URL.Path)
	assert.Contains(t, gone.body, "was deleted")
	assert.Equal(t, http.StatusNotFound, b.get(root).StatusCode)
	b.post(copied.Request.URL.Path+"/delete", nil)
	files, err := os.ReadDir(s.folder)
	require.NoError(t, err)
	for _, f := range files {
		content, err := os.ReadFile(filepath.Join(s.folder, f.Name()))
		require.NoError(t, err)
		assert.NotContains(t, string(content), "Karim", "%s has a trace of what was deleted", f.Name())
	}
}

// An example can be looked at, and is no event before somebody reads it.
func TestExample(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	p := b.get("/new/example")
	require.Equal(t, http.StatusOK, p.StatusCode)
	assert.NotContains(t, b.get("/").body, "/events/")
	assert.Regexp(t, "^/events/", b.press(p, "read").Request.URL.Path)
}

// A plan is shown in the language of the page, also where the browser chooses it and not the address.
func TestAPlanIsInTheLanguageOfItsPage(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	p := b.press(begun(t, b), "plan", "lang", "en")
	require.Contains(t, p.body, "<dt>Step in</dt>")
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, b.at+p.Request.URL.Path, nil)
	require.NoError(t, err)
	r.Header.Set("Accept-Language", "de")
	p = b.answer(b.client.Do(r))
	assert.Contains(t, p.body, "<dt>Ins Bild</dt>")
	assert.NotContains(t, p.body, "Step in")
}

// What one types after another is a step of its own: nobody's words go under the name of somebody else.
func TestTypingOfTwoIsTwoSteps(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	root := begun(t, b).Request.URL.Path
	other := s.browser()
	other.post("/enter", url.Values{"secret": {s.link(store.Owner, strings.TrimPrefix(root, "/events/"))}})
	for i, by := range []browser{b, b, other} {
		got := by.post(root+"/keep", url.Values{"text": {fmt.Sprint("Couple with Ann ", i)}, "version": {fmt.Sprint(i + 1)}})
		require.Equal(t, http.StatusOK, got.StatusCode)
	}
	assert.Len(t, s.versions(), 3, "the list, what one typed, what the other did")
}
