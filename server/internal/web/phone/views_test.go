package phone

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"kinorder.example/server/internal/access"
	"kinorder.example/server/internal/event"
	"kinorder.example/server/internal/store"
)

// Every view of a lead can be reached and complains of nothing, and the secret is nowhere to be seen.
func TestBrowserLead(t *testing.T) {
	s := newStage(t, quay(t, time.Now().Add(-2*time.Minute)))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.see("#taken")
	b.shoot("lead")
	b.shows(".safety", "nobody stands on chairs")
	assert.NotContains(t, b.js("location.href"), s.secrets[store.Lead])
	b.press("#taken")
	b.shows(".last", "Taken")
	b.shoot("lead-second")
	b.until("document.querySelector('#taken').getAttribute('aria-disabled') !== 'true'")
	assert.NoError(t, chromedp.Run(b.ctx, chromedp.DoubleClick("#taken", chromedp.ByQuery)), "a thumb bounces")
	b.shows(".where", "3 of")
	s.planned(1)
	assert.Len(t, s.current().Marks, 2, "and one is taken")
	b.press("#missing")
	b.see("dialog[open]")
	b.shoot("missing")
	b.press("dialog .close")
	for _, tab := range []string{"list", "overview", "people", "more"} {
		b.press("[data-key=tab-" + tab + "]")
		b.shoot("lead-" + tab)
	}
	b.press("[data-key=add]")
	b.see("#newtitle")
	b.shoot("add")
	assert.NotEmpty(t, b.asked.all())
	for _, address := range b.asked.all() {
		assert.NotContains(t, address, s.secrets[store.Lead])
		assert.True(t, address == "<nil>" || address == "" || strings.HasPrefix(address, "http://"+s.address+"/"), "asked elsewhere: %s", address)
	}
	assert.Empty(t, b.complaints.all())
}

// A reader sees whom to call and nothing private; an owner sees the whole.
func TestBrowserReaderAndOwner(t *testing.T) {
	s := newStage(t, quay(t, time.Now().Add(-2*time.Minute)))
	s.serve()
	lead := device(t)
	lead.visit(s, store.Lead) // begins the run
	lead.see("#taken")
	reader := device(t)
	reader.visit(s, store.Reader)
	reader.see(".call")
	reader.shoot("reader")
	lead.press("#taken")
	reader.shows(".where", "2 of")
	lead.press("#taken")
	reader.shows(".where", "3 of")
	reader.shoot("reader-third")
	for _, tab := range []string{"list", "more"} {
		reader.press("[data-key=tab-" + tab + "]")
		reader.shoot("reader-" + tab)
	}
	owner := device(t)
	owner.visit(s, store.Owner)
	owner.see("progress")
	owner.shoot("owner")
	lead.do(chromedp.Evaluate("document.querySelector('[data-key=tab-more]').click()", nil))
	lead.do(chromedp.SetValue("#language", "ar", chromedp.ByQuery), chromedp.Evaluate("document.querySelector('#language').dispatchEvent(new Event('change'))", nil))
	lead.press("[data-key=tab-now]")
	lead.shoot("lead-ar")
	lead.press("[data-key=tab-overview]")
	lead.shoot("overview-ar")
	assert.NotContains(t, reader.js("document.documentElement.innerHTML"), lapwing)
	for _, b := range []phoneTab{lead, reader, owner} {
		assert.Empty(t, b.complaints.all())
	}
}

// Without signal the page opens, takes marks and says so; with it they arrive, each once.
func TestBrowserOffline(t *testing.T) {
	s := newStage(t, quay(t, time.Now().Add(-2*time.Minute)))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.see("#taken")
	b.until("navigator.serviceWorker.controller !== null")
	s.cut()
	b.see("#contact")
	for i := range 3 {
		b.press("#taken")
		b.until(fmt.Sprintf("document.querySelector('[data-unsent]')?.dataset.unsent === '%d'", i+1))
	}
	b.shoot("offline")
	b.do(chromedp.Reload())
	b.see("#taken")
	b.until("document.querySelector('[data-unsent]')?.dataset.unsent === '3'")
	b.shows(".where", "4 of")
	b.press("#undo")
	b.shows(".where", "3 of")
	s.serve()
	b.until("document.querySelector('#unsent').hidden")
	u := s.current()
	assert.Len(t, u.Marks, 4)
	assert.Empty(t, b.complaints.all())
}

// When somebody who is in all that is left is missing, the lead is told so and finds them with one touch.
func TestBrowserNothingButWaiting(t *testing.T) {
	s := newStage(t, quay(t, time.Now()))
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	reader := device(t)
	reader.visit(s, store.Reader)
	b.tab("people")
	for _, who := range []string{"amara", "theo"} {
		b.press("[data-key=person-" + who + "]")
		b.pressText("Cannot be found")
		b.shows("[data-key=person-"+who+"]", "cannot be found")
	}
	b.tab("now")
	b.shows("#title", "Everything left is waiting for somebody")
	reader.shows("#main", "cannot be found")
	b.shoot("waiting")
	reader.shoot("waiting-reader")
	b.press("[data-key=person-theo]")
	b.pressText("Is here now")
	b.shows("#title", "Théo and his grandmother")
	assert.Empty(t, b.complaints.all())
}

// An event without blocks and times, down to the last one.
func TestBrowserWithoutBlocks(t *testing.T) {
	s := newStage(t, event.Event{
		People:    []event.Person{{ID: "ann", Name: "Ann"}, {ID: "bo", Name: "Bo"}},
		Groupings: []event.Grouping{{ID: "both", Members: []string{"ann", "bo"}}, {ID: "one", Title: "One", Members: []string{"ann"}}},
	})
	s.serve()
	b := device(t)
	b.visit(s, store.Lead)
	b.press("#taken")
	b.shows(".where", "2 of")
	b.press("#taken")
	b.shows("#title", "All taken")
	b.shoot("all-taken")
	s.planned(1)
	b.tab("overview")
	b.shows("#main", "2 of 2 taken")
	b.tab("now")
	b.press("#undo")
	b.shows(".where", "2 of 2")
	assert.Equal(t, 1, taken(s.planned(2)))
	assert.Empty(t, b.complaints.all())
}

// How a name is said is not parted at the end of a line.
func TestHowANameIsSaidStaysWhole(t *testing.T) {
	w := wholeOf(access.Grant{Role: store.Lead}, event.Event{People: []event.Person{{ID: "ines", Name: "Inês", SayAs: "ee-NESH"}}}, behind{})
	assert.Equal(t, "ee\u2011NESH", w.People[0].Say)
}
