package phone

import (
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// What is said is of the moment and of the place: who is not here stands on the phones of that place and goes with the
// mark; what can't be complete any more is asked about when that is known, with what can be done; whoever calls names
// knows who has left.
func TestBrowserLinesAreOfTheMoment(t *testing.T) {
	s := newStage(t, castle(t, time.Now().Add(-2*time.Minute)))
	s.serve()
	_, secret, err := s.store.CreateLink(t.Context(), store.Request{}, "harbour", store.Lead, "", time.Time{})
	require.NoError(t, err)
	lead, other, reader := device(t), device(t), device(t)
	lead.visit(s, store.Lead)
	lead.press("[data-key=block-yard]")
	other.do(chromedp.Navigate("http://" + s.address + Prefix + "#" + secret))
	other.press("[data-key=block-terrace]")
	reader.visit(s, store.Reader)
	reader.press("[data-key=block-yard]")
	person := func(id, text string) {
		t.Helper()
		lead.tab("people")
		lead.press("[data-key=person-" + id + "]")
		lead.js("document.querySelector('dialog details').open = true")
		lead.pressText(text)
		lead.tab("now")
	}
	says := func(b phoneTab, text string) {
		t.Helper()
		b.until("[...document.querySelectorAll('#main .notice, #main .alarm')].some((e) => e.textContent.replace(/[\\u2066-\\u2069]/g, '').includes('" + text + "'))")
	}
	silent := func(b phoneTab, text string) {
		t.Helper()
		b.until("!document.querySelector('#main').textContent.includes('" + text + "')")
	}

	person("suresh", "Cannot be found")
	u := s.planned(0)
	says(lead, "Suresh Raman (cannot be found)")
	says(reader, "Suresh Raman")
	silent(other, "Suresh")
	lead.press("#undo")
	s.planned(1)
	for _, b := range []phoneTab{lead, reader} {
		b.until("!document.querySelector('#lacking, .changed')")
	}

	person("callum", "in 20 min")
	person("thatha", "Leaves in 10 min")
	u = s.planned(3)
	lead.shows("#ask", "can’t be complete any more")
	lead.shows("#ask", "must have")
	for _, screen := range [][2]int64{{320, 568}, {390, 844}} {
		lead.do(emulation.SetDeviceMetricsOverride(screen[0], screen[1], 1, true))
		lead.js(`import("/day/views.js").then((v) => v.toTop())`)
		assert.Equal(t, "true", lead.js(askedInSight), screen)
	}
	lead.shoot("ask-apart")
	assert.Equal(t, "false", other.js("String(Boolean(document.querySelector('#ask')))"))
	lead.press("#ask")
	lead.shows("dialog", "Take it without Venkat Raman")
	lead.shoot("ask-apart-answers")
	lead.pressText("Take it without \u2068Callum")
	m, u := s.last(len(u.Marks))
	assert.Equal(t, run.Without, m.Kind)
	assert.Equal(t, []string{"callum"}, m.People)

	person("thatha", "Has left")
	s.planned(len(u.Marks))
	says(reader, "Venkat Raman (has left)")
	reader.shoot("caller-has-left")
	for _, b := range []phoneTab{lead, other, reader} {
		assert.Empty(t, b.complaints.all())
	}
}
