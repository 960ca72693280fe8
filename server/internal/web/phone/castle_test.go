package phone

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/intake"
	"kinorder.example/server/internal/store"
)

// castle is a day of two photographers at the same time, 24 photographs and 36 people.
func castle(t *testing.T, opens time.Time) event.Event {
	t.Helper()
	content, err := os.ReadFile(filepath.Join("..", "..", "..", "..", "testdata", "days", "castle.yaml"))
	require.NoError(t, err)
	e, _, err := intake.Read(content, intake.YAML)
	require.NoError(t, err)
	e.TimeZone, e.Date = "", opens.UTC().Format(time.DateOnly)
	for i := range e.Blocks {
		e.Blocks[i].Opens, e.Blocks[i].Closes = opens.UTC().Format(time.RFC3339), opens.Add(50*time.Minute).UTC().Format(time.RFC3339)
	}
	return e
}

// knows says that somebody who looks sees what is next, and names, without a finger.
func (b phoneTab) knows() {
	b.Helper()
	b.until(`document.querySelector("#title")?.innerText && document.querySelectorAll(".group .name, .inline.stay bdi").length > 0`)
	b.js(`import("/day/views.js").then((v) => v.toTop())`)
	assert.Equal(b, "seen", b.firstName(), b.text("#title"))
}

func (b phoneTab) signal(there bool) {
	b.Helper()
	b.do(network.EmulateNetworkConditions(!there, 0, -1, -1))
}

// The ceremony is 50 minutes late, so both time slots are over before they begin; one is moved by rain; both
// photographers are without signal for ten minutes, and plan on their phones. At every moment all three phones have the next names,
// and in the end everything that was ticked is there, once.
func TestBrowserTwoPhotographers(t *testing.T) {
	withCore(t, true)
	s := newStage(t, castle(t, time.Now().Add(-50*time.Minute)))
	s.serve()
	_, secret, err := s.store.CreateLink(t.Context(), store.Request{}, "harbour", store.Lead, "", time.Time{})
	require.NoError(t, err)
	mara, idris, reader := device(t).withStoryClock(), device(t).withStoryClock(), device(t).withStoryClock()
	all := []phoneTab{mara, idris, reader}
	mara.visit(s, store.Lead)
	mara.press("[data-key=block-yard]")
	idris.do(chromedp.Navigate("http://" + s.address + Prefix + "#" + secret))
	idris.press("[data-key=block-terrace]")
	reader.visit(s, store.Reader)
	everybodyKnows := func(picture string) {
		t.Helper()
		for i, b := range all {
			b.knows()
			b.shoot("castle-" + picture + "-" + []string{"mara", "idris", "reader"}[i])
		}
	}
	everybodyKnows("late")
	take := func(b phoneTab) {
		t.Helper()
		before := b.text("#title")
		s.pass(2*time.Minute, all...)
		b.press("#taken")
		b.until(fmt.Sprintf("document.querySelector('#title').innerText !== %q", before))
	}
	take(mara)
	take(idris)
	u := s.planned(1)

	idris.tab("overview")
	idris.press("[data-key=block-terrace]")
	idris.press("#place")
	idris.do(typed("#place", "Great hall"))
	idris.press("#setplace")
	idris.tab("now")
	u = s.planned(len(u.Marks))
	idris.shows("#main", "Now at: Great hall")
	reader.press("[data-key=block-terrace]")
	reader.shows("#main", "Now at: Great hall")
	everybodyKnows("rain")

	for _, b := range []phoneTab{mara, idris} {
		b.until("navigator.serviceWorker.controller !== null")
		b.watch()
		b.until("day.core === 'ready'")
		b.signal(false)
		b.do(chromedp.Reload()) // the stream that is open would stay open
		b.see("#contact")
	}
	for range 3 {
		take(mara)
		mara.shows("#contact", "Planned on this phone")
		everybodyKnows("no-signal")
	}
	take(idris)
	idris.shows("#contact", "Planned on this phone")
	everybodyKnows("no-signal")
	s.pass(2*time.Minute, all...)
	everybodyKnows("ten-minutes")
	assert.Len(t, s.current().Marks, len(u.Marks))

	mara.signal(true)
	idris.signal(true)
	for _, b := range []phoneTab{mara, idris} {
		b.do(chromedp.Evaluate("dispatchEvent(new Event('online'))", nil))
		b.until("document.querySelector('#unsent').hidden")
	}
	u = s.planned(len(u.Marks) + 3)
	assert.Equal(t, 6, taken(u))
	everybodyKnows("signal")
	for _, b := range all {
		b.shows(".where", map[bool]string{true: "of 20", false: "of 4"}[b == mara])
		assert.Empty(t, b.complaints.all())
	}
	assert.NotContains(t, reader.js("document.documentElement.innerHTML"), "OWLNOTE")
}
