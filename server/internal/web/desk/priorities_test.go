package desk_test

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/web/browsertest"
)

// How much a photo is wanted is said by its button, is a step like others, and goes along with the photo.
func TestHowMuchAPhotoIsWanted(t *testing.T) {
	s := open(t, t.TempDir())
	b := s.signedIn()
	p := begun(t, b)
	root := p.Request.URL.Path
	priorities := func() map[string]event.Priority {
		e, err := s.store.Event(t.Context(), strings.TrimPrefix(root, "/events/"))
		require.NoError(t, err)
		out := map[string]event.Priority{}
		for _, g := range e.Event.Groupings {
			out[g.Title] = g.Priority
		}
		return out
	}
	rosa := "Couple with Mara's grandmother (Rosa)"
	buttons := p.buttons("priority:must:")
	require.Len(t, buttons, 6)
	p = b.press(p, buttons[4])
	require.Equal(t, event.Must, priorities()[rosa], "%v", priorities())
	p = b.press(p, p.buttons("priority:nice:")[0])
	assert.Equal(t, event.Nice, priorities()[rosa])
	p = b.press(p, "/undo")
	assert.Equal(t, event.Must, priorities()[rosa])

	// It stays when the list goes on, on the plan and back, and in the file.
	p = b.press(p, "read", "text", "Couple with the witnesses (Uma, Per)\n"+list)
	p = b.press(p, "plan")
	require.Equal(t, root+"/plan", p.Request.URL.Path)
	p = b.press(p, p.buttons("down:")[0])
	file := b.press(p, "/save", "file-kind", "event")
	assert.Equal(t, 1, strings.Count(file.body, "priority: must"), file.body)
	assert.Equal(t, event.Must, priorities()[rosa])
	b.press(b.get(root), "priority:nice:"+strings.TrimPrefix(buttons[4], "priority:must:"))
	assert.Equal(t, event.Nice, priorities()[rosa])
}

// By one key, with the focus staying where it was; without keeping anything it works as well.
func TestBrowserSetsPrioritiesByOneKey(t *testing.T) {
	s := open(t, t.TempDir())
	root := begun(t, s.signedIn()).Request.URL.Path
	b := s.tab(true)
	b.do(chromedp.Navigate(s.server.URL+root), chromedp.Focus(".told li:nth-of-type(3) [data-priority]", chromedp.ByQuery))
	for _, key := range []struct{ press, want string }{{"1", "must have"}, {"3", "if there is time"}, {"2", "wanted"}, {kb.Enter, "must have"}} {
		_, err := chromedp.RunResponse(b.ctx, chromedp.KeyEvent(key.press))
		require.NoError(t, err)
		b.has("document.activeElement.textContent", key.want)
	}
	b.shoot("priorities")
	browsertest.Accessible(t, b.ctx, "priorities", "light", "dark")
	b.do(chromedp.Navigate(s.server.URL + root + "?lang=ar"))
	browsertest.Accessible(t, b.ctx, "priorities-ar", "light", "dark")
	browsertest.Valid(t, map[string][]byte{"priorities": []byte(s.signedIn().get(root).body), "priorities-ar": []byte(s.signedIn().get(root + "?lang=ar").body)})
	assert.Empty(t, *b.complaints)

	p := s.browser().post("/list", map[string][]string{"text": {list}})
	p = s.browser().press(p, p.buttons("priority:must:")[1])
	p = s.browser().press(p, "read")
	assert.Len(t, p.buttons("priority:nice:"), 1)
	p = s.browser().press(p, "plan")
	file := s.browser().press(p, "/save", "file-kind", "event")
	assert.Equal(t, 1, strings.Count(file.body, "priority: must"))
}
