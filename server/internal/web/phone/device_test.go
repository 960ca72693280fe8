package phone

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/run"
	"kinorder.example/server/internal/store"
)

// taken counts what the server has as taken.
func taken(u run.Update) int {
	n := 0
	for _, g := range u.State.Groupings {
		if g.Status == run.Done {
			n++
		}
	}
	return n
}

// A browser that is closed, or dies, without signal has what was ticked when it is opened again.
func TestBrowserClosedWithoutSignal(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	folder := chromedp.UserDataDir(t.TempDir())
	first := device(t, folder)
	first.visit(s, store.Lead)
	first.see("#taken")
	first.until("navigator.serviceWorker.controller !== null")
	s.cut()
	for i := range 2 {
		first.press("#taken")
		first.until(fmt.Sprintf("document.querySelector('[data-unsent]')?.dataset.unsent === '%d'", i+1))
	}
	title := first.text("#title")
	first.end()

	second := device(t, folder)
	second.do(chromedp.Navigate("http://" + s.address + Prefix))
	second.until("document.querySelector('[data-unsent]')?.dataset.unsent === '2'")
	assert.Equal(t, title, second.text("#title"))
	s.serve()
	second.until("document.querySelector('#unsent').hidden")
	assert.Len(t, s.current().Marks, 2)
	assert.Equal(t, 2, taken(s.current()))
	assert.Empty(t, second.complaints.all())
}

// Two windows of one phone show what is ticked in either, and send it once.
func TestBrowserTwoWindows(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	one := device(t)
	one.visit(s, store.Lead)
	one.see("#taken")
	two := one.another()
	two.do(chromedp.Navigate("http://" + s.address + Prefix))
	two.see("#taken")
	s.cut()
	one.press("#taken")
	two.shows(".where", "2 of")
	two.do(page.BringToFront())
	two.press("#taken")
	one.shows(".where", "3 of")
	one.until("document.querySelector('[data-unsent]')?.dataset.unsent === '2'")
	s.serve()
	one.until("document.querySelector('#unsent').hidden")
	two.until("document.querySelector('#unsent').hidden")
	assert.Len(t, s.current().Marks, 2)
	assert.Empty(t, one.complaints.all())
	assert.Empty(t, two.complaints.all())
}

// Two phones tick the same one at the same time: it counts once, and both go on with the same.
func TestBrowserTwoPhones(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	a, b := device(t), device(t)
	a.visit(s, store.Lead)
	a.see("#taken")
	b.visit(s, store.Lead)
	b.tab("now")
	a.press("#taken")
	b.press("#taken")
	for range 2 {
		a.press("#taken")
	}
	s.planned(3)
	a.until("!document.querySelector('#contact').checkVisibility() && document.querySelector('#unsent').hidden")
	b.until("document.querySelector('#unsent').hidden")
	want := s.current()
	next := s.title(want, order(want)[0])
	a.shows("#title", next)
	b.shows("#title", next)
	assert.Equal(t, a.text(".where"), b.text(".where"))
	assert.LessOrEqual(t, taken(want), 4)
}

// At an address that is not secure there is no service worker. Marks are kept all the same, and the page
// says what it cannot do.
func TestBrowserWithoutSecureAddress(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t, chromedp.Flag("host-resolver-rules", "MAP studio.test 127.0.0.1"))
	_, port, _ := strings.Cut(s.address, ":")
	b.do(chromedp.Navigate("http://studio.test:" + port + Prefix + "#" + s.secrets[store.Lead]))
	b.see("#taken")
	require.Equal(t, "false", b.js("isSecureContext"))
	b.tab("more")
	b.shows(".says", "cannot be opened again without signal")
	b.shoot("insecure")
	b.tab("now")
	s.cut()
	b.see("#contact")
	b.press("#taken")
	b.until("document.querySelector('[data-unsent]')?.dataset.unsent === '1'")
	assert.Contains(t, b.js(`new Promise((r) => { const q = indexedDB.open("kinorder-day"); q.onsuccess = () => { const a = q.result.transaction(["marks"]).objectStore("marks").count(); a.onsuccess = () => r(a.result); }; })`), "1")
	s.serve()
	b.until("document.querySelector('#unsent').hidden")
	assert.Len(t, s.current().Marks, 1)
	assert.Empty(t, b.complaints.all())
}

