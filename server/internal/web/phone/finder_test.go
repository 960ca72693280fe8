package phone

import (
	"net/http"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
	"kinorder.example/server/internal/web/phone/wire"
)

// Whoever fetches people sees whom to find for when, on their side; ticks them, looks for anybody by name, and says who was
// found and who has to leave. Nothing private comes with it, and nothing else can be marked.
func TestBrowserFinder(t *testing.T) {
	s := newStage(t, castle(t, time.Now().Add(-5*time.Minute)))
	s.serve()
	lead, finder := device(t), device(t)
	lead.visit(s, store.Lead)
	lead.see("#taken")
	finder.do(chromedp.Navigate("http://" + s.address + Prefix + "#" + s.secrets[store.Reader] + "&as=finder"))
	finder.see(".sought")
	finder.shoot("finder")
	assert.Equal(t, []string{"Now", "People", "More"}, finder.rows("nav button"))
	all := finder.rows(".sought .name")
	assert.Contains(t, all, "Suresh Raman")
	seen := map[string]bool{}
	for _, name := range all {
		assert.False(t, seen[name], "%s once, for the first photo", name)
		seen[name] = true
	}
	finder.press("[data-key=\"side-Isla's side\"]")
	finder.until("![...document.querySelectorAll('.sought .name')].some((e) => e.innerText.includes('Suresh'))")
	assert.NotContains(t, finder.rows(".sought .name"), "Suresh Raman")
	finder.press("[data-key=found-morag]")
	finder.until("document.querySelector('[data-key=found-morag]').getAttribute('aria-pressed') === 'true'")
	finder.do(chromedp.Reload())
	finder.see("[data-key=found-morag][aria-pressed=true]")

	lead.tab("people")
	lead.press("[data-key=person-fiona]")
	lead.press("dialog .close")
	finder.press("[data-key=person-fiona]")
	finder.pressText("Cannot be found")
	finder.shows(".waits", "Fiona Kerr")
	finder.shoot("finder-missing")
	finder.press("[data-key=lost-fiona]")
	finder.pressText("Is here now")
	m, u := s.last(1)
	assert.Equal(t, run.Arrived, m.Kind)
	assert.Empty(t, u.State.People)
	finder.tab("people")
	finder.do(typed("#find", "venk"))
	finder.press("[data-key=person-thatha]")
	finder.shoot("finder-person")
	finder.pressText("Leaves in 10 min")
	m, _ = s.last(2)
	assert.Equal(t, run.Leaving, m.Kind)
	assert.NotContains(t, finder.js("document.documentElement.innerHTML"), "OWLNOTE")
	assert.Equal(t, http.StatusForbidden, func() int {
		cookie, opened := s.opened(store.Reader)
		return s.post(asked{path: s.at("marks", store.Reader, opened), cookie: cookie, body: markBody(wire.Mark{Kind: "taken", Grouping: "both"})}).Code
	}())
	assert.Empty(t, finder.complaints.all())
	assert.Empty(t, lead.complaints.all())
}

// A link that says where somebody works opens there, on every visit.
func TestBrowserOpensAtItsPlace(t *testing.T) {
	s := newStage(t, castle(t, time.Now().Add(-5*time.Minute)))
	s.serve()
	b := device(t)
	b.do(chromedp.Navigate("http://" + s.address + Prefix + "#" + s.secrets[store.Lead] + "&block=terrace"))
	b.see("[data-key=block-terrace][aria-pressed=true]")
	b.do(chromedp.Reload())
	b.see("[data-key=block-terrace][aria-pressed=true]")
	assert.Empty(t, b.complaints.all())
}