// A device that lets the page keep nothing, as some do in private windows, still marks; the page says what
// that means.
func TestBrowserThatKeepsNothing(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t).first(`Object.defineProperty(window, "indexedDB", { value: { open() { throw new Error("no storage"); } } })`)
	b.visit(s, store.Lead)
	b.see("#taken")
	s.cut()
	b.see("#contact")
	b.press("#taken")
	b.until("document.querySelector('[data-unsent]')?.dataset.unsent === '1'")
	b.shows("#contact", "leave this page open until it is sent")
	b.shoot("keeps-nothing")
	s.serve()
	b.until("document.querySelector('[data-unsent]') === null")
	assert.Len(t, s.current().Marks, 1)
	assert.Empty(t, b.complaints.all())
}

// When a link is revoked the names go from the screen and from the device. Marks that are not sent stay,
// and go with a new link.
func TestBrowserRevoked(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.see("#taken")
	b.until("navigator.serviceWorker.controller !== null")
	s.cut()
	b.press("#taken")
	b.until("document.querySelector('[data-unsent]')?.dataset.unsent === '1'")
	_, err := s.store.RevokeLink(t.Context(), "harbour", s.links[store.Lead])
	require.NoError(t, err)
	s.serve()
	b.shows("#main", "no longer works")
	b.shoot("revoked")
	asked := `performance.getEntriesByType("resource").filter((r) => r.name.includes("/day/open")).length`
	before := b.js(asked)
	b.do(chromedp.Evaluate(`dispatchEvent(new Event("online"))`, nil), chromedp.Sleep(time.Second))
	assert.Equal(t, before, b.js(asked), "a link that has ended is not asked about again")
	for range 2 {
		assert.NotContains(t, b.js("document.documentElement.outerHTML"), "Lindqvist")
		b.shows("#unsent", "1 not sent yet")
		b.do(chromedp.Reload())
		b.shows("#main", "no longer works")
	}
	l, secret, err := s.store.CreateLink(t.Context(), store.Request{}, "harbour", store.Lead, "", time.Time{})
	require.NoError(t, err)
	s.secrets[store.Lead], s.links[store.Lead] = secret, l.ID
	b.visit(s, store.Lead)
	b.see("#taken")
	b.until("document.querySelector('#unsent').hidden")
	assert.Len(t, s.current().Marks, 1)
	assert.Empty(t, b.complaints.all())
}

// What the server refuses is set aside and shown; the rest goes on.
func TestBrowserRefusedMarks(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.see("#taken")
	old := s.current().Run.Ref
	s.cut()
	b.press("#taken")
	b.until("document.querySelector('[data-unsent]')?.dataset.unsent === '1'")
	require.NoError(t, s.store.DeleteRun(t.Context(), old))
	s.desk.Forget(run.Ref{Event: "harbour"})
	s.serve()
	b.shows("#unsent", "1 not accepted")
	b.press("#taken")
	s.planned(0)
	assert.NotEqual(t, old, s.current().Run.Ref)
	b.tab("more")
	b.shows("#main .alarm", "Taken:")
	b.shoot("refused")
	b.do(chromedp.Evaluate("[...document.querySelectorAll('.alarm button')].at(-1).click()", nil))
	b.until("document.querySelector('#unsent').hidden")
	assert.Empty(t, b.complaints.all())
}

// Why a mark was refused is said in words of the page.
func TestBrowserSaysWhyAMarkIsRefused(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.see("#taken")
	var invalid error = &run.InvalidError{Faults: []event.Advice{{Code: event.CodeUnknownID, Severity: event.Error, Field: "marks[0].taken.grouping"}}}
	s.refuses.Store(&invalid)
	b.press("#taken")
	b.tab("more")
	b.shows("#main .alarm", "isn’t in the plan any more")
	assert.Empty(t, b.complaints.all())
}

// When the disk is full or the database away, marks are refused, the page says so, and they stay until
// they are kept.
func TestBrowserStoreRefuses(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.see("#taken")
	for err, says := range map[error]string{store.ErrFull: "is out of space", store.ErrUnreachable: "cannot reach its database"} {
		s.refuses.Store(&err)
		before := len(s.current().Marks)
		b.press("#taken")
		b.shows("#contact", says)
		b.until("document.querySelector('[data-unsent]')?.dataset.unsent === '1'")
		b.shoot("refuses")
		assert.Len(t, s.current().Marks, before)
		s.refuses.Store(nil)
		b.until("document.querySelector('#unsent').hidden && document.querySelector('#contact').hidden")
		assert.Len(t, s.current().Marks, before+1)
	}
	assert.Empty(t, b.complaints.all())
}

// Everything that can be pressed is at least 44 by 44 (WCAG 2.2, 2.5.5, "Target Size (Enhanced)"), and
// the main button much larger.
func TestBrowserTargets(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.see("#taken")
	measure := func(where string) {
		t.Helper()
		var small []string
		b.do(chromedp.Evaluate(`[...(document.querySelector("dialog[open]") || document).querySelectorAll("button, select, textarea, summary, a, label.check, input:not([type=checkbox])")]
			.filter((e) => e.checkVisibility()).map((e) => [e, e.getBoundingClientRect()])
			.filter(([e, r]) => r.width < 44 || r.height < 44).map(([e, r]) => e.outerHTML.slice(0, 60) + " " + r.width + " by " + r.height)`, &small))
		assert.Empty(t, small, where)
		var mute []string
		b.do(chromedp.Evaluate(`[...document.querySelectorAll("button, select, textarea, input, progress")].filter((e) => e.checkVisibility() && !(e.innerText || "").trim() && !e.ariaLabel && !e.labels?.length).map((e) => e.outerHTML)`, &mute))
		assert.Empty(t, mute, "without a name for readers of the screen: %s", where)
		assert.Equal(t, "true", b.js("document.documentElement.scrollWidth <= innerWidth"), "%s scrolls sideways", where)
	}
	b.press("#taken")
	b.see("#undo")
	b.do(emulation.SetDeviceMetricsOverride(844, 390, 1, true)) // on its side
	measure("now, on its side")
	assert.Equal(t, "true", b.js("document.querySelector('#taken').getBoundingClientRect().bottom <= innerHeight"))
	b.shoot("side")
	for _, language := range []string{"en", "de", "fr", "ar"} {
		b.tab("more")
		b.do(chromedp.Evaluate(fmt.Sprintf("{ const e = document.querySelector('#language'); e.value = %q; e.dispatchEvent(new Event('change')); }", language), nil))
		b.until(fmt.Sprintf("document.documentElement.lang === %q", language))
		for _, width := range []int64{320, 390} {
			b.do(emulation.SetDeviceMetricsOverride(width, 844, 1, true))
			for _, tab := range []string{"now", "list", "overview", "people", "more"} {
				b.tab(tab)
				measure(fmt.Sprintf("%s, %s, %d", language, tab, width))
				if tab == "now" {
					b.shoot(fmt.Sprintf("now-%s-%d", language, width))
				}
			}
			for tab, opener := range map[string]string{"now": "#missing", "list": "#addnew", "people": "[data-key=person-rosa]", "overview": "[data-key=row-a-all]", "more": "[data-key=note]"} {
				b.tab(tab)
				b.press(opener)
				b.see("dialog[open]")
				measure(language + ", dialog of " + tab)
				b.press("dialog .close")
			}
		}
	}
	b.tab("now")
	assert.Equal(t, "true", b.js("document.querySelector('#taken').getBoundingClientRect().height >= 72"))
	b.until("document.querySelector('#unsent').hidden")
	assert.Empty(t, b.complaints.all())
}

// Paper has the whole of what is left, with the names, and nothing of the screen.
func TestBrowserPrints(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.see("#taken")
	b.press("#taken")
	u := s.planned(0)
	b.shows(".where", "2 of")
	b.do(emulation.SetEmulatedMedia().WithMedia("print"), emulation.SetDeviceMetricsOverride(794, 1123, 1, false))
	for _, id := range order(u) {
		assert.Contains(t, b.text("#paper"), s.title(u, id))
	}
	assert.Equal(t, "false", b.js("document.querySelector('#acts').checkVisibility() || document.querySelector('main').checkVisibility()"))
	if *shots != "" {
		var whole []byte
		b.do(chromedp.CaptureScreenshot(&whole))
		draw(b, "print.png", whole)
	}
	assert.Empty(t, b.complaints.all())
}
